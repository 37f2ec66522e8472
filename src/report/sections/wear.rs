//! Wear since an earlier job of the same engine: what has grown first.

use super::input::words;
use crate::analysis::wear::{Wear, Worn};
use crate::quantity::Exact;
use crate::report::types::{Cell, Column, Piece};

pub fn pieces(history: &Wear) -> Vec<Piece> {
    let mut pieces = vec![Piece::Paragraph(format!(
        "Against {}: {}.",
        history.earlier,
        history.hours_in_words()
    ))];
    let asked = history.asked().map(|(worn, grown)| {
        Piece::Paragraph(format!("Asked: {}, {}: {}.", worn.name, worn.what, grown.words))
    });
    pieces.extend(asked);
    if history.worn.is_empty() {
        pieces.push(Piece::Paragraph("Nothing was measured in both jobs.".to_owned()));
    } else {
        let rows = history.worn.iter().map(row).collect();
        pieces.push(Piece::Table { columns: columns(), rows });
    }
    if !history.left_out.is_empty() {
        pieces.push(Piece::Paragraph(format!("Not compared: {}.", history.left_out.join("; "))));
    }
    pieces
}

fn columns() -> Vec<Column> {
    let figures = |head: &str, share| Column { head: head.to_owned(), share, figures: true };
    vec![
        words("row", 13),
        words("what", 32),
        words("as left then", 22),
        words("as found now", 22),
        figures("wear", 10),
        figures("per 100 h", 12),
        words("grown", 22),
    ]
}

fn row(worn: &Worn) -> Vec<Cell> {
    let all = |readings: &[Exact]| {
        readings.iter().map(ToString::to_string).collect::<Vec<_>>().join("  ")
    };
    let asked = worn.grown.as_ref().is_some_and(|grown| grown.asked);
    let grown = match &worn.grown {
        Some(grown) if grown.asked => "asked: see above",
        Some(_) => "within the uncertainty",
        None => "",
    };
    vec![
        Cell::bold(&worn.name),
        Cell::plain(&worn.what),
        Cell::plain(all(&worn.left)),
        Cell::plain(all(&worn.found)),
        Cell::plain(worn.wear_in_words()),
        Cell::plain(worn.rate_in_words().unwrap_or_default()),
        Cell { text: grown.to_owned(), bold: asked },
    ]
}
