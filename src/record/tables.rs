//! A row of a table, held against its columns: whoever writes in one box fills
//! them all, and what is ticked is ticked or crossed.

use crate::model::record::{ItemContent, Mark};
use crate::model::text::Text;
use crate::sheet::TableBlock;

/// What a row says.
#[derive(Default)]
pub struct TableRow {
    /// In words: `number: DD-11; applies: yes`.
    pub says: String,
    /// Box by box, under the head of each; empty where nothing is written.
    pub cells: Vec<(String, String)>,
    /// What is missing.
    pub open: Vec<String>,
    /// Something stands where nothing can.
    pub query: Vec<String>,
    /// A box is crossed: what was found is told apart.
    pub crossed: bool,
    /// Left over, as rows of this table may be.
    pub left_over: bool,
    /// Marked as not applying: the reason is told apart.
    pub left_out: bool,
}

/// Row `n` of a table. `typed` is what stands in the transcription for a row.
pub fn row<'a>(
    table: &TableBlock,
    n: usize,
    typed: impl Fn(usize) -> Option<&'a ItemContent>,
) -> TableRow {
    let mut row = match typed(n) {
        Some(ItemContent::Cells(cells)) => filled(table, cells),
        Some(ItemContent::Words(_)) => TableRow { says: "none".to_owned(), ..TableRow::default() },
        Some(ItemContent::Marks(marks)) if marks.as_slice() == [Mark::NotApplicable] => {
            TableRow { left_out: true, ..TableRow::default() }
        }
        _ => blank(table, n),
    };
    let closed = |n: &usize| matches!(typed(*n), Some(ItemContent::Words(_)));
    if !row.left_over
        && row.open.is_empty()
        && let Some(above) = (0..n).find(closed)
    {
        row.query.push(format!("none is written in row {}, and something under it", above + 1));
    }
    row
}

fn blank(table: &TableBlock, n: usize) -> TableRow {
    let mut row = TableRow { says: "blank".to_owned(), ..TableRow::default() };
    match (table.none, n) {
        (true, 0) => row.open.push("nothing written; none where there is none".to_owned()),
        (true, _) => row.left_over = true,
        (false, _) => row.open.push("nothing written".to_owned()),
    }
    row
}

fn filled(table: &TableBlock, cells: &[Text]) -> TableRow {
    let mut row = TableRow::default();
    let mut missing = Vec::new();
    let mut said = Vec::new();
    for (column, cell) in table.heads.iter().zip(cells) {
        let (head, text) = (&column.head, cell.as_str().trim());
        match (text, column.tick) {
            ("", _) => missing.push(format!("no {head}")),
            (_, false) | ("v", true) => {}
            ("x", true) => row.crossed = true,
            (_, true) => row.open.push(format!("{head} is {text}: v for in order, x for not")),
        }
        if !text.is_empty() {
            said.push(format!("{head}: {text}"));
        }
        row.cells.push((head.clone(), text.to_owned()));
    }
    if !missing.is_empty() {
        row.open.push(missing.join(", "));
    }
    row.says = said.join("; ");
    row
}
