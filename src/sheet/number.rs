//! Numbers of the set and of each sheet: digests of what decides what is
//! measured and judged. People, gauges and other sheets don't enter a sheet's
//! number, so a change strands that sheet alone.

use super::types::{LineRows, Sheet, SheetBlock};
use crate::model::Case;
use crate::model::job::Scope;
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// Crockford's base 32: no I, L, O or U, which a hand confuses.
const SYMBOLS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Gives a sheet its digests and its number.
pub fn sheet(sheet: &mut Sheet, case: &Case) {
    let mut digests: Vec<(String, String)> = sheet
        .lines()
        .map(|rows| (rows.reference.clone(), short(&line(rows, case))))
        .collect();
    let ticks = items(sheet);
    if !ticks.is_empty() {
        digests.push(("items".to_owned(), short(&ticks)));
    }
    let mut text = format!("{}\n{}\n{}\n", sheet.letter, sheet.title, sheet.revision);
    for (key, digest) in &digests {
        let _ = writeln!(text, "{key} {digest}");
    }
    for sign in sheet.signs.iter().filter(|sign| sign.key != "check") {
        let _ = writeln!(text, "{} {}", sign.key, sign.caption);
    }
    sheet.number = short(&text);
    sheet.digests = digests;
}

/// The set's number: of all its sheets, the document's revision, the engine and
/// the work order. The paper is not part of it: a page may be printed again on
/// another.
pub fn set(sheets: &[Sheet], case: &Case) -> String {
    let document = &case.limits.document;
    let mut text = format!(
        "{}\n{}\n{}\n{}\n{}\n{}\n",
        case.engine.maker,
        case.engine.model,
        case.job.serial,
        case.job.work_order,
        document.number,
        document.revision,
    );
    for sheet in sheets {
        let _ = writeln!(text, "{} {}", sheet.letter, sheet.number);
    }
    let symbols = symbols(&text, 8);
    format!("{}-{}", &symbols[..4], &symbols[4..])
}

/// A number as typed: letters that a hand confuses read as their digit, dashes
/// and spaces left out (Crockford's base 32).
pub fn plain(number: &str) -> String {
    number
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .map(|c| match c.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        })
        .collect()
}

fn short(text: &str) -> String {
    symbols(text, 4)
}

/// The first `count` symbols of the text's SHA-256, five bits each.
fn symbols(text: &str, count: usize) -> String {
    let digest = Sha256::digest(text.as_bytes());
    let bit = |n: usize| usize::from(digest[n / 8] >> (7 - n % 8) & 1);
    let symbol = |n: usize| (0..5).fold(0, |value, k| value << 1 | bit(n * 5 + k));
    (0..count).map(|n| char::from(SYMBOLS[symbol(n)])).collect()
}

/// What decides a line's rows: its boxes, ranges, limits and features.
fn line(rows: &LineRows, case: &Case) -> String {
    let mut text = format!("{}\n{}\n", rows.reference, rows.limits);
    let scope = match case.job.scope {
        Scope::New => "new",
        Scope::Service => "service",
    };
    let _ = writeln!(text, "{scope} {:?} {}", rows.with, rows.agreed.is_some());
    for group in &rows.groups {
        let _ = writeln!(
            text,
            "{} {} {:?} {:?} {} {}",
            group.key, group.hint, group.labels, group.governs, group.own, group.unit
        );
        let _ = writeln!(text, "{:?}", group.shape);
        if let Some(condition) = group.when.and_then(|when| case.engine.conditions.get(when)) {
            let _ = writeln!(text, "{}", condition.id);
            condition.steps.iter().for_each(|step| {
                let _ = writeln!(text, "{step}");
            });
        }
    }
    for range in &rows.ranges {
        let at = range.at.map(|at| at.to_string());
        let _ = writeln!(text, "{} {} {at:?} {}", range.key, range.word, range.floor);
    }
    for scale in &rows.scales {
        for band in &scale.bands {
            let ends = [band.from, band.to].map(|end| end.map(|end| end.to_string()));
            let _ = writeln!(text, "{} {} {ends:?}", scale.over, band.word);
        }
    }
    for row in &rows.rows {
        let _ = writeln!(text, "{} {}", row.code, row.name);
    }
    text
}

/// What is ticked and written on a sheet.
fn items(sheet: &Sheet) -> String {
    let mut text = String::new();
    for block in &sheet.blocks {
        match block {
            SheetBlock::Marks(marks) => {
                let _ = writeln!(text, "{:?} {} {:?}", marks.kind, marks.hold, marks.columns);
                for item in &marks.items {
                    let _ = writeln!(text, "{} {}", item.number, item.text);
                }
            }
            SheetBlock::Write { columns, items, .. } => {
                let _ = writeln!(text, "write {columns:?}");
                for item in items {
                    let _ = writeln!(text, "{} {}", item.number, item.text);
                }
            }
            SheetBlock::Renew { items, .. } => {
                for item in items {
                    let _ = writeln!(text, "{} {} {}", item.number, item.name, item.count);
                }
            }
            SheetBlock::Measure(_) | SheetBlock::Caution(_) | SheetBlock::Note(_) => {}
        }
    }
    text
}
