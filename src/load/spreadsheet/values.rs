//! What stands in one cell, brought to a value as its key may hold it. What a
//! spreadsheet has made of a figure is refused by name.

use super::super::check;
use super::super::keys::{Key, Kind};
use super::super::limit::REPLACE;
use super::super::toml::number;
use super::super::toml::tree::{Node, Value, printable};
use super::cells::Cell;
use crate::diag::Diags;
use crate::quantity::Fit;

/// Between the texts of a list.
pub const BETWEEN: char = ';';

/// Nothing filled in: the dash of a printed table is no figure.
pub fn absent(text: &str) -> bool {
    matches!(text, "" | "-" | "–" | "—")
}

/// The word by which a document takes no used part back.
pub fn is_replace(text: &str) -> bool {
    text.eq_ignore_ascii_case(REPLACE)
}

/// A cell's value. What cannot be read is told and stands as unread.
pub fn value(key: &Key, cell: &Cell, out: &mut Diags) -> Node {
    let before = out.faults();
    printable(&cell.at, &cell.text, out);
    if let Some((message, help)) = spoiled(key, &cell.text) {
        out.fault(&cell.at, message, help);
    }
    let value = match out.faults() > before {
        true => Value::Unread,
        false => read(key, cell, out),
    };
    Node { at: cell.at.clone(), value }
}

fn read(key: &Key, cell: &Cell, out: &mut Diags) -> Value {
    let text = cell.text.as_str();
    match key.kind {
        Kind::Figure => figure(cell, out),
        Kind::FitLimit => fit(cell, out),
        Kind::Whole => Value::Figure(text.into()),
        Kind::Flag => match text.to_lowercase().as_str() {
            "yes" | "true" => Value::Flag(true),
            "no" | "false" => Value::Flag(false),
            _ => {
                out.fault(&cell.at, format!("{} is {text}", key.name), "yes or no");
                Value::Unread
            }
        },
        Kind::Texts | Kind::TextOrTexts => {
            let one =
                |text: &str| Node { at: cell.at.clone(), value: Value::Text(text.trim().into()) };
            Value::List(text.split(BETWEEN).map(one).collect())
        }
        // A spreadsheet begins a cell with a capital.
        Kind::Choice(choices) => word(text, choices),
        Kind::Other(_, [Kind::Pair, Kind::Choice(choices)]) => {
            let word = word(text, choices);
            if !matches!(&word, Value::Text(word) if choices.contains(&&**word)) {
                let message = format!("{} is {text}", key.name);
                let help = format!(
                    "\"{}\", or its figures in columns of their own",
                    choices.join("\" or \"")
                );
                out.fault(&cell.at, message, help);
                return Value::Unread;
            }
            word
        }
        _ => Value::Text(text.into()),
    }
}

fn word(text: &str, choices: &[&str]) -> Value {
    let known = choices.iter().find(|choice| choice.eq_ignore_ascii_case(text));
    Value::Text(known.copied().unwrap_or(text).into())
}

fn figure(cell: &Cell, out: &mut Diags) -> Value {
    let text = cell.text.as_str();
    let sided = text.strip_suffix(['L', 'T', 'l', 't']).map(str::trim_end);
    let (message, help) = match (number::read(text), sided) {
        (Ok(_), _) => return Value::Figure(text.into()),
        (_, Some(figure)) if number::plain(figure) => (
            format!("{text} where no fit stands: only a fit is loose or tight"),
            format!("digits only: {figure}"),
        ),
        (Err(found), _) => number::typed(text).unwrap_or(found),
    };
    out.fault(&cell.at, message.trim_start(), help);
    Value::Unread
}

/// A fit's limit as `0.0010L`, however it was typed.
fn fit(cell: &Cell, out: &mut Diags) -> Value {
    let text = cell.text.as_str();
    if Fit::read(text).is_ok() {
        let letters = text.chars().filter(|letter| !letter.is_whitespace());
        return Value::Text(letters.collect::<String>().to_uppercase().into());
    }
    if is_replace(text) {
        let help = "it is a part that is replaced: write it in the column of that part's wear";
        out.fault(&cell.at, "a fit that is replaced", help);
    } else {
        check::fit(&Node { at: cell.at.clone(), value: Value::Text(text.into()) }, out);
    }
    Value::Unread
}

