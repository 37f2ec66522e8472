//! A tree against its shape: unknown keys, missing keys, values of the wrong
//! kind, each at its place.

use super::keys::{By, Key, Kind, Shape, Short, Varied, Ways};
use super::suggest::nearest;
use super::toml::number::{blank, digits, figure_text, plain, read};
use super::toml::tree::{Node, Table, Value};
use crate::diag::{Diags, Span};
use crate::quantity::date::Date;
use crate::quantity::{Fit, Unsigned};

/// Checks a table against its shape, and everything below it. Where `whole` is
/// false parts of the file could not be read, and nothing is said of what is
/// missing.
pub fn check(table: &Table, at: &Span, shape: &Shape, whole: bool, out: &mut Diags) {
    for entry in &table.0 {
        let name = entry.key.as_str();
        match shape.key(name) {
            Some(key) => value(key, &entry.node, whole, out),
            None => unknown(&entry.key.at, name, shape, out),
        }
    }
    for key in shape.rows().filter(|key| key.needed && whole) {
        if table.get(key.name).is_none() {
            let message = format!("{} is missing", key.name);
            out.fault(at, message, add(key));
        }
    }
}

impl Varied {
    /// The shape of one table; a fault where it cannot be told.
    fn of(&self, table: &Table, at: &Span, whole: bool, out: &mut Diags) -> Option<&'static Shape> {
        match self.by {
            By::Value(key) => self.by_value(key, table, at, whole, out),
            By::Key => self.by_key(table, at, whole, out),
        }
    }

    fn by_value(
        &self,
        key: &str,
        table: &Table,
        at: &Span,
        whole: bool,
        out: &mut Diags,
    ) -> Option<&'static Shape> {
        let Some(entry) = table.get(key) else {
            if whole {
                let help = format!("add {key} = and one of \"{}\"", self.names().join("\", \""));
                out.fault(at, format!("{key} is missing"), help);
            }
            return None;
        };
        match &entry.node.value {
            Value::Text(text) => {
                let found = self.kind(text);
                if found.is_none() {
                    choice(key, &entry.node.at, text, &self.names(), out);
                }
                found
            }
            Value::Unread => None,
            _ => {
                let help = format!("one of \"{}\"", self.names().join("\", \""));
                out.fault(&entry.node.at, format!("{key} is {}", entry.node.kind()), help);
                None
            }
        }
    }

    fn by_key(
        &self,
        table: &Table,
        at: &Span,
        whole: bool,
        out: &mut Diags,
    ) -> Option<&'static Shape> {
        let present: Vec<_> =
            table.0.iter().filter_map(|e| Some((e, self.kind(e.key.as_str())?))).collect();
        // A key of one kind may be the mark of another: the kind that has both.
        let holds =
            |shape: &Shape| present.iter().all(|(e, _)| shape.key(e.key.as_str()).is_some());
        if let Some((_, shape)) = present.iter().find(|(_, shape)| holds(shape)) {
            return Some(shape);
        }
        if let [(first, _), others @ ..] = &present[..] {
            for (other, _) in others {
                let message = format!("{} with both {} and {}", self.name, first.key, other.key);
                out.fault(&other.key.at, message, "two of them, each with its own");
            }
            return None;
        }
        let known = |name: &str| self.kinds.iter().any(|(_, shape)| shape.key(name).is_some());
        let odd = table.0.iter().find(|entry| !known(entry.key.as_str()));
        let near = odd.and_then(|e| Some((e, nearest(e.key.as_str(), self.names().into_iter())?)));
        match near {
            Some((entry, near)) => {
                let message = format!("{} is not a key of {}", entry.key, self.name);
                out.fault(&entry.key.at, message, format!("did you mean {near}"));
            }
            None if whole => {
                let help = format!("one of {}", self.names().join(", "));
                out.fault(at, format!("{} that holds nothing", self.name), help);
            }
            None => {}
        }
        None
    }
}

