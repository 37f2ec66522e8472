//! What a mechanic types that is not TOML, and what would be right.

use super::chunk::{Chunk, Head, TextEnd, text_end};
use super::figure;
use crate::model::date::Date;
use std::ops::Range;

/// One thing wrong, placed in the whole text.
#[derive(Clone, Debug)]
pub struct Mistake {
    pub at: Range<usize>,
    pub wrong: String,
    pub right: String,
}

fn mistake(at: Range<usize>, wrong: impl Into<String>, right: impl Into<String>) -> Mistake {
    Mistake { at, wrong: wrong.into(), right: right.into() }
}

/// Everything recognised in a chunk that cannot be read; empty where it is
/// nothing that is known.
pub fn explain(text: &str, chunk: &Chunk) -> Vec<Mistake> {
    let part = &text[chunk.span.clone()];
    let unprinted = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    let lone = |(at, c): &(usize, char)| unprinted(*c) && !part[*at..].starts_with("\r\n");
    if let Some((at, letter)) = part.char_indices().find(lone) {
        let at = chunk.span.start + at;
        let wrong = format!("a character that does not print: {}", letter.escape_default());
        return vec![mistake(at..at + letter.len_utf8(), wrong, "remove it")];
    }
    match &chunk.head {
        Head::Table { each, .. } => vec![table_name(text, chunk, *each)],
        Head::Odd => odd_line(text, chunk).into_iter().collect(),
        Head::Pair { value, .. }
            if text[value.clone()].trim_start().is_empty()
                || text[value.clone()].starts_with('#') =>
        {
            let wrong = "nothing stands after the equals sign";
            let at = chunk.span.start..value.start;
            vec![mistake(at, wrong, "type the value; \"-\" for an empty box, [] for an empty row")]
        }
        Head::Pair { value, .. } => in_value(text, value.clone()),
    }
}

/// What the library says, in the words of this program.
pub fn library(message: &str) -> (String, &'static str) {
    if message.contains("escape") {
        let right = "type it twice, or put the text in single quotes";
        return ("a backslash in a text".into(), right);
    }
    let right = if message.contains("control character") || message.contains("invalid character") {
        "remove what does not print"
    } else {
        "a line is a key, an equals sign and one value: a figure, a text in quotes, or a list in [ ]"
    };
    (format!("cannot be read: {}", message.to_lowercase()), right)
}

fn table_name(text: &str, chunk: &Chunk, each: bool) -> Mistake {
    let (open, close) = if each { ("[[", "]]") } else { ("[", "]") };
    let line = text[chunk.span.clone()].lines().next().unwrap_or_default();
    let at = chunk.span.start..chunk.span.start + line.trim_end().len();
    let inner = line.trim_start_matches('[').split('#').next().unwrap_or_default();
    let (name, behind) = match inner.split_once(']') {
        Some((name, behind)) => (name.trim(), Some(behind.trim_start_matches(']').trim())),
        None => (inner.trim(), None),
    };
    let words: Vec<&str> = name.split_whitespace().collect();
    let right = format!("{open}{}{close}", words.join("-"));
    if name.is_empty() {
        return mistake(at, "a table without a name", "write its name in the brackets: [engine]");
    }
    if behind.is_some_and(|behind| !behind.is_empty()) {
        return mistake(at, "something follows the table's name", "put it on the next line");
    }
    if words.len() > 1 && !name.contains(['"', '\'']) {
        return mistake(at, "a space inside a table's name", right);
    }
    if behind.is_none() || !line.contains(close) {
        return mistake(at, "the bracket of the table's name is not closed", right);
    }
    mistake(
        at,
        format!("{name} is not a name"),
        "letters, digits, - and _, the parts set apart by points",
    )
}

