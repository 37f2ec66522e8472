//! Hold points: each is signed and dated by an inspector in its own boxes,
//! after the work before it and before the work behind it. And who cannot sign
//! or check a sheet, having done some of the work on it.

use super::index::RecordIndex;
use super::types::Issue;
use crate::judge::State;
use crate::model::record::{SheetEntry, Sign};
use crate::model::text::Text;
use crate::quantity::date::Date;
use crate::sheet::{Hold, Sheet, SheetBlock, holds};

/// What stands against the hold points of a sheet.
pub fn asks(index: &RecordIndex, sheet: &Sheet, entry: &SheetEntry) -> Vec<Issue> {
    holds(sheet).flat_map(|hold| one(index, sheet, entry, &hold)).collect()
}

fn one(index: &RecordIndex, sheet: &Sheet, entry: &SheetEntry, hold: &Hold) -> Vec<Issue> {
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
            let own = own_work(index, sheet, entry, by, on);
            if let Some(own) = own.filter(|_| index.case.job.second_person) {
                let why = format!(
                    "sheet {letter}: {by} did {own} and signed the hold point: a second person is required"
                );
                ask(State::Query, why);
            }
            if !index.is_inspector(by) {
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
    if let Some((opened, _)) = index.case.job.opened.as_ref().filter(|(opened, _)| on < *opened) {
        let why = format!(
            "sheet {letter}: hold point signed on {on}, before the job was opened on {opened}"
        );
        ask(State::Query, why);
    }
    for (key, before, after) in around(sheet, hold) {
        let days = entry.signs.iter().filter(|sign| sign.key.as_str() == key);
        let days = || days.clone().filter_map(|sign| sign.on.as_ref()).map(|(done, _)| *done);
        let (first, last) = (days().min(), days().max());
        let Some((first, last)) = first.zip(last) else { continue };
        if after && first < on {
            let why = format!(
                "sheet {letter}: {key} dated {first}, before the hold point in front of it was signed on {on}"
            );
            ask(State::Query, why);
        } else if before && !after && on < last {
            let why = format!(
                "sheet {letter}: hold point signed on {on}, before {key} was done on {last}"
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
        SheetBlock::Marks(_)
        | SheetBlock::Write { .. }
        | SheetBlock::Table(_)
        | SheetBlock::Renew { .. } => key == "work",
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

/// A hold point's: who signs there looks, and does none of the work.
fn is_hold(sign: &Sign) -> bool {
    sign.key.as_str().starts_with("hold")
}

/// What the checker did on the sheet before checking it: a sign-off, or a
/// reading taken again. Nothing measured after the check is what was checked.
pub fn own_work(
    index: &RecordIndex,
    sheet: &Sheet,
    entry: &SheetEntry,
    by: &str,
    checked: Option<Date>,
) -> Option<String> {
    let mine = |other: &Option<Text>| other.as_ref().is_some_and(|other| other.as_str() == by);
    let work = |sign: &&Sign| sign.key.as_str() != "check" && !is_hold(sign);
    if let Some(sign) = entry.signs.iter().filter(work).find(|sign| mine(&sign.by)) {
        return Some(sign.key.to_string());
    }
    let beside = entry.initials.iter().find(|item| item.by.iter().any(|one| one.as_str() == by));
    if let Some(item) = beside {
        return Some(match item.first == item.last {
            true => format!("item {}", item.first),
            false => format!("items {} to {}", item.first, item.last),
        });
    }
    let mut again =
        sheet.lines().flat_map(|line| &line.rows).flat_map(|row| index.again(&row.code));
    again.find_map(|n| {
        let again = &index.record.again[*n];
        let before =
            again.on.as_ref().zip(checked).is_some_and(|((on, _), checked)| *on <= checked);
        (before && mine(&again.by)).then(|| format!("{} again", again.row))
    })
}
