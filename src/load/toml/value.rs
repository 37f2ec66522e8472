//! What is wrong inside a value that cannot be read: its pieces, one by one.

use super::bare::bare_word;
use super::lexer::{self, Kind, Token, closed};
use super::number;
use std::ops::Range;

/// One thing wrong, placed in the whole text.
#[derive(Clone, Debug)]
pub struct Mistake {
    pub at: Range<usize>,
    pub message: String,
    pub help: String,
}

pub fn mistake(at: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Mistake {
    Mistake { at, message: message.into(), help: help.into() }
}

/// Quotes that a word processor puts in the place of straight ones.
pub fn curly(letter: char) -> bool {
    matches!(letter, '\u{2018}'..='\u{201f}' | '«' | '»' | '´' | '`')
}

/// Where a curly quote or a line ends what stands in curly quotes.
fn curly_end(letter: char) -> bool {
    curly(letter) || matches!(letter, '"' | '\n')
}

/// The pieces of a value: its tokens, but what has no quotes is one from blank
/// to blank, and so is what stands in curly ones.
fn pieces(text: &str) -> Vec<Token> {
    let ends = |letter: char| letter.is_whitespace() || "[]{},=#".contains(letter);
    let mut pieces = Vec::new();
    let mut done = 0;
    for token in lexer::tokens(text) {
        if !matches!(token.kind, Kind::Atom | Kind::Dot) {
            let remark = matches!(token.kind, Kind::Newline | Kind::Comment);
            pieces.extend((token.at.start >= done && !remark).then_some(token));
            continue;
        }
        done = done.max(token.at.start);
        let words = |done| text.get(done..token.at.end).map_or("", str::trim_start);
        while !words(done).is_empty() {
            let from = token.at.end - words(done).len();
            let left = &text[from..];
            let length = match left.starts_with(curly) {
                true => left.match_indices(curly_end).nth(1).map(|(at, end)| at + end.trim().len()),
                false => left.find(ends),
            };
            done = from + length.unwrap_or(left.len());
            pieces.push(Token { kind: Kind::Atom, at: from..done });
        }
    }
    pieces
}

/// A figure, a date, a word without quotes.
fn bare<'a>(text: &'a str, piece: &Token) -> Option<&'a str> {
    Some(piece.said(text)).filter(|said| piece.kind == Kind::Atom && !said.starts_with(curly))
}

/// Everything wrong inside a value. Brackets are spoken of only where nothing
/// else is wrong: one cause, one message.
pub fn in_value(text: &str) -> Vec<Mistake> {
    let pieces = pieces(text);
    let mut found = Vec::new();
    let mut bracket = None;
    let mut open: Vec<&Token> = Vec::new();
    let mut skip_to = 0;
    for (index, piece) in pieces.iter().enumerate() {
        if piece.at.start < skip_to {
            continue;
        }
        let (at, said) = (piece.at.clone(), piece.said(text));
        let within = open.last().map(|open| open.kind);
        match piece.kind {
            Kind::LeftSquareBracket | Kind::LeftCurlyBracket => open.push(piece),
            Kind::RightSquareBracket | Kind::RightCurlyBracket => {
                bracket = bracket.or(closes(open.pop(), said, at));
            }
            Kind::Comma if within.is_none() => {
                if found.is_empty() {
                    found.push(comma_outside(text, &pieces, index));
                }
                break;
            }
            Kind::Comma => {
                let before = index.checked_sub(1).map_or("", |before| pieces[before].said(text));
                if matches!(before, "[" | "{" | ",") {
                    let message = "nothing stands before the comma";
                    found.push(mistake(at, message, "type \"-\" for an empty box"));
                }
            }
            Kind::Equals if within != Some(Kind::LeftCurlyBracket) => {
                found.push(mistake(at, "a second equals sign", "one key a line"));
                break;
            }
            Kind::Equals => {}
            Kind::Atom if said.starts_with(curly) => {
                let inner = said.trim_start_matches(curly).trim_end_matches(curly_end);
                let help = format!("type straight quotes: \"{inner}\"");
                found.push(mistake(at, "a curly quote", help));
            }
            Kind::Atom if is_key(&pieces, index, within) => {}
            Kind::Atom => {
                if let Some(joined) = follows(text, &pieces, index) {
                    found.push(joined);
                } else if let Some((message, help)) = bare_word(said) {
                    let end =
                        if help.is_empty() { words_end(text, &pieces, index) } else { at.end };
                    let all = &text[at.start..end];
                    let help = if help.is_empty() { format!("\"{all}\"") } else { help };
                    found.push(mistake(at.start..end, message, help));
                    skip_to = end;
                }
            }
            _ if closed(said) => found.extend(follows(text, &pieces, index)),
            _ => {
                let help = format!("type {} at its end", &said[..1]);
                found.push(mistake(at, "the text is not closed", help));
            }
        }
    }
    if found.is_empty() {
        let never = open.first().map(|open| {
            let close = if open.kind == Kind::LeftSquareBracket { ']' } else { '}' };
            mistake(
                open.at.clone(),
                format!("the bracket {} is not closed", open.said(text)),
                format!("type {close} at its end"),
            )
        });
        found.extend(bracket.or(never));
    }
    found
}

