//! What is written in one place of a record, as shown and as TOML.

use crate::model::record::Mark;
use crate::model::text::{Number, Text};

/// Shown and as TOML; `None` for a blank.
pub type Value = Option<(String, String)>;

/// Spaces do not count in words.
pub fn words(text: &str) -> Value {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let quoted = format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""));
    (!text.is_empty()).then_some((text, quoted))
}

pub fn word(word: &Option<Text>) -> Value {
    word.as_ref().and_then(|word| words(word.as_str()))
}

pub fn figure(typed: &Option<Number>) -> Value {
    typed.as_ref().map(|typed| (typed.text.to_string(), typed.text.to_string()))
}

pub fn list(all: &[Text]) -> Value {
    let each: Vec<(String, String)> = all.iter().filter_map(|one| words(one.as_str())).collect();
    let shown: Vec<&str> = each.iter().map(|(shown, _)| shown.as_str()).collect();
    let toml: Vec<&str> = each.iter().map(|(_, toml)| toml.as_str()).collect();
    match toml.as_slice() {
        [] => None,
        [one] => Some((shown.join(""), (*one).to_owned())),
        _ => Some((shown.join(" and "), format!("[{}]", toml.join(", ")))),
    }
}

pub fn zero(zero: &Option<[Mark; 2]>) -> Value {
    let looked = zero.filter(|marks| *marks != [Mark::Blank; 2]);
    looked.and_then(|marks| words(&marks.map(Mark::letter).iter().collect::<String>()))
}
