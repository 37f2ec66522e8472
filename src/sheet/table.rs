//! Tables to write in: their rows as items of the sheet, what decides them, and
//! how they are typed in.

use super::types::{Column, Item, SheetBlock, TableBlock};
use crate::model::form::Table;
use crate::model::id::PartId;
use crate::model::text::Text;
use std::fmt::Write;

/// A form's table with its rows numbered on. `say` renders its texts, `parts`
/// are those that each row speaks of.
pub fn table_block(
    table: &Table,
    id: Option<String>,
    mut say: impl FnMut(&Text) -> String,
    parts: Vec<Vec<PartId>>,
    next: &mut u32,
) -> Option<SheetBlock> {
    let title = say(&table.title);
    let named = !table.rows.is_empty();
    let texts: Vec<String> = match named {
        true => table.rows.iter().map(&mut say).collect(),
        false => (1..=table.blank).map(|row| format!("{title}, row {row}")).collect(),
    };
    let mut items = Vec::new();
    for (text, parts) in texts.into_iter().zip(parts) {
        items.push(Item { number: *next, text, parts });
        *next += 1;
    }
    let heads = table.heads.iter();
    let heads =
        heads.map(|head| Column { head: say(&head.text), share: head.share, tick: head.tick });
    let table = TableBlock { heads: heads.collect(), title, items, named, none: table.none, id };
    (!table.items.is_empty()).then_some(SheetBlock::Table(table))
}

/// What decides a table: its columns and its rows.
pub fn decides(table: &TableBlock, text: &mut String) {
    let _ = writeln!(text, "table {} {}", table.named, table.none);
    for column in &table.heads {
        let _ = writeln!(text, "{} {}", column.tick, column.head);
    }
    for item in &table.items {
        let _ = writeln!(text, "{} {}", item.number, item.text);
    }
}

/// The rows of a transcription: a list each, blank but where something is typed,
/// under a comment that names the columns in their order.
pub fn rows(
    table: &TableBlock,
    comment: impl Fn(&str) -> String,
    typed: impl Fn(&Item) -> Option<String>,
    text: &mut String,
) {
    let heads: Vec<String> = table.heads.iter().map(said).collect();
    let _ = writeln!(text, "# {}: {}", comment(&table.title), comment(&heads.join(" | ")));
    if table.none {
        let _ = writeln!(
            text,
            "# rows left over stay blank; \"none\" in the first where there is none"
        );
    }
    let blank = |column: &Column| if column.tick { "\"-\"" } else { "\"\"" };
    let blanks: Vec<&str> = table.heads.iter().map(blank).collect();
    for item in &table.items {
        let of = match table.named {
            true => format!("  # {}", comment(&item.text)),
            false => String::new(),
        };
        let row = typed(item).unwrap_or_else(|| format!("[{}]", blanks.join(", ")));
        let _ = writeln!(text, "{} = {row}{of}", item.number);
    }
}

fn said(column: &Column) -> String {
    if column.tick { format!("{}: v or x", column.head) } else { column.head.clone() }
}
