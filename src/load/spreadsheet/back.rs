//! A limits file as a table. What a table cannot hold is told by name.

use super::super::keys::{Key, Kind, Shape};
use super::super::kinds::kinds;
use super::super::limits::limits;
use super::super::lines::LINE;
use super::super::meant::Meant;
use super::super::toml::comments;
use super::super::toml::number::blank;
use super::super::toml::tree::{self, Entry, Node, Table, Value};
use super::cells::{Cell, joined};
use super::columns::{self, COLUMNS, DOCUMENT, GRADE, PLACES, Path};
use super::values::{BETWEEN, absent, value};
use crate::diag::{Diags, Sources, Span};
use crate::quantity::{Fit, count};
use std::collections::BTreeMap;

/// The cells of one row by their column.
type Cells = BTreeMap<usize, String>;

/// The text of a table with all that a limits file says; `None` where the file
/// is at fault, or says what a table cannot hold.
pub fn table(files: &Sources, name: &str, out: &mut Diags) -> Option<String> {
    let before = out.faults();
    limits(files, name, None, out);
    let (file, text) = files.0.get_key_value(name)?;
    // Its faults are told already.
    let mut tree = tree::read(file, text, &mut Diags::new())?;
    if out.faults() > before {
        return None;
    }
    let kinds = kinds(files, &mut Diags::new());
    Meant { kinds: kinds.as_ref(), engine: None }.each_line(&mut tree, out);
    let root = tree.root.table()?;
    let mut rows = Vec::new();
    let document = root.get(DOCUMENT).and_then(|entry| entry.node.table());
    for (key, entry) in document.into_iter().flat_map(|typed| known(columns::document(), typed)) {
        if let Some(cell) = cell(key, &entry.node, out) {
            rows.push(vec![format!("{DOCUMENT} {}", key.name), cell]);
        }
    }
    let mut written: Vec<Cells> = Vec::new();
    let lines = root.get("line").map(|entry| &entry.node.value);
    if let Some(Value::List(lines)) = lines {
        lines.iter().filter_map(Node::table).for_each(|one| line(one, &mut written, out));
    }
    let used: Vec<usize> = (0..COLUMNS.len())
        .filter(|column| written.iter().any(|cells| cells.contains_key(column)))
        .collect();
    rows.push(used.iter().map(|column| COLUMNS[*column].name.clone()).collect());
    for cells in &mut written {
        rows.push(used.iter().map(|column| cells.remove(column).unwrap_or_default()).collect());
    }
    let comments = comments(text);
    if let Some(first) = comments.first() {
        let at = Span::new(file, first.start, first.end);
        let message = format!("{} left behind", count(comments.len(), "comment"));
        out.note(&at, message, "a table has none: keep this file beside it");
    }
    joined(&rows).filter(|_| out.faults() == before)
}

/// The keys that a shape has, with what is typed for each.
fn known<'a>(shape: Option<&'static Shape>, table: &'a Table) -> Vec<(&'static Key, &'a Entry)> {
    let key = |entry: &'a Entry| Some((shape?.key(entry.key.as_str())?, entry));
    table.0.iter().filter_map(key).collect()
}

/// The row of a line, and one for each of its grades.
fn line(line: &Table, written: &mut Vec<Cells>, out: &mut Diags) {
    let text = |key: &str| match line.get(key).map(|entry| &entry.node.value) {
        Some(Value::Text(text)) => Some(&**text),
        _ => None,
    };
    let Some(shape) = text("kind").and_then(|kind| LINE.kind(kind)) else { return };
    let mut own = Cells::new();
    fill(shape, &[], line, &mut own, out);
    written.push(own);
    let grades = line.get(GRADE).and_then(|entry| entry.node.table());
    let Some(Kind::Named(inner)) = shape.key(GRADE).map(|key| key.kind) else { return };
    for grade in grades.into_iter().flat_map(|grades| &grades.0) {
        let mut cells = Cells::new();
        let name = Node { at: grade.key.at.clone(), value: Value::Text(grade.key.text.clone()) };
        put(&vec![GRADE], &name, &mut cells, out);
        if let Some(node) = line.get("ref").map(|entry| &entry.node) {
            put(&vec!["ref"], node, &mut cells, out);
        }
        grade.node.table().into_iter().for_each(|typed| fill(inner, &[], typed, &mut cells, out));
        written.push(cells);
    }
}

