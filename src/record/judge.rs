//! A case and its sheets to a judged record.

use super::index::RecordIndex;
use super::resolve::resolve;
use super::sign_offs::{Standing, changed_lines, standing};
use super::types::{History, Issue, Judged, JudgedSheet, Status};
use super::{changes, grades, items, rows};
use crate::diag::Diags;
use crate::judge::State;
use crate::model::Case;
use crate::model::record::Record;
use crate::sheet::{Sheet, SheetSet, judge_context, plain_number};

/// Judges every row and item. `None` where the transcription names what does
/// not exist; an absent one is judged as blank.
pub fn judge(case: &Case, set: &SheetSet, out: &mut Diags) -> Option<Judged> {
    let before = out.faults();
    let blank = Record::blank(&set.number);
    let record = case.record.as_ref().unwrap_or(&blank);
    resolve(case, set, record, out);
    if out.faults() > before {
        return None;
    }
    let index = RecordIndex::new(case, set, record, judge_context(case));
    let standings: Vec<Standing> = set.sheets.iter().map(|sheet| standing(&index, sheet)).collect();
    let rows = rows::rows(&index, &standings);
    let items = items::items(&index);
    let mut asks = set_number(set, record);
    asks.extend((0..record.changes.len()).flat_map(|n| changes::lacking(&index, n)));
    asks.extend(grades::mixed(&index, &rows));
    let sheets = standings.into_iter().map(|standing| with_superseded(standing, &rows)).collect();
    let mut judged = Judged { status: Status::Incomplete, asks, sheets, rows, items };
    judged.status = status(&judged);
    Some(judged)
}

fn status(judged: &Judged) -> Status {
    if judged.sheets.iter().all(|sheet| !sheet.begun) {
        Status::Draft
    } else if judged.blocks() {
        Status::Incomplete
    } else {
        Status::Complete
    }
}

/// A superseded sheet stands so until every row that changed is measured again.
fn with_superseded(standing: Standing, rows: &[History]) -> JudgedSheet {
    let Standing { mut sheet, lines, superseded } = standing;
    let waits =
        |row: &History| row.asks.iter().any(|ask| lines.iter().any(|(_, line)| line == ask));
    if let Some(ask) = superseded.filter(|_| rows.iter().any(waits)) {
        sheet.asks.push(ask);
    }
    sheet
}

/// Sheets of another set or another job. Where a sheet has changed or is new
/// since the set was printed its own number says so, and the rest stands.
fn set_number(set: &SheetSet, record: &Record) -> Vec<Issue> {
    let typed = |letter: &str| record.sheets.iter().find(|entry| entry.letter.as_str() == letter);
    let changed = |sheet: &Sheet| {
        typed(&sheet.letter).is_none_or(|entry| {
            let number = entry.number.as_ref().map(|number| plain_number(number.as_str()));
            number.is_some_and(|number| number != sheet.number)
                || !changed_lines(sheet, entry).is_empty()
        })
    };
    let same = plain_number(record.set.as_str()) == plain_number(&set.number);
    if same || set.sheets.iter().any(changed) {
        return Vec::new();
    }
    vec![Issue {
        state: State::Query,
        why: format!(
            "sheet set {} typed, this job's is {}: pages of another job, or the engine or the document's revision has changed since; measure on the pages of {}, and type the number that stands on the pages in hand; rows of a sheet that did not change stand by its line printed",
            record.set, set.number, set.number
        ),
        at: Some(record.set.at.clone()),
    }]
}
