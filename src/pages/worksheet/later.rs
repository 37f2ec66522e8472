//! The lines of a page for what happens beside the boxes: what was found, does not
//! apply, was accepted or sent out, two lines each; and a part that was changed or
//! reworked, two lines each. Whatever it is of may stand on another sheet.

use super::Layout;
use crate::layout::canvas::{BOX, Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::Entry;
use crate::layout::style::{CAPTION, STRONG};
use crate::layout::{area, at};
use crate::pages::boxes::{CELL_W, INITIALS};
use crate::sheet::fields;

/// Title over the lines.
const HEAD: Len = mm(4.2);
/// From one line to the next, what it is for under it.
const LINE: Len = mm(8.2);
/// From the top of a line to its rule.
const RULE: Len = mm(5.6);
/// Between two places to write in.
const GAP: Len = mm(1.2);
/// A day in figures.
const DAY: Len = mm(19.0);

/// A place to write in: the part of a field's name, what is printed under it, and
/// its width; none for what is left.
type Place = (&'static str, &'static str, Option<Len>);

/// Two lines of one kind under a title.
pub struct Kind {
    name: &'static str,
    title: &'static str,
    words: &'static str,
    /// The letter that says which of them it is.
    letter: &'static str,
    lines: [&'static [Place]; 2],
}

pub const FOUND: Kind = Kind {
    name: fields::FOUND,
    title: "Found, n.a., accepted, sent out",
    words: "of any sheet: X defect · N not applicable · A out, accepted on data · S work sent out",
    letter: fields::KIND,
    lines: [
        &[
            ("of", "item and place, row, work", Some(mm(42.0))),
            ("what", "what was found, or why, by what authority, by whom", None),
        ],
        &[
            ("done", "what was done, or document, certificate; result", None),
            ("by", "by", Some(INITIALS)),
            ("date", "year-month-day", Some(DAY)),
            ("inspector", "inspector", Some(INITIALS)),
        ],
    ],
};

pub const CHANGED: Kind = Kind {
    name: fields::CHANGED,
    title: "Part changed, reworked",
    words: "of any sheet: P changed · R reworked · what it disturbs is done again",
    letter: fields::KIND,
    lines: [
        &[
            ("part", "part, places", Some(mm(32.0))),
            ("rework", "name of the work", Some(mm(28.0))),
            ("what", "what was done", None),
            ("by", "by", Some(INITIALS)),
            ("date", "year-month-day", Some(DAY)),
            ("inspector", "inspector", Some(INITIALS)),
        ],
        &[
            ("number", "part number", Some(mm(26.0))),
            ("batch", "serial or batch", Some(mm(26.0))),
            ("document", "document, of a rework its data", Some(mm(42.0))),
            ("grade", "grade: feature", Some(mm(26.0))),
            ("redone", "items looked over again", None),
        ],
    ],
};

impl Kind {
    pub fn height(&self, count: i32) -> Len {
        if count > 0 { HEAD + LINE * 2 * count + mm(0.8) } else { Len::ZERO }
    }

    /// Draws so many; gives back their height.
    pub fn draw(&self, lay: &Layout<'_>, canvas: &mut Canvas<'_>, y: Len, count: i32) -> Len {
        if count < 1 {
            return Len::ZERO;
        }
        canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
        let base = y + mm(0.8) + STRONG.ascent;
        let x = canvas.word(Len::ZERO, base, STRONG, self.title) + mm(2.0);
        canvas.word(x, base, CAPTION, self.words);
        for n in 0..count {
            for (half, places) in self.lines.iter().enumerate() {
                let top = y + HEAD + LINE * 2 * n + LINE.times(half);
                self.line(lay, canvas, (top, n + 1), places, half == 0);
            }
        }
        self.height(count)
    }

    fn line(
        &self,
        lay: &Layout<'_>,
        canvas: &mut Canvas<'_>,
        (y, n): (Len, i32),
        places: &[Place],
        first: bool,
    ) {
        let named = |part: &str| lay.line_field(self.name, n, part);
        let indent = CELL_W + GAP;
        let mut x = indent;
        if first {
            let side = area(Len::ZERO, y + RULE - CELL_W, CELL_W, CELL_W);
            canvas.rect(side, BOX);
            canvas.field(side, Entry::Letter, || named(self.letter));
        }
        let fixed: Len = places.iter().filter_map(|(.., wide)| *wide).sum();
        let gaps = GAP.times(places.len() - 1);
        let rest = lay.area.w - indent - fixed - gaps;
        let line = y + RULE;
        for (part, caption, wide) in places {
            let wide = wide.unwrap_or(rest);
            canvas.rule(x, line, wide, HAIR);
            canvas.word(x, line + CAPTION.ascent + mm(0.2), CAPTION, caption);
            canvas.words_field(at(x, line), wide, || named(part));
            x += wide + GAP;
        }
    }
}
