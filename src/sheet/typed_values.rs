//! Values of a record as they are typed.

use crate::model::record::Mark;
use crate::model::text::{Number, Text};

/// A text in quotes.
pub fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

pub fn word(text: Option<&Text>) -> String {
    quoted(text.map_or("", Text::as_str))
}

/// One text as it is, several in brackets.
pub fn words(texts: &[Text]) -> String {
    match texts {
        [] => quoted(""),
        [only] => quoted(only.as_str()),
        several => list(several),
    }
}

pub fn list(texts: &[Text]) -> String {
    let all: Vec<String> = texts.iter().map(|text| quoted(text.as_str())).collect();
    format!("[{}]", all.join(", "))
}

pub fn marks(marks: &[Mark]) -> String {
    let letters = marks.chunks(4).map(|four| four.iter().map(|mark| mark.letter()).collect());
    letters.collect::<Vec<String>>().join(" ")
}

/// Values in brackets, without the blank ones at the end; what is seldom needed
/// behind them by its key.
pub fn line(values: &[String], beside: &[(&str, Option<String>)]) -> String {
    let blank = |value: &&String| matches!(value.as_str(), "\"\"" | "\"--\"");
    let kept = values.len() - values.iter().rev().take_while(blank).count();
    let mut all = values[..kept.max(1).min(values.len())].to_vec();
    let named = |(key, value): &(&str, Option<String>)| {
        value.as_ref().map(|value| format!("{key} = {value}"))
    };
    let rest: Vec<String> = beside.iter().filter_map(named).collect();
    if !rest.is_empty() {
        all.push(format!("{{ {} }}", rest.join(", ")));
    }
    format!("[{}]", all.join(", "))
}

pub fn figure(number: Option<&Number>) -> Option<String> {
    number.map(|number| number.text.to_string())
}

pub fn leaf((tooth, leaf, entered): &(u32, Number, bool)) -> String {
    let told = if *entered { "entered" } else { "refused" };
    format!("[{tooth}, {}, \"{told}\"]", leaf.text)
}