fn fill(
    shape: &'static Shape,
    above: &[&'static str],
    table: &Table,
    cells: &mut Cells,
    out: &mut Diags,
) {
    for (key, entry) in known(Some(shape), table) {
        let path = [above, &[key.name]].concat();
        match (key.kind, &entry.node.value) {
            (Kind::Table(inner), Value::Table(table)) => {
                let before = cells.len();
                fill(inner, &path, table, cells, out);
                if cells.len() == before {
                    let message = format!("{} says nothing, and a table cannot say that", key.name);
                    out.fault(&entry.key.at, message, "leave it out");
                }
            }
            (Kind::Named(_), _) if key.name == PLACES => {
                let message = "limits at some places, which a table cannot hold";
                out.fault(&entry.key.at, message, "keep this line in the limits file");
            }
            (Kind::Named(_), _) => {}
            (Kind::Pair | Kind::FitPair | Kind::Other(_, [Kind::Pair, ..]), Value::List(both)) => {
                for (node, end) in both.iter().zip(["min", "max"]) {
                    if let Some(single) = shape.key(&format!("{}-{end}", key.name)) {
                        put(&[above, &[single.name]].concat(), node, cells, out);
                    }
                }
            }
            _ => put(&path, &entry.node, cells, out),
        }
    }
}

fn put(path: &Path, node: &Node, cells: &mut Cells, out: &mut Diags) {
    match columns::at(path) {
        Some(at) => {
            if let Some(text) = cell(COLUMNS[at].key, node, out) {
                cells.insert(at, text);
            }
        }
        None => {
            let message = format!("{} has no column of a table", path.join(", "));
            out.fault(&node.at, message, "keep these limits as they are");
        }
    }
}

/// What a cell holds of a value; `None` where nothing is filled in. A cell that
/// would be read as something else is told.
fn cell(key: &Key, node: &Node, out: &mut Diags) -> Option<String> {
    let text = said(node)?;
    if blank(&text) {
        // Left out it would be something else.
        if matches!(key.kind, Kind::Entry) {
            cannot(&node.at, &format!("{} = \"{text}\"", key.name), out);
        }
        return None;
    }
    let text = match key.kind {
        Kind::FitLimit if Fit::read(&text).is_ok() => {
            let letters = text.chars().filter(|letter| !letter.is_whitespace());
            letters.collect::<String>().to_uppercase()
        }
        _ => text,
    };
    let typed = Cell { text: text.trim().to_owned(), at: node.at.clone() };
    let mut told = Diags::new();
    let back = value(key, &typed, &mut told);
    let formula = text.starts_with(['=', '+', '-', '@']) && !matches!(back.value, Value::Figure(_));
    let why = match told.iter().next() {
        Some(diag) => diag.message.clone(),
        None if formula => format!("{text} would be a formula there"),
        None if pieces(node) != pieces(&back)
            || absent(&typed.text)
            || said(&back).as_deref() != Some(text.as_str()) =>
        {
            format!("\"{text}\" would be read as something else")
        }
        None => return Some(text),
    };
    cannot(&node.at, &why, out);
    None
}

/// How many texts a list has: one with a semicolon would come back as two.
fn pieces(node: &Node) -> usize {
    match &node.value {
        Value::List(list) => list.len(),
        _ => 1,
    }
}

fn cannot(at: &Span, why: &str, out: &mut Diags) {
    let help = "put it another way, or keep these limits as they are";
    out.fault(at, format!("a table cannot hold this: {why}"), help);
}

/// A value as a cell says it.
fn said(node: &Node) -> Option<String> {
    match &node.value {
        Value::Text(text) | Value::Figure(text) | Value::Date(text) => Some(text.to_string()),
        Value::Flag(flag) => Some(if *flag { "yes" } else { "no" }.to_owned()),
        Value::List(list) => {
            let each: Option<Vec<String>> = list.iter().map(said).collect();
            Some(each?.join(&format!("{BETWEEN} ")))
        }
        Value::Table(_) | Value::Unread => None,
    }
}
