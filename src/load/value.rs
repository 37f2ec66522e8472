//! What is wrong inside a value that cannot be read: its pieces, one by one.

use super::bare::bare_word;
use super::chunk::{TextEnd, text_end};
use super::figure;
use super::mistake::{Mistake, mistake};
use std::ops::Range;

/// Quotes that a word processor puts in the place of straight ones.
pub fn curly(letter: char) -> bool {
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
pub fn in_value(text: &str, span: Range<usize>) -> Vec<Mistake> {
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
    if let (Some((left, Piece::Bare(whole))), Some((right, Piece::Bare(places)))) = around
        && figure::digits(whole)
        && figure::digits(places)
        && left.end + 1 == right.start
    {
        let at = left.start..right.end;
        return mistake(at, "a comma typed for the point", format!("{whole}.{places}"));
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
