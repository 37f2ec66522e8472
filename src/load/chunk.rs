//! A TOML text cut into the pieces that can be read by themselves: one table's
//! name, or one key with its value.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

/// A piece of the text; comments and blank lines belong to none.
#[derive(Clone, Debug)]
pub struct Chunk {
    pub span: Range<usize>,
    pub head: Head,
}

#[derive(Clone, Debug)]
pub enum Head {
    /// `[a.b]`, or `[[a]]` where `each`; the path is empty where it cannot be
    /// read.
    Table { path: Vec<String>, name: Range<usize>, each: bool },
    /// `a.b = value`: the key, and from where the value starts.
    Pair { path: Vec<String>, key: Range<usize>, value: Range<usize> },
    /// Neither.
    Odd,
}

/// What is open at the end of a line.
#[derive(Default)]
struct Open {
    brackets: usize,
    /// The closing mark of a text of several lines.
    long: Option<&'static str>,
}

/// Cuts the text. A chunk starts at a line where no bracket is open, or at
/// column 1 with what can only be a key or a table's name: so a bracket that
/// is never closed spoils one chunk and not the rest of the file.
pub fn split(text: &str) -> Vec<Chunk> {
    let mut chunks: Vec<Chunk> = Vec::new();
    let mut open = Open::default();
    let mut begin = 0;
    for line in text.split_inclusive('\n') {
        let start = begin;
        begin += line.len();
        let inside = open.brackets > 0 || open.long.is_some();
        let bare = line.trim();
        let remark = bare.is_empty() || bare.starts_with('#');
        let fresh = match inside {
            true => open.long.is_none() && starts_at_once(line),
            false => !remark,
        };
        if fresh {
            open = Open::default();
            let from = start + (line.len() - line.trim_start().len());
            chunks.push(Chunk { span: from..from, head: Head::Odd });
        }
        if let Some(chunk) = chunks.last_mut().filter(|_| fresh || inside) {
            chunk.span.end = start + line.trim_end().len();
            scan(line, &text[begin..], &mut open);
            if text[chunk.span.start..].starts_with('[') {
                open = Open::default();
            }
        }
    }
    for chunk in &mut chunks {
        chunk.head = head(text, chunk.span.clone());
    }
    chunks
}

