//! TOML text to a tree that keeps every place and every digit as typed. The
//! only file that names `toml`.
//!
//! The library stops making sense after a missing bracket, so a file that it
//! refuses is read again chunk by chunk: each chunk that cannot be read is
//! explained once and blanked out, and the rest is read as if it were whole.

use super::chunk::{self, Chunk, Head};
use super::mistakes;
use crate::diag::{Diag, Diags, Severity, Span, shown, unprinted};
use crate::model::text::Text;
use std::borrow::Cow;
use std::collections::HashSet;
use std::ops::Range;
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The largest file that is read, in bytes.
pub const LARGEST: usize = 16 * 1024 * 1024;
/// The most that a file may have: a job of a hundred thousand rows has a half.
pub const MOST: chunk::Most = chunk::Most { lines: 1 << 21, values: 1 << 20 };
/// How deep brackets and dotted keys may go.
pub const DEEPEST: usize = 16;
/// The longest text, in bytes: half a page of paper.
pub const LONGEST: usize = 2048;
/// After so many unreadable chunks a file is given up: it is not TOML.
const UNREADABLE: usize = 100;

#[derive(Clone, Debug)]
pub struct Node {
    pub at: Span,
    pub value: Value,
}

#[derive(Clone, Debug)]
pub enum Value {
    Table(Table),
    List(Vec<Node>),
    Text(Box<str>),
    /// The digits as typed, not yet looked at.
    Figure(Box<str>),
    /// As typed.
    Date(Box<str>),
    Flag(bool),
    /// Stands for what was explained already.
    Unread,
}

/// Entries in the order of the file.
#[derive(Clone, Debug, Default)]
pub struct Table(pub Vec<Entry>);

#[derive(Clone, Debug)]
pub struct Entry {
    pub key: Text,
    pub node: Node,
}

/// A file read as far as it could be.
#[derive(Debug)]
pub struct Tree {
    pub root: Node,
    /// Nothing had to be left out: what is missing is truly missing.
    pub whole: bool,
}

impl Table {
    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.0.iter().find(|entry| entry.key.as_str() == key)
    }
}

impl Node {
    pub fn table(&self) -> Option<&Table> {
        match &self.value {
            Value::Table(table) => Some(table),
            _ => None,
        }
    }

    /// What it is, for a message.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Table(_) => "a table",
            Value::List(_) => "a list",
            Value::Text(_) => "a text",
            Value::Figure(_) => "a figure",
            Value::Date(_) => "a date",
            Value::Flag(_) => "true or false",
            Value::Unread => "unreadable",
        }
    }
}

/// Reads a file whole. Every part that cannot be read is reported; the tree
/// holds the rest. `None` where nothing of it can be used.
pub fn read(file: &Arc<str>, text: &str, out: &mut Diags) -> Option<Tree> {
    let mut reading = Reading { file, text, base: 0, out, unread: Vec::new() };
    if text.len() > LARGEST {
        let message = format!("the file is larger than {} MiB", LARGEST / 1024 / 1024);
        reading.fault(
            0..0,
            message,
            "no job needs one so large: look whether it is the right file",
        );
        return None;
    }
    if let Some(body) = text.strip_prefix('\u{feff}') {
        reading.base = text.len() - body.len();
        reading.text = body;
    }
    if let Some(what) = chunk::too_much(text, &MOST) {
        let message = format!("the file has too many {what}");
        reading.fault(0..0, message, "no job needs so many: look whether it is the right file");
        return None;
    }
    if let Some(deep) = chunk::too_deep(reading.text, DEEPEST) {
        let message = format!("nested more than {DEEPEST} deep");
        reading.fault(
            deep,
            message,
            "no key of these files goes so deep: close the brackets before",
        );
        return None;
    }
    let before = reading.out.faults();
    let tree = reading.read();
    if tree.as_ref().is_none_or(|tree| !tree.whole) && out.faults() == before {
        let help = "compare it with a file that can be read";
        out.fault(&Span::new(file, 0, 0), "this is not TOML", help);
    }
    tree
}

/// One file being read.
struct Reading<'a> {
    file: &'a Arc<str>,
    text: &'a str,
    /// Bytes before `text` in the file: a byte order mark.
    base: usize,
    out: &'a mut Diags,
    /// Where values stand that were explained already, in order.
    unread: Vec<usize>,
}