/// A line that is neither a key with its value nor a table's name.
fn odd_line(text: &str, chunk: &Chunk) -> Option<Mistake> {
    let line = text[chunk.span.clone()].lines().next()?.trim_end();
    let at = chunk.span.start..chunk.span.start + line.len();
    let first = line.chars().next()?;
    if matches!(first, ']' | '}') {
        let at = at.start..at.start + 1;
        return Some(mistake(
            at,
            format!("{first} closes nothing"),
            "remove it, or open the bracket before",
        ));
    }
    if line.starts_with("//") || matches!(first, ';' | '%') {
        return Some(mistake(
            at,
            "a remark starts with #",
            format!("# {}", line.trim_start_matches(['/', ';', '%', ' '])),
        ));
    }
    if curly(first) {
        return Some(mistake(at, "a curly quote", "type straight quotes: \""));
    }
    let Some((key, value)) = line.split_once('=') else {
        return Some(no_equals(line, at));
    };
    let key_at = at.start..at.start + key.trim_end().len();
    let words: Vec<&str> = key.split_whitespace().collect();
    if words.is_empty() {
        return Some(mistake(
            at,
            "nothing stands before the equals sign",
            format!("key = {}", value.trim()),
        ));
    }
    let plain =
        |word: &&str| word.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b));
    if words.len() > 1 && words.iter().all(plain) {
        return Some(mistake(key_at, "a space inside a key", format!("{} =", words.join("-"))));
    }
    let wrong = format!("{} is not a key", key.trim());
    Some(mistake(key_at, wrong, "letters, digits, - and _, the parts set apart by points"))
}

fn no_equals(line: &str, at: Range<usize>) -> Mistake {
    let letter = |c: char| c.is_ascii_alphanumeric() || "-_.".contains(c);
    let key = &line[..line.find(|c| !letter(c)).unwrap_or(line.len())];
    let rest = line[key.len()..].trim_start();
    if key.is_empty() {
        return mistake(
            at,
            "neither a key nor a table's name",
            "write key = value, or # before a remark",
        );
    }
    if rest.is_empty() {
        return mistake(
            at,
            format!("{key} stands alone"),
            format!("{key} = and its value, or # before a remark"),
        );
    }
    if let Some(value) = rest.strip_prefix(':') {
        let right = format!("{key} = {}", value.trim());
        return mistake(at, "a colon typed for the equals sign", right);
    }
    if rest.starts_with(['[', '{', '"', '\'']) || rest.starts_with(|c: char| c.is_ascii_digit()) {
        return mistake(
            at,
            format!("the equals sign is missing after {key}"),
            format!("{key} = {rest}"),
        );
    }
    mistake(at, "a line without an equals sign", "write key = value, or # before a remark")
}

fn curly(letter: char) -> bool {
    matches!(letter, '\u{2018}'..='\u{201f}' | '«' | '»' | '´' | '`')
}