fn add(key: &Key) -> String {
    match key.kind {
        Kind::Named(_) | Kind::Each(_) | Kind::EachOf(_) | Kind::Shorts(_) => {
            format!("add {}", key.example)
        }
        Kind::Table(_) if key.example.starts_with('[') => format!("add {}", key.example),
        _ => format!("add a line such as {}", key.typed()),
    }
}

fn unknown(at: &Span, name: &str, shape: &Shape, out: &mut Diags) {
    let plain = shape.rows().map(|key| key.name).filter(|name| !name.starts_with('^'));
    let names: Vec<&str> = plain.collect();
    let capitals = name.to_ascii_uppercase();
    let help = match nearest(name, names.iter().copied()) {
        Some(near) => format!("did you mean {near}"),
        None if shape.rows().any(|key| key.pattern(&capitals)) => {
            format!("in capitals: {capitals}")
        }
        None if shape.name.starts_with("[[")
            && name.starts_with(|c: char| c.is_ascii_uppercase()) =>
        {
            "a row stands under its sheet, above everything in [[ ]]".to_owned()
        }
        None => format!("the keys are {}", names.join(", ")),
    };
    out.fault(at, format!("{name} is not a key of {}", shape.name), help);
}

/// Checks one value against what its key may hold.
pub fn value(key: &Key, node: &Node, whole: bool, out: &mut Diags) {
    match (key.kind, &node.value) {
        (_, Value::Unread) | (Kind::Other(..), _) => {}
        (Kind::Table(shape), Value::Table(table)) => check(table, &node.at, shape, whole, out),
        (Kind::Named(shape), Value::Table(table)) => {
            for entry in &table.0 {
                match &entry.node.value {
                    Value::Table(inner) => check(inner, &entry.key.at, shape, whole, out),
                    Value::Unread => {}
                    _ => wrong_kind(key, &entry.node, out),
                }
            }
        }
        (Kind::Each(_) | Kind::EachOf(_), Value::List(list)) => {
            for node in list {
                match (&node.value, key.kind) {
                    (Value::Table(table), Kind::Each(shape)) => {
                        check(table, &node.at, shape, whole, out)
                    }
                    (Value::Table(table), Kind::EachOf(varied)) => {
                        if let Some(shape) = varied.of(table, &node.at, whole, out) {
                            check(table, &node.at, shape, whole, out);
                        }
                    }
                    (Value::Unread, _) => {}
                    _ => wrong_kind(key, node, out),
                }
            }
        }
        (Kind::Short(short), Value::Table(table)) => {
            check(table, &node.at, short.shape, whole, out)
        }
        (Kind::Shorts(short), Value::List(list)) => each_short(key, short, list, whole, out),
        (Kind::Short(short), Value::List(list)) if short.ways == Ways::Several => {
            each_short(key, short, list, whole, out)
        }
        _ => scalar(key, node, out),
    }
}

/// Tables that may have been typed as rows: `short.rs` made tables of those.
fn each_short(key: &Key, short: &Short, list: &[Node], whole: bool, out: &mut Diags) {
    for node in list {
        match &node.value {
            Value::Table(table) => check(table, &node.at, short.shape, whole, out),
            Value::Unread => {}
            _ => wrong_kind(key, node, out),
        }
    }
}

/// A value that is something else than its key may hold.
pub fn wrong_kind(key: &Key, node: &Node, out: &mut Diags) {
    // A key that stands for many has no name of its own.
    let pattern = key.name.starts_with('^');
    let message = format!("{} is {}", if pattern { "this" } else { key.name }, node.kind());
    let example = match key.kind {
        _ if pattern => format!("such as {}", key.example),
        Kind::Named(_) | Kind::Each(_) | Kind::EachOf(_) | Kind::Shorts(_) => {
            key.example.to_string()
        }
        Kind::Table(_) if key.example.starts_with('[') => key.example.to_string(),
        _ => format!("such as {}", key.typed()),
    };
    out.fault(&node.at, message, format!("{}: {example}", key.kind.says()));
}

