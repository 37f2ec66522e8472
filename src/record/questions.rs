//! The slips that a row shows by itself, and those across rows: what is asked
//! makes the row a query, and changes nothing that was typed.

use super::history;
use super::index::RecordIndex;
use super::types::{Chains, Step};
use crate::judge::slips::across::{self, RowSeen};
use crate::judge::slips::{Question, as_typed, question};
use crate::judge::{Context, SideReadings, State, Verdict, check};
use crate::model::record::Why;
use crate::sheet::{At, RowId};

/// Questions every step of a row as it stood.
pub fn row(index: &RecordIndex, at: &At, steps: &mut [Step]) {
    confirm(steps);
    for step in steps {
        let asked = of_step(index, at, step);
        apply(step, &asked);
    }
}

/// What a step raises by itself.
pub fn of_step(index: &RecordIndex, at: &At, step: &Step) -> Vec<Question> {
    let line = &index.case.limits.lines[at.line.line];
    let warm = |read: &[SideReadings]| history::at_twenty(index, at, &step.sides, read);
    let cx = Context { place: at.row.place.map(|(_, n)| n), ..index.cx };
    question(line, &step.sides, &cx, &warm)
}

/// The verdict on the readings of a step as they stand in its boxes.
pub fn verdict(index: &RecordIndex, at: &At, step: &Step) -> Verdict {
    let line = &index.case.limits.lines[at.line.line];
    let read = as_typed(&step.sides, line);
    let read = history::at_twenty(index, at, &step.sides, &read);
    check(line).judge(&read, &index.cx)
}

/// A box is confirmed where it was measured again and the same value found, and
/// until it is written otherwise.
fn confirm(steps: &mut [Step]) {
    for n in 1..steps.len() {
        let [.., before, step] = &mut steps[..=n] else { continue };
        for (now, was) in step.sides.iter_mut().zip(&before.sides) {
            now.confirmed.clone_from(&was.confirmed);
            for (i, source) in now.sources.iter().enumerate().filter(|(_, s)| s.step == n) {
                let value = |side: &SideReadings| side.boxes[i].as_ref().map(|typed| typed.value);
                let again = source.why == Some(Why::MeasuredAgain) && step.why == source.why;
                let same = again && value(now).is_some() && value(now) == value(was);
                now.confirmed[i] = same;
            }
        }
    }
}

/// Nothing is judged while a question stands; the causes are all shown.
fn apply(step: &mut Step, asked: &[Question]) {
    for question in asked {
        let state = if question.hold { State::Hold } else { State::Query };
        step.verdict.state = step.verdict.state.clone().worse(state);
        step.verdict.unjudged();
        if !step.verdict.causes.contains(&question.cause) {
            step.verdict.causes.push(question.cause.clone());
        }
        for place in &question.boxes {
            if !step.questioned.contains(place) {
                step.questioned.push(*place);
            }
        }
    }
}

/// Slips that only several rows together show, asked of the readings that the
/// record holds now.
pub fn across(index: &RecordIndex, chains: &mut Chains) {
    let all = index.places.iter().filter_map(|at| Some((at, chains[at.id].last()?)));
    let seen: Vec<(RowId, RowSeen)> = all
        .map(|(at, step)| {
            let seen = RowSeen {
                code: &at.row.code,
                line: &index.case.limits.lines[at.line.line],
                row: &step.sides,
                sheet: at.sheet.0,
                place: at.row.place.map_or(0, |(_, n)| n),
            };
            (at.id, seen)
        })
        .collect();
    let (ids, seen): (Vec<RowId>, Vec<RowSeen>) = seen.into_iter().unzip();
    for (n, asked) in across::question(&seen, &index.cx) {
        if let Some(step) = chains[ids[n]].last_mut() {
            apply(step, std::slice::from_ref(&asked));
        }
    }
}
