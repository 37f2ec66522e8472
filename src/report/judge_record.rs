//! A case and its sheets to a judged record.

use super::bench::Bench;
use super::items;
use super::judged::{Ask, Judged};
use super::resolve::resolve;
use super::rows;
use super::signs::{Standing, standing};
use super::types::Status;
use crate::diag::Diags;
use crate::judge::State;
use crate::model::Case;
use crate::model::record::Record;
use crate::quantity::Exact;
use crate::sheet::{SheetSet, plain_number, setting};

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
    let leaves: Vec<Exact> = case.job.leaves.iter().map(|leaf| leaf.value).collect();
    let bench = Bench::new(case, set, record, setting(case, &leaves));
    let standings: Vec<Standing> = set.sheets.iter().map(|sheet| standing(&bench, sheet)).collect();
    let rows = rows::rows(&bench, &standings);
    let items = items::items(&bench);
    let mut judged = Judged {
        status: Status::Incomplete,
        asks: set_number(set, record, &standings),
        sheets: standings.into_iter().map(|standing| standing.sheet).collect(),
        rows,
        items,
    };
    changes(&bench, &mut judged);
    judged.status = status(&judged);
    Some(judged)
}

fn status(judged: &Judged) -> Status {
    if judged.sheets.iter().all(|sheet| !sheet.begun) {
        Status::Draft
    } else if judged.blocks() {
        Status::Incomplete
    } else {
        Status::Final
    }
}

/// Sheets of another set or another job.
fn set_number(set: &SheetSet, record: &Record, standings: &[Standing]) -> Vec<Ask> {
    let stranded = standings.iter().any(|s| !s.lines.is_empty());
    if plain_number(record.set.as_str()) == plain_number(&set.number) || stranded {
        return Vec::new();
    }
    vec![Ask {
        state: State::Query,
        why: format!(
            "sheet set {} typed, this job's is {}: pages of another job, or the engine, the document's revision or the paper has changed since",
            record.set, set.number
        ),
        at: Some(record.set.at.clone()),
    }]
}

/// A replaced part needs its number, serial or batch, and document.
fn changes(bench: &Bench, judged: &mut Judged) {
    use crate::judge::again::{Said, lacks};
    use crate::model::typed::Word;
    for change in &bench.record.changes {
        let word = |word: &'_ Option<Word>| word.as_ref().map(|w| w.as_str().to_owned());
        let owned = [
            word(&change.by),
            word(&change.what),
            word(&change.data),
            word(&change.number),
            word(&change.batch),
            word(&change.document),
        ];
        let [by, what, data, number, batch, document] = &owned;
        let said = Said {
            by: by.as_deref(),
            dated: change.on.is_some(),
            what: what.as_deref(),
            data: data.as_deref(),
            number: number.as_deref(),
            batch: batch.as_deref(),
            document: document.as_deref(),
            ..Said::default()
        };
        let missing: Vec<String> = lacks(change.why.0, &said).iter().map(ToString::to_string).collect();
        if !missing.is_empty() {
            judged.asks.push(Ask {
                state: State::Open,
                why: format!("{}, {}: {}", change.part, super::bench::why_word(change.why.0), missing.join("; ")),
                at: Some(change.at.clone()),
            });
        }
    }
}
