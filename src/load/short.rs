//! What may be typed in a row, as the table that it stands for:
//! `["RW", 2026-03-02, "MIC-2"]` is `{ by = "RW", on = 2026-03-02, gauge = "MIC-2" }`.
//! The tree is rewritten before it is checked, every value at the place where it
//! was typed, so that nothing behind this file knows how it was typed.

use super::check::commas;
use super::keys::{CODE, Kind, Shape, Short, Ways};
use super::rows::sides;
use super::toml::number::{blank, digits};
use super::toml::tree::{Entry, Node, Table, Value};
use crate::diag::{Diags, Span};
use crate::model::text::Text;

/// The table with every row of values in it made a table.
pub fn lengthen(table: &mut Table, shape: &Shape, out: &mut Diags) {
    for entry in &mut table.0 {
        if let Some(key) = shape.key(entry.key.as_str()) {
            value(key.kind, &mut entry.node, out);
        }
    }
}

fn value(kind: Kind, node: &mut Node, out: &mut Diags) {
    match (kind, &mut node.value) {
        (Kind::Table(shape), Value::Table(table)) => lengthen(table, shape, out),
        (Kind::Short(short), Value::Table(table)) => lengthen(table, short.shape, out),
        // Words where a figure comes first, or boxes left blank before others, are no
        // row of this kind: they are boxes of a table.
        (Kind::Short(short), Value::List(list))
            if figure_first(short)
                && list.first().is_some_and(|first| {
                    is_word(first) || (list.len() > 1 && !holds_figures(first))
                }) => {}
        // Readings that stand outside any sheet: their reader says so.
        (Kind::Short(short), Value::List(list))
            if short.ways == Ways::Several && list.iter().any(holds_figures) => {}
        (Kind::Short(short), Value::List(list)) => {
            let each = |node: &Node| matches!(node.value, Value::List(_) | Value::Table(_));
            let several = list.iter().all(each);
            match short.ways == Ways::Several && several && !list.is_empty() {
                true => list.iter_mut().for_each(|node| row(short, node, out)),
                false => row(short, node, out),
            }
        }
        // One line needs no brackets around it.
        (Kind::Shorts(short), Value::List(list)) if list.first().is_some_and(is_word) => {
            row(short, node, out);
            let at = node.at.clone();
            let line = std::mem::replace(node, Node { at, value: Value::Unread });
            node.value = Value::List(vec![line]);
        }
        (Kind::Shorts(short), Value::List(list)) => {
            let mut whole = Vec::with_capacity(list.len());
            for mut node in std::mem::take(list) {
                match &node.value {
                    Value::List(_) => {
                        row(short, &mut node, out);
                        whole.push(node);
                    }
                    Value::Table(table) if short.ways == Ways::Rows && has_rows(table, short) => {
                        whole.extend(by_row(short, table, &node.at, out));
                    }
                    _ => whole.push(node),
                }
            }
            *list = whole;
        }
        (Kind::Other(_, several), _) => several.iter().for_each(|kind| value(*kind, node, out)),
        _ => {}
    }
}

/// A text that says something.
fn is_word(node: &Node) -> bool {
    said(node).is_some_and(|text| !blank(text))
}

fn figure_first(short: &Short) -> bool {
    let first = short.order.first().and_then(|name| short.shape.key(name));
    first.is_some_and(|key| matches!(key.kind, Kind::FigureEntry))
}

fn holds_figures(node: &Node) -> bool {
    match &node.value {
        Value::List(list) => list.iter().any(|node| matches!(node.value, Value::Figure(_))),
        value => matches!(value, Value::Figure(_)),
    }
}

