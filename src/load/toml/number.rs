//! Figures as they are typed: which are readings, and what is wrong with the
//! others.

use crate::quantity::{Exact, Unread};

/// Nothing but digits.
pub fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// A plain decimal, as far as its shape goes.
pub fn plain(text: &str) -> bool {
    let text = text.strip_prefix('-').unwrap_or(text);
    match text.split_once('.') {
        Some((whole, places)) => digits(whole) && digits(places),
        None => digits(text),
    }
}

/// `nan`, `inf`: TOML takes them for figures.
pub fn special(text: &str) -> bool {
    matches!(text.trim_start_matches(['+', '-']), "nan" | "inf")
}

/// The figure and its digits, or what is wrong and what would be right.
pub fn read(raw: &str) -> Result<Exact, (String, String)> {
    match Exact::read(raw) {
        Ok(value) => Ok(value),
        Err(_) if special(raw) => {
            Err((format!("{raw} is not a reading"), "\"-\" for an empty box".into()))
        }
        Err(Unread::Exponent) => Err(not_a_reading(raw, "an exponent")),
        Err(Unread::TooLong) => {
            let help = "seven digits before the point and seven behind it at most";
            Err((format!("{raw} has too many digits"), help.into()))
        }
        Err(_) if raw.contains('_') => Err(not_a_reading(raw, "a line among its digits")),
        Err(_) if raw.starts_with(['0', '+', '-']) && raw.contains(['x', 'o', 'b']) => {
            Err(not_a_reading(raw, "another base than ten"))
        }
        Err(_) => {
            Err(typed(raw).unwrap_or_else(|| not_a_reading(raw, "more than digits and a point")))
        }
    }
}

fn not_a_reading(raw: &str, has: &str) -> (String, String) {
    (
        format!("{raw} is not a reading: it has {has}"),
        "the digits as they were read, such as 1.3731".into(),
    )
}

/// What is wrong with something that starts like a figure; `None` where
/// nothing is, or TOML's own notation is the matter.
pub fn typed(raw: &str) -> Option<(String, String)> {
    let unsigned = raw.strip_prefix(['+', '-']).unwrap_or(raw);
    if plain(unsigned) {
        if unsigned.len() > 1 && unsigned.starts_with('0') && !unsigned.starts_with("0.") {
            let help = unsigned.trim_start_matches('0');
            let help = if help.is_empty() || help.starts_with('.') {
                format!("0{help}")
            } else {
                help.into()
            };
            return Some((format!("{raw} starts with a zero too many"), help));
        }
        return raw
            .starts_with('+')
            .then(|| (format!("{raw} has a plus sign"), format!("digits only: {unsigned}")));
    }
    if unsigned.starts_with('.') {
        let help = "type every digit, the whole inch or millimetres too".to_string();
        return Some((format!("the digits before the point of {raw} are missing"), help));
    }
    if let Some((whole, places)) = unsigned.split_once(',')
        && digits(whole)
        && digits(places)
    {
        return Some(("a comma typed for the point".into(), format!("{whole}.{places}")));
    }
    if unsigned.strip_suffix('.').is_some_and(digits) {
        return Some((
            format!("nothing stands after the point of {raw}"),
            "type the digits behind it too".to_string(),
        ));
    }
    if unsigned.matches('.').count() > 1
        && unsigned.bytes().all(|b| b.is_ascii_digit() || b == b'.')
    {
        return Some((format!("{raw} has two points"), "one point".into()));
    }
    let end = unsigned.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(unsigned.len());
    let (figure, letters) = unsigned.split_at(end);
    let exponent = letters.starts_with(['e', 'E'])
        && letters[1..].starts_with(|c: char| c.is_ascii_digit() || "+-".contains(c));
    if !plain(figure)
        || exponent
        || letters.starts_with('_')
        || (figure == "0" && letters.starts_with(['x', 'o', 'b']))
    {
        return (!plain(figure)).then(|| {
            (format!("{raw} is not a figure"), "digits and one point, such as 1.3731".into())
        });
    }
    if matches!(letters, "L" | "T" | "l" | "t") {
        return Some((
            format!("{raw} without quotes"),
            format!(
                "\"{figure}{}\" where it is a fit, else digits only: {figure}",
                letters.to_uppercase()
            ),
        ));
    }
    if letters.bytes().any(|b| b.is_ascii_digit()) {
        return Some((
            format!("{raw} has letters among its digits"),
            "digits and one point, such as 1.3731".into(),
        ));
    }
    Some((format!("{letters} behind a figure"), format!("digits only: {figure}")))
}

/// Nothing filled in.
pub fn blank(text: &str) -> bool {
    matches!(text.trim(), "" | "-")
}

pub fn figure_text(text: &str) -> bool {
    text.trim().starts_with(|c: char| c.is_ascii_digit() || ".-+".contains(c))
}