fn closes(open: Option<&Token>, mark: &str, at: Range<usize>) -> Option<Mistake> {
    let (message, help) = match (open.map(|open| open.kind), mark) {
        (None, _) => (format!("{mark} closes nothing"), "remove it, or open the bracket before"),
        (Some(Kind::LeftSquareBracket), "}") => ("} closes a [".into(), "type ]"),
        (Some(Kind::LeftCurlyBracket), "]") => ("] closes a {".into(), "type }"),
        _ => return None,
    };
    Some(mistake(at, message, help))
}

/// Inside braces, what stands before an equals sign is a key.
fn is_key(pieces: &[Token], index: usize, within: Option<Kind>) -> bool {
    within == Some(Kind::LeftCurlyBracket)
        && pieces.get(index + 1).is_some_and(|next| next.kind == Kind::Equals)
}

/// A comma where no list is open: typed for the point, or a list without its
/// brackets.
fn comma_outside(text: &str, pieces: &[Token], index: usize) -> Mistake {
    if let Some([left, _, right]) = pieces.get(index.wrapping_sub(1)..index.wrapping_add(2))
        && let (whole, places) = (left.said(text), right.said(text))
        && number::digits(whole)
        && number::digits(places)
        && left.at.end + 1 == right.at.start
    {
        let at = left.at.start..right.at.end;
        return mistake(at, "a comma typed for the point", format!("{whole}.{places}"));
    }
    let filled = |piece: &&Token| !matches!(piece.said(text), "]" | "}" | ",");
    let last = pieces.iter().rfind(filled).unwrap_or(&pieces[index]).at.end;
    let first = pieces[0].at.start;
    let help = format!("[{}]", &text[first..last]);
    mistake(first..last, "several values without brackets", help)
}

/// Two values with nothing but spaces between them.
fn follows(text: &str, pieces: &[Token], index: usize) -> Option<Mistake> {
    let (left, right) = (&pieces[index.checked_sub(1)?], &pieces[index]);
    let (at, figure) = (left.at.start..right.at.end, left.said(text));
    let plain = number::plain(figure);
    let Some(unit) = bare(text, right) else {
        let quoted = left.kind.encoding().is_some() && closed(figure);
        let message = "the comma between two values is missing";
        return (plain || quoted).then(|| mistake(at, message, "type , between them"));
    };
    if !plain {
        return None;
    }
    if number::plain(unit) {
        return Some(if figure.contains('.') && number::digits(unit) && unit.len() < 4 {
            mistake(at, format!("a space inside {figure} {unit}"), format!("{figure}{unit}"))
        } else {
            mistake(
                at,
                format!("the comma between {figure} and {unit} is missing"),
                format!("{figure}, {unit}"),
            )
        });
    }
    let letters = unit.starts_with(char::is_alphabetic) || unit.starts_with(['µ', '°']);
    (letters && !unit.contains('.'))
        .then(|| mistake(at, format!("{unit} behind a figure"), format!("digits only: {figure}")))
}

/// Where a run of words without quotes ends.
fn words_end(text: &str, pieces: &[Token], index: usize) -> usize {
    let run = pieces[index..].iter().take_while(|piece| bare(text, piece).is_some());
    run.last().map_or(pieces[index].at.end, |piece| piece.at.end)
}