fn scalar(key: &Key, node: &Node, out: &mut Diags) {
    match (key.kind, &node.value) {
        (
            Kind::Text | Kind::TextOrTexts | Kind::FigureOrText | Kind::DayOrText,
            Value::Text(text),
        ) => {
            if blank(text) {
                out.fault(
                    &node.at,
                    format!("{} is empty", key.name),
                    format!("such as {}", key.typed()),
                );
            }
        }
        (Kind::Entry | Kind::EntryOrEntries, Value::Text(_) | Value::Figure(_)) => {}
        (Kind::DayEntry | Kind::FigureEntry, Value::Text(text)) if blank(text) => {}
        (Kind::Texts | Kind::TextOrTexts, Value::List(list)) => texts(key, list, false, out),
        (Kind::Entries | Kind::EntryOrEntries, Value::List(list)) => texts(key, list, true, out),
        (Kind::Choice(choices), Value::Text(text)) => {
            if !choices.contains(&&**text) {
                choice(key.name, &node.at, text, choices, out);
            }
        }
        (Kind::Flag, Value::Flag(_)) => {}
        (Kind::Whole, Value::Figure(raw)) => whole(key, node, raw, out),
        (Kind::Wholes, Value::List(list)) => list.iter().for_each(|node| match &node.value {
            Value::Figure(raw) => whole(key, node, raw, out),
            Value::Unread => {}
            _ => wrong_kind(key, node, out),
        }),
        (Kind::Day | Kind::DayEntry | Kind::DayOrText, Value::Date(raw)) => {
            if Date::read(raw).is_none() {
                let help = "the day only, year-month-day: 2026-03-02";
                out.fault(&node.at, format!("{raw} is not a plain day"), help);
            }
        }
        (Kind::Day | Kind::DayEntry, Value::Text(text)) if Date::read(text).is_some() => {
            out.fault(
                &node.at,
                format!("{} is a day in quotes", key.name),
                format!("{} = {text}", key.name),
            );
        }
        (Kind::Figure | Kind::FigureEntry | Kind::FigureOrText, Value::Figure(_)) => {
            check_digits(node, out)
        }
        (Kind::Figure | Kind::FigureEntry, Value::Text(text)) if figure_text(text) => {
            quoted(node, text, out)
        }
        (Kind::OwnLeaves, Value::List(list)) => own_leaves(key, list, out),
        (Kind::Pair, Value::List(list)) => {
            if !figures(key, list, true, out) {
                two(key, node, list, out);
            }
        }
        (Kind::FitLimit, Value::Figure(_) | Value::Text(_)) => fit(node, out),
        (Kind::FitPair, Value::List(list)) => {
            list.iter().for_each(|item| fit(item, out));
            two(key, node, list, out);
        }
        _ => wrong_kind(key, node, out),
    }
}

fn whole(key: &Key, node: &Node, raw: &str, out: &mut Diags) {
    if !(digits(raw) && raw.len() <= 4) {
        let help = format!("a whole number from 0 to 9999, such as {}", key.typed());
        out.fault(&node.at, format!("{} is {raw}", key.name), help);
    }
}

/// Each a figure, or two: what is engraved and what was measured.
fn own_leaves(key: &Key, list: &[Node], out: &mut Diags) {
    commas(list, None, out);
    for node in list {
        match &node.value {
            Value::List(pair) => {
                if !figures(key, pair, false, out) && pair.len() != 2 {
                    let message = match pair.len() {
                        1 => "a leaf with one figure in brackets".to_owned(),
                        several => format!("a leaf with {several} figures"),
                    };
                    out.fault(&node.at, message, "engraved and measured: [0.002, 0.00205]");
                }
            }
            _ => drop(figures(key, std::slice::from_ref(node), false, out)),
        }
    }
}

