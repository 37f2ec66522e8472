//! Tables that were written in, each as a table under the name of its sheet.

use super::input::{ReportInput, words};
use crate::report::types::{Cell, Column, Piece};
use crate::sheet::{self, SheetBlock, TableBlock};

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
fn rows(told: &ReportInput, (sheet, block): (usize, usize), table: &TableBlock) -> Vec<Vec<Cell>> {
    let own = told.judged.items.iter().filter(|item| (item.sheet, item.block) == (sheet, block));
    let letter = &told.set.sheets[sheet].letter;
    let written = own.filter(|item| !item.left_over);
    written
        .map(|item| {
            let mut row = vec![Cell::plain(format!("{letter} {}", item.number))];
            if table.named {
                row.push(Cell::plain(&item.text));
            }
            match item.cells.is_empty() {
                false => row.extend(item.cells.iter().zip(&table.heads).map(cell)),
                true => row.extend((0..table.heads.len()).map(|n| match n {
                    0 => Cell { text: item.says.clone(), bold: item.blocks() },
                    _ => Cell::default(),
                })),
            }
            row
        })
        .collect()
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
