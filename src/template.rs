//! Bounded templates: the texts of the forms, filled in from the engine, the
//! limits, the job and the place. The only file that names `tera`.
//!
//! Forms may come from strangers (a report carries its own), so a text is let
//! through to the template engine only when every word of its expressions is
//! on a list: names, texts, a few filters that cannot grow what they are
//! given, and a choice by `if`. There are no statements, loops, calls,
//! arithmetic or brackets. Finished text is a plain `String`; only a text of
//! a form, known by its place, is ever a template, so nothing that a job or a
//! transcription says can become one.

use crate::diag::{Diags, Span, unprinted};
use std::collections::{BTreeMap, HashMap};
use std::ops::Range;
use std::sync::Arc;
use tera::{Delimiters, Tera};

/// The longest text with expressions, and the longest value put into one, in
/// bytes.
pub const LONGEST: usize = 2048;
/// Words and signs in one expression; expressions in one text.
const WORDS: usize = 40;
const EXPRESSIONS: usize = 32;
/// None of them gives back much more than it was given, in time or in space.
const FILTERS: &[&str] = &["upper", "lower", "capitalize", "title", "trim", "default"];
const SIGNS: &[&str] = &["==", "!=", "|", "~", "(", ")", "=", ","];
const CHOICES: &[&str] = &["if", "else", "and", "or", "not"];

/// A text that knows where it was typed.
pub trait Placed {
    fn text(&self) -> &str;
    fn place(&self) -> &Span;
}

/// What texts are filled in with: dotted names (`engine.model`) and finished
/// texts.
#[derive(Clone, Debug, Default)]
pub struct Values(BTreeMap<String, String>);

/// Every template of a set of forms, compiled.
pub struct Wording {
    tera: Tera,
    /// Which template stands at a place.
    at: HashMap<(Arc<str>, usize), usize>,
    /// The names that each template uses, with their places in its text.
    names: Vec<Vec<(String, Range<usize>)>>,
}

impl Values {
    pub fn new() -> Values {
        Values::default()
    }

    pub fn put(&mut self, name: impl Into<String>, text: impl Into<String>) {
        self.0.insert(name.into(), text.into());
    }

    /// This with some more names: a row's place upon a sheet's.
    pub fn with(&self, name: impl Into<String>, text: impl Into<String>) -> Values {
        let mut context = self.clone();
        context.put(name, text);
        context
    }

    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(String::as_str)
    }

    /// Nested as the template engine wants it; every value is a text.
    fn nested(&self) -> tera::Context {
        let mut groups: BTreeMap<&str, BTreeMap<&str, &str>> = BTreeMap::new();
        let mut context = tera::Context::new();
        for (name, text) in &self.0 {
            match name.split_once('.') {
                Some((group, inner)) => drop(groups.entry(group).or_default().insert(inner, text)),
                None => context.insert(name.clone(), text),
            }
        }
        for (group, names) in groups {
            context.insert(group.to_string(), &names);
        }
        context
    }
}

impl Wording {
    /// Compiles the texts of the forms in one batch. Every text that is not
    /// within bounds is a fault at its place; `None` where there is one.
    pub fn compile<T: Placed>(texts: &[&T], out: &mut Diags) -> Option<Wording> {
        let before = out.faults();
        let mut at = HashMap::new();
        let mut numbers: HashMap<&str, usize> = HashMap::new();
        let mut names = Vec::new();
        let mut batch: Vec<(String, &str)> = Vec::new();
        for word in texts {
            let text = word.text();
            let Some(used) = bounded(*word, out).filter(|_| text.contains("{{")) else {
                continue;
            };
            let number = *numbers.entry(text).or_insert_with(|| {
                names.push(used);
                batch.push((title(names.len() - 1), text));
                names.len() - 1
            });
            at.insert((word.place().file.clone(), word.place().start), number);
        }
        let mut tera = engine()?;
        if tera.add_raw_templates(batch).is_err() {
            for word in texts.iter().filter(|word| word.text().contains("{{")) {
                unsound(*word, out);
            }
        }
        (out.faults() == before).then_some(Wording { tera, at, names })
    }

