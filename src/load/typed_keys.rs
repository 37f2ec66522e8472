//! All that was typed in a table, key by key, from the tree and the table of
//! keys that it is read by. Two editions of a limits file are compared by it
//! and a sheet's number is a digest of it, so that a key that is read can be
//! left out of neither.

use super::fields::{fit, typed, word};
use super::keys::{Key, Kind, Shape};
use super::toml::tree::{Node, Table, Value};
use crate::model::text::TypedKey;

/// Every key of `table` and below, in the order of the file. Absent limits,
/// `"-"`, are left out. Tables that come again and again are each looked at by
/// themselves.
pub fn typed_keys(table: &Table, shape: &Shape) -> Vec<TypedKey> {
    let mut found = Vec::new();
    walk("", table, shape, true, &mut found);
    found
}

fn walk(prefix: &str, table: &Table, shape: &Shape, decides: bool, found: &mut Vec<TypedKey>) {
    for entry in &table.0 {
        let Some(key) = shape.key(entry.key.as_str()) else { continue };
        let decides = decides && key.decides;
        let name = key.said.unwrap_or(entry.key.as_str());
        match (key.kind, &entry.node.value) {
            (Kind::Table(inner), Value::Table(table)) => {
                walk(&format!("{prefix}{name}, "), table, inner, decides, found);
            }
            (Kind::Named(inner), Value::Table(named)) => {
                for one in &named.0 {
                    // A name by itself says something too.
                    found.push(TypedKey::new(
                        format!("{prefix}{name} {}", one.key),
                        "given",
                        decides,
                    ));
                    if let Value::Table(table) = &one.node.value {
                        let prefix = format!("{prefix}{name} {}, ", one.key);
                        walk(&prefix, table, inner, decides, found);
                    }
                }
            }
            (Kind::Each(_) | Kind::EachOf(_), _) => {}
            (Kind::Pair | Kind::FitPair | Kind::Other(_, [Kind::Pair, ..]), Value::List(both)) => {
                for (node, end) in both.iter().zip(ends(key.kind)) {
                    found.extend(one(format!("{prefix}{name}, {end}"), key, node, decides));
                }
            }
            _ => found.extend(one(called(prefix, name, key), key, &entry.node, decides)),
        }
    }
}

/// `new-min` is called as the first of the pair `new`; the service limit of a
/// fit, given alone, is its loosest.
fn called(prefix: &str, name: &str, key: &Key) -> String {
    let [low, high] = ends(key.kind);
    let fit = matches!(key.kind, Kind::FitLimit);
    match (name.strip_suffix("-min"), name.strip_suffix("-max")) {
        (Some(of), _) => format!("{prefix}{of}, {low}"),
        (_, Some(of)) => format!("{prefix}{of}, {high}"),
        _ if fit => format!("{prefix}{name}, {high}"),
        _ => format!("{prefix}{name}"),
    }
}

fn ends(kind: Kind) -> [&'static str; 2] {
    match kind {
        Kind::FitPair | Kind::FitLimit => ["tightest", "loosest"],
        _ => ["least", "greatest"],
    }
}

fn one(what: String, key: &Key, node: &Node, decides: bool) -> Option<TypedKey> {
    let fits = matches!(key.kind, Kind::FitLimit | Kind::FitPair);
    let figure = if fits { fit(node) } else { typed(node) };
    if let Some(figure) = figure {
        let text = if fits { figure.fit().show(figure.places()) } else { figure.text.to_string() };
        let value = figure.value.padded(0).to_string();
        return Some(TypedKey { what, text, value, decides });
    }
    Some(TypedKey::new(what, words(node)?, decides))
}

/// A value as it is typed; several are a list. `None` where it is blank.
fn words(node: &Node) -> Option<String> {
    match &node.value {
        Value::List(list) => {
            let each = |node| words(node).unwrap_or_else(|| "-".to_owned());
            Some(list.iter().map(each).collect::<Vec<_>>().join(", "))
        }
        Value::Flag(flag) => Some(flag.to_string()),
        Value::Table(table) => {
            let each = |(key, node): (&str, &Node)| Some(format!("{key} {}", words(node)?));
            let all = table.0.iter().map(|entry| (entry.key.as_str(), &entry.node));
            Some(all.filter_map(each).collect::<Vec<_>>().join(", "))
        }
        _ => word(node).map(|word| word.to_string()),
    }
}