/// What a spreadsheet has made of a cell, or a comma for the point: what is
/// wrong and what would be right.
fn spoiled(key: &Key, text: &str) -> Option<(String, String)> {
    let again = "set the column to text and type it again as the document prints it";
    if text.starts_with('=') {
        return Some((format!("{text} is a formula"), "save the values, not the formulas".into()));
    }
    if is_error(text) {
        let message = format!("{text} is what a spreadsheet shows where it has no value");
        return Some((message, "put right what stands behind it and save the table again".into()));
    }
    let figure = matches!(key.kind, Kind::Figure | Kind::FitLimit | Kind::Whole);
    if is_date(text, figure) && !matches!(key.kind, Kind::DayOrText) {
        return Some((format!("{text}: a spreadsheet has made a date of this cell"), again.into()));
    }
    if is_exponent(text, figure) {
        let message = format!("{text}: a spreadsheet has written this figure with an exponent");
        return Some((message, again.into()));
    }
    if figure && let Some(point) = comma(text) {
        let help = format!("write {point} with a point");
        return Some((format!("a comma typed for the point: {text}"), help));
    }
    None
}

/// `#NAME?`, `#DIV/0!`, `#####`.
fn is_error(text: &str) -> bool {
    text.strip_prefix('#').is_some_and(|rest| {
        let shouted = |c: char| c.is_ascii_uppercase() || "/0#?!".contains(c);
        !rest.is_empty() && rest.chars().all(shouted)
    })
}

/// `1E-04`; among words only with its sign, as spreadsheets write it.
fn is_exponent(text: &str, figure: bool) -> bool {
    let Some((digits, power)) = text.split_once(['E', 'e']) else { return false };
    let unsigned = power.strip_prefix(['+', '-']);
    let plain = |text: &str| number::plain(&text.replace(',', "."));
    plain(digits) && number::digits(unsigned.unwrap_or(power)) && (figure || unsigned.is_some())
}

/// `2024-05-01`, `1/2/2024`, `04-Feb`, `May-24`. Where words may stand three
/// numbers are a date only with their year in full: `4-2-1` is a page.
fn is_date(text: &str, figure: bool) -> bool {
    let text = match text.split_once([' ', 'T']) {
        Some((day, time)) if time.contains(':') => day,
        _ => text,
    };
    let parts: Vec<&str> = text.split(['-', '/', '.', ' ']).filter(|p| !p.is_empty()).collect();
    let small = |part: &&str| number::digits(part) && part.len() <= 2;
    let year = |part: &&str| number::digits(part) && part.len() == 4;
    let numbers = parts.iter().all(|part| small(part) || year(part));
    let years = parts.iter().filter(|part| year(part)).count();
    match parts.len() {
        3 if numbers && years == 1 => !year(&parts[1]),
        3 if numbers && years == 0 => figure,
        2 | 3 => {
            let months = parts.iter().filter(|part| is_month(part)).count();
            let others = parts.iter().filter(|part| small(part) || year(part)).count();
            months == 1 && others == parts.len() - 1
        }
        _ => false,
    }
}

fn is_month(text: &str) -> bool {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let small = text.to_lowercase();
    MONTHS.iter().any(|month| *month == small || small.len() == 3 && month.starts_with(&small))
}

/// `1,3725` and `0,0010 L` with a point.
fn comma(text: &str) -> Option<String> {
    let bare = text.strip_suffix(['L', 'T', 'l', 't']).unwrap_or(text).trim_end();
    let (whole, places) = bare.strip_prefix('-').unwrap_or(bare).split_once(',')?;
    (number::digits(whole) && number::digits(places)).then(|| text.replace(',', "."))
}
