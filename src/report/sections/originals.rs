//! The scans of the filled sheets: what is missing first. Pages of second-stage
//! sheets and for
//! further remarks stand behind those of the set.

use super::input::words;
use crate::report::originals::Originals;
use crate::report::types::{Cell, Piece};

pub fn pieces(originals: &Originals) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = originals.words().into_iter().map(sentence).collect();
    let rows = originals.pages.iter().chain(&originals.second).chain(&originals.remarks);
    let rows = rows.map(|page| {
        let scans = match page.scans.as_slice() {
            [] => "missing".to_owned(),
            scans => scans.join("; "),
        };
        vec![
            Cell::bold(&page.page),
            Cell::plain(&page.sheet),
            Cell::plain(&page.reference),
            Cell { text: scans, bold: page.scans.len() != 1 },
        ]
    });
    let columns =
        vec![words("page", 8), words("sheet", 10), words("code", 24), words("on scan", 78)];
    pieces.push(Piece::Table { columns, rows: rows.collect() });
    pieces
}

fn sentence(words: String) -> Piece {
    let mut letters = words.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    Piece::Paragraph(format!("{first}{}.", letters.as_str()))
}
