//! The top of a table: the rows of the document, and the row that names the
//! columns.

use super::super::keys::Shape;
use super::super::suggest::nearest;
use super::super::toml::tree::{Entry, Node, Table, Value};
use super::cells::{Cell, Row};
use super::columns::{COLUMNS, DOCUMENT, document, named, plain};
use super::values::{absent, value};
use crate::diag::{Diag, Diags, Severity, Span};
use crate::model::text::Text;

/// What a cell of a row stands under.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Under {
    Column(usize),
    /// What the shop keeps for itself: `(remarks)`.
    Own,
    NoName,
    /// A name that was told.
    Unknown,
}

pub struct Head {
    /// `[document]`.
    pub document: Node,
    pub columns: Vec<Under>,
    /// Its first cell.
    pub at: Span,
    /// Every name was understood.
    pub whole: bool,
}

/// The top, and the rows that are left. `None` where there is none.
pub fn head<'a>(rows: &'a [Row], out: &mut Diags) -> Option<(Head, &'a [Row])> {
    let own = |row: &&Row| row.cells.first().is_some_and(|cell| of_document(&cell.text).is_some());
    let above = rows.iter().take_while(own).count();
    let (top, below) = rows.split_at(above);
    let first = |row: &Row| row.cells.first().map(|cell| cell.at.clone());
    let Some((names, lines)) = below.split_first() else {
        let at = rows.first().and_then(first)?;
        out.fault(&at, "no row that names the columns", "ref, name, kind and the others");
        return None;
    };
    // Under names that could not be read nothing can be said of the rows.
    let at = first(names).filter(|_| names.whole)?;
    let document = self::document_of(top, &at, out);
    let (columns, whole) = columns(names, out);
    Some((Head { document, columns, at, whole }, lines))
}

/// `title` of `Document title`.
fn of_document(text: &str) -> Option<String> {
    let name = plain(text);
    let key = name.strip_prefix(DOCUMENT)?;
    Some(key.trim_start().to_owned())
}

fn document_of(rows: &[Row], names: &Span, out: &mut Diags) -> Node {
    let at = rows.first().and_then(|row| row.cells.first()).map_or(names, |cell| &cell.at).clone();
    let mut table = Table::default();
    let Some(shape) = document() else { return Node { at, value: Value::Unread } };
    for row in rows {
        let [name, cells @ ..] = &row.cells[..] else { continue };
        let typed = of_document(&name.text).unwrap_or_default();
        let Some(key) = shape.rows().find(|key| key.name == typed) else {
            unknown(name, &typed, shape, out);
            continue;
        };
        if let Some(first) = table.get(key.name) {
            let message = format!("{} stands twice", name.text);
            out.push(twice(&name.at, message).also(first.key.at.clone(), "the first"));
            continue;
        }
        let mut filled = cells.iter().filter(|cell| !absent(&cell.text));
        let Some(cell) = filled.next() else { continue };
        if let Some(more) = filled.next() {
            let message = format!("a second value of {}", name.text);
            out.fault(&more.at, message, "one cell: a text with commas stands in quotes");
        }
        let node = value(key, cell, out);
        table.0.push(Entry { key: Text { text: key.name.into(), at: name.at.clone() }, node });
    }
    for key in shape.rows().filter(|key| key.needed && table.get(key.name).is_none()) {
        let example = key.example.trim_matches('"');
        let help = format!("a row above the columns: {DOCUMENT} {}, then {example}", key.name);
        out.fault(names, format!("{DOCUMENT} {} is missing", key.name), help);
    }
    Node { at, value: Value::Table(table) }
}

fn unknown(name: &Cell, typed: &str, shape: &Shape, out: &mut Diags) {
    let known: Vec<&str> = shape.rows().map(|key| key.name).collect();
    let help = match nearest(typed, known.iter().copied()) {
        Some(near) => format!("did you mean {DOCUMENT} {near}"),
        None => format!("{DOCUMENT} {}", known.join(&format!(", {DOCUMENT} "))),
    };
    out.fault(&name.at, format!("{} says nothing of a document", name.text), help);
}

fn twice(at: &Span, message: String) -> Diag {
    Diag::at(Severity::Fault, at, message, "keep one of the two")
}

/// Whether every name is known, too.
fn columns(names: &Row, out: &mut Diags) -> (Vec<Under>, bool) {
    let mut columns: Vec<Under> = Vec::new();
    let before = out.faults();
    for cell in &names.cells {
        let mut under = under(cell, out);
        let first = columns.iter().position(|other| *other == under);
        let first = first.filter(|_| matches!(under, Under::Column(_)));
        if let Some(first) = first.and_then(|first| names.cells.get(first)) {
            let message = format!("the column {} stands twice", cell.text);
            out.push(twice(&cell.at, message).also(first.at.clone(), "the first"));
            under = Under::Unknown;
        }
        columns.push(under);
    }
    (columns, out.faults() == before)
}

fn under(cell: &Cell, out: &mut Diags) -> Under {
    let name = cell.text.as_str();
    if name.is_empty() {
        return Under::NoName;
    }
    // Said so, so that none is left out by a slip.
    if name.starts_with('(') && name.ends_with(')') {
        return Under::Own;
    }
    if let Some(column) = named(name) {
        return Under::Column(column);
    }
    let typed = plain(name);
    let known: Vec<(String, &str)> =
        COLUMNS.iter().map(|column| (plain(&column.name), column.name.as_str())).collect();
    let near = nearest(&typed, known.iter().map(|(plain, _)| plain.as_str()));
    let near = near.and_then(|near| known.iter().find(|(plain, _)| plain == near));
    let help = match near {
        Some((_, name)) => format!("did you mean {name}"),
        None => format!("({name}) in brackets where it is the shop's own"),
    };
    out.fault(&cell.at, format!("there is no column {name}"), help);
    Under::Unknown
}
