//! With what was read, as sheets name it: for all under one key, or line by
//! line.

use super::index::RecordIndex;
use crate::model::limits::Gauges;
use crate::model::record::{ItemContent, Mark, Named, SheetEntry};
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

/// For what a sheet names no gauge though it was read or done with one: the key,
/// or where each line names its own the lines that do not.
pub fn unnamed(index: &RecordIndex, sheet: &Sheet, entry: &SheetEntry, key: &str) -> Vec<String> {
    let sign = entry.signs.iter().find(|sign| sign.key.as_str() == key);
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
    for line in sheet.lines().filter(|line| read_under(index, line, entry, key)) {
        let named = lines.of(&line.reference).iter().any(|id| !id.as_str().trim().is_empty());
        if !named && !blank.contains(&line.reference) {
            blank.push(line.reference.clone());
        }
    }
    blank
}

/// Whether a line that gauges are named for was read under this key.
fn read_under(index: &RecordIndex, line: &LineRows, entry: &SheetEntry, key: &str) -> bool {
    if matches!(index.case.limits.lines[line.line].gauges(), Gauges::None) {
        return false;
    }
    let rows =
        entry.rows.iter().filter(|row| line.rows.iter().any(|own| own.code == row.code.as_str()));
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