impl Reading<'_> {
    fn read(mut self) -> Option<Tree> {
        if let Ok(table) = DeTable::parse(self.text) {
            let table = self.table(table.into_inner());
            return Some(Tree { root: self.root(table), whole: true });
        }
        let chunks = chunk::split(self.text);
        let mut patched = self.text.as_bytes().to_vec();
        let mut explained = 0;
        let mut skipping = false;
        for chunk in &chunks {
            skipping &= !chunk.is_table();
            if skipping {
                blank(&mut patched, chunk.span.clone());
                continue;
            }
            let Err(error) = DeTable::parse(&self.text[chunk.span.clone()]) else {
                continue;
            };
            explained += 1;
            if explained > UNREADABLE {
                self.give_up(chunk);
                return None;
            }
            self.explain(chunk, &error);
            skipping = self.patch(chunk, &mut patched);
        }
        self.second(&chunks, patched)
    }

    /// What is wrong with a chunk that the library refuses.
    fn explain(&mut self, chunk: &Chunk, error: &toml::de::Error) {
        let faults = mistakes::explain(self.text, chunk);
        for fault in &faults {
            self.fault(fault.at.clone(), fault.message.clone(), fault.help.clone());
        }
        if faults.is_empty() {
            let at = error.span().unwrap_or(0..0);
            let at = chunk.span.start + at.start..chunk.span.start + at.end;
            if error.message().starts_with("duplicate key") {
                let first = chunk::earlier(self.text, chunk, &at);
                self.twice(chunk, at, first);
            } else {
                let (message, help) = mistakes::library(error.message());
                self.fault(at, message, help);
            }
        }
    }

    /// Puts a figure in the place of an unreadable value, or blanks the chunk.
    /// True where the lines up to the next table's name have lost their table.
    fn patch(&mut self, chunk: &Chunk, patched: &mut [u8]) -> bool {
        match &chunk.head {
            Head::Pair { value, .. } if !value.is_empty() => {
                blank(patched, value.clone());
                patched[value.start] = b'0';
                self.unread.push(value.start);
                false
            }
            _ => {
                blank(patched, chunk.span.clone());
                chunk.is_table()
            }
        }
    }

    /// Every chunk is sound by itself now; what is left are keys that stand
    /// twice.
    fn second(mut self, chunks: &[Chunk], patched: Vec<u8>) -> Option<Tree> {
        let patched = String::from_utf8(patched).ok()?;
        let (table, errors) = DeTable::parse_recoverable(&patched);
        if !errors.is_empty() {
            let mut at: Vec<_> = errors.iter().filter_map(|error| error.span()).collect();
            at.dedup();
            self.doubles(chunks, at);
        }
        let table = self.table(table.into_inner());
        Some(Tree { root: self.root(table), whole: false })
    }

    /// Keys and tables that stand twice, each once.
    fn doubles(&mut self, chunks: &[Chunk], places: Vec<Range<usize>>) {
        let mixed = chunk::mixed(chunks);
        for at in mixed.iter().take(UNREADABLE) {
            self.single_brackets(at.clone());
        }
        let paths = chunk::paths(chunks);
        let single: HashSet<&str> =
            mixed.iter().filter_map(|at| self.text.get(at.clone())).collect();
        // A table that stands twice, and what stands under it.
        let mut doubled = 0..0;
        let mut told = HashSet::new();
        let mut reported = 0;
        for at in places {
            let index = chunks.partition_point(|chunk| chunk.span.start <= at.start);
            let Some(index) = index.checked_sub(1).filter(|index| told.insert(*index)) else {
                continue;
            };
            match &chunks[index].head {
                Head::Table { name, .. } => {
                    let next = chunks[index + 1..].iter().position(Chunk::is_table);
                    doubled = index..next.map_or(chunks.len(), |next| index + 1 + next);
                    if self.text.get(name.clone()).is_some_and(|name| single.contains(name)) {
                        continue;
                    }
                }
                // Its keys stand twice because its table does.
                _ if doubled.contains(&index) => continue,
                _ => {}
            }
            reported += 1;
            if reported > UNREADABLE {
                return self.give_up(&chunks[index]);
            }
            self.twice(&chunks[index], at, chunk::first(&paths, index));
        }
    }

    fn give_up(&mut self, chunk: &Chunk) {
        let message = format!("more than {UNREADABLE} places of this file cannot be read");
        self.fault(chunk.span.clone(), message, "look whether it is the right file");
    }

    /// `[line]` where others are `[[line]]`.
    fn single_brackets(&mut self, name: Range<usize>) {
        self.unread.push(name.start - 1);
        self.unread.sort_unstable();
        let key = self.text.get(name.clone()).unwrap_or_default();
        let (message, help) =
            (format!("[{key}] in single brackets"), format!("[[{key}]], as the others"));
        self.fault(name.start - 1..name.end + 1, message, help);
    }

    fn twice(&mut self, chunk: &Chunk, at: Range<usize>, first: Option<Range<usize>>) {
        let (at, name) = match &chunk.head {
            Head::Table { name, .. } => (name.clone(), true),
            // As much of a dotted key as stood before.
            Head::Pair { key, .. } if key.contains(&at.start) => (key.start..at.end, false),
            _ => (at, false),
        };
        let key = self.text.get(at.clone()).unwrap_or_default();
        let (message, help) = match name {
            true => (format!("[{key}] stands twice"), "put the lines of both under one"),
            // A sheet whose line [C] is gone falls to the one before it.
            false if key.starts_with(|c: char| c.is_ascii_lowercase()) => (
                format!("{key} is typed twice"),
                "keep one of the two, or put back the line in [ ] that stood between them",
            ),
            false => (format!("{key} is typed twice"), "keep one of the two"),
        };
        let mut diag = Diag::at(Severity::Fault, &self.loc(at), message, help);
        if let Some(first) = first {
            diag = diag.also(self.loc(first), "the first");
        }
        self.out.push(diag);
    }

    fn root(&self, table: Table) -> Node {
        Node { at: self.loc(0..0), value: Value::Table(table) }
    }

    fn table(&mut self, table: DeTable<'_>) -> Table {
        let mut entries: Vec<_> = table.into_iter().collect();
        entries.sort_by_key(|(key, _)| key.span().start);
        let entry = |(key, value): (Spanned<Cow<'_, str>>, Spanned<DeValue<'_>>)| {
            let at = self.loc(key.span());
            let text = self.printable(&at, key.as_ref());
            Entry { key: Text { text, at }, node: self.node(value) }
        };
        Table(entries.into_iter().map(entry).collect())
    }

    fn node(&mut self, value: Spanned<DeValue<'_>>) -> Node {
        let span = value.span();
        let at = self.loc(span.clone());
        if self.unread.binary_search(&span.start).is_ok() {
            return Node { at, value: Value::Unread };
        }
        let typed = || Box::from(self.text.get(span.clone()).unwrap_or_default());
        let value = match value.into_inner() {
            DeValue::String(text) => Value::Text(self.printable(&at, &text)),
            DeValue::Integer(_) | DeValue::Float(_) => Value::Figure(typed()),
            DeValue::Datetime(_) => Value::Date(typed()),
            DeValue::Boolean(flag) => Value::Flag(flag),
            DeValue::Array(list) => Value::List(list.into_iter().map(|v| self.node(v)).collect()),
            DeValue::Table(table) => Value::Table(self.table(table)),
        };
        Node { at, value }
    }

    fn printable(&mut self, at: &Span, text: &str) -> Box<str> {
        printable(at, text, self.out);
        text.into()
    }

    fn loc(&self, at: Range<usize>) -> Span {
        Span::new(self.file, self.base + at.start, self.base + at.end)
    }

    fn fault(&mut self, at: Range<usize>, message: impl Into<String>, help: impl Into<String>) {
        let at = self.loc(at);
        self.out.fault(&at, message, help);
    }
}

/// Texts go on paper: a character that leaves no mark there is refused.
pub fn printable(at: &Span, text: &str, out: &mut Diags) {
    if text.len() > LONGEST {
        let message = format!("a text of {} bytes", text.len());
        out.fault(at, message, format!("{LONGEST} bytes at most"));
    }
    if let Some(letter) = text.chars().find(|letter| unprinted(*letter)) {
        let (message, help) = match letter {
            '\n' | '\r' => ("a text of several lines".to_string(), "write it on one line"),
            '\t' => ("a tab inside a text".to_string(), "type spaces"),
            _ => {
                let letter = shown(letter.encode_utf8(&mut [0; 4]));
                (format!("a text with a character that does not print: {letter}"), "remove it")
            }
        };
        out.fault(at, message, help);
    }
}

/// Spaces for all but line ends, so that every place stays where it is.
fn blank(text: &mut [u8], span: Range<usize>) {
    for byte in text.get_mut(span).unwrap_or_default() {
        if *byte != b'\n' {
            *byte = b' ';
        }
    }
}
