//! Located faults: many collected, printed once. The only file that names
//! `annotate_snippets`.

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::collections::{BTreeMap, HashSet};
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// A stretch of a file, in bytes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file's name relative to its job folder, or as it was given.
    pub file: Arc<str>,
    pub start: usize,
    pub end: usize,
}

/// The files of one job by name: a folder's, or those an archive carries. Of a
/// file that is a spreadsheet's table also where each of its cells begins.
#[derive(Clone, Debug, Default)]
pub struct Sources(pub BTreeMap<Arc<str>, Arc<str>>, BTreeMap<Arc<str>, Vec<Cell>>);

/// A cell of a table: where it begins in the text, its row and its column, both
/// counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell {
    pub start: usize,
    pub row: usize,
    pub column: usize,
}

/// How much a diagnostic weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The input cannot be used: exit status 2.
    Fault,
    /// Worth reading; nothing stops.
    Note,
}

/// What is wrong at a place, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Diag {
    pub severity: Severity,
    pub at: Option<Span>,
    pub message: String,
    /// What would be right; empty where nothing can be said.
    pub help: String,
    /// Other places that matter, each with a word of why.
    pub also: Vec<(Span, String)>,
}

/// Diagnostics as they are found; printed in the order of file and place.
#[derive(Clone, Debug, Default)]
pub struct Diags {
    found: Vec<Diag>,
    /// The same thing is said once, however often it is come upon.
    said: HashSet<Diag>,
    /// Faults and notes that are kept.
    kept: [usize; 2],
    /// There were more than are kept.
    more: [bool; 2],
}

/// The most faults that are kept, and the most notes. Nobody reads as many, and
/// a file may hold a million.
const MOST: usize = 1_000;

impl Span {
    pub fn new(file: &Arc<str>, start: usize, end: usize) -> Span {
        Span { file: file.clone(), start, end }
    }
}

impl Diag {
    pub fn also(mut self, at: Span, why: impl Into<String>) -> Diag {
        self.also.push((at, why.into()));
        self
    }
}

impl Diags {
    pub fn new() -> Diags {
        Diags::default()
    }

    pub fn fault(&mut self, at: &Span, message: impl Into<String>, help: impl Into<String>) {
        self.push(Diag::at(Severity::Fault, at, message, help));
    }

    pub fn note(&mut self, at: &Span, message: impl Into<String>, help: impl Into<String>) {
        self.push(Diag::at(Severity::Note, at, message, help));
    }

    /// A fault that no place in a file can be named for.
    pub fn fault_nowhere(&mut self, message: impl Into<String>, help: impl Into<String>) {
        let (message, help) = (message.into(), help.into());
        self.push(Diag { severity: Severity::Fault, at: None, message, help, also: Vec::new() });
    }

    /// A note that no place in a file can be named for.
    pub fn note_nowhere(&mut self, message: impl Into<String>, help: impl Into<String>) {
        let (message, help) = (message.into(), help.into());
        self.push(Diag { severity: Severity::Note, at: None, message, help, also: Vec::new() });
    }

    pub fn push(&mut self, diag: Diag) {
        let which = diag.severity as usize;
        if self.said.contains(&diag) {
            return;
        }
        if self.kept[which] == MOST {
            self.more[which] = true;
            return;
        }
        self.kept[which] += 1;
        self.said.insert(diag.clone());
        self.found.push(diag);
    }

    pub fn append(&mut self, other: Diags) {
        other.found.into_iter().for_each(|diag| self.push(diag));
        for (more, others) in self.more.iter_mut().zip(other.more) {
            *more |= others;
        }
    }

    pub fn faults(&self) -> usize {
        self.kept[Severity::Fault as usize]
    }

    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    pub fn iter(&self) -> impl Iterator<Item = &Diag> {
        self.found.iter()
    }

    /// By file and place; what has no place comes last.
    fn in_order(&self) -> Vec<&Diag> {
        let mut sorted: Vec<&Diag> = self.found.iter().collect();
        sorted.sort_by_key(|diag| (diag.at.is_none(), diag.at.as_ref()));
        sorted
    }

    /// Every diagnostic with its line drawn and the fault underlined, in the
    /// order of file and place, and a count as the last line. Ends with a
    /// newline unless there is nothing to say.
    pub fn render(&self, sources: &Sources, colour: bool) -> String {
        if self.is_empty() {
            return String::new();
        }
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
        let mut pages = Pages::new(sources);
        let mut out = String::new();
        for diag in self.in_order() {
            out.push_str(&renderer.render(&[pages.draw(diag)]));
            out.push_str("\n\n");
        }
        out.push_str(&self.count());
        out.push('\n');
        out
    }

