//! The tree of a limits file as TOML text.

use super::super::toml::tree::{Node, Table, Value};
use super::columns::{DOCUMENT, GRADE};
use std::fmt::Write;

/// The whole file.
pub fn text(root: &Table) -> String {
    let mut text = String::new();
    if let Some(document) = root.get(DOCUMENT).and_then(|entry| entry.node.table()) {
        let _ = writeln!(text, "[{DOCUMENT}]");
        keys(document, &mut text);
    }
    let lines = root.get("line").map(|entry| &entry.node.value);
    let Some(Value::List(lines)) = lines else { return text };
    for line in lines.iter().filter_map(Node::table) {
        text.push_str("\n[[line]]\n");
        keys(line, &mut text);
        let grades = line.get(GRADE).and_then(|entry| entry.node.table());
        for grade in grades.iter().flat_map(|grades| &grades.0) {
            let _ = writeln!(text, "\n[line.{GRADE}.{}]", quoted(grade.key.as_str()));
            grade.node.table().into_iter().for_each(|grade| keys(grade, &mut text));
        }
    }
    text
}

/// A line for each key.
fn keys(table: &Table, text: &mut String) {
    let own = || table.0.iter().filter(|entry| entry.key.as_str() != GRADE);
    let width = own().map(|entry| entry.key.as_str().len()).max().unwrap_or(0);
    for entry in own() {
        let _ = writeln!(text, "{:width$} = {}", entry.key.as_str(), value(&entry.node));
    }
}

fn value(node: &Node) -> String {
    match &node.value {
        Value::Text(text) => quoted(text),
        Value::Figure(digits) | Value::Date(digits) => digits.to_string(),
        Value::Flag(flag) => flag.to_string(),
        Value::List(list) => {
            format!("[{}]", list.iter().map(value).collect::<Vec<_>>().join(", "))
        }
        Value::Table(table) => {
            let one = |entry: &super::super::toml::tree::Entry| {
                format!("{} = {}", entry.key, value(&entry.node))
            };
            format!("{{ {} }}", table.0.iter().map(one).collect::<Vec<_>>().join(", "))
        }
        // Explained already: no text is made where anything was.
        Value::Unread => "\"-\"".to_owned(),
    }
}

/// In quotes; characters that do not print are refused before.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
