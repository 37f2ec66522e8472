//! What was typed into the fields of a set, as a record: figures digit for digit,
//! through the same reading as those of a file. Nothing is guessed: what cannot be
//! understood is said by the field's name.

mod again;
mod fields;
mod later;
mod rows;
mod signs;

use crate::diag::{Diags, Span};
use crate::model::engine::Engine;
use crate::model::record::{Again, ItemContent, ItemEntry, Mark, Record, Renewed, SheetEntry};
use crate::model::text::Text;
use crate::quantity::date::Date;
use crate::sheet::fields::{REMARKS, WORDS};
use crate::sheet::{Pages, Sheet, SheetBlock, SheetSet, TableBlock, holds};
use fields::Taking;
pub use fields::TypedIn;

/// The record of the sheets of those letters. `None` with the faults in `out`.
pub fn taken(
    (set, engine): (&SheetSet, &Engine),
    pages: &Pages,
    letters: &[String],
    typed: &TypedIn,
    out: &mut Diags,
) -> Option<Record> {
    let before = out.faults();
    let at = Span::new(&"fields".into(), 0, 0);
    let mut record = Record::blank(&set.number);
    let mut taking = Taking { set, engine, values: &typed.values, typed, at, out };
    let sheets = set.sheets.iter().filter(|sheet| letters.contains(&sheet.letter));
    for sheet in sheets.clone() {
        let entry = taking.sheet(sheet, pages, &mut record.again);
        record.sheets.push(entry);
    }
    for sheet in sheets {
        taking.later(sheet, &mut record);
    }
    // They stand on the pages of many sheets: told in the order of their days.
    record.findings.sort_by_key(|found| day(found.on.as_ref()));
    record.changes.sort_by_key(|change| day(change.on.as_ref()));
    (out.faults() == before && typed.wrong.is_empty()).then_some(record)
}

/// What has no day stands at the end.
fn day(on: Option<&(Date, Span)>) -> (bool, Option<Date>) {
    (on.is_none(), on.map(|(day, _)| *day))
}

impl Taking<'_> {
    fn sheet(&mut self, sheet: &Sheet, pages: &Pages, again: &mut Vec<Again>) -> SheetEntry {
        let own = format!("sheet {}", sheet.letter);
        let said = |list: Vec<String>| list.into_iter().map(|text| self.text(&text)).collect();
        let digests = sheet.digests.iter().map(|(key, digest)| format!("{key} {digest}"));
        let digests = digests.collect::<Vec<_>>().join(", ");
        let mut entry = SheetEntry {
            letter: self.text(&sheet.letter),
            number: Some(self.text(&sheet.number)),
            printed: Some(self.text(&digests)),
            pages: Some(said(pages.of_sheet(sheet))),
            second: Vec::new(),
            signs: Vec::new(),
            items: Vec::new(),
            initials: Vec::new(),
            rows: Vec::new(),
            remarks: self.remarks(&own),
            at: self.at.clone(),
        };
        let holds = holds(sheet).map(|hold| hold.key.to_owned());
        for key in sheet.signs.iter().map(|sign| sign.key.clone()).chain(holds) {
            entry.signs.extend(self.sign(sheet, &own, &key));
        }
        entry.signs.extend(self.also(sheet));
        for block in &sheet.blocks {
            entry.initials.extend(self.initials(sheet, block));
            entry.items.extend(self.items(sheet, block));
        }
        for line in sheet.lines() {
            entry.rows.extend(self.rows(line));
        }
        self.again(sheet, &mut entry, again);
        entry
    }

    /// The lines of all pages, one after the other.
    fn remarks(&self, own: &str) -> Option<Text> {
        let lines = self.lines(&format!("{own}.{REMARKS}."), 2);
        let said: Vec<&str> = lines.iter().filter_map(|name| self.get(name)).collect();
        (!said.is_empty()).then(|| self.text(&said.join(" ")))
    }

    /// A row of a table, box by box; in its first box alone n where it does not
    /// apply, or one word where the table may say that there is none.
    fn cells(&mut self, sheet: &Sheet, table: &TableBlock, number: u32) -> Option<ItemContent> {
        let names = (1..=table.heads.len()).map(|n| format!("{} {number}.{n}", sheet.letter));
        let cells: Vec<Text> =
            names.map(|name| self.text(self.get(&name).unwrap_or_default())).collect();
        let written = cells.iter().filter(|cell| !cell.as_str().is_empty()).count();
        let first = cells.first()?;
        if table.none && written == 1 && first.as_str().eq_ignore_ascii_case("none") {
            return Some(ItemContent::Words(self.text("none")));
        }
        if written == 1 && first.as_str().eq_ignore_ascii_case("n") {
            return Some(ItemContent::Marks(vec![Mark::NotApplicable]));
        }
        (written > 0).then_some(ItemContent::Cells(cells))
    }

    fn items(&mut self, sheet: &Sheet, block: &SheetBlock) -> Vec<ItemEntry> {
        let mut all = Vec::new();
        let mut put = |number: u32, content: Option<ItemContent>, at: &Span| {
            let entry = |content| ItemEntry { number, content, spanned: false, at: at.clone() };
            all.extend(content.map(entry));
        };
        let at = self.at.clone();
        match block {
            SheetBlock::Marks(marks) => {
                for item in &marks.items {
                    let name = |n: usize| format!("{} {}.{n}", sheet.letter, item.number);
                    let count = marks.columns.len().max(1);
                    let typed: Vec<Mark> = (1..=count).map(|n| self.mark(&name(n))).collect();
                    let any = typed.iter().any(|mark| *mark != Mark::Blank);
                    put(item.number, any.then_some(ItemContent::Marks(typed)), &at);
                }
            }
            SheetBlock::Write { columns, items, .. } => {
                for item in items {
                    let name = |part: &str| format!("{} {}.{part}", sheet.letter, item.number);
                    let content = if columns.is_empty() {
                        self.worded(&name(WORDS)).map(ItemContent::Words)
                    } else {
                        let placed: Vec<(Text, Text)> = columns
                            .iter()
                            .filter_map(|(code, _)| {
                                Some((self.text(code), self.worded(&name(code))?))
                            })
                            .collect();
                        (!placed.is_empty()).then_some(ItemContent::Placed(placed))
                    };
                    put(item.number, content, &at);
                }
            }
            SheetBlock::Renew { items, .. } => {
                for item in items {
                    let name = |part: &str| format!("{} {}.{part}", sheet.letter, item.number);
                    // A tick says that all of them were renewed, a cross that none was.
                    let all = item.count.to_string();
                    let said = self.get(&name("count"));
                    let reused = said.is_some_and(|said| said.eq_ignore_ascii_case("x"));
                    let said = said.filter(|_| !reused);
                    let said = said.map(|said| if said == "v" { all.as_str() } else { said });
                    let renewed = Renewed {
                        count: said.and_then(|said| self.figure(&name("count"), said)),
                        number: self.worded(&name("number")),
                        batch: self.worded(&name("batch")),
                        document: self.worded(&name("document")),
                        reused,
                        at: at.clone(),
                    };
                    let words = [&renewed.number, &renewed.batch, &renewed.document];
                    let any =
                        reused || renewed.count.is_some() || words.into_iter().any(Option::is_some);
                    put(item.number, any.then_some(ItemContent::Renewed(renewed)), &at);
                }
            }
            SheetBlock::Table(table) => {
                for item in &table.items {
                    put(item.number, self.cells(sheet, table, item.number), &at);
                }
            }
            _ => {}
        }
        all
    }
}