fn choice(key: &str, at: &Span, text: &str, choices: &[&str], out: &mut Diags) {
    let listed: Vec<String> = choices.iter().map(|choice| format!("\"{choice}\"")).collect();
    let help = match nearest(text, choices.iter().copied()) {
        Some(near) => format!("\"{near}\"; the choices are {}", listed.join(", ")),
        None => format!("one of {}", listed.join(", ")),
    };
    out.fault(at, format!("\"{text}\" is not a choice for {key}"), help);
}

fn texts(key: &Key, list: &[Node], empty: bool, out: &mut Diags) {
    for item in list {
        match &item.value {
            Value::Unread => {}
            Value::Text(text) if !empty && blank(text) => {
                out.fault(
                    &item.at,
                    format!("an empty text in {}", key.name),
                    "fill it in or remove it",
                );
            }
            Value::Text(_) => {}
            _ => wrong_kind(key, item, out),
        }
    }
}

fn two(key: &Key, node: &Node, list: &[Node], out: &mut Diags) {
    if list.len() != 2 {
        let message = format!("{} holds {} where two belong", key.name, list.len());
        let comma = if list.len() > 2 { "; a point in a figure, no comma" } else { "" };
        let help = format!("such as {}; \"-\" for an absent one{comma}", key.typed());
        out.fault(&node.at, message, help);
    }
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
            _ => wrong_kind(key, node, out),
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
        && let Err((message, help)) = read(raw)
    {
        out.fault(&node.at, message, help);
    }
}

/// A figure typed in quotes where no fit stands.
pub fn quoted(node: &Node, text: &str, out: &mut Diags) {
    let text = text.trim();
    if let Some(figure) = text.strip_suffix(['L', 'T', 'l', 't']).filter(|text| plain(text)) {
        let message = format!("{text} where no fit stands: only a fit is loose or tight");
        return out.fault(&node.at, message, format!("digits only, without quotes: {figure}"));
    }
    let (message, help) = match read(text) {
        Ok(_) => (format!("the figure {text} stands in quotes"), format!("without quotes: {text}")),
        Err((message, help)) => (format!("{message}, and it stands in quotes"), help),
    };
    out.fault(&node.at, message, help);
}

/// A limit of a fit.
pub fn fit(node: &Node, out: &mut Diags) {
    let (text, text_typed) = match &node.value {
        Value::Text(text) if blank(text) => return,
        Value::Text(text) => (text, true),
        Value::Figure(raw) => (raw, false),
        Value::Unread => return,
        _ => {
            let help = "a fit in quotes with L or T: \"0.0010L\"";
            return out.fault(&node.at, format!("a fit that is {}", node.kind()), help);
        }
    };
    match Fit::read(text) {
        Ok(_) => {}
        Err(Unsigned::NoSide) => {
            let help = format!("\"{text}L\" for loose, \"{text}T\" for tight");
            out.fault(&node.at, format!("{text} without L or T"), help);
        }
        // A document's table has it in the column of the fit.
        Err(Unsigned::Figure(_)) if text.trim().eq_ignore_ascii_case("replace") => {
            let help = "say of which part: service = \"replace\" in its shaft, its bore or both";
            out.fault(&node.at, "a part is replaced, not a fit", help);
        }
        Err(Unsigned::Figure(_)) if text.trim_start().starts_with('-') => {
            let size = text.trim_start().trim_start_matches('-');
            out.fault(&node.at, "a fit with a minus sign", format!("\"{size}T\" for tight"));
        }
        Err(Unsigned::Figure(_)) => {
            let bare = text.trim_end().trim_end_matches(['L', 'T', 'l', 't']).trim_end();
            let (message, help) = match read(bare) {
                Err(found) => found,
                Ok(_) => (
                    format!("{text} is not a fit"),
                    "\"0.0010L\" for loose, \"0.0010T\" for tight".into(),
                ),
            };
            let message =
                if text_typed { message } else { format!("{message}, and L or T is missing") };
            out.fault(&node.at, message, help);
        }
    }
}