/// A piece of a value.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Piece<'a> {
    Open(char),
    Close(char),
    Comma,
    Equals,
    Text(&'a str),
    /// A text whose line ends before it does.
    Unclosed,
    Curly(&'a str),
    /// A figure, a date, a word without quotes.
    Bare(&'a str),
}

fn pieces(text: &str, span: Range<usize>) -> Vec<(Range<usize>, Piece<'_>)> {
    let mut out = Vec::new();
    let mut at = span.start;
    while let Some(first) = text[at..span.end].chars().next() {
        let rest = &text[at..span.end];
        let (length, piece) = match first {
            '#' => (rest.find('\n').unwrap_or(rest.len()), None),
            c if c.is_whitespace() => (c.len_utf8(), None),
            '[' | '{' => (1, Some(Piece::Open(first))),
            ']' | '}' => (1, Some(Piece::Close(first))),
            ',' => (1, Some(Piece::Comma)),
            '=' => (1, Some(Piece::Equals)),
            '"' | '\'' => match text_end(rest) {
                TextEnd::At(end) => (end, Some(Piece::Text(&rest[..end]))),
                _ => (rest.find('\n').unwrap_or(rest.len()), Some(Piece::Unclosed)),
            },
            c if curly(c) => {
                let inner = &rest[c.len_utf8()..];
                let line = inner.find('\n').unwrap_or(inner.len());
                let end = inner[..line].find(|c| curly(c) || c == '"').unwrap_or(line);
                let mark =
                    inner[end..].chars().next().filter(|c| *c != '\n').map_or(0, char::len_utf8);
                (c.len_utf8() + end + mark, Some(Piece::Curly(&inner[..end])))
            }
            _ => {
                let ends = |c: char| c.is_whitespace() || "[]{},=#".contains(c);
                let end = rest.find(ends).unwrap_or(rest.len());
                (end, Some(Piece::Bare(&rest[..end])))
            }
        };
        out.extend(piece.map(|piece| (at..at + length, piece)));
        at += length;
    }
    out
}

/// Everything wrong inside a value. Brackets are spoken of only where nothing
/// else is wrong: one cause, one message.
fn in_value(text: &str, span: Range<usize>) -> Vec<Mistake> {
    let pieces = pieces(text, span.clone());
    let mut found = Vec::new();
    let mut bracket = None;
    let mut open: Vec<(usize, char)> = Vec::new();
    let mut skip_to = 0;
    for (index, (at, piece)) in pieces.iter().enumerate() {
        if at.start < skip_to {
            continue;
        }
        let before = index.checked_sub(1).map(|before| &pieces[before]);
        let in_list = open.last().map(|(_, mark)| *mark);
        match piece {
            Piece::Open(mark) => open.push((at.start, *mark)),
            Piece::Close(mark) => {
                bracket = bracket.or(closes(open.pop(), *mark, at.clone()));
            }
            Piece::Comma if in_list.is_none() => {
                if found.is_empty() {
                    found.push(comma_outside(text, &pieces, index));
                }
                break;
            }
            Piece::Comma if matches!(before, Some((_, Piece::Open(_) | Piece::Comma))) => {
                found.push(mistake(
                    at.clone(),
                    "nothing stands before the comma",
                    "type \"-\" for an empty box",
                ));
            }
            Piece::Equals if in_list != Some('{') => {
                found.push(mistake(at.clone(), "a second equals sign", "one key a line"));
                break;
            }
            Piece::Curly(inner) => {
                found.push(mistake(
                    at.clone(),
                    "a curly quote",
                    format!("type straight quotes: \"{inner}\""),
                ));
            }
            Piece::Unclosed => {
                let quote = &text[at.start..at.start + 1];
                found.push(mistake(
                    at.clone(),
                    "the text is not closed",
                    format!("type {quote} at its end"),
                ));
            }
            Piece::Bare(bare) if !is_key(&pieces, index, in_list) => {
                let joined = follows(text, &pieces, index);
                if let Some(joined) = joined {
                    found.push(joined);
                } else if let Some((wrong, right)) = bare_word(bare) {
                    let end = if right.is_empty() { words_end(&pieces, index) } else { at.end };
                    let all = &text[at.start..end];
                    let right = if right.is_empty() { format!("\"{all}\"") } else { right };
                    found.push(mistake(at.start..end, wrong, right));
                    skip_to = end;
                }
            }
            Piece::Text(_) => found.extend(follows(text, &pieces, index)),
            _ => {}
        }
    }
    if found.is_empty() {
        let never = open.first().map(|(at, mark)| {
            let close = if *mark == '[' { ']' } else { '}' };
            mistake(
                *at..*at + 1,
                format!("the bracket {mark} is not closed"),
                format!("type {close} at its end"),
            )
        });
        found.extend(bracket.or(never));
    }
    found
}

fn closes(open: Option<(usize, char)>, mark: char, at: Range<usize>) -> Option<Mistake> {
    match open {
        None => Some(mistake(
            at,
            format!("{mark} closes nothing"),
            "remove it, or open the bracket before",
        )),
        Some((_, '[')) if mark == '}' => Some(mistake(at, "} closes a [", "type ]")),
        Some((_, '{')) if mark == ']' => Some(mistake(at, "] closes a {", "type }")),
        Some(_) => None,
    }
}

/// Inside braces, what stands before an equals sign is a key.
fn is_key(pieces: &[(Range<usize>, Piece<'_>)], index: usize, within: Option<char>) -> bool {
    within == Some('{') && matches!(pieces.get(index + 1), Some((_, Piece::Equals)))
}

/// A comma where no list is open: typed for the point, or a list without its
/// brackets.
fn comma_outside(text: &str, pieces: &[(Range<usize>, Piece<'_>)], index: usize) -> Mistake {
    let around = (index.checked_sub(1).map(|at| &pieces[at]), pieces.get(index + 1));
    if let (Some((left, Piece::Bare(whole))), Some((right, Piece::Bare(places)))) = around {
        if figure::digits(whole) && figure::digits(places) && left.end + 1 == right.start {
            let at = left.start..right.end;
            return mistake(at, "a comma typed for the point", format!("{whole}.{places}"));
        }
    }
    let filled =
        |piece: &&(Range<usize>, Piece<'_>)| !matches!(piece.1, Piece::Close(_) | Piece::Comma);
    let last = pieces.iter().rev().find(filled).map_or(pieces[index].0.end, |(at, _)| at.end);
    let first = pieces[0].0.start;
    let right = format!("[{}]", &text[first..last]);
    mistake(first..last, "several values without brackets", right)
}

/// Two values with nothing but spaces between them.
fn follows(text: &str, pieces: &[(Range<usize>, Piece<'_>)], index: usize) -> Option<Mistake> {
    let (at, piece) = &pieces[index];
    let (before_at, before) = &pieces[index.checked_sub(1)?];
    let at = before_at.start..at.end;
    match (before, piece) {
        (Piece::Bare(left), Piece::Bare(right)) if figure::plain(left) && figure::plain(right) => {
            Some(if left.contains('.') && figure::digits(right) && right.len() < 4 {
                mistake(at, format!("a space inside {left} {right}"), format!("{left}{right}"))
            } else {
                mistake(
                    at,
                    format!("the comma between {left} and {right} is missing"),
                    format!("{left}, {right}"),
                )
            })
        }
        (Piece::Bare(left), Piece::Bare(unit)) if figure::plain(left) && !unit.contains('.') => {
            let dash = unit.starts_with(['-', '\u{2013}']);
            let letters = unit.starts_with(char::is_alphabetic) || unit.starts_with(['µ', '°']);
            (letters && !dash).then(|| {
                mistake(at, format!("{unit} behind a figure"), format!("digits only: {left}"))
            })
        }
        (Piece::Text(_) | Piece::Bare(_), Piece::Text(_)) => {
            let between = text[before_at.end..pieces[index].0.start].trim().is_empty();
            let figure = matches!(before, Piece::Bare(left) if figure::plain(left));
            (between && (figure || matches!(before, Piece::Text(_)))).then(|| {
                mistake(at, "the comma between two values is missing", "type , between them")
            })
        }
        _ => None,
    }
}

/// Where a run of words without quotes ends.
fn words_end(pieces: &[(Range<usize>, Piece<'_>)], index: usize) -> usize {
    let run = pieces[index..].iter().take_while(|(_, piece)| matches!(piece, Piece::Bare(_)));
    run.last().map_or(pieces[index].0.end, |(at, _)| at.end)
}

/// What is wrong with something that stands without quotes; an empty right
/// asks for the quotes.
fn bare_word(bare: &str) -> Option<(String, String)> {
    if matches!(bare, "true" | "false") || Date::read(bare).is_some() {
        return None;
    }
    if matches!(bare, "-" | "--" | "\u{2013}" | "\u{2014}") {
        return Some(("an empty box without quotes".into(), "\"-\"".into()));
    }
    if let Some(flag) = flag_word(bare) {
        return Some((format!("{bare} is neither true nor false"), flag.into()));
    }
    if let Some(found) = date_like(bare) {
        return Some(found);
    }
    if let Some(inner) = bare.strip_suffix(';') {
        return Some(("a semicolon typed for the comma".into(), format!("{inner},")));
    }
    if bare.starts_with('(') || bare.ends_with(')') {
        return Some(("round brackets".into(), "a list stands in [ ]".into()));
    }
    if let Some(figure) = bare.strip_prefix('±') {
        return Some(("± before a figure".into(), format!("digits only: {figure}")));
    }
    if letters_for_digits(bare) {
        let wrong = format!("{bare} has letters among its digits");
        return Some((wrong, "digits and one point: 1.3731".into()));
    }
    if bare.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)) {
        return figure::typed(bare);
    }
    if figure::special(bare) {
        return None;
    }
    Some(("a text without quotes".into(), String::new()))
}

/// A figure in which l, I or O stands for a one or a zero.
fn letters_for_digits(bare: &str) -> bool {
    let meant = bare.replace(['l', 'I'], "1").replace(['o', 'O'], "0");
    meant != bare && meant.contains('.') && figure::plain(&meant)
}

fn flag_word(bare: &str) -> Option<&'static str> {
    match bare.to_ascii_lowercase().as_str() {
        "true" | "yes" | "on" => Some("true"),
        "false" | "no" | "off" => Some("false"),
        _ => None,
    }
}

/// Days written otherwise, or that do not exist.
fn date_like(bare: &str) -> Option<(String, String)> {
    let parts: Vec<&str> = bare.split(['-', '/', '.']).collect();
    let digits = parts.len() == 3 && parts.iter().all(|part| figure::digits(part));
    if !digits
        || !parts.iter().any(|part| part.len() == 4)
        || parts.iter().any(|part| part.len() > 4)
    {
        return None;
    }
    let shaped = bare.len() == 10
        && bare.as_bytes().get(4) == Some(&b'-')
        && bare.as_bytes().get(7) == Some(&b'-');
    Some(if shaped {
        (format!("there is no day {bare}"), "look at the paper: year-month-day".into())
    } else {
        ("a date typed another way".into(), "year-month-day: 2026-03-02".into())
    })
}
