//! Look-over, work and notes: findings first, then every item by sheet.

use super::input::{ReportInput, words};
use crate::record::JudgedItem;
use crate::report::types::{Cell, Piece};
use crate::sheet::{MarksBlock, SheetBlock};

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut pieces = vec![Piece::Heading("Found, and what was done".to_owned())];
    pieces.push(findings(told));
    pieces.push(Piece::Heading("Every item".to_owned()));
    pieces.push(Piece::Table {
        columns: vec![words("item", 9), words("what", 56), words("record", 55)],
        rows: items(told),
    });
    let remarks: Vec<(String, String)> = told
        .judged
        .sheets
        .iter()
        .filter_map(|sheet| Some((format!("Sheet {}", sheet.letter), sheet.remarks.clone()?)))
        .collect();
    if !remarks.is_empty() {
        pieces.push(Piece::Heading("Remarks on the sheets".to_owned()));
        pieces.push(Piece::Pairs(remarks));
    }
    pieces
}

fn findings(told: &ReportInput) -> Piece {
    let mut rows = Vec::new();
    for item in &told.judged.items {
        let letter = &told.set.sheets[item.sheet].letter;
        for found in &item.found {
            rows.push(vec![
                Cell::bold(format!("{letter} {}", item.number)),
                Cell::plain(what(told, item)),
                Cell::plain(&found.place),
                Cell::plain(&found.what),
                Cell::plain(&found.done),
                Cell::plain(&found.by),
            ]);
        }
    }
    if rows.is_empty() {
        return Piece::Paragraph("Nothing was found.".to_owned());
    }
    let columns = vec![
        words("item", 9),
        words("looked at", 30),
        words("place", 9),
        words("found", 28),
        words("done", 28),
        words("by", 18),
    ];
    Piece::Table { columns, rows }
}

/// All items but the renewed parts, which have a section of their own.
fn items(told: &ReportInput) -> Vec<Vec<Cell>> {
    let shown = told.judged.items.iter().filter(|item| {
        !matches!(told.set.sheets[item.sheet].blocks[item.block], SheetBlock::Renew { .. })
    });
    let mut rows = Vec::new();
    let mut sheet = None;
    for item in shown {
        let on = &told.set.sheets[item.sheet];
        if sheet != Some(item.sheet) {
            rows.push(vec![Cell::bold(&on.letter), Cell::bold(&on.title), Cell::default()]);
            sheet = Some(item.sheet);
        }
        rows.push(vec![
            Cell::plain(format!("{} {}", on.letter, item.number)),
            Cell::plain(what(told, item)),
            Cell { text: item.says.clone(), bold: item.blocks() },
        ]);
    }
    rows
}

/// What an item asks for; with the title of its list where another list of the
/// sheet asks for the same: `inlet valves: stem: bent`.
fn what(told: &ReportInput, item: &JudgedItem) -> String {
    let sheet = &told.set.sheets[item.sheet];
    let all = sheet.blocks.iter().flat_map(SheetBlock::items);
    let alike = all.filter(|other| other.text == item.text).count();
    match &sheet.blocks[item.block] {
        SheetBlock::Marks(MarksBlock { title, .. }) | SheetBlock::Write { title, .. }
            if alike > 1 =>
        {
            format!("{title}: {}", item.text)
        }
        _ => item.text.clone(),
    }
}
