//! Hold points: each is signed and dated by an inspector in its own boxes,
//! after the work before it and before the work behind it.

use super::index::RecordIndex;
use super::sign_offs::own_work;
use super::types::Issue;
use crate::judge::State;
use crate::model::record::SheetEntry;
use crate::model::text::Text;
use crate::sheet::{Hold, Sheet, SheetBlock, holds};

/// What stands against the hold points of a sheet.
pub fn asks(bench: &RecordIndex, sheet: &Sheet, entry: &SheetEntry) -> Vec<Issue> {
    holds(sheet).flat_map(|hold| one(bench, sheet, entry, &hold)).collect()
}

fn one(bench: &RecordIndex, sheet: &Sheet, entry: &SheetEntry, hold: &Hold) -> Vec<Issue> {
    let letter = &sheet.letter;
    let sign = entry.signs.iter().find(|sign| sign.key.as_str() == hold.key);
    let at = Some(sign.map_or_else(|| entry.at.clone(), |sign| sign.at.clone()));
    let mut asks = Vec::new();
    let mut ask = |state, why| asks.push(Issue { state, why, at: at.clone() });
    let by = sign.and_then(|sign| sign.by.as_ref()).map(Text::as_str).filter(|by| !by.is_empty());
    let on = sign.and_then(|sign| sign.on.as_ref()).map(|(on, _)| *on);
    match by {
        None => ask(
            State::Hold,
            format!("sheet {letter}: waits for an inspector at its hold point: {}", hold.title),
        ),
        Some(by) => {
            let own = own_work(bench, sheet, entry, by, on);
            if let Some(own) = own.filter(|_| bench.case.job.second_person) {
                let why = format!(
                    "sheet {letter}: {by} did {own} and signed the hold point: a second person is required"
                );
                ask(State::Query, why);
            }
            if !bench.is_inspector(by) {
                let why = format!("sheet {letter}: {by} is no inspector, the hold point needs one");
                ask(State::Hold, why);
            }
        }
    }
    let Some(on) = on else {
        if by.is_some() {
            ask(State::Open, format!("sheet {letter}: no date for the hold point: {}", hold.title));
        }
        return asks;
    };
    if let Some((opened, _)) = bench.case.job.opened.as_ref().filter(|(opened, _)| on < *opened) {
        let why = format!(
            "sheet {letter}: hold point signed on {on}, before the job was opened on {opened}"
        );
        ask(State::Query, why);
    }
    for (key, before, after) in around(sheet, hold) {
        let done = entry.signs.iter().find(|sign| sign.key.as_str() == key);
        let Some((done, _)) = done.and_then(|sign| sign.on.as_ref()) else { continue };
        if after && *done < on {
            let why = format!(
                "sheet {letter}: {key} dated {done}, before the hold point in front of it was signed on {on}"
            );
            ask(State::Query, why);
        } else if before && !after && on < *done {
            let why = format!(
                "sheet {letter}: hold point signed on {on}, before {key} was done on {done}"
            );
            ask(State::Query, why);
        }
    }
    asks
}

/// Each sign-off of a sheet, and whether it answers for something before a hold
/// point and for something behind it.
fn around<'a>(sheet: &'a Sheet, hold: &Hold) -> Vec<(&'a str, bool, bool)> {
    let answers = |key: &str, block: &SheetBlock| match block {
        SheetBlock::Measure(measure) => measure
            .lines
            .iter()
            .flat_map(|line| &line.groups)
            .any(|group| group.own && group.key.side().word() == key),
        SheetBlock::Marks(_) | SheetBlock::Write { .. } | SheetBlock::Renew { .. } => key == "work",
        SheetBlock::Caution(_) | SheetBlock::Note(_) => false,
    };
    let (before, after) = sheet.blocks.split_at(hold.block + 1);
    let keys = sheet.signs.iter().map(|sign| sign.key.as_str()).filter(|key| *key != "check");
    keys.map(|key| {
        let any = |blocks: &[SheetBlock]| blocks.iter().any(|block| answers(key, block));
        (key, any(before), any(after))
    })
    .collect()
}
