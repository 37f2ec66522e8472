//! Words that stand in a value without quotes.

use super::number;
use crate::quantity::date::Date;

/// What is wrong with something that stands without quotes, and what helps;
/// where that is empty, the quotes.
pub fn bare_word(bare: &str) -> Option<(String, String)> {
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
        let message = format!("{bare} has letters among its digits");
        return Some((message, "digits and one point, such as 1.3731".into()));
    }
    if bare.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)) {
        return number::typed(bare);
    }
    if number::special(bare) {
        return None;
    }
    Some(("a text without quotes".into(), String::new()))
}

/// A figure in which l, I or O stands for a one or a zero.
fn letters_for_digits(bare: &str) -> bool {
    let meant = bare.replace(['l', 'I'], "1").replace(['o', 'O'], "0");
    meant != bare && meant.contains('.') && number::plain(&meant)
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
    let digits = parts.len() == 3 && parts.iter().all(|part| number::digits(part));
    let year = parts.iter().any(|part| part.len() == 4);
    // 26-03-02: no figure has two lines among its digits.
    let short = !bare.contains('.') && parts.iter().all(|part| part.len() < 3);
    if !digits || !(year || short) || parts.iter().any(|part| part.len() > 4) {
        return None;
    }
    let shaped = bare.len() == 10
        && bare.as_bytes().get(4) == Some(&b'-')
        && bare.as_bytes().get(7) == Some(&b'-');
    Some(if shaped {
        (format!("there is no day {bare}"), "look at the paper: year-month-day".into())
    } else {
        ("a date typed another way".into(), "year-month-day, such as 2026-03-02".into())
    })
}
