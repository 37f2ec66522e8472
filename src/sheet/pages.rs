//! On which page of the set each row and item is printed. Only the layout
//! knows; it fills this in, and the blank transcription keeps it: a filled one
//! is read without laying out its sheets again.

use super::number::plain;
use super::reference::Reference;
use super::types::{LineRows, Sheet, SheetBlock, SheetSet};
use crate::diag::Diags;
use crate::model::record::Record;
use crate::model::text::Text;
use std::collections::BTreeMap;

/// The letter of the set's own first pages: longer than any sheet's, so that no
/// sheet can have it.
pub const INDEX: &str = "INDEX";

/// More pages than an index has.
const LONGEST_INDEX: usize = 100;

/// Page labels as printed, empty where nothing is known.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pages {
    /// First page of a sheet, by its letter.
    sheets: BTreeMap<String, String>,
    /// Rows by their code, items by sheet letter and number: `C1`, `L 3`.
    fields: BTreeMap<String, String>,
    /// Every page of the set in order.
    printed: Vec<Printed>,
}

/// A page as it comes out of the printer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printed {
    /// Of the set, as printed.
    pub page: String,
    pub sheet: String,
    /// The text of its code of squares: `7F3K-92QD/C/1/4T7X`.
    pub reference: String,
}

impl Pages {
    pub fn put_sheet(&mut self, letter: &str, page: &str) {
        self.sheets.entry(letter.to_owned()).or_insert_with(|| page.to_owned());
    }

    pub fn put_field(&mut self, name: &str, page: &str) {
        self.fields.entry(name.to_owned()).or_insert_with(|| page.to_owned());
    }

    pub fn put_printed(&mut self, page: &str, sheet: &str, reference: &str) {
        let (page, sheet) = (page.to_owned(), sheet.to_owned());
        self.printed.push(Printed { page, sheet, reference: reference.to_owned() });
    }

    /// In the order of the set.
    pub fn printed(&self) -> &[Printed] {
        &self.printed
    }

    pub fn sheet(&self, letter: &str) -> &str {
        self.sheets.get(letter).map_or("", String::as_str)
    }

    pub fn row(&self, code: &str) -> &str {
        self.fields.get(code).map_or("", String::as_str)
    }

    pub fn item(&self, letter: &str, number: u32) -> &str {
        let page = self.fields.get(&item(letter, number));
        page.map_or_else(|| self.sheet(letter), String::as_str)
    }

    /// What stands on each page of a sheet, for its transcription: `13: C1 C2` and
    /// `14: C3 1 2`, rows by their codes and items by their numbers.
    pub fn of_sheet(&self, sheet: &Sheet) -> Vec<String> {
        let mut held: BTreeMap<&str, String> = BTreeMap::new();
        let rows = codes(sheet).map(|code| (self.fields.get(code), code.to_owned()));
        let items = numbers(sheet)
            .map(|number| (self.fields.get(&item(&sheet.letter, number)), number.to_string()));
        for (page, word) in rows.chain(items) {
            let words = page.map(|page| held.entry(page).or_default());
            words.into_iter().for_each(|words| words.extend([" ", &word]));
        }
        let own = self.printed.iter().filter(|printed| printed.sheet == sheet.letter);
        let pages = own.map(|printed| {
            let words = held.get(printed.page.as_str()).map_or("", String::as_str);
            format!("{}:{words}", printed.page)
        });
        pages.collect()
    }

    /// The pages that the set was printed on, as its transcription keeps them.
    /// `None` where it does not, or was written for another set; and, with a
    /// note, where what it says cannot be.
    pub fn kept(set: &SheetSet, record: &Record, out: &mut Diags) -> Option<Pages> {
        if plain(record.set.as_str()) != plain(&set.number) || record.blind {
            return None;
        }
        let typed = |sheet: &Sheet| {
            let mut entries = record.sheets.iter();
            entries.find(|entry| entry.letter.as_str() == sheet.letter)?.pages.as_ref()
        };
        let typed: Vec<&Vec<Text>> = set.sheets.iter().map(typed).collect::<Option<_>>()?;
        let number = |page: &Text| page.as_str().split(':').next()?.parse().ok();
        let first = typed.first()?.first().and_then(number);
        let first = first.filter(|first| (2..LONGEST_INDEX).contains(first)).unwrap_or(2);
        let mut pages = Pages::default();
        pages.put_sheet(INDEX, "1");
        for page in 1..first {
            pages.put_printed(&page.to_string(), INDEX, &reference(set, INDEX, page, None));
        }
        let mut next = first;
        for (sheet, typed) in set.sheets.iter().zip(typed) {
            let Some(end) = pages.read(set, sheet, typed, next) else {
                let message = format!("these are not the pages of sheet {}", sheet.letter);
                let help = "leave the line as the program wrote it, or take it out; the pages are worked out anew";
                let at = typed.first().map_or(&record.set.at, |page| &page.at);
                out.note(at, message, help);
                return None;
            };
            next = end;
        }
        Some(pages)
    }

    /// The pages of a sheet from what its transcription says, and the number of
    /// the page after them.
    fn read(
        &mut self,
        set: &SheetSet,
        sheet: &Sheet,
        typed: &[Text],
        first: usize,
    ) -> Option<usize> {
        self.put_sheet(&sheet.letter, &first.to_string());
        let mut end = first;
        for on in typed {
            let (page, held) = on.as_str().split_once(':')?;
            if page != end.to_string() {
                return None;
            }
            let own = Some(sheet.number.clone());
            let reference = reference(set, &sheet.letter, end - first + 1, own);
            self.put_printed(page, &sheet.letter, &reference);
            for word in held.split_whitespace() {
                match word.parse() {
                    Ok(number) => self.put_field(&item(&sheet.letter, number), page),
                    Err(_) => self.put_field(word, page),
                }
            }
            end += 1;
        }
        let rows = codes(sheet).all(|code| self.fields.contains_key(code));
        let there = |number| self.fields.contains_key(&item(&sheet.letter, number));
        let whole = rows
            && numbers(sheet).all(there)
            && self.of_sheet(sheet).iter().eq(typed.iter().map(Text::as_str));
        whole.then_some(end)
    }
}

/// What an item is called among the fields of a set.
fn item(letter: &str, number: u32) -> String {
    format!("{letter} {number}")
}

fn reference(set: &SheetSet, letter: &str, page: usize, own: Option<String>) -> String {
    let (set, sheet) = (set.number.clone(), letter.to_owned());
    Reference { set, sheet, page, blind: false, remarks: false, own }.to_string()
}

/// The codes of a sheet's rows in printed order.
fn codes(sheet: &Sheet) -> impl Iterator<Item = &str> {
    sheet.lines().flat_map(|line: &LineRows| line.rows.iter().map(|row| row.code.as_str()))
}

/// The numbers of a sheet's items in printed order.
fn numbers(sheet: &Sheet) -> impl Iterator<Item = u32> {
    sheet.blocks.iter().flat_map(|block| {
        let numbers: Vec<u32> = match block {
            SheetBlock::Renew { items, .. } => items.iter().map(|item| item.number).collect(),
            _ => block.items().iter().map(|item| item.number).collect(),
        };
        numbers
    })
}
