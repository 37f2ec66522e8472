//! What is written as if by hand: words, marks and initials.

use crate::layout::at;
use crate::layout::canvas::{Canvas, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Point};
use crate::pages::boxes::{CELL_H, HAND};

/// From the largest that is written to the smallest.
const SIZES: [f64; 5] = [14.0, 12.0, 10.0, 8.4, 7.0];

impl Canvas<'_> {
    /// Words over a line whose left end is at the point, as large as there is
    /// room for.
    pub fn scribble(&mut self, point: Point, room: Len, text: Option<&str>) {
        let Some(text) = text else { return };
        let para = HAND.fitted(&SIZES, text, room);
        let rise = para.height() - para.style.leading + para.style.ascent + mm(0.9);
        self.write(at(point.x, point.y - rise), &para);
    }

    /// A mark in a box of that side: a tick, a cross or a letter.
    pub fn marked(&mut self, corner: Point, side: Len, mark: Option<&str>) {
        match mark {
            None => {}
            Some("v") => self.tick(corner, side),
            Some("x") => self.cross(corner, side),
            Some(letter) => {
                let base = corner.y + side - mm(0.9);
                self.run(at(corner.x + side / 2, base), HAND.sized(11.0), Align::Centre, letter);
            }
        }
    }

    /// Initials, centred in a box.
    pub fn initialled(&mut self, corner: Point, width: Len, text: Option<&str>) {
        if let Some(text) = text {
            let base = corner.y + CELL_H - mm(2.4);
            self.run(at(corner.x + width / 2, base), HAND, Align::Centre, text);
        }
    }
}
