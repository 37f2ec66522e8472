//! A TOML text cut into the pieces that can be read by themselves: one table's
//! name, or one key with its value.

use super::lexer::{self, Kind, Token};
use std::collections::HashSet;
use std::ops::Range;

/// A piece of the text; comments and blank lines belong to none.
#[derive(Clone, Debug)]
pub struct Chunk<'a> {
    pub span: Range<usize>,
    pub head: Head<'a>,
}

#[derive(Clone, Debug)]
pub enum Head<'a> {
    /// `[a.b]`, or `[[a]]` where `each`; the path is empty where it cannot be
    /// read.
    Table { path: Vec<&'a str>, name: Range<usize>, each: bool },
    /// `a.b = value`: the key, and what follows the equals sign.
    Pair { path: Vec<&'a str>, key: Range<usize>, value: Range<usize> },
    /// Neither.
    Odd,
}

impl Chunk<'_> {
    pub fn is_table(&self) -> bool {
        matches!(self.head, Head::Table { .. })
    }
}

/// Cuts the text. A chunk starts at a line where no bracket is open, or at
/// column 1 with what can only be a key or a table's name: so a bracket that
/// is never closed spoils one chunk and not the rest of the file.
pub fn split(text: &str) -> Vec<Chunk<'_>> {
    let tokens = lexer::tokens(text);
    let mut cuts: Vec<Range<usize>> = Vec::new();
    let mut open = 0;
    let mut end = 0;
    for line in lexer::lines(&tokens) {
        let start = end;
        end += line.len();
        let fresh = match open {
            0 => !line.iter().all(|token| matches!(token.kind, Kind::Newline | Kind::Comment)),
            _ => starts_at_once(text, line),
        };
        if fresh {
            cuts.push(start..end);
            open = 0;
        }
        if let Some(cut) = cuts.last_mut().filter(|_| fresh || open > 0) {
            cut.end = end;
            if tokens[cut.start].kind != Kind::LeftSquareBracket {
                open = line.iter().fold(open, |open, token| still_open(open, token.kind));
            }
        }
    }
    let chunk = |cut: Range<usize>| {
        let ends = |token: &Token| token.kind != Kind::Newline;
        let kept = tokens[cut.clone()].iter().rposition(ends).map_or(0, |last| last + 1);
        let tokens = &tokens[cut.start..cut.start + kept];
        let span = tokens[0].at.start..tokens[kept - 1].at.end;
        Chunk { head: head(text, tokens), span }
    };
    cuts.into_iter().map(chunk).collect()
}

/// How many brackets are open behind a token.
fn still_open(open: usize, kind: Kind) -> usize {
    match kind {
        Kind::LeftSquareBracket | Kind::LeftCurlyBracket => open + 1,
        Kind::RightSquareBracket | Kind::RightCurlyBracket => open.saturating_sub(1),
        _ => open,
    }
}

/// Whether a line that stands inside an open bracket can only be a new start:
/// a key with its equals sign, or a table's name at column 1.
fn starts_at_once(text: &str, line: &[Token]) -> bool {
    let is_open = |token: &&Token| token.kind == Kind::LeftSquareBracket;
    let brackets = line.iter().take_while(is_open).count();
    if brackets == 0 {
        return matches!(head(text, line), Head::Pair { .. });
    }
    let letter = |name: &Token| name.said(text).starts_with(|c: char| c.is_ascii_alphabetic());
    text[..line[0].at.start].ends_with('\n')
        && line.get(brackets).is_some_and(letter)
        && !line.iter().any(|token| matches!(token.said(text), "," | "=" | "{"))
}

/// What a text has too much of, whatever it is: each line, key and value takes
/// many times its own bytes once it is read.
pub fn too_much(text: &str, most: &Most) -> Option<&'static str> {
    let count = |marks: &[u8]| text.bytes().filter(|byte| marks.contains(byte)).count();
    if count(b"\n") > most.lines {
        return Some("lines");
    }
    (count(b"=,[{") > most.values).then_some("keys and values")
}

/// How much a text may have.
pub struct Most {
    pub lines: usize,
    /// Equals signs, commas and opening brackets.
    pub values: usize,
}

/// The first place that goes deeper than `most`: brackets, or the points of a
/// dotted key.
pub fn too_deep(text: &str, most: usize) -> Option<Range<usize>> {
    let mut open = 0;
    for line in lexer::lines(&lexer::tokens(text)) {
        if open > 0 && starts_at_once(text, line) {
            open = 0;
        }
        let mut points = 0;
        for token in line {
            open = still_open(open, token.kind);
            points = match token.kind {
                Kind::Dot => points + 1,
                kind if kind == Kind::Atom || kind.encoding().is_some() => points,
                _ => 0,
            };
            if open > most || points > most {
                return Some(token.at.clone());
            }
        }
    }
    None
}

