//! Rust's text, split just far enough to tell code from comments and strings.

/// What a stretch of the text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum What {
    Code,
    Comment,
    Text,
}

/// The same length and lines, with comments and strings turned to spaces.
pub fn code(text: &str) -> String {
    keep(text, What::Code)
}

/// The same lines, with only the insides of strings kept.
pub fn strings(text: &str) -> String {
    keep(text, What::Text)
}

fn keep(text: &str, wanted: What) -> String {
    split(text)
        .into_iter()
        .map(|(c, what)| if c == '\n' || what == wanted { c } else { ' ' })
        .collect()
}

/// Code as it runs in the program: without its modules of tests.
pub fn shipped(code: &str) -> String {
    let mut kept = code.to_owned();
    while let Some(at) = kept.find("#[cfg(test)]") {
        let end = end_of_item(&kept[at..]).map_or(kept.len(), |n| at + n);
        let blank: String =
            kept[at..end].chars().map(|c| if c == '\n' { c } else { ' ' }).collect();
        kept.replace_range(at..end, &blank);
    }
    kept
}

/// Where the item that begins here ends: its `;`, or the brace that closes it.
fn end_of_item(text: &str) -> Option<usize> {
    let mut depth = 0_u32;
    for (at, c) in text.char_indices() {
        match c {
            ';' if depth == 0 => return Some(at + 1),
            '{' => depth += 1,
            '}' => {
                depth = depth.checked_sub(1)?;
                if depth == 0 {
                    return Some(at + 1);
                }
            }
            _ => {}
        }
    }
    None
}

fn split(text: &str) -> Vec<(char, What)> {
    let chars: Vec<char> = text.chars().collect();
    let mut out = Vec::with_capacity(chars.len());
    let mut at = 0;
    while at < chars.len() {
        let (length, what) = next(&chars[at..], out.last().map(|(c, _)| *c));
        for c in &chars[at..at + length] {
            out.push((*c, what));
        }
        at += length;
    }
    out
}

/// How long the next stretch is, and what it is.
fn next(rest: &[char], before: Option<char>) -> (usize, What) {
    let second = rest.get(1).copied();
    match rest[0] {
        '/' if second == Some('/') => (until(rest, '\n'), What::Comment),
        '/' if second == Some('*') => (block_comment(rest), What::Comment),
        '"' => (quoted(rest), What::Text),
        'r' if !before.is_some_and(in_a_word) => match raw(rest) {
            Some(length) => (length, What::Text),
            None => (1, What::Code),
        },
        '\'' => match letter(rest) {
            Some(length) => (length, What::Text),
            None => (1, What::Code),
        },
        _ => (1, What::Code),
    }
}

fn in_a_word(c: char) -> bool {
    c.is_alphanumeric() && c != 'b' || c == '_'
}

fn until(rest: &[char], end: char) -> usize {
    rest.iter().position(|c| *c == end).unwrap_or(rest.len())
}

fn block_comment(rest: &[char]) -> usize {
    let mut depth = 0;
    let mut at = 0;
    while at + 1 < rest.len() {
        match (rest[at], rest[at + 1]) {
            ('/', '*') => (depth, at) = (depth + 1, at + 2),
            ('*', '/') => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return at;
        }
    }
    rest.len()
}

fn quoted(rest: &[char]) -> usize {
    let mut at = 1;
    while at < rest.len() {
        match rest[at] {
            '\\' => at += 2,
            '"' => return at + 1,
            _ => at += 1,
        }
    }
    rest.len()
}

/// `r"..."`, `r#"..."#`: no escapes, ends with as many hashes.
fn raw(rest: &[char]) -> Option<usize> {
    let hashes = rest[1..].iter().take_while(|c| **c == '#').count();
    if rest.get(1 + hashes) != Some(&'"') {
        return None;
    }
    let mut at = 2 + hashes;
    while at < rest.len() {
        let tail = &rest[at + 1..];
        if rest[at] == '"' && tail.iter().take_while(|c| **c == '#').count() >= hashes {
            return Some(at + 1 + hashes);
        }
        at += 1;
    }
    Some(rest.len())
}

/// A letter in quotes; a lifetime is none.
fn letter(rest: &[char]) -> Option<usize> {
    if rest.get(1) == Some(&'\\') {
        return Some((2 + until(&rest[3.min(rest.len())..], '\'') + 2).min(rest.len()));
    }
    (rest.get(2) == Some(&'\'')).then_some(3)
}

/// A word, a number or a sign, with the line it stands in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    pub text: String,
    pub line: usize,
}

/// Words, numbers (with their point and letters), `::` and single signs.
pub fn tokens(code: &str) -> Vec<Token> {
    let chars: Vec<char> = code.chars().collect();
    let mut out: Vec<Token> = Vec::new();
    let (mut at, mut line) = (0, 1);
    while at < chars.len() {
        let c = chars[at];
        let length = if c.is_ascii_digit() {
            let field = out.last().is_some_and(|t| t.text == ".");
            number(&chars[at..], field)
        } else if c.is_alphanumeric() || c == '_' {
            let word = |c: &&char| c.is_alphanumeric() || **c == '_';
            chars[at..].iter().take_while(word).count()
        } else if c == ':' && chars.get(at + 1) == Some(&':') {
            2
        } else {
            1
        };
        if !c.is_whitespace() {
            let text = chars[at..at + length].iter().collect();
            out.push(Token { text, line });
        }
        line += usize::from(c == '\n');
        at += length;
    }
    out
}

/// A number; a tuple's field (`x.0.1`) has no point of its own, a range
/// (`0..2`) none either.
fn number(rest: &[char], field: bool) -> usize {
    let digit = |c: &&char| c.is_alphanumeric() || **c == '_';
    let whole = rest.iter().take_while(digit).count();
    let point = rest.get(whole) == Some(&'.') && !field;
    let fraction = rest.get(whole + 1).is_some_and(char::is_ascii_digit);
    if point && fraction {
        whole + 1 + rest[whole + 1..].iter().take_while(digit).count()
    } else {
        whole
    }
}
