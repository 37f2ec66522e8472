//! Lines for another person or another day of one side of a sheet: which side,
//! which of its rows, and all that is signed for.

use super::Layout;
use crate::layout::canvas::{BOX, Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::Entry;
use crate::layout::style::{CAPTION, STRONG};
use crate::layout::{area, at};
use crate::model::form::SIGN_KEYS;
use crate::pages::boxes::TICK;
use crate::sheet::{Sheet, fields};

/// Room for a line of writing, as for gauges.
const LINE: Len = mm(6.4);
const GAP: Len = mm(1.4);

/// What is written on a line, and the width left for it; none for what is left.
const PLACES: [(&str, &str, Option<Len>); 5] = [
    ("side", "side", Some(mm(12.0))),
    ("rows", "rows", None),
    ("by", "by", Some(mm(12.0))),
    ("date", "date", Some(mm(18.0))),
    ("gauge", "gauges", Some(mm(27.0))),
];

const TITLE: &str = "Also measured";

/// From so many rows of one side on, others have their line before more remarks.
pub const MANY: usize = 6;

/// The most rows of one side: what several may have measured.
pub fn rows(sheet: &Sheet) -> usize {
    let sides = SIGN_KEYS.iter().filter(|key| **key != "work" && **key != "check");
    let of = |side: &&str| -> usize {
        let own = sheet.lines().filter(|line| line.own().any(|g| g.key.side().word() == *side));
        own.map(|line| line.rows.len()).sum()
    };
    sides.map(of).max().unwrap_or_default()
}

/// Draws so many lines; gives back their height.
pub fn lines(lay: &Layout<'_>, canvas: &mut Canvas<'_>, y: Len, count: i32) -> Len {
    if count < 1 {
        return Len::ZERO;
    }
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    for n in 0..count {
        line(lay, canvas, y + LINE * n, n + 1);
    }
    LINE * count + mm(0.6)
}

fn line(lay: &Layout<'_>, canvas: &mut Canvas<'_>, y: Len, n: i32) {
    let named = |part: &str| lay.line_field(fields::ALSO, n, part);
    let (base, under) = (y + mm(4.6), y + mm(5.2));
    let words = |word: &str| CAPTION.width(word) + mm(0.8);
    let zero = words("zero") + (TICK + mm(0.8)) * 2;
    let title = STRONG.width(TITLE) + GAP;
    let taken: Len =
        PLACES.iter().map(|(_, word, wide)| words(word) + wide.unwrap_or_default() + GAP).sum();
    let rest = lay.area.w - title - taken - zero;
    if n == 1 {
        canvas.word(Len::ZERO, base, STRONG, TITLE);
    }
    let mut x = title;
    for (part, word, wide) in PLACES {
        let wide = wide.unwrap_or(rest);
        canvas.word(x, base, CAPTION, word);
        x += words(word);
        canvas.rule(x, under, wide, HAIR);
        canvas.words_field(at(x, under), wide, || named(part));
        x += wide + GAP;
    }
    canvas.word(x, base, CAPTION, "zero");
    x += words("zero");
    for part in fields::ZERO {
        let corner = at(x, y + mm(1.2));
        let side = area(corner.x, corner.y, TICK, TICK);
        canvas.rect(side, BOX);
        canvas.field(side, Entry::Letter, || named(part));
        x += TICK + mm(0.8);
    }
}
