//! A table of limits as shops have it in a spreadsheet (CSV), to a limits file
//! and back.

mod back;
mod cells;
mod columns;
mod head;
mod rows;
mod text;
mod values;

pub use back::table;
pub use columns::{COLUMNS, Column};

use super::forms::KINDS_FILE;
use super::kinds::kinds;
use super::limits::{limits, of_tree};
use super::meant::Meant;
use super::toml::tree::{Entry, Node, Table, Tree, Value};
use crate::diag::{Diags, Sources, Span};
use crate::model::engine::Engine;
use crate::model::limits::Limits;
use crate::model::text::Text;
use std::sync::Arc;

/// The text of the limits file that a table is, and what it says; `None` where
/// anything of it is at fault. Every fault is told at its cell; `files` learn
/// where the cells are. Without an engine nothing is said of the names that the
/// table takes from one, and the limits themselves are `None`.
pub fn from_table(
    files: &mut Sources,
    name: &str,
    engine: Option<&Engine>,
    out: &mut Diags,
) -> Option<(String, Option<Limits>)> {
    let before = out.faults();
    let (file, typed) =
        files.0.get_key_value(name).map(|(file, text)| (file.clone(), text.clone()))?;
    let mut cut = cells::cut(&file, &typed, out)?;
    files.put_cells(file.clone(), std::mem::take(&mut cut.places));
    let Some((head, rows)) = head::head(&cut.rows, out) else {
        if out.faults() == before {
            out.fault(
                &Span::new(&file, 0, 0),
                "an empty table",
                "look whether it is the right file",
            );
        }
        return None;
    };
    // Its faults are told where the forms are read.
    let kinds = kinds(files, &mut Diags::new());
    let lines = rows::lines(&head, rows, kinds.as_ref(), out);
    let root = Table(vec![entry("document", head.document), entry("line", lines)]);
    let at = Span::new(&file, 0, 0);
    let tree = Tree { root: Node { at, value: Value::Table(root) }, whole: out.faults() == before };
    // As it was typed: what a line need not say it does not say there either.
    let text = text::text(tree.root.table()?);
    let read = of_tree(tree, name, Meant { kinds: kinds.as_ref(), engine }, before, out);
    if out.faults() > before {
        return None;
    }
    let kinds = files.get(KINDS_FILE).cloned();
    as_written((&file, &text), kinds, engine, out).then_some((text, read))
}

fn entry(name: &str, node: Node) -> Entry {
    Entry { key: Text { text: name.into(), at: node.at.clone() }, node }
}

/// What is handed on can be read like any limits file.
fn as_written(
    (file, text): (&Arc<str>, &str),
    kinds: Option<Arc<str>>,
    engine: Option<&Engine>,
    out: &mut Diags,
) -> bool {
    let (mut files, mut again) = (Sources::default(), Diags::new());
    files.put(file.clone(), text);
    kinds.into_iter().for_each(|kinds| files.put(KINDS_FILE, kinds));
    limits(&files, file, engine, &mut again);
    let sound = again.faults() == 0;
    if !sound {
        let message = format!("the limits that {file} gives cannot be read back");
        out.fault_nowhere(message, "please report this");
    }
    sound
}
