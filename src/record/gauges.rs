//! With what was read, as sheets name it: for all under one key, or line by
//! line.

use super::index::RecordIndex;
use crate::model::limits::Gauges;
use crate::model::record::{ItemContent, Mark, Named, SheetEntry, Sign};
use crate::model::text::Text;
use crate::sheet::{LineRows, Sheet, SheetBlock};

/// Every gauge that a sign-off names, each once.
pub fn each_once(gauges: &Named) -> Vec<String> {
    let mut each: Vec<String> = Vec::new();
    for gauge in gauges.all() {
        if !each.iter().any(|known| known == gauge.as_str()) {
            each.push(gauge.to_string());
        }
    }
    each
}

/// For what a sign-off names no gauge though it was read or done with one: the key,
/// or where each line names its own the lines that do not.
pub fn unnamed(
    index: &RecordIndex,
    sheet: &Sheet,
    entry: &SheetEntry,
    (key, sign): (&str, Option<&Sign>),
) -> Vec<String> {
    if key == "work" {
        let named = sign.is_some_and(|sign| !sign.gauges.all().is_empty());
        return if !named && done_with(sheet, entry) { vec![key.to_owned()] } else { Vec::new() };
    }
    let asked = sheet.signs.iter().any(|printed| printed.key == key && printed.gauges);
    let lines = match sign.map(|sign| &sign.gauges) {
        Some(named @ Named::Each(_)) => named,
        Some(Named::All(gauges)) if !gauges.is_empty() => return Vec::new(),
        _ => return if asked { vec![key.to_owned()] } else { Vec::new() },
    };
    let mut blank: Vec<String> = Vec::new();
    for line in sheet.lines().filter(|line| read_under(index, line, entry, (key, sign))) {
        let named = lines.of(&line.reference).iter().any(|id| !id.as_str().trim().is_empty());
        if !named && !blank.contains(&line.reference) {
            blank.push(line.reference.clone());
        }
    }
    blank
}

/// Whether a line that gauges are named for was read by whoever signed so.
fn read_under(
    index: &RecordIndex,
    line: &LineRows,
    entry: &SheetEntry,
    (key, sign): (&str, Option<&Sign>),
) -> bool {
    if matches!(index.case.limits.lines[line.line].gauges(), Gauges::None) {
        return false;
    }
    // Their rows where they name some, else those that nobody else names.
    let signs = entry.signs.iter().filter(|other| other.key.as_str() == key);
    let named: Vec<&str> = match sign.map(|sign| &sign.rows).filter(|rows| !rows.is_empty()) {
        Some(rows) => rows.iter().map(Text::as_str).collect(),
        None => signs.flat_map(|other| &other.rows).map(Text::as_str).collect(),
    };
    let theirs = sign.is_some_and(|sign| !sign.rows.is_empty());
    let rows = entry.rows.iter().filter(|row| {
        let code = row.code.as_str();
        line.rows.iter().any(|own| own.code == code) && named.contains(&code) == theirs
    });
    let mut groups = rows.flat_map(|row| &row.groups);
    groups.any(|group| group.key.0.side().word() == key && group.boxes.is_filled())
}

/// Whether work was done that says with what: a torque wrench is named.
fn done_with(sheet: &Sheet, entry: &SheetEntry) -> bool {
    let done = |number: u32| {
        entry.items.iter().any(|item| {
            let marks = match &item.content {
                ItemContent::Marks(marks) => marks.as_slice(),
                _ => &[],
            };
            item.number == number && marks.contains(&Mark::Ok)
        })
    };
    sheet.blocks.iter().any(|block| {
        matches!(block, SheetBlock::Marks(marks)
            if marks.with.is_some() && marks.items.iter().any(|item| done(item.number)))
    })
}