    /// A text filled in. What is no template of this wording, a text of the
    /// job among it, is given back as typed. A name that the context lacks is
    /// a fault at its place.
    pub fn say<T: Placed>(&self, word: &T, context: &Values, out: &mut Diags) -> String {
        let Some(number) = self.at.get(&(word.place().file.clone(), word.place().start)) else {
            return word.text().to_string();
        };
        let mut sound = true;
        for (name, at) in self.names.get(*number).into_iter().flatten() {
            match context.get(name) {
                Some(text) if text.len() <= LONGEST => continue,
                Some(_) => {
                    let help = format!("{LONGEST} bytes at most");
                    out.fault(&within(word, at), format!("{name} is too long for a text"), help);
                }
                None => lacking(&within(word, at), name, context, out),
            }
            sound = false;
        }
        if !sound {
            return word.text().to_string();
        }
        match self.tera.render(&title(*number), &context.nested()) {
            Ok(said) => said,
            Err(error) => {
                let message = format!("the text cannot be filled in: {}", first_line(&error));
                out.fault(word.place(), message, "names, texts in quotes, and filters behind |");
                word.text().to_string()
            }
        }
    }
}

fn title(number: usize) -> String {
    format!("t{number}")
}

/// A template engine without statements and comments: their delimiters are
/// characters that no text may hold.
fn engine() -> Option<Tera> {
    let mut tera = Tera::new();
    let delimiters = Delimiters {
        block_start: "\u{1}\u{2}".into(),
        block_end: "\u{3}\u{2}".into(),
        comment_start: "\u{1}\u{4}".into(),
        comment_end: "\u{3}\u{4}".into(),
        ..Delimiters::default()
    };
    tera.set_delimiters(delimiters).ok()?;
    tera.autoescape_on(Vec::<&'static str>::new());
    Some(tera)
}

/// Says of one text whether the template engine takes it.
fn unsound(word: &impl Placed, out: &mut Diags) {
    let Some(mut tera) = engine() else { return };
    if let Err(error) = tera.add_raw_template("t", word.text()) {
        let message = format!("the expression cannot be read: {}", first_line(&error));
        out.fault(word.place(), message, "a name between double braces: {{ engine.model }}");
    }
}

fn first_line(error: &tera::Error) -> String {
    let told = error.to_string();
    let line = told
        .lines()
        .map(|line| line.trim().trim_start_matches("error: "))
        .find(|line| !line.is_empty());
    line.unwrap_or("no reason given").to_lowercase()
}

fn lacking(at: &Span, name: &str, context: &Values, out: &mut Diags) {
    let group = name.split('.').next().unwrap_or(name);
    let alike = context.0.keys().filter(|known| known.split('.').next() == Some(group));
    let mut listed: Vec<&str> = alike.map(String::as_str).collect();
    if listed.is_empty() {
        listed = context.0.keys().map(String::as_str).collect();
    }
    listed.truncate(12);
    out.fault(
        at,
        format!("there is nothing called {name} here"),
        format!("there are {}", listed.join(", ")),
    );
}

/// The place of a part of a text; the whole text where it holds escapes.
fn within(word: &impl Placed, part: &Range<usize>) -> Span {
    let at = word.place();
    let plain = at.end.saturating_sub(at.start) == word.text().len() + 2;
    match plain {
        true => Span::new(&at.file, at.start + 1 + part.start, at.start + 1 + part.end),
        false => at.clone(),
    }
}

/// Looks whether a text keeps within bounds, and gives the names it uses.
fn bounded(word: &impl Placed, out: &mut Diags) -> Option<Vec<(String, Range<usize>)>> {
    let text = word.text();
    let whole = 0..text.len();
    let refused = match look(text) {
        Ok(names) => return Some(names),
        Err(refused) => refused,
    };
    let (at, message, help) = match refused {
        Refused::Unprinted => {
            (whole, "a text with a character that does not print".into(), "remove it".into())
        }
        Refused::Long => (
            whole,
            format!("a text of {} bytes", text.len()),
            format!("{LONGEST} bytes at most where it has {{{{ }}}}"),
        ),
        Refused::Statement(at) => {
            let message = format!("{} starts a statement", &text[at.clone()]);
            (at, message, "only names between double braces: {{ engine.model }}".into())
        }
        Refused::Open(at) => (at, "{{ is not closed".into(), "type }} behind the name".into()),
        Refused::Empty(at) => {
            (at, "nothing stands between the braces".into(), "{{ engine.model }}".into())
        }
        Refused::Many(at) => (
            at,
            "too much for one text".into(),
            format!("{EXPRESSIONS} expressions of {WORDS} words at most"),
        ),
        Refused::Filter(at) => {
            let message = format!("there is no filter {}", &text[at.clone()]);
            (at, message, format!("the filters are {}", FILTERS.join(", ")))
        }
        Refused::Sign(at) => {
            let message = format!("{} has no place in an expression", &text[at.clone()]);
            (at, message, "names, texts in quotes, ~ between them, and filters behind |".into())
        }
    };
    out.fault(&within(word, &at), message, help);
    None
}

/// Why a text is no template.
enum Refused {
    Unprinted,
    Long,
    Statement(Range<usize>),
    Open(Range<usize>),
    Empty(Range<usize>),
    Many(Range<usize>),
    Filter(Range<usize>),
    Sign(Range<usize>),
}

fn look(text: &str) -> Result<Vec<(String, Range<usize>)>, Refused> {
    if text.chars().any(unprinted) {
        return Err(Refused::Unprinted);
    }
    for mark in ["{%", "{#"] {
        if let Some(at) = text.find(mark) {
            return Err(Refused::Statement(at..at + 2));
        }
    }
    if text.contains("{{") && text.len() > LONGEST {
        return Err(Refused::Long);
    }
    let mut names = Vec::new();
    let mut from = 0;
    let mut count = 0;
    while let Some(open) = text[from..].find("{{") {
        let start = from + open;
        count += 1;
        if count > EXPRESSIONS {
            return Err(Refused::Many(start..start + 2));
        }
        from = expression(text, start, &mut names)?;
    }
    Ok(names)
}

/// One expression from its braces on; where it ends.
fn expression(
    text: &str,
    start: usize,
    names: &mut Vec<(String, Range<usize>)>,
) -> Result<usize, Refused> {
    let mut at = start + 2;
    let mut words: Vec<&str> = Vec::new();
    let mut depth = 0u8;
    loop {
        at += text[at..].len() - text[at..].trim_start_matches(' ').len();
        let rest = &text[at..];
        if rest.starts_with("}}") {
            let end = at + 2;
            return if words.is_empty() { Err(Refused::Empty(start..end)) } else { Ok(end) };
        }
        let length = word_length(rest).ok_or(Refused::Open(start..start + 2))?;
        let (word, place) = (&rest[..length], at..at + length);
        let before = words.last().copied().unwrap_or_default();
        match word {
            "(" if FILTERS.contains(&before) && words.iter().rev().nth(1) == Some(&"|") => {
                depth += 1
            }
            "(" => return Err(Refused::Sign(place)),
            ")" | "=" | "," if depth == 0 => return Err(Refused::Sign(place)),
            ")" => depth -= 1,
            _ if SIGNS.contains(&word) || CHOICES.contains(&word) => {}
            _ if word.starts_with(['"', '\'']) => {}
            _ if !name_like(word) => return Err(Refused::Sign(place)),
            _ if before == "|" && !FILTERS.contains(&word) => return Err(Refused::Filter(place)),
            _ if before == "|" || depth > 0 => {}
            _ => names.push((word.to_string(), place)),
        }
        words.push(word);
        if words.len() > WORDS || words.iter().filter(|word| **word == "if").count() > 1 {
            return Err(Refused::Many(start..at));
        }
        at += length;
    }
}

/// How long the next word or sign is; `None` at the end of the text.
fn word_length(rest: &str) -> Option<usize> {
    let first = rest.chars().next()?;
    if matches!(first, '"' | '\'') {
        // A backslash could write what a text may not hold.
        let inner = &rest[1..];
        return inner
            .find(['"', '\'', '\\'])
            .filter(|end| inner[*end..].starts_with(first))
            .map(|end| end + 2);
    }
    let letter = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '.');
    if letter(first) {
        return Some(rest.find(|c| !letter(c)).unwrap_or(rest.len()));
    }
    let two = SIGNS.iter().any(|sign| sign.len() == 2 && rest.starts_with(sign));
    Some(if two { 2 } else { first.len_utf8() })
}

/// A name, or a group and a name in it.
fn name_like(word: &str) -> bool {
    let parts: Vec<&str> = word.split('.').collect();
    let sound = |part: &&str| part.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_');
    parts.len() <= 2 && parts.iter().all(sound) && !matches!(word, "for" | "in" | "is")
}
