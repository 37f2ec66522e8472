//! Lines without boxes of their own: roundness and taper, worked out from the
//! readings of another line.

use super::{Layout, entry, fit_columns, row_fields};
use crate::layout::at;
use crate::layout::canvas::{Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::Blocks;
use crate::layout::style::{CAPTION, STRONG, TEXT};
use crate::pages::boxes::CELL_H;
use crate::sheet::LineRows;

pub fn line(lay: &Layout<'_>, blocks: &mut Blocks, line: &LineRows) {
    let mut canvas = lay.canvas();
    let entry = entry::entry(lay, line, lay.area.w, entry::Told::Whole);
    let mut y = canvas.place(at(Len::ZERO, Len::ZERO), entry);
    y += canvas.tell(at(Len::ZERO, y), TEXT, &whence(lay, line), lay.area.w) + mm(0.8);
    y += answers(lay, &mut canvas, line, y);
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    blocks.push(canvas.done(y).above(mm(1.0)).with(row_fields(&line.rows)));
}

/// `worked out from the readings of rows C1 to C3, nothing more is measured`.
fn whence(lay: &Layout<'_>, line: &LineRows) -> String {
    let feature = line.groups.iter().find_map(|group| group.feature);
    match lay.source(feature, &line.rows) {
        Some((sheet, source)) => {
            let codes: Vec<&str> = source.iter().map(|row| row.code.as_str()).collect();
            let rows = match codes[..] {
                [only] => format!("row {only}"),
                [first, .., last] if line.at.is_none() => format!("rows {first} to {last}"),
                _ => format!("rows {}", codes.join(", ")),
            };
            format!(
                "No boxes: worked out from the readings in {rows}, sheet {}, when they are typed in.",
                sheet.letter
            )
        }
        None => "No boxes: worked out from readings in other rows.".to_string(),
    }
}

/// A box for each row, for what the mechanic works out, in as few lines as fit;
/// gives back their height.
fn answers(lay: &Layout<'_>, canvas: &mut Canvas<'_>, line: &LineRows, y: Len) -> Len {
    if line.answers.is_empty() {
        return Len::ZERO;
    }
    let combs: Vec<_> = line.answers.iter().map(fit_columns::comb_of).collect();
    let label: Len = mm(14.0);
    let one = combs.iter().map(|comb| comb.width() + GAP).sum::<Len>() + label + GAP;
    let across = usize::try_from(lay.area.w.um() / one.um().max(1)).unwrap_or(1).max(1);
    let mut top = y;
    for rows in line.rows.chunks(across) {
        for (n, row) in rows.iter().enumerate() {
            let mut x = one.times(n);
            let code = STRONG.fitted(&[12.0, 9.0, 7.0], &row.code, label - mm(1.0));
            canvas.write(at(x, top + mm(4.4)), &code);
            x += label;
            for (answer, comb) in line.answers.iter().zip(&combs) {
                canvas.word(x + comb.first(), top + mm(2.8), CAPTION, &answer.label);
                canvas.comb(at(x, top + mm(3.4)), *comb);
                x += comb.width() + GAP;
            }
        }
        top += mm(3.4) + CELL_H + mm(1.0);
    }
    top - y
}

const GAP: Len = mm(2.0);
