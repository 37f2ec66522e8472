//! Figures as they are typed: which are readings, and what is wrong with the
//! others.

use super::keys::Key;
use super::toml::tree::{Node, Value};
use crate::diag::{Diags, Span};
use crate::quantity::{Exact, Fit, Unread, Unsigned};

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
            let right = "seven digits before the point and seven behind it at most";
            Err((format!("{raw} has too many digits"), right.into()))
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
            let right = unsigned.trim_start_matches('0');
            let right = if right.is_empty() || right.starts_with('.') {
                format!("0{right}")
            } else {
                right.into()
            };
            return Some((format!("{raw} starts with a zero too many"), right));
        }
        return raw
            .starts_with('+')
            .then(|| (format!("{raw} has a plus sign"), format!("digits only: {unsigned}")));
    }
    if unsigned.starts_with('.') {
        let right = "type every digit, the whole inch or millimetres too".to_string();
        return Some((format!("the digits before the point of {raw} are missing"), right));
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

/// A list of figures, `"-"` among them where `gaps`. True where commas stood
/// for points, so that the list is longer than was meant.
pub fn figures(key: &Key, list: &[Node], gaps: bool, out: &mut Diags) -> bool {
    let commas = commas(list, None, out);
    for node in list {
        match &node.value {
            Value::Figure(_) => check_digits(node, out),
            Value::Text(text) if gaps && blank(text) => {}
            Value::Text(text) if figure_text(text) => quoted(node, text, out),
            Value::Unread => {}
            _ => super::check::wrong_kind(key, node, out),
        }
    }
    commas
}

/// `[1,3731]`: TOML reads two whole numbers. `decimals` are the row's, where
/// they are known. True where that was found.
pub fn commas(list: &[Node], decimals: Option<u8>, out: &mut Diags) -> bool {
    let before = out.faults();
    let mut index = 0;
    while let [left, right, ..] = &list[index..] {
        index += 1;
        let (Value::Figure(whole), Value::Figure(places)) = (&left.value, &right.value) else {
            continue;
        };
        let touching = left.at.end + 1 == right.at.start;
        if !touching || !digits(whole) || !digits(places) {
            continue;
        }
        let typed = match decimals {
            Some(decimals) => decimals > 0,
            None => {
                whole.len() <= 2 && (places.len() == 4 || whole.len() == 1 && places.len() == 3)
            }
        };
        if typed {
            let at = Span { end: right.at.end, ..left.at.clone() };
            out.fault(&at, "a comma typed for the point", format!("{whole}.{places}"));
            index += 1;
        }
    }
    out.faults() > before
}

/// A figure's digits.
pub fn check_digits(node: &Node, out: &mut Diags) {
    if let Value::Figure(raw) = &node.value
        && let Err((wrong, right)) = read(raw)
    {
        out.fault(&node.at, wrong, right);
    }
}

pub fn figure_text(text: &str) -> bool {
    text.trim().starts_with(|c: char| c.is_ascii_digit() || ".-+".contains(c))
}

/// A figure typed in quotes where no fit stands.
pub fn quoted(node: &Node, text: &str, out: &mut Diags) {
    let text = text.trim();
    if let Some(figure) = text.strip_suffix(['L', 'T', 'l', 't']).filter(|text| plain(text)) {
        let wrong = format!("{text} where no fit stands: only a fit is loose or tight");
        return out.fault(&node.at, wrong, format!("digits only, without quotes: {figure}"));
    }
    let (wrong, right) = match read(text) {
        Ok(_) => (format!("the figure {text} stands in quotes"), format!("without quotes: {text}")),
        Err((wrong, right)) => (format!("{wrong}, and it stands in quotes"), right),
    };
    out.fault(&node.at, wrong, right);
}

/// A limit of a fit.
pub fn fit(node: &Node, out: &mut Diags) {
    let (text, text_typed) = match &node.value {
        Value::Text(text) if blank(text) => return,
        Value::Text(text) => (text, true),
        Value::Figure(raw) => (raw, false),
        Value::Unread => return,
        _ => {
            let right = "a fit in quotes with L or T: \"0.0010L\"";
            return out.fault(&node.at, format!("a fit that is {}", node.kind()), right);
        }
    };
    match Fit::read(text) {
        Ok(_) => {}
        Err(Unsigned::NoSide) => {
            let right = format!("\"{text}L\" for loose, \"{text}T\" for tight");
            out.fault(&node.at, format!("{text} without L or T"), right);
        }
        Err(Unsigned::Figure(_)) if text.trim_start().starts_with('-') => {
            let size = text.trim_start().trim_start_matches('-');
            out.fault(&node.at, "a fit with a minus sign", format!("\"{size}T\" for tight"));
        }
        Err(Unsigned::Figure(_)) => {
            let bare = text.trim_end().trim_end_matches(['L', 'T', 'l', 't']).trim_end();
            let (wrong, right) = match read(bare) {
                Err(found) => found,
                Ok(_) => (
                    format!("{text} is not a fit"),
                    "\"0.0010L\" for loose, \"0.0010T\" for tight".into(),
                ),
            };
            let wrong = if text_typed { wrong } else { format!("{wrong}, and L or T is missing") };
            out.fault(&node.at, wrong, right);
        }
    }
}
