//! On which page of the set each row and item is printed. Only the layout
//! knows; it fills this in.

use std::collections::BTreeMap;

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
        let page = self.fields.get(&format!("{letter} {number}"));
        page.map_or_else(|| self.sheet(letter), String::as_str)
    }
}