fn head<'a>(text: &'a str, tokens: &[Token]) -> Head<'a> {
    let part = &text[tokens[0].at.start..];
    if part.starts_with('[') {
        let each = part.starts_with("[[");
        let (brackets, name) = tokens.split_at(1 + usize::from(each));
        let from = brackets[brackets.len() - 1].at.end;
        let (path, name, _) = key(text, name).unwrap_or((Vec::new(), from..from, &[]));
        return Head::Table { path, name, each };
    }
    match key(text, tokens) {
        Some((path, key, [equals, value @ ..])) if equals.kind == Kind::Equals => {
            let end = tokens[tokens.len() - 1].at.end;
            Head::Pair { path, key, value: value.first().map_or(end, |first| first.at.start)..end }
        }
        _ => Head::Odd,
    }
}

/// A key, dotted or not, that some tokens start with: its parts, where it
/// stands, and what follows it.
type Key<'a, 't> = (Vec<&'a str>, Range<usize>, &'t [Token]);

fn key<'a, 't>(text: &'a str, tokens: &'t [Token]) -> Option<Key<'a, 't>> {
    let mut path = Vec::new();
    let mut left = tokens;
    while let [part, after @ ..] = left {
        let said = part.said(text);
        let sound = match part.kind {
            Kind::Atom => said.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_".contains(&b)),
            Kind::BasicString | Kind::LiteralString => lexer::closed(said),
            _ => false,
        };
        if !sound {
            return None;
        }
        path.push(said.trim_matches(['"', '\'']));
        match after {
            [point, next @ ..] if point.kind == Kind::Dot => left = next,
            _ => return Some((path, tokens[0].at.start..part.at.end, after)),
        }
    }
    None
}

/// The names in single brackets that others have in double ones.
pub fn mixed(chunks: &[Chunk]) -> Vec<Range<usize>> {
    let tables = || {
        chunks.iter().filter_map(|chunk| match &chunk.head {
            Head::Table { path, name, each } => Some((path, name, *each)),
            _ => None,
        })
    };
    let double: HashSet<&Vec<&str>> =
        tables().filter(|(_, _, each)| *each).map(|(path, _, _)| path).collect();
    let single =
        tables().filter(|(path, name, each)| !each && name.start > 0 && double.contains(path));
    single.map(|(_, name, _)| name.clone()).collect()
}

/// The key or the table of a chunk, from the root on.
pub struct Path<'a> {
    whole: Vec<&'a str>,
    /// How many parts of it may stand again: those of a key's table, and all
    /// but the last of a table.
    shared: usize,
    at: Range<usize>,
    each: bool,
}

/// The path of each chunk; empty where there is none.
pub fn paths<'a>(chunks: &'a [Chunk]) -> Vec<Path<'a>> {
    let mut table: &[&str] = &[];
    let path = |chunk: &'a Chunk| match &chunk.head {
        Head::Table { path, name, each } => {
            table = path;
            let shared = path.len().saturating_sub(1);
            Path { whole: path.clone(), shared, at: name.clone(), each: *each }
        }
        Head::Pair { path, key, .. } => {
            let whole = [table, path].concat();
            Path { whole, shared: table.len(), at: key.clone(), each: false }
        }
        Head::Odd => Path { whole: Vec::new(), shared: 0, at: chunk.span.clone(), each: false },
    };
    chunks.iter().map(path).collect()
}

/// Where the key or the table of a chunk stood before it, under the same element
/// of a list of tables.
pub fn first(paths: &[Path], index: usize) -> Option<Range<usize>> {
    let own = &paths[index];
    let element = |path: &Path| path.each && own.whole.starts_with(&path.whole);
    let from = paths[..index].iter().rposition(element).unwrap_or(0);
    let stood = |path: &&Path| {
        !path.each
            && path.whole.len() > own.shared
            && own.whole.len() > path.shared
            && path.whole.iter().zip(&own.whole).all(|(one, other)| one == other)
    };
    paths[from..index].iter().find(stood).map(|path| path.at.clone())
}

/// Where a key stood before inside one chunk's own braces.
pub fn earlier(text: &str, chunk: &Chunk, at: &Range<usize>) -> Option<Range<usize>> {
    let part = text.get(chunk.span.start..at.start)?;
    let key = text.get(at.clone())?;
    let twin = |pair: &&[Token]| pair[0].said(part) == key && pair[1].kind == Kind::Equals;
    let first = lexer::tokens(part).windows(2).find(twin)?[0].at.clone();
    Some(chunk.span.start + first.start..chunk.span.start + first.end)
}
