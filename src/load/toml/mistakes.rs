//! What a mechanic types that is not TOML, and what would be right.

use super::chunk::{Chunk, Head};
use super::value::{Mistake, curly, in_value, mistake};
use std::ops::Range;

/// Everything recognised in a chunk that cannot be read; empty where it is
/// nothing that is known.
pub fn explain(text: &str, chunk: &Chunk) -> Vec<Mistake> {
    let part = &text[chunk.span.clone()];
    let unprinted = |c: char| c == '\u{feff}' || c.is_control() && !matches!(c, '\n' | '\t');
    let lone = |(at, c): &(usize, char)| unprinted(*c) && !part[*at..].starts_with("\r\n");
    if let Some((at, letter)) = part.char_indices().find(lone) {
        let at = chunk.span.start + at;
        let message = format!("a character that does not print: {}", letter.escape_default());
        return vec![mistake(at..at + letter.len_utf8(), message, "remove it")];
    }
    match &chunk.head {
        Head::Table { each, .. } => vec![table_name(text, chunk, *each)],
        Head::Odd => odd_line(text, chunk).into_iter().collect(),
        Head::Pair { value, .. }
            if text[value.clone()].is_empty() || text[value.clone()].starts_with('#') =>
        {
            let message = "nothing stands after the equals sign";
            let at = chunk.span.start..value.start;
            vec![mistake(
                at,
                message,
                "type the value; \"-\" for an empty box, [] for an empty row",
            )]
        }
        Head::Pair { value, .. } => {
            let from = value.start;
            let placed = |at: Range<usize>| from + at.start..from + at.end;
            let found = in_value(&text[value.clone()]).into_iter();
            found.map(|found| Mistake { at: placed(found.at), ..found }).collect()
        }
    }
}

/// What the library says, in the words of this program.
pub fn library(message: &str) -> (String, &'static str) {
    if message.contains("escape") {
        let help = "type it twice, or put the text in single quotes";
        return ("a backslash in a text".into(), help);
    }
    if message.contains("missing comma") {
        return ("the comma between two values is missing".into(), "type , between them");
    }
    let help = if message.contains("control character") || message.contains("invalid character") {
        "remove what does not print"
    } else {
        "a line is a key, an equals sign and one value: a figure, a text in quotes, or a list in [ ]"
    };
    (format!("cannot be read: {}", message.to_lowercase()), help)
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
    let help = format!("{open}{}{close}", words.join("-"));
    if name.is_empty() {
        return mistake(at, "a table without a name", "write its name in the brackets: [engine]");
    }
    if behind.is_some_and(|behind| !behind.is_empty()) {
        return mistake(at, "something follows the table's name", "put it on the next line");
    }
    if words.len() > 1 && !name.contains(['"', '\'']) {
        return mistake(at, "a space inside a table's name", help);
    }
    if behind.is_none() || !line.contains(close) {
        return mistake(at, "the bracket of the table's name is not closed", help);
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
        let row = words[0].bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit());
        let joint = if row { "." } else { "-" };
        return Some(mistake(key_at, "a space inside a key", format!("{} =", words.join(joint))));
    }
    let message = format!("{} is not a key", key.trim());
    Some(mistake(key_at, message, "letters, digits, - and _, the parts set apart by points"))
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
        let help = format!("{key} = {}", value.trim());
        return mistake(at, "a colon typed for the equals sign", help);
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
