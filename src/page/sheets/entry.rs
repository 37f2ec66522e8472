//! What the limits say of a line: printed wherever its rows are.

use super::Layout;
use crate::page::length::Len;
use crate::page::pen::{Piece, at, mm};
use crate::page::text::{ASIDE, CAPTION, STRONG, TEXT};
use crate::sheet::LineRows;

/// Reference, name, limits, where they stand, who agreed to them, what to use,
/// what cannot be stated. `short` where it is repeated on a further page.
pub fn entry(lay: &Layout<'_>, line: &LineRows, width: Len, short: bool) -> Piece {
    let mut sketch = lay.sketch();
    let title = match short {
        true => format!("{}  {}, continued", line.reference, line.name),
        false => format!("{}  {}", line.reference, line.name),
    };
    let mut y = sketch.tell(at(Len::ZERO, Len::ZERO), STRONG.sized(8.8), &title, width);
    y += sketch.tell(at(Len::ZERO, y), TEXT, &line.limits, width);
    if short {
        return sketch.done(y);
    }
    if let Some(page) = &line.page {
        y += sketch.tell(at(Len::ZERO, y), CAPTION, &of_document(lay, page), width);
    }
    if let Some(agreed) = &line.agreed {
        let agreed = format!("agreed: {agreed}");
        y += sketch.tell(at(Len::ZERO, y), STRONG.sized(7.4), &agreed, width);
    }
    if let Some(with) = &line.with {
        y += sketch.tell(at(Len::ZERO, y + mm(0.2)), STRONG, with, width) + mm(0.2);
    }
    for note in notes(line) {
        y += sketch.tell(at(Len::ZERO, y), ASIDE.sized(7.4), &note, width);
    }
    sketch.done(y)
}

fn of_document(lay: &Layout<'_>, page: &str) -> String {
    let head = &lay.set.head;
    format!("{} revision {}, {page}", head.document, head.revision)
}

/// The scales' notes, each once.
pub fn notes(line: &LineRows) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    for note in line.scales.iter().filter_map(|scale| scale.note.as_ref()) {
        if !notes.contains(note) {
            notes.push(note.clone());
        }
    }
    notes
}