/// A row of values, as a table. What cannot be told apart is said and is unread.
fn row(short: &Short, node: &mut Node, out: &mut Diags) {
    let Value::List(list) = &mut node.value else { return };
    let mut values = std::mem::take(list);
    if commas(&values, None, out) {
        node.value = Value::Unread;
        return;
    }
    let rest = match values.last().map(|last| &last.value) {
        Some(Value::Table(_)) => values.pop(),
        _ => None,
    };
    if let Some(extra) = values.get(short.order.len()) {
        let message = format!("{} has no value after its {}", short.shape.name, last(short));
        let help = format!("{}; anything else by its key in {{ }} at the end", short.in_words());
        out.fault(&extra.at, message, help);
        node.value = Value::Unread;
        return;
    }
    let needed = |name: &str| name.split(' ').any(|name| is_needed(short, name));
    let least = short.order.iter().rposition(|name| needed(name)).map_or(0, |last| last + 1);
    if rest.is_none() && values.len() < least {
        let message = format!("{} needs more than {} here", short.shape.name, values.len());
        out.fault(&node.at, message, format!("in this order: {}", short.in_words()));
        node.value = Value::Unread;
        return;
    }
    let mut table = Table::default();
    for (name, value) in short.order.iter().zip(values) {
        match *name {
            "row box" => row_box(value, &mut table),
            "item place" => item_place(value, &mut table),
            "part places" => part_places(value, &mut table),
            _ => put(&mut table, name, value),
        }
    }
    let Some(Node { value: Value::Table(rest), .. }) = rest else {
        node.value = Value::Table(table);
        return;
    };
    for entry in rest.0 {
        match table.get(entry.key.as_str()) {
            Some(first) => {
                let message = format!("{} is typed twice", entry.key);
                out.push(
                    crate::diag::Diag::at(
                        crate::diag::Severity::Fault,
                        &entry.key.at,
                        message,
                        format!("keep one: the order is {}", short.in_words()),
                    )
                    .also(first.node.at.clone(), "the first"),
                );
            }
            None => table.0.push(entry),
        }
    }
    node.value = Value::Table(table);
}

fn last(short: &Short) -> &'static str {
    short.order.last().copied().unwrap_or_default()
}

fn is_needed(short: &Short, name: &str) -> bool {
    short.shape.key(name).is_some_and(|key| key.needed)
}

fn put(table: &mut Table, name: &str, node: Node) {
    let key = Text { text: name.into(), at: node.at.clone() };
    table.0.push(Entry { key, node });
}

/// A text as words, each at its place.
fn words(node: &Node, ends: impl Fn(char) -> bool) -> Vec<Node> {
    let Value::Text(text) = &node.value else { return Vec::new() };
    // Inside the quotes, where no character is written as a code.
    let plain = node.at.start + text.len() + 2 == node.at.end;
    let mut found = Vec::new();
    let mut from = 0;
    for word in text.split(&ends) {
        let start = node.at.start + 1 + from;
        from += word.len() + text[from + word.len()..].chars().next().map_or(0, char::len_utf8);
        if !word.is_empty() {
            let at = match plain {
                true => Span { start, end: start + word.len(), ..node.at.clone() },
                false => node.at.clone(),
            };
            found.push(Node { at, value: Value::Text(word.into()) });
        }
    }
    found
}

/// One text of several words again.
fn joined(words: &[Node]) -> Option<Node> {
    let (first, last) = (words.first()?, words.last()?);
    let said: Vec<&str> = words.iter().filter_map(said).collect();
    let at = Span { end: last.at.end, ..first.at.clone() };
    Some(Node { at, value: Value::Text(said.join(" ").into()) })
}

fn said(node: &Node) -> Option<&str> {
    match &node.value {
        Value::Text(text) => Some(text),
        _ => None,
    }
}

/// `C2 bore 2`, `C2.bore.2`, or `UC` for the reading of a row with one side.
fn row_box(node: Node, table: &mut Table) {
    // A published number may have points in it.
    let published = said(&node).is_some_and(|text| text.contains('/'));
    let words = words(&node, |c| c == ' ' || c == '.' && !published);
    let Some((code, named)) = words.split_first() else {
        return put(table, "row", node);
    };
    put(table, "row", code.clone());
    let only = || Node { at: code.at.clone(), value: Value::Text("read".into()) };
    put(table, "box", joined(named).unwrap_or_else(only));
}

