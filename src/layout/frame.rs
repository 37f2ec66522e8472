//! The sheet of paper: margins, hole marks, the bar that proves the scale.

use super::canvas::{Canvas, HAIR, mm};
use super::length::Len;
use super::mark::{Area, Page, Point, area, at};
use super::style::CAPTION;

/// Bound side, for filing.
pub const FILING: Len = mm(25.0);
/// The other three sides.
pub const MARGIN: Len = mm(10.0);
/// The two holes of a file (ISO 838): from one to the other, and from the edge.
const HOLES: Len = mm(80.0);
const HOLE_X: Len = mm(12.0);

/// Height of the bar with its captions.
pub const BAR_H: Len = mm(6.4);
pub const BAR: Len = mm(100.0);

/// Width and height of a sheet of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    pub width: Len,
    pub height: Len,
}

/// ISO 216 A4.
pub const A4: Size = Size { width: mm(210.0), height: mm(297.0) };
/// 8½ by 11 inches.
pub const LETTER: Size = Size { width: mm(215.9), height: mm(279.4) };

impl Size {
    /// What is inside the margins.
    pub fn inside(self) -> Area {
        area(FILING, MARGIN, self.width - FILING - MARGIN, self.height - MARGIN * 2)
    }

    /// The centres of the holes to punch.
    pub fn holes(self) -> [Point; 2] {
        let middle = self.height / 2;
        [middle - HOLES / 2, middle + HOLES / 2].map(|y| at(HOLE_X, y))
    }

    /// An empty page with that printed number.
    pub fn page(self, label: String) -> Page {
        Page { width: self.width, height: self.height, marks: Vec::new(), label }
    }
}

impl Canvas<'_> {
    /// Where to punch.
    pub fn hole_marks(&mut self, paper: Size) {
        let arm = mm(1.6);
        for hole in paper.holes() {
            let corner = at(hole.x - arm, hole.y - arm);
            self.stamp("hole", corner, (arm * 2, arm * 2), |canvas| {
                canvas.rule(Len::ZERO, arm, arm * 2, HAIR);
                canvas.post(arm, Len::ZERO, arm * 2, HAIR);
            });
        }
    }

    /// A bar of 100 mm to lay a rule on, top left corner at the point.
    pub fn print_bar(&mut self, x: Len, y: Len) {
        self.stamp("bar", at(x, y), (BAR, BAR_H), |canvas| {
            let foot = mm(2.6);
            canvas.rule(Len::ZERO, foot, BAR, HAIR);
            for n in 0..=10 {
                let tall = if n % 10 == 0 { foot } else { mm(1.2) };
                canvas.post(mm(10.0) * n, foot - tall, tall, HAIR);
            }
            let base = mm(5.6);
            canvas.word(Len::ZERO, base, CAPTION, "0");
            canvas.word_right(BAR, base, CAPTION, "100 mm");
            let words = "measure this bar: not 100 mm long, then print again at 100 %";
            canvas.word_centre(BAR / 2 - mm(3.0), base, CAPTION, words);
        });
    }
}
