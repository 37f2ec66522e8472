//! Look-over, work and notes: findings first, then every sheet. Items that are
//! all in order are told in the line of their sheet, what was written and what
//! is not in order in full.

use super::input::{ReportInput, words};
use super::tables;
use crate::record::JudgedItem;
use crate::report::types::{Cell, Piece, TableGroup};
use crate::sheet::{MarksBlock, Sheet, SheetBlock};

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut pieces = vec![Piece::Heading("Found, and what was done".to_owned())];
    pieces.push(findings(told));
    pieces.push(Piece::Heading("Every item, sheet by sheet".to_owned()));
    let sheets = told.set.sheets.iter().enumerate();
    pieces.push(Piece::Grouped {
        columns: vec![words("item", 9), words("what", 46), words("record", 65)],
        groups: sheets.filter_map(|(n, sheet)| self::sheet(told, n, sheet)).collect(),
    });
    pieces.extend(tables::pieces(told));
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
                Cell::plain(what(&told.set.sheets[item.sheet], item)),
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

/// All items of a sheet but the renewed parts, which have a section of their own,
/// and the rows of tables, which are told as tables.
fn sheet(told: &ReportInput, n: usize, sheet: &Sheet) -> Option<TableGroup> {
    let all = told.judged.items.iter().filter(|item| item.sheet == n);
    let all: Vec<&JudgedItem> = all.filter(|item| !apart(&sheet.blocks[item.block])).collect();
    if all.is_empty() {
        return None;
    }
    let (in_order, rest): (Vec<&JudgedItem>, Vec<&JudgedItem>) =
        all.into_iter().partition(|item| is_in_order(sheet, item));
    let rows = rest.into_iter().map(|item| {
        vec![
            Cell::plain(format!("{} {}", sheet.letter, item.number)),
            Cell::plain(what(sheet, item)),
            Cell { text: item.says.clone(), bold: item.blocks() },
        ]
    });
    Some(TableGroup {
        head: vec![
            Cell::bold(&sheet.letter),
            Cell::bold(&sheet.title),
            Cell::plain(told_together(&in_order)),
        ],
        rows: rows.collect(),
    })
}

fn apart(block: &SheetBlock) -> bool {
    matches!(block, SheetBlock::Renew { .. } | SheetBlock::Table(_))
}

/// Ticked everywhere, with nothing found, left out or asked; or `none` written
/// where there was none.
fn is_in_order(sheet: &Sheet, item: &JudgedItem) -> bool {
    let ticked = matches!(sheet.blocks[item.block], SheetBlock::Marks(_));
    let word = ["ok", "done"].iter().any(|word| {
        item.says
            .strip_prefix(word)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', ';']))
    });
    let none = item.says == "none";
    (ticked && word || none) && !item.blocks() && item.asks.is_empty() && item.found.is_empty()
}

/// `1 to 3, 5: ok; 4: done`: those of which the record says the same.
fn told_together(items: &[&JudgedItem]) -> String {
    let mut said: Vec<(&str, Vec<u32>)> = Vec::new();
    for item in items {
        match said.iter_mut().find(|(says, _)| *says == item.says) {
            Some((_, numbers)) => numbers.push(item.number),
            None => said.push((&item.says, vec![item.number])),
        }
    }
    let each = said.into_iter().map(|(says, numbers)| format!("{}: {says}", runs(&numbers)));
    each.collect::<Vec<_>>().join("; ")
}

/// `1 to 3, 5`.
fn runs(numbers: &[u32]) -> String {
    let runs = numbers.chunk_by(|one, next| *next == one + 1);
    let say = |run: &[u32]| match run {
        [one] => one.to_string(),
        [one, next] => format!("{one}, {next}"),
        [first, .., last] => format!("{first} to {last}"),
        [] => String::new(),
    };
    runs.map(say).collect::<Vec<_>>().join(", ")
}

/// What an item asks for; with the title of its list where another list of the
/// sheet asks for the same: `intake valves: stem: bent`.
fn what(sheet: &Sheet, item: &JudgedItem) -> String {
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
