//! Numbers of the set and of each sheet: digests of what decides what is
//! measured and judged. People, gauges and other sheets don't enter a sheet's
//! number, so a change strands that sheet alone.

use super::table;
use super::types::{Columns, Item, LineRows, MarksKind, Sheet, SheetBlock};
use crate::judge::{BoxGroup, BoxKind, Context, leaves};
use crate::model::Case;
use crate::model::job::Scope;
use crate::model::limits::Gauges;
use crate::model::text::Text;
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// Crockford's base 32: no I, L, O or U, which a hand confuses.
const SYMBOLS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Gives a sheet its digests and its number.
pub fn sheet(sheet: &mut Sheet, case: &Case, cx: &Context<'_>) {
    // Lines of one reference, which go by place, have one digest together.
    let mut texts: Vec<(String, String)> = Vec::new();
    for rows in sheet.lines() {
        let text = line(rows, case, cx);
        match texts.iter_mut().find(|(reference, _)| *reference == rows.reference) {
            Some((_, all)) => all.push_str(&text),
            None => texts.push((rows.reference.clone(), text)),
        }
    }
    let mut digests: Vec<(String, String)> =
        texts.into_iter().map(|(reference, text)| (reference, short(&text))).collect();
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

/// The set's number. Its first half is the job's (engine and work order), its
/// second half is of the document's revision and all the sheets: sets of one job
/// begin alike. The paper is not part of it: a page may be printed again on
/// another.
pub fn set(sheets: &[Sheet], case: &Case) -> String {
    let (engine, job) = (&case.engine, &case.job);
    let own = format!("{}\n{}\n{}\n{}\n", engine.maker, engine.model, job.serial, job.work_order);
    let document = &case.limits.document;
    let mut text = format!("{}\n{}\n", document.number, document.revision);
    for sheet in sheets {
        let _ = writeln!(text, "{} {}", sheet.letter, sheet.number);
    }
    format!("{}-{}", short(&own), short(&text))
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

/// The first four symbols of the text's SHA-256, five bits each.
pub fn short(text: &str) -> String {
    let digest = Sha256::digest(text.as_bytes());
    let bit = |n: usize| usize::from(digest[n / 8] >> (7 - n % 8) & 1);
    let symbol = |n: usize| (0..5).fold(0, |value, k| value << 1 | bit(n * 5 + k));
    (0..4).map(|n| char::from(SYMBOLS[symbol(n)])).collect()
}

/// What decides a line's rows, in a format of its own: figures, keys, labels
/// and codes, never the words that a later version of the program may better.
fn line(rows: &LineRows, case: &Case, cx: &Context<'_>) -> String {
    let scope = match case.job.scope {
        Scope::New => "new",
        Scope::Service => "service",
    };
    let mut text = format!("{} {scope} {}\n", rows.reference, rows.agreed.is_some());
    let limits = &case.limits.lines[rows.line];
    let _ = writeln!(text, "{} {}", limits.unit, limits.places);
    let mut decides: Vec<_> = limits.typed.iter().filter(|key| key.decides).collect();
    decides.sort_by(|a, b| a.what.cmp(&b.what));
    for key in decides {
        let _ = writeln!(text, "{} {}", key.what, key.value);
    }
    rows.groups.iter().for_each(|group| self::group(group, case, &mut text));
    if let Gauges::Leaves(feeler) = limits.gauges()
        && let Ok(chosen) = leaves(feeler, cx)
    {
        // Which leaf was tried is on the paper; how thick it is, in the job.
        let pair = [chosen.leaves.go, chosen.leaves.no_go];
        for leaf in pair.into_iter().flatten() {
            let _ = writeln!(text, "leaf {}", leaf.engraved.padded(7));
        }
    }
    for arrived in &case.job.arrived {
        let feature = case.engine.feature(arrived.feature.as_str());
        if feature.is_some() && rows.groups.iter().any(|group| group.feature == feature) {
            let places: Vec<&str> = arrived.places.iter().map(Text::as_str).collect();
            let (feature, grade) = (&arrived.feature, &arrived.grade);
            let _ = writeln!(text, "arrived {feature} {grade} {}", places.join(" "));
        }
    }
    for range in &rows.ranges {
        let at = range.at.map_or_else(|| "-".to_owned(), |at| at.to_string());
        let _ = writeln!(text, "{} {at} {}", range.side, range.floor);
    }
    for row in &rows.rows {
        let _ = writeln!(text, "{} {}", row.code, row.name);
    }
    text
}

fn group(group: &BoxGroup, case: &Case, text: &mut String) {
    let governs: String = group.governs.iter().map(|g| if *g { '1' } else { '0' }).collect();
    let shape = match &group.shape {
        BoxKind::Comb { whole, places, .. } => format!("comb {whole} {places}"),
        BoxKind::Marks { .. } => "marks".to_owned(),
        BoxKind::Words => "words".to_owned(),
    };
    let labels = group.labels.join("|");
    let _ = writeln!(text, "{} {labels} {governs} {shape} {}", group.key, group.own);
    if let Some(feature) = group.feature.and_then(|feature| case.engine.features.get(feature.0)) {
        let _ = writeln!(text, "feature {}", feature.id);
        feature.directions.iter().for_each(|direction| {
            let _ = writeln!(text, "{direction}");
        });
    }
    if let Some(condition) = group.when.and_then(|when| case.engine.conditions.get(when)) {
        let _ = writeln!(text, "when {}", condition.id);
        condition.steps.iter().for_each(|step| {
            let _ = writeln!(text, "{step}");
        });
    }
}

/// What is ticked and written on a sheet.
fn items(sheet: &Sheet) -> String {
    let mut text = String::new();
    for block in &sheet.blocks {
        match block {
            SheetBlock::Marks(marks) => {
                let kind = match marks.kind {
                    MarksKind::LookOver => "look over",
                    MarksKind::Steps => "steps",
                    MarksKind::Before => "before",
                };
                let _ =
                    writeln!(text, "{kind} {} {}", marks.hold.is_some(), across(&marks.columns));
                numbered(&marks.items, &mut text);
            }
            SheetBlock::Write { columns, items, .. } => {
                let _ = writeln!(text, "write {}", across(columns));
                numbered(items, &mut text);
            }
            SheetBlock::Renew { items, .. } => {
                for item in items {
                    let _ = writeln!(text, "{} {} {}", item.number, item.name, item.count);
                }
            }
            SheetBlock::Table(table) => table::decides(table, &mut text),
            SheetBlock::Measure(_) | SheetBlock::Caution(_) | SheetBlock::Note(_) => {}
        }
    }
    text
}

fn across(columns: &Columns) -> String {
    let codes: Vec<&str> = columns.iter().map(|(code, _)| code.as_str()).collect();
    codes.join(" ")
}

fn numbered(items: &[Item], text: &mut String) {
    for item in items {
        let _ = writeln!(text, "{} {}", item.number, item.text);
    }
}
