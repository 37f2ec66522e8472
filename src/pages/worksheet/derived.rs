//! Lines without boxes of their own: roundness and taper, worked out from the
//! readings of another line.

use super::{Layout, entry, fit_columns, row_fields};
use crate::layout::at;
use crate::layout::canvas::{Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::Blocks;
use crate::layout::style::{CAPTION, STRONG};
use crate::pages::boxes::{CELL_H, Comb};
use crate::sheet::{LineRows, Row};

pub fn line(lay: &Layout<'_>, blocks: &mut Blocks, line: &LineRows) {
    let mut canvas = lay.canvas();
    let from = whence(lay, line);
    let whole = lay.area.w;
    let combs = Combs::new(line);
    let beside = whole - combs.one.times(line.rows.len());
    let y = if !line.answers.is_empty() && beside >= LEAST {
        // The boxes at the right of what the limits say.
        let mut y = named(lay, &mut canvas, line, &from, beside - GAP);
        y = y.max(combs.put(&mut canvas, &line.rows, (beside, whole), Len::ZERO));
        y
    } else {
        let y = named(lay, &mut canvas, line, &from, whole);
        y + combs.put(&mut canvas, &line.rows, (Len::ZERO, whole), y)
    };
    let y = y + mm(0.6);
    canvas.rule(Len::ZERO, y, whole, MINOR);
    blocks.push(canvas.done(y).above(mm(1.0)).with(row_fields(&line.rows)));
}

fn named(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    line: &LineRows,
    from: &str,
    width: Len,
) -> Len {
    let entry = entry::entry(lay, line, width, entry::Told::Whole);
    let y = canvas.place(at(Len::ZERO, Len::ZERO), entry);
    y + canvas.tell(at(Len::ZERO, y), CAPTION, from, width)
}

/// `from the readings in rows C1 to C3, sheet C`.
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
            format!("from the readings in {rows}, sheet {}", sheet.letter)
        }
        None => "from readings in other rows".to_string(),
    }
}

/// Boxes for what the mechanic works out, one or more a row.
struct Combs<'l> {
    each: Vec<(&'l str, Comb)>,
    /// From one row's to the next one's.
    one: Len,
}

impl<'l> Combs<'l> {
    fn new(line: &'l LineRows) -> Combs<'l> {
        let each = line.answers.iter();
        let each: Vec<(&str, Comb)> =
            each.map(|answer| (answer.label.as_str(), fit_columns::comb_of(answer))).collect();
        let combs = each.iter().map(|(_, comb)| comb.width() + GAP).sum::<Len>();
        let code = |row: &Row| STRONG.sized(9.0).width(&row.code);
        let label = line.rows.iter().map(code).max().unwrap_or_default() + mm(1.6);
        Combs { each, one: combs + label + GAP }
    }

    /// In as few lines as fit between left and right; gives back their height.
    fn put(&self, canvas: &mut Canvas<'_>, rows: &[Row], (left, right): (Len, Len), y: Len) -> Len {
        if self.each.is_empty() {
            return Len::ZERO;
        }
        let across = (right - left + GAP).um() / self.one.um().max(1);
        let across = usize::try_from(across).unwrap_or(1).max(1);
        let own: Len = self.each.iter().map(|(_, comb)| comb.width() + GAP).sum();
        let label = self.one - own - GAP;
        let mut top = y;
        for rows in rows.chunks(across) {
            for (n, row) in rows.iter().enumerate() {
                let mut x = left + self.one.times(n);
                let code = STRONG.fitted(&[9.0, 7.0], &row.code, label);
                canvas.write(at(x, top + mm(5.0)), &code);
                x += label;
                for (label, comb) in &self.each {
                    canvas.word(x + comb.first(), top + mm(2.6), CAPTION, label);
                    canvas.comb(at(x, top + mm(3.2)), *comb);
                    x += comb.width() + GAP;
                }
            }
            top += mm(3.2) + CELL_H + mm(0.6);
        }
        top - y
    }
}

const GAP: Len = mm(2.0);
/// The least width for what the limits say.
const LEAST: Len = mm(44.0);
