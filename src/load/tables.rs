//! Tables to write in, as a form asks for them.

use super::fields::Fields;
use super::keys::{Key, Kind, optional, required};
use crate::diag::Diags;
use crate::model::form::{Table, TableHead};
use crate::model::text::Text;

/// Where the engine tells what a row is of.
const ROWS_OF: &[&str] = &["crack-tests", "major-parts"];
/// The most that a row has room for.
const MOST: usize = 8;

pub const TABLE: &[Key] = &[
    required("table", Kind::Text, "\"directives and bulletins\""),
    required("heads", Kind::Texts, "[\"number, revision\", \"applies\", \"by\"]"),
    optional("widths", Kind::Wholes, "[4, 2, 1]"),
    optional("ticks", Kind::TextOrTexts, "\"result\""),
    optional("rows", Kind::Whole, "6"),
    optional("none", Kind::Flag, "true"),
    optional("rows-of", Kind::Choice(ROWS_OF), "\"crack-tests\""),
    optional("items", Kind::Texts, "[\"crankshaft\", \"camshaft\"]"),
];

/// Reads a table; `None` where it has a fault.
pub fn table(title: Text, fields: &Fields<'_>, out: &mut Diags) -> Option<Table> {
    let before = out.faults();
    let heads = fields.texts("heads").unwrap_or_default();
    let rows = fields.texts("items").unwrap_or_default();
    let blank = fields.whole("rows").unwrap_or_default();
    let asked = [!rows.is_empty(), blank > 0, fields.text("rows-of").is_some()];
    if asked.into_iter().filter(|asked| *asked).count() != 1 {
        let help = "either rows = 6, or items = [\"...\"], or rows-of = \"crack-tests\"";
        out.fault(&title.at, "what the rows of the table are is not said once", help);
    }
    let none = fields.flag("none").unwrap_or(false);
    if none && blank == 0 {
        let help = "rows = 6, or take none = true out";
        out.fault(fields.place("none"), "only blank rows can be left over", help);
    }
    if heads.is_empty() || heads.len() > MOST {
        let message = format!("a table of {} columns", heads.len());
        out.fault(fields.place("heads"), message, format!("1 to {MOST}"));
    }
    let shares = fields.wholes("widths").unwrap_or_else(|| vec![1; heads.len()]);
    if shares.len() != heads.len() || shares.contains(&0) {
        let message = format!("{} columns and the widths of {}", heads.len(), shares.len());
        let help = "a whole number from 1 for each column, its share of the width";
        out.fault(fields.place("widths"), message, help);
    }
    let ticks = fields.texts("ticks").unwrap_or_default();
    for tick in &ticks {
        if heads.iter().all(|head| head.text != tick.text) {
            let names: Vec<&str> = heads.iter().map(Text::as_str).collect();
            out.fault(&tick.at, format!("the table has no column {tick}"), names.join("; "));
        }
    }
    let head = |(text, share): (Text, u32)| TableHead {
        share,
        tick: ticks.iter().any(|tick| tick.text == text.text),
        text,
    };
    let heads = heads.into_iter().zip(shares).map(head).collect();
    (out.faults() == before).then_some(Table { title, heads, rows, blank, none })
}