    /// One line each: `file:line:column: what is wrong; what would be right;
    /// also file:line:column (why)`, in the order of `render`. A note says so.
    pub fn plain(&self, sources: &Sources) -> Vec<String> {
        let mut pages = Pages::new(sources);
        self.in_order().into_iter().map(|diag| pages.line(diag)).collect()
    }

    /// `3 faults, 1 note`.
    pub fn count(&self) -> String {
        let many =
            |severity: Severity| match (self.kept[severity as usize], self.more[severity as usize])
            {
                (1, _) => format!("1 {severity}"),
                (count, false) => format!("{count} {severity}s"),
                (count, true) => {
                    format!(
                        "more than {count} {severity}s, of which the first {count} found are shown"
                    )
                }
            };
        match self.kept {
            [_, 0] => many(Severity::Fault),
            [0, _] => many(Severity::Note),
            _ => format!("{}, {}", many(Severity::Fault), many(Severity::Note)),
        }
    }
}

impl Diag {
    pub fn at(
        severity: Severity,
        at: &Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Diag {
        let (message, help) = (message.into(), help.into());
        Diag { severity, at: Some(at.clone()), message, help, also: Vec::new() }
    }
}

impl Sources {
    pub fn get(&self, file: &str) -> Option<&Arc<str>> {
        self.0.get(file)
    }

    pub fn put(&mut self, file: impl Into<Arc<str>>, text: impl Into<Arc<str>>) {
        self.0.insert(file.into(), text.into());
    }

    /// From now on places in this file are told by row and column, as a
    /// spreadsheet names them. The cells are in the order of the text.
    pub fn put_cells(&mut self, file: impl Into<Arc<str>>, cells: Vec<Cell>) {
        self.1.insert(file.into(), cells);
    }

    /// The cell of a table that a place lies in.
    fn cell(&self, at: &Span) -> Option<&Cell> {
        let cells = self.1.get(&at.file)?;
        cells.get(cells.partition_point(|cell| cell.start <= at.start).max(1) - 1)
    }
}

/// `5:F`: the row as a number, the column as letters.
impl fmt::Display for Cell {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut letters = Vec::new();
        let mut left = self.column;
        while left > 0 {
            letters.push(char::from(b'A' + ((left - 1) % 26) as u8));
            left = (left - 1) / 26;
        }
        write!(out, "{}:{}", self.row, letters.iter().rev().collect::<String>())
    }
}

impl Severity {
    pub fn word(self) -> &'static str {
        match self {
            Severity::Fault => "fault",
            Severity::Note => "note",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}

/// A text that is safe to print: control characters and those that turn the
/// direction of writing are shown as their escapes.
pub fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        if unprinted(letter) {
            out.extend(letter.escape_default());
        } else {
            out.push(letter);
        }
    }
    out
}

/// Whether a character leaves no mark of its own on paper or screen.
pub fn unprinted(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{ad}' | '\u{61c}' | '\u{feff}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
}

/// The most characters of a line that are drawn on either side of a fault.
const MARGIN: usize = 70;

/// The files with their lines counted, each once however many faults it has.
struct Pages<'a> {
    sources: &'a Sources,
    starts: BTreeMap<Arc<str>, Vec<usize>>,
    /// The last place that was looked for: in which file, from where its line
    /// begins to where, and the column there.
    last: Option<(Arc<str>, usize, usize, usize)>,
}

/// A place brought to a line: counted from 1, columns in characters.
struct Spot<'a> {
    line: usize,
    column: usize,
    text: &'a str,
    /// The underlined bytes of `text`; never beyond it.
    from: usize,
    to: usize,
    /// `text` starts where the line does.
    whole: bool,
}

impl<'a> Pages<'a> {
    fn new(sources: &'a Sources) -> Pages<'a> {
        Pages { sources, starts: BTreeMap::new(), last: None }
    }

    /// `None` where the file is not among the sources.
    fn spot(&mut self, at: &Span) -> Option<Spot<'a>> {
        let text: &'a str = self.sources.get(&at.file)?;
        let starts = self.starts.entry(at.file.clone()).or_insert_with(|| line_starts(text));
        let offset = at.start.min(text.len());
        let line = starts.partition_point(|start| *start <= offset).max(1);
        let begin = starts.get(line - 1).copied().unwrap_or(0);
        let end = starts.get(line).copied().unwrap_or(text.len());
        let whole = text.get(begin..end)?.trim_end_matches(['\n', '\r']);
        let bom = if whole.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
        let from = down_to_letter(whole, (offset - begin).max(bom));
        let to = down_to_letter(whole, at.end.saturating_sub(begin).max(from));
        // A line may be megabytes long: the letters between two faults on it
        // are counted once.
        let column = match &self.last {
            Some((file, line, to, column)) if *file == at.file && *line == begin && *to <= from => {
                column + whole[*to..from].chars().count()
            }
            _ => whole[bom..from].chars().count() + 1,
        };
        self.last = Some((at.file.clone(), begin, from, column));
        let (first, last) = window(whole, from, to, bom);
        let text = &whole[first..last];
        Some(Spot {
            line,
            column,
            text,
            from: from - first,
            to: to.min(last) - first,
            whole: first == bom,
        })
    }

