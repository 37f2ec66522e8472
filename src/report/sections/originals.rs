//! The scans of the filled sheets: what is missing first. Pages of second-stage
//! sheets and for
//! further remarks stand behind those of the set.

use super::input::words;
use crate::report::compared::{Boxes, Compared};
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
    pieces.extend(originals.compared.iter().flat_map(compared));
    pieces
}

/// Whether the scans were compared, how many boxes could be read, what differed and
/// how it was settled.
fn compared(found: &Compared) -> Vec<Piece> {
    let Boxes { all, alike, .. } = found.boxes;
    let mut pieces = vec![Piece::Heading("Scans compared with the transcription".to_owned())];
    let read = found.read();
    pieces.push(Piece::Paragraph(format!(
        "The program compared the figures that seem to stand on the scans with those that were \
         typed: {read} of {all} boxes for figures could be read, {alike} of them as typed. It \
         misreads some hands and counts as no person; nothing here rests on it."
    )));
    pieces.extend(found.words().into_iter().skip(2).map(sentence));
    if found.odd.is_empty() {
        pieces.push(Piece::Paragraph("No box that could be read differs.".to_owned()));
        return pieces;
    }
    let rows = found.odd.iter().map(|odd| {
        let settled = odd.settled.clone().unwrap_or_else(|| "not settled".to_owned());
        vec![
            Cell::bold(&odd.page),
            Cell::bold(&odd.name),
            Cell::plain(odd.words()),
            Cell { text: settled, bold: odd.settled.is_none() },
        ]
    });
    let columns = vec![words("page", 8), words("box", 20), words("scan", 52), words("settled", 40)];
    pieces.push(Piece::Table { columns, rows: rows.collect() });
    pieces
}

fn sentence(words: String) -> Piece {
    let mut letters = words.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    Piece::Paragraph(format!("{first}{}.", letters.as_str()))
}
