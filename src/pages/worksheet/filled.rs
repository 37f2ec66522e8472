//! What is written in the boxes of an example already, as if by hand.

use std::collections::BTreeMap;

use super::Layout;
use crate::judge::BoxGroup;
use crate::layout::at;
use crate::layout::canvas::{Canvas, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Point};
use crate::pages::boxes::{CELL_H, HAND};
use crate::sheet::Row;

/// Everything written, by what it is written for and in which of its boxes:
/// one text a box, `None` for a blank.
///
/// `C1` with `shaft`, `go` or `leaves` (`9, 0.004, refused`); `sheet C` with
/// `shaft by`, `shaft on`, `shaft gauge`, `shaft zero`, `shaft part-temp` or `remarks`;
/// `L 3` with `marks`, `initials`, `words`, a place's code, or `count`, `number`, `batch`
/// and `document`.
pub type Filled = BTreeMap<(String, String), Vec<Option<String>>>;

/// From the largest that is written to the smallest.
const SIZES: [f64; 5] = [14.0, 12.0, 10.0, 8.4, 7.0];

impl<'a> Layout<'a> {
    /// Nothing is written in any box.
    pub fn is_blank(&self) -> bool {
        self.filled.is_none()
    }

    /// What is written in one box.
    pub fn written(&self, row: Option<&Row>, group: &BoxGroup, n: usize) -> Option<&'a str> {
        self.said(&row?.code, group.key.word(), n)
    }

    /// The same of an item of the sheet that is being laid out.
    pub fn item(&self, number: u32, part: &str, n: usize) -> Option<&'a str> {
        self.filled?;
        self.said(&self.item_name(number), part, n)
    }

    /// The same of the sheet itself.
    pub fn sign(&self, part: &str) -> Option<&'a str> {
        self.sign_mark(part, 0)
    }

    /// The same of one of several marks.
    pub fn sign_mark(&self, part: &str, n: usize) -> Option<&'a str> {
        self.filled?;
        self.said(&format!("sheet {}", self.letter.borrow()), part, n)
    }

    pub fn said(&self, of: &str, part: &str, n: usize) -> Option<&'a str> {
        let filled = self.filled?;
        filled.get(&(of.to_owned(), part.to_owned()))?.get(n)?.as_deref()
    }
}

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
