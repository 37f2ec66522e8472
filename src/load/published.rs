//! Rows by the number under which the document publishes their line: `101/2` is
//! the row `C2` where line C is published as 101, `101` the row of a line with one
//! place. A number that two lines have names none of them.

use super::toml::tree::{Node, Table, Value};
use crate::model::engine::Engine;
use crate::model::limits::{Limits, Line};
use std::collections::HashMap;

/// Codes by published numbers.
pub type Published = HashMap<String, String>;

pub fn published(engine: Option<&Engine>, limits: Option<&Limits>) -> Published {
    let mut known = Published::new();
    let (Some(engine), Some(limits)) = (engine, limits) else { return known };
    for line in &limits.lines {
        let Some(number) = &line.published else { continue };
        let other = |other: &&Line| {
            let same = other.published.as_ref().is_some_and(|own| own.text == number.text);
            same && other.reference.text != line.reference.text
        };
        if limits.lines.iter().any(|line| other(&line)) {
            continue;
        }
        for code in line.row_codes(engine) {
            let name = match code.strip_prefix(line.reference.as_str()) {
                None | Some("") => number.to_string(),
                Some(place) => format!("{number}/{place}"),
            };
            known.insert(name, code);
        }
    }
    known
}

/// Puts the code in the place of every published number: where a row of a sheet
/// stands under it, and where what came later names it.
pub fn named(table: &mut Table, known: &Published) {
    if known.is_empty() {
        return;
    }
    for entry in &mut table.0 {
        let sheet = entry.key.as_str().starts_with(|c: char| c.is_ascii_uppercase());
        match &mut entry.node.value {
            Value::Table(rows) if sheet => {
                for row in &mut rows.0 {
                    // A number by itself is an item's.
                    let own = row.key.as_str().contains('/');
                    if let Some(code) = code(known, row.key.as_str()).filter(|_| own) {
                        row.key.text = code.into();
                    }
                }
            }
            Value::Table(later) if entry.key.as_str() == "later" => {
                later.0.iter_mut().for_each(|entry| each(&mut entry.node, known));
            }
            Value::List(_) => each(&mut entry.node, known),
            _ => {}
        }
    }
}

fn code<'k>(known: &'k Published, name: &str) -> Option<&'k str> {
    known.get(name).map(String::as_str)
}

fn each(list: &mut Node, known: &Published) {
    let Value::List(list) = &mut list.value else { return };
    for node in list {
        let Value::Table(table) = &mut node.value else { continue };
        let rows = table.0.iter_mut().filter(|entry| entry.key.as_str() == "row");
        for row in rows {
            if let Value::Text(name) = &mut row.node.value
                && let Some(code) = code(known, name)
            {
                *name = code.into();
            }
        }
    }
}
