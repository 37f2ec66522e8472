//! The text of a table cut into its cells. The only file that names `csv`.

use super::super::toml::tree::LARGEST;
use crate::diag::{Cell as Place, Diags, Span};
use csv::{ReaderBuilder, StringRecord, WriterBuilder};
use std::sync::Arc;

/// What may stand between two cells.
const SEPARATORS: [u8; 3] = [b',', b';', b'\t'];

/// The most rows and columns: the tables of ten manuals, and every key of a line
/// ten times over.
const MOST_ROWS: usize = 10_000;
const MOST_COLUMNS: usize = 1_000;

/// One cell, without the blanks around its text.
#[derive(Clone, Debug)]
pub struct Cell {
    pub text: String,
    pub at: Span,
}

/// One row in which anything stands.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// As a spreadsheet counts them, from 1.
    pub number: usize,
    /// Empty ones included.
    pub cells: Vec<Cell>,
    /// It could be cut to its end.
    pub whole: bool,
}

/// A text cut into cells.
#[derive(Debug, Default)]
pub struct Cut {
    pub rows: Vec<Row>,
    /// Where each cell begins.
    pub places: Vec<Place>,
}

/// Cuts a text; commas, semicolons or tabs part the cells, whichever stands
/// first in the text. `None` where nothing of it can be used.
pub fn cut(file: &Arc<str>, text: &str, out: &mut Diags) -> Option<Cut> {
    let top = Span::new(file, 0, 0);
    let wrong = "look whether it is the right file";
    if text.len() > LARGEST {
        let message = format!("the table is larger than {} MiB", LARGEST / 1024 / 1024);
        out.fault(&top, message, wrong);
        return None;
    }
    let body = text.strip_prefix('\u{feff}').unwrap_or(text);
    let Some(separator) = separator(body) else {
        let help = "a table with commas, semicolons or tabs between its cells (CSV)";
        out.fault(&top, "no cells", help);
        return None;
    };
    let mut cutting = Cutting {
        file,
        body,
        base: text.len() - body.len(),
        row: 1,
        counted: 0,
        done: Cut::default(),
    };
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(body.as_bytes());
    let mut record = StringRecord::new();
    loop {
        let from = reader.position().byte() as usize;
        match reader.read_record(&mut record) {
            Ok(true) if record.len() > MOST_COLUMNS || cutting.done.rows.len() == MOST_ROWS => {
                let message = format!("more than {MOST_ROWS} rows or {MOST_COLUMNS} columns");
                out.fault(&top, message, wrong);
                return None;
            }
            Ok(true) => cutting.record(from, &record, out),
            Ok(false) => break,
            Err(error) => {
                out.fault(&top, format!("the table cannot be read: {error}"), wrong);
                break;
            }
        }
    }
    Some(cutting.done)
}

/// What stands first outside quotes in the first line in which anything stands.
fn separator(body: &str) -> Option<u8> {
    let mut quoted = false;
    for byte in body.trim_start().bytes() {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => return None,
            byte if !quoted && SEPARATORS.contains(&byte) => return Some(byte),
            _ => {}
        }
    }
    None
}

struct Cutting<'a> {
    file: &'a Arc<str>,
    body: &'a str,
    /// Bytes before the body: a byte order mark.
    base: usize,
    /// The row at `counted`, as a spreadsheet counts: what is quoted has no
    /// rows of its own.
    row: usize,
    /// How far rows have been counted.
    counted: usize,
    done: Cut,
}

impl Cutting<'_> {
    /// A record of the library, brought back to the bytes it was read from: a
    /// text that does not come back so has a quote too many or too few.
    fn record(&mut self, from: usize, record: &StringRecord, out: &mut Diags) {
        let ends = |byte: &u8| *byte == b'\n' || *byte == b'\r';
        // The library passes over a mark of its own, one behind the file's too.
        let mark =
            self.body.chars().take_while(|letter| from == 0 && *letter == '\u{feff}').take(1);
        let from = from + mark.map(char::len_utf8).sum::<usize>();
        let blank = self.body.bytes().skip(from).take_while(ends).count();
        let mut at = from + blank;
        self.row += line_ends(&self.body[self.counted..at]);
        self.counted = at;
        let mut row = Row { number: self.row, cells: Vec::new(), whole: true };
        for (nth, text) in record.iter().enumerate() {
            if nth > 0 {
                at += 1;
            }
            let place = Place { start: self.base + at, row: self.row, column: nth + 1 };
            self.done.places.push(place);
            let Some(end) = self.end(at, text) else {
                let rest = self.body.get(at..).unwrap_or_default();
                let end = rest.find(['\n', '\r']).map_or(self.body.len(), |n| at + n);
                let at = Span::new(self.file, self.base + at, self.base + end);
                let help = "a cell with quotes stands in quotes, each of its own doubled: \
                            \"a 3\"\" bolt\"";
                out.fault(&at, "a quote that is not closed, or text behind one that is", help);
                row.whole = false;
                return self.done.rows.push(row);
            };
            let span = Span::new(self.file, self.base + at, self.base + end);
            row.cells.push(Cell { text: text.trim().to_owned(), at: span });
            at = end;
        }
        self.counted = at;
        if row.cells.iter().any(|cell| !cell.text.is_empty()) {
            self.done.rows.push(row);
        }
    }

    /// Where a cell ends, its quotes with it; `None` where the library has taken
    /// it otherwise than it is written.
    fn end(&self, at: usize, text: &str) -> Option<usize> {
        let rest = self.body.get(at..)?;
        let typed = match rest.starts_with('"') {
            true => format!("\"{}\"", text.replace('"', "\"\"")),
            false => text.to_owned(),
        };
        rest.starts_with(&typed).then_some(at + typed.len())
    }
}

/// Line ends of any kind, each pair as one.
fn line_ends(text: &str) -> usize {
    let returns = text.matches('\r').count() - text.matches("\r\n").count();
    text.matches('\n').count() + returns
}

/// Rows as a text with commas. `None` where the library refuses.
pub fn joined(rows: &[Vec<String>]) -> Option<String> {
    let mut writer = WriterBuilder::new().flexible(true).from_writer(Vec::new());
    rows.iter().try_for_each(|row| writer.write_record(row)).ok()?;
    String::from_utf8(writer.into_inner().ok()?).ok()
}
