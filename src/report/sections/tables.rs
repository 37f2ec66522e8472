//! Tables that were written in, each as a table under the name of its sheet.

use super::input::{ReportInput, words};
use crate::record::JudgedItem;
use crate::report::types::{Cell, Column, Piece};
use crate::sheet::{self, SheetBlock, TableBlock, span};

/// Every table of the sheets in printed order, without the rows left over.
pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for (s, sheet) in told.set.sheets.iter().enumerate() {
        for (b, block) in sheet.blocks.iter().enumerate() {
            let SheetBlock::Table(table) = block else { continue };
            let rows = rows(told, (s, b), table);
            if !rows.is_empty() {
                pieces.push(Piece::Heading(format!("Sheet {}: {}", sheet.letter, table.title)));
                pieces.push(Piece::Table { columns: columns(table), rows });
            }
        }
    }
    pieces
}

/// The number of the row, what it is of, its boxes, and what is asked of it.
/// Named rows that follow one another and say the same are told together.
fn rows(told: &ReportInput, (sheet, block): (usize, usize), table: &TableBlock) -> Vec<Vec<Cell>> {
    let own = told.judged.items.iter().filter(|item| (item.sheet, item.block) == (sheet, block));
    let written: Vec<&JudgedItem> = own.filter(|item| !item.left_over).collect();
    let alike = |one: &&JudgedItem, next: &&JudgedItem| {
        let plain = |item: &JudgedItem| !item.blocks() && item.found.is_empty();
        table.named && plain(one) && plain(next) && one.says == next.says
    };
    let letter = &told.set.sheets[sheet].letter;
    written.chunk_by(alike).map(|run| row(letter, run, table)).collect()
}

fn row(letter: &str, run: &[&JudgedItem], table: &TableBlock) -> Vec<Cell> {
    let [item, ..] = run else { return Vec::new() };
    let numbers = span(item.number, run.last().map_or(item.number, |last| last.number));
    let mut row = vec![Cell::plain(format!("{letter} {numbers}"))];
    if table.named {
        let names: Vec<&str> = run.iter().map(|item| item.text.as_str()).collect();
        row.push(Cell::plain(names.join("; ")));
    }
    match item.cells.is_empty() {
        false => row.extend(item.cells.iter().zip(&table.heads).map(cell)),
        true => row.extend((0..table.heads.len()).map(|n| match n {
            0 => Cell { text: item.says.clone(), bold: item.blocks() },
            _ => Cell::default(),
        })),
    }
    row
}

fn cell(((_, text), column): (&(String, String), &sheet::Column)) -> Cell {
    Cell::plain(match (text.as_str(), column.tick) {
        ("v", true) => "ok",
        ("x", true) => "found",
        (text, _) => text,
    })
}

fn columns(table: &TableBlock) -> Vec<Column> {
    let total: u32 = table.heads.iter().map(|head| head.share).sum();
    let room = if table.named { 54 } else { 110 };
    let share = |share: u32| u16::try_from(share * room / total.max(1)).unwrap_or(1).max(1);
    let mut columns = vec![words("item", 9)];
    if table.named {
        columns.push(words("of", 56));
    }
    columns.extend(table.heads.iter().map(|head| words(&head.head, share(head.share))));
    columns
}