    fn draw(&mut self, diag: &'a Diag) -> Group<'a> {
        let level = match diag.severity {
            Severity::Fault => Level::ERROR,
            Severity::Note => Level::NOTE,
        };
        let title = level.with_name(diag.severity.word()).primary_title(shown(&diag.message));
        let mut group = Group::with_title(title);
        if let Some(at) = &diag.at {
            group = self.place(group, at, None);
        }
        for (at, why) in &diag.also {
            group = self.place(group, at, Some(why));
        }
        if !diag.help.is_empty() {
            group = group.element(Level::HELP.with_name("right").message(shown(&diag.help)));
        }
        group
    }

    fn place(&mut self, group: Group<'a>, at: &'a Span, why: Option<&'a String>) -> Group<'a> {
        let Some(spot) = self.spot(at) else {
            return group.element(Origin::path(shown(&at.file)));
        };
        let (text, underlined) = spot.shown();
        let mark = match why {
            Some(why) => AnnotationKind::Context.span(underlined).label(shown(why)),
            None => AnnotationKind::Primary.span(underlined),
        };
        let snippet = Snippet::source(text).line_start(spot.line).annotation(mark);
        if let Some(cell) = self.sources.cell(at) {
            let origin = Origin::path(shown(&format!("{}:{cell}", at.file)));
            return group.element(origin).element(snippet);
        }
        if spot.whole {
            return group.element(snippet.path(shown(&at.file)));
        }
        // The column cannot be read off a line that is cut.
        let origin = Origin::path(shown(&at.file)).line(spot.line).char_column(spot.column);
        group.element(origin).element(snippet)
    }

    fn line(&mut self, diag: &Diag) -> String {
        let mut out = diag.at.as_ref().map(|at| self.named(at) + ": ").unwrap_or_default();
        if diag.severity == Severity::Note {
            out.push_str("note: ");
        }
        out.push_str(&shown(&diag.message));
        if !diag.help.is_empty() {
            out.push_str("; ");
            out.push_str(&shown(&diag.help));
        }
        for (at, why) in &diag.also {
            out.push_str(&format!("; also {} ({})", self.named(at), shown(why)));
        }
        out
    }

    fn named(&mut self, at: &Span) -> String {
        if let Some(cell) = self.sources.cell(at) {
            return format!("{}:{cell}", shown(&at.file));
        }
        match self.spot(at) {
            Some(spot) => format!("{}:{}:{}", shown(&at.file), spot.line, spot.column),
            None => shown(&at.file),
        }
    }
}

impl Spot<'_> {
    /// The line safe to print, its tabs kept, and what is underlined in it.
    fn shown(&self) -> (String, Range<usize>) {
        let (before, rest) = self.text.split_at(self.from);
        let (under, after) = rest.split_at(self.to - self.from);
        let tabs = |part: &str| part.split('\t').map(shown).collect::<Vec<_>>().join("\t");
        let (before, under, after) = (tabs(before), tabs(under), tabs(after));
        let underlined = before.len()..before.len() + under.len();
        (before + &under + &after, underlined)
    }
}

fn line_starts(text: &str) -> Vec<usize> {
    let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
    std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect()
}

/// The nearest character boundary at or before `at`, within the text.
fn down_to_letter(text: &str, at: usize) -> usize {
    let at = at.min(text.len());
    (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

/// The part of a line that is drawn; lines of megabytes exist.
fn window(line: &str, from: usize, to: usize, bom: usize) -> (usize, usize) {
    let before = line[bom..from].char_indices().rev().nth(MARGIN - 1);
    let first = before.map_or(bom, |(at, _)| at + bom);
    let to = to.min(from + 4 * MARGIN);
    let to = down_to_letter(line, to);
    let after = line[to..].char_indices().nth(MARGIN);
    (first, after.map_or(line.len(), |(at, _)| to + at))
}