/// `L 3`, or `L 3 L6` for one of several places.
fn item_place(node: Node, table: &mut Table) {
    let words = words(&node, |c| c == ' ');
    let number = |node: &Node| said(node).is_some_and(digits);
    let item = match words.get(1) {
        Some(second) if number(second) => 2,
        _ => words.len().min(1),
    };
    let (item, place) = words.split_at(item);
    match joined(item) {
        Some(item) => put(table, "item", item),
        None => return put(table, "item", node),
    }
    if let Some(place) = joined(place) {
        put(table, "place", place);
    }
}

/// `camshaft`, or `intake-pipes 3` where single parts sit at places.
fn part_places(node: Node, table: &mut Table) {
    let mut words = words(&node, |c| c == ' ').into_iter();
    let Some(part) = words.next() else {
        return put(table, "part", node);
    };
    put(table, "part", part);
    let places: Vec<Node> = words.collect();
    if let Some(at) = joined(&places).map(|all| all.at) {
        put(table, "places", Node { at, value: Value::List(places) });
    }
}

fn is_row(entry: &Entry, short: &Short) -> bool {
    let name = entry.key.as_str();
    short.shape.key(name).is_none() && super::keys::optional(CODE, Kind::Text, "").pattern(name)
}

fn has_rows(table: &Table, short: &Short) -> bool {
    table.0.iter().any(|entry| is_row(entry, short))
}

/// One table a side of each row, and one a box where others of its side are
/// blank: those were not read again.
fn by_row(short: &Short, table: &Table, at: &Span, out: &mut Diags) -> Vec<Node> {
    let shared: Vec<&Entry> = table.0.iter().filter(|entry| !is_row(entry, short)).collect();
    let own = |entry: &&&Entry| matches!(entry.key.as_str(), "row" | "box" | "read");
    if let Some(own) = shared.iter().find(own) {
        let message = format!("{} beside rows that stand here by their codes", own.key);
        out.fault(&own.key.at, message, "one or the other: C3.bore = [\"-\", 1.3757]");
        return Vec::new();
    }
    let mut all = Vec::new();
    let mut one = |code: &Text, named: Node, read: Node| {
        let mut whole = Table(shared.iter().map(|entry| (*entry).clone()).collect());
        put(&mut whole, "row", Node { at: code.at.clone(), value: Value::Text(code.text.clone()) });
        put(&mut whole, "box", named);
        put(&mut whole, "read", read);
        all.push(Node { at: at.clone(), value: Value::Table(whole) });
    };
    for row in table.0.iter().filter(|entry| is_row(entry, short)) {
        let mut found = false;
        for side in sides(row) {
            let name =
                |name: String| Node { at: side.key.at.clone(), value: Value::Text(name.into()) };
            match &side.node.value {
                Value::List(list) if list.iter().any(is_blank) => {
                    if commas(list, None, out) {
                        found = true;
                        continue;
                    }
                    for (n, read) in list.iter().enumerate().filter(|(_, node)| !is_blank(node)) {
                        one(&row.key, name(format!("{} {}", side.key, n + 1)), read.clone());
                        found = true;
                    }
                }
                Value::List(list) if list.is_empty() => {}
                _ => {
                    one(&row.key, name(side.key.to_string()), side.node.clone());
                    found = true;
                }
            }
        }
        if !found && !matches!(row.node.value, Value::Unread) {
            let help = format!(
                "its boxes as on the sheet, \"-\" where none was read again: {}.bore = [\"-\", 1.3757]",
                row.key
            );
            out.fault(&row.key.at, format!("no reading of {} stands here", row.key), help);
        }
    }
    all
}

fn is_blank(node: &Node) -> bool {
    said(node).is_some_and(blank)
}