/// Whether a line that stands inside an open bracket can only be a new start:
/// a key with its equals sign, or a table's name, at column 1.
fn starts_at_once(line: &str) -> bool {
    if let Some(name) = line.strip_prefix('[') {
        let name = name.trim_start_matches('[').trim_end();
        let plain = !name.contains([',', '=', '"', '{']);
        return plain && name.starts_with(|c: char| c.is_ascii_alphabetic());
    }
    key(line, 0).is_some_and(|(_, span)| line[span.end..].trim_start().starts_with('='))
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

/// Follows brackets and texts through a line.
fn scan(line: &str, rest: &str, open: &mut Open) {
    let mut left = line;
    if let Some(mark) = open.long {
        match left.find(mark) {
            Some(at) => left = &left[at + 3..],
            None => return,
        }
        open.long = None;
    }
    while let Some(at) = left.find(['[', ']', '{', '}', '"', '\'', '#']) {
        let from = &left[at..];
        left = &from[1..];
        match from.as_bytes()[0] {
            b'[' | b'{' => open.brackets += 1,
            b']' | b'}' => open.brackets = open.brackets.saturating_sub(1),
            b'#' => return,
            _ => match text_end(from) {
                TextEnd::At(end) => left = &from[end..],
                TextEnd::Long(mark) => {
                    // A mark that never comes again would swallow the file.
                    open.long = rest.contains(mark).then_some(mark);
                    return;
                }
                TextEnd::Never => return,
            },
        }
    }
}

/// Where a text ends that starts at the first byte of `from`, a line's rest.
pub enum TextEnd {
    /// Just behind its closing mark.
    At(usize),
    /// On another line.
    Long(&'static str),
    /// Its line ends before it does.
    Never,
}

pub fn text_end(from: &str) -> TextEnd {
    for mark in ["\"\"\"", "'''"] {
        if let Some(inner) = from.strip_prefix(mark) {
            return inner.find(mark).map_or(TextEnd::Long(mark), |at| TextEnd::At(at + 6));
        }
    }
    let quote = from.as_bytes().first().copied().unwrap_or(b'"');
    let mut escaped = false;
    for (at, byte) in from.bytes().enumerate().skip(1) {
        match byte {
            b'\n' => return TextEnd::Never,
            _ if escaped => escaped = false,
            b'\\' if quote == b'"' => escaped = true,
            _ if byte == quote => return TextEnd::At(at + 1),
            _ => {}
        }
    }
    TextEnd::Never
}

/// The first place that goes deeper than `most`: brackets, or the points of a
/// dotted key.
pub fn too_deep(text: &str, most: usize) -> Option<Range<usize>> {
    let mut begin = 0;
    let mut open: Vec<usize> = Vec::new();
    let mut long = None;
    for line in text.split_inclusive('\n') {
        let start = begin;
        begin += line.len();
        if !open.is_empty() && long.is_none() && starts_at_once(line) {
            open.clear();
        }
        if let Some(deep) = line_too_deep(line, start, most, &mut open, &mut long) {
            return Some(deep);
        }
        // Whatever the quotes say, a library that reads them otherwise must
        // not be sent down a key of thousands of parts.
        if let Some(stretch) =
            line.split(['=', ',', '[', ']']).find(|s| s.matches('.').count() > 400)
        {
            let at = start + (stretch.as_ptr() as usize - line.as_ptr() as usize);
            return Some(at..at + 1);
        }
    }
    None
}

fn line_too_deep(
    line: &str,
    start: usize,
    most: usize,
    open: &mut Vec<usize>,
    long: &mut Option<&'static str>,
) -> Option<Range<usize>> {
    let mut at = 0;
    let mut points = 0;
    if let Some(mark) = *long {
        at = line.find(mark)? + 3;
        *long = None;
    }
    while let Some(next) = line[at..].find(['[', ']', '{', '}', '"', '\'', '#', '.', '=', ',']) {
        at += next;
        let mark = line.as_bytes()[at];
        points = if mark == b'.' {
            points + 1
        } else if matches!(mark, b'"' | b'\'') {
            points
        } else {
            0
        };
        match mark {
            b'[' | b'{' => open.push(start + at),
            b']' | b'}' => drop(open.pop()),
            b'#' => return None,
            b'"' | b'\'' => match text_end(&line[at..]) {
                TextEnd::At(end) => at += end - 1,
                TextEnd::Long(mark) => {
                    *long = Some(mark);
                    return None;
                }
                TextEnd::Never => return None,
            },
            _ => {}
        }
        if open.len() > most || points > most {
            return Some(start + at..start + at + 1);
        }
        at += 1;
    }
    None
}

fn head(text: &str, span: Range<usize>) -> Head {
    let part = &text[span.clone()];
    if part.starts_with('[') {
        let each = part.starts_with("[[");
        let from = span.start + if each { 2 } else { 1 };
        let (path, name) = key(text, from).unwrap_or((Vec::new(), from..from));
        return Head::Table { path, name, each };
    }
    let Some((path, key)) = key(&text[..span.end], span.start) else {
        return Head::Odd;
    };
    let rest = &text[key.end..span.end];
    let Some(value) = rest.trim_start_matches([' ', '\t']).strip_prefix('=') else {
        return Head::Odd;
    };
    let value = value.trim_start_matches([' ', '\t']);
    Head::Pair { path, key, value: span.end - value.len()..span.end }
}

/// A key, dotted or not, from a place on: its parts and where it stands.
fn key(text: &str, from: usize) -> Option<(Vec<String>, Range<usize>)> {
    let skip =
        |at: usize| at + (text[at..].len() - text[at..].trim_start_matches([' ', '\t']).len());
    let start = skip(from);
    let mut at = start;
    let mut path = Vec::new();
    loop {
        let rest = &text[at..];
        let length = match rest.as_bytes().first()? {
            b'"' | b'\'' => match text_end(rest) {
                TextEnd::At(end) => end,
                _ => return None,
            },
            _ => {
                rest.bytes().take_while(|b| b.is_ascii_alphanumeric() || b"-_".contains(b)).count()
            }
        };
        if length == 0 {
            return None;
        }
        path.push(rest[..length].trim_matches(['"', '\'']).to_string());
        let end = at + length;
        let next = skip(end);
        if !text[next..].starts_with('.') {
            return Some((path, start..end));
        }
        at = skip(next + 1);
    }
}

/// For each chunk, the table's name that it stands under, as an index.
pub fn tables(chunks: &[Chunk]) -> Vec<Option<usize>> {
    let mut last = None;
    let table = |(index, chunk): (usize, &Chunk)| {
        if matches!(chunk.head, Head::Table { .. }) {
            last = Some(index);
        }
        last
    };
    chunks.iter().enumerate().map(table).collect()
}

/// The names in single brackets that others have in double ones.
pub fn mixed(chunks: &[Chunk]) -> Vec<Range<usize>> {
    let tables = || {
        chunks.iter().filter_map(|chunk| match &chunk.head {
            Head::Table { path, name, each } => Some((path, name, *each)),
            _ => None,
        })
    };
    let double: HashSet<&Vec<String>> =
        tables().filter(|(_, _, each)| *each).map(|(path, _, _)| path).collect();
    let single =
        tables().filter(|(path, name, each)| !each && name.start > 0 && double.contains(path));
    single.map(|(_, name, _)| name.clone()).collect()
}

/// For each chunk, where its key stood before it, if it did.
pub fn firsts(text: &str, chunks: &[Chunk]) -> Vec<Option<Range<usize>>> {
    let mut seen: HashMap<String, Range<usize>> = HashMap::new();
    let mut lists: HashMap<String, usize> = HashMap::new();
    let mut table = String::new();
    let mut found = Vec::with_capacity(chunks.len());
    for (number, chunk) in chunks.iter().enumerate() {
        let first = match &chunk.head {
            Head::Table { path, name, each } => {
                table = joined(String::new(), path, &lists);
                if *each {
                    lists.insert(table.clone(), number);
                    table.push_str(&format!("\n#{number}"));
                    None
                } else {
                    Some(note(&mut seen, &table, name))
                }
            }
            Head::Pair { path, key, .. } => {
                let mut whole = table.clone();
                let mut first = None;
                for (depth, part) in path.iter().enumerate() {
                    whole = joined(whole, std::slice::from_ref(part), &lists);
                    let known = note(&mut seen, &whole, key);
                    let value =
                        text.get(known.end..).is_some_and(|t| t.trim_start().starts_with('='));
                    if depth + 1 == path.len() || value {
                        first = first.or(Some(known));
                    }
                }
                first
            }
            Head::Odd => None,
        };
        found.push(first.filter(|first| first.start < chunk.span.start));
    }
    found
}

fn note(seen: &mut HashMap<String, Range<usize>>, path: &str, at: &Range<usize>) -> Range<usize> {
    seen.entry(path.to_string()).or_insert_with(|| at.clone()).clone()
}

fn joined(mut whole: String, path: &[String], lists: &HashMap<String, usize>) -> String {
    for part in path {
        whole.push('\n');
        whole.push_str(part);
        if let Some(number) = lists.get(&whole) {
            whole.push_str(&format!("\n#{number}"));
        }
    }
    whole
}

/// Where a key stood before inside one chunk's own braces.
pub fn earlier(text: &str, chunk: &Chunk, at: &Range<usize>) -> Option<Range<usize>> {
    let key = text.get(at.clone())?;
    let before = text.get(chunk.span.start..at.start)?;
    let bounded = |from: usize| {
        let left = before[..from].chars().next_back().is_none_or(|c| "{, \t\n".contains(c));
        left && before[from + key.len()..].trim_start().starts_with('=')
    };
    let found = before.match_indices(key).map(|(from, _)| from).find(|from| bounded(*from))?;
    let start = chunk.span.start + found;
    Some(start..start + key.len())
}
