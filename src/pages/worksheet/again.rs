//! The lines of a page for what is measured again: any box of any of its rows,
//! with all that typing asks for.

use super::{Layout, fit_columns};
use crate::layout::at;
use crate::layout::canvas::{BOX, Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Entry, area};
use crate::layout::style::{CAPTION, STRONG};
use crate::pages::boxes::{CELL_H, CELL_W, Comb, INITIALS, POINT, TICK};
use crate::sheet::{Sheet, fields as names};

/// From one line to the next.
const LINE: Len = mm(9.4);
/// Title and captions over the lines.
const HEAD: Len = mm(7.4);
/// Between two boxes.
const GAP: Len = mm(1.0);
/// A box for a value of no one shape.
const ANY: Len = mm(30.0);
/// The widest comb that leaves room for the rest.
const WIDEST: Len = mm(36.0);

const WORDS: &str = "why: M measured again, R reworked, P part changed, the first reading stays · \
    N row not applicable, reason in the remarks";

pub fn height(lines: i32) -> Len {
    if lines > 0 { HEAD + LINE * lines } else { Len::ZERO }
}

/// The comb for a value of any row of a sheet, where one has room for all.
pub fn comb(sheet: &Sheet) -> Option<Comb> {
    let combs = sheet.lines().flat_map(|line| line.own()).map(fit_columns::comb);
    let combs: Option<Vec<Comb>> = combs.collect();
    let combs = combs?;
    let first = combs.first()?;
    let whole = combs.iter().map(|comb| comb.whole).max()?;
    let alike = combs.iter().all(|comb| comb.places == first.places && !comb.signed);
    let comb = Comb { whole, heavy: false, ..*first };
    (alike && comb.width() <= WIDEST).then_some(comb)
}

/// Captions and widths; the value and the gauge share what is left.
fn columns(width: Len, value: Len) -> [(&'static str, Len); 10] {
    let columns = [
        ("row", mm(15.0)),
        ("box", mm(14.0)),
        ("value", value),
        ("instead of", mm(21.0)),
        ("why", CELL_W),
        ("by", INITIALS),
        ("date", mm(19.0)),
        ("gauges", Len::ZERO),
        ("zero before, after", TICK * 2 + mm(1.0)),
        ("inspector", INITIALS),
    ];
    let taken: Len = columns.iter().map(|(_, wide)| *wide + GAP).sum::<Len>() - GAP;
    columns.map(|(caption, wide)| match caption {
        "gauges" => (caption, width - taken),
        _ => (caption, wide),
    })
}

/// Draws so many lines; gives back their height.
pub fn lines(lay: &Layout<'_>, canvas: &mut Canvas<'_>, (count, comb): (i32, Option<Comb>)) -> Len {
    if count < 1 {
        return Len::ZERO;
    }
    let width = lay.area.w;
    canvas.rule(Len::ZERO, Len::ZERO, width, MINOR);
    let base = mm(0.8) + STRONG.ascent;
    let x = canvas.word(Len::ZERO, base, STRONG, "Measured again") + mm(2.0);
    canvas.word(x, base, CAPTION, WORDS);
    let columns = columns(width, comb.map_or(ANY, Comb::width));
    let mut x = Len::ZERO;
    for (caption, wide) in columns {
        // Two short words stand over two ticks, the longer at their left.
        match caption {
            "zero before, after" => {
                canvas.word_right(x + wide, HEAD - mm(1.0), CAPTION, "zero");
            }
            _ => {
                canvas.word(x, HEAD - mm(1.0), CAPTION, caption);
            }
        }
        x += wide + GAP;
    }
    let name = match comb {
        Some(Comb { whole, places, .. }) => format!("again-{whole}.{places}-{}", width.um()),
        None => format!("again-{}", width.um()),
    };
    for n in 0..count {
        let corner = at(Len::ZERO, HEAD + LINE * n);
        canvas.stamp(&name, corner, (width, CELL_H), |canvas| line(canvas, &columns, comb));
        fields(lay, canvas, (corner.y, n + 1), &columns, comb);
    }
    height(count)
}

fn line(canvas: &mut Canvas<'_>, columns: &[(&'static str, Len); 10], comb: Option<Comb>) {
    let mut x = Len::ZERO;
    for (caption, wide) in columns {
        match (*caption, comb) {
            ("value", Some(comb)) => value(canvas, x, comb),
            ("zero before, after", _) => {
                for n in 0..2 {
                    let left = x + (TICK + mm(1.0)) * n;
                    canvas.rect(area(left, (CELL_H - TICK) / 2, TICK, TICK), BOX);
                }
            }
            _ => canvas.rect(area(x, Len::ZERO, *wide, CELL_H), BOX),
        }
        x += *wide + GAP;
    }
}

/// The fields of one line.
fn fields(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    (y, n): (Len, i32),
    columns: &[(&'static str, Len); 10],
    comb: Option<Comb>,
) {
    let named = |part: &str| lay.line_field(names::AGAIN, n, part);
    let mut x = Len::ZERO;
    for (caption, wide) in columns {
        let over = area(x, y, *wide, CELL_H);
        match (*caption, comb) {
            ("value", Some(comb)) => canvas.comb_fields(at(x, y), comb, named),
            ("zero before, after", _) => {
                for (n, part) in names::ZERO.into_iter().enumerate() {
                    let left = x + (TICK + mm(1.0)).times(n);
                    let over = area(left, y + (CELL_H - TICK) / 2, TICK, TICK);
                    canvas.field(over, Entry::Letter, || named(part));
                }
            }
            ("why", _) => canvas.field(over, Entry::Letter, || named("why")),
            ("gauges", _) => canvas.field(over, Entry::Words, || named("gauge")),
            (caption, _) => canvas.field(over, Entry::Short, || named(caption)),
        }
        x += *wide + GAP;
    }
}

/// A comb as it stands in the rows.
fn value(canvas: &mut Canvas<'_>, x: Len, comb: Comb) {
    let part = |canvas: &mut Canvas<'_>, x: Len, count: i32| {
        for n in 1..count {
            canvas.post(x + CELL_W * n, Len::ZERO, CELL_H, HAIR);
        }
        if count > 0 {
            canvas.rect(area(x, Len::ZERO, CELL_W * count, CELL_H), BOX);
        }
    };
    let (whole, places) = (i32::from(comb.whole), i32::from(comb.places));
    part(canvas, x, whole);
    if places > 0 {
        let left = x + CELL_W * whole;
        canvas.circle(at(left + POINT / 2, CELL_H - mm(0.6)), mm(0.5), None, true);
        part(canvas, left + POINT, places);
    }
}
