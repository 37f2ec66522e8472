//! Every row of the set, judged.

use super::findings::{self, RowView};
use super::index::RecordIndex;
use super::sign_offs::Standing;
use super::types::{Chains, History, Issue, Step};
use super::{history, questions, shared};
use crate::judge::budget::expanded;
use crate::judge::repeat::asks_repeat;
use crate::judge::{Beyond, BoxKind, State};
use crate::model::limits::Line;
use crate::model::record::{Accepted, NotApplicable, Why};
use crate::model::text::Text;
use crate::sheet::At;

/// Every row in printed order; rows that borrow another row's readings too.
pub fn rows(index: &RecordIndex, standing: &[Standing]) -> Vec<History> {
    let boxed = |at: &At| if at.line.has_boxes() { history::own(index, at) } else { Vec::new() };
    let mut chains: Chains = index.places.iter().map(boxed).collect();
    shared::readings(index, &mut chains);
    for (at, steps) in index.places.iter().zip(&mut chains) {
        questions::row(index, at, steps);
    }
    questions::across(index, &mut chains);
    let judged = index.places.iter().map(|at| row(index, at, &chains, standing));
    let judged: Vec<History> = judged.collect();
    let with_steps = |(mut row, own): (History, Vec<Step>)| {
        if !own.is_empty() {
            row.steps = own;
        }
        if let Some(step) = row.steps.last_mut() {
            ask_repeat(step, &row.state);
        }
        row
    };
    judged.into_iter().zip(chains).map(with_steps).collect()
}

/// A row. Steps of its own stay in `chains`, for the rows that borrow them.
fn row<'a>(
    index: &RecordIndex<'a>,
    at: &At<'a>,
    chains: &Chains,
    standing: &[Standing],
) -> History {
    let own = &chains[at.id];
    if at.line.has_boxes() {
        let seen = RowView { index, home: *at, groups: at.line.own().collect(), steps: own };
        return judged(&seen, at, &standing[at.sheet.0]);
    }
    let feature = at.line.groups.first().and_then(|group| group.feature);
    let home = feature.and_then(|feature| index.home(feature, at.row.place.map(|(_, n)| n)));
    let found = home.and_then(|(id, side)| {
        let home = index.places[id];
        let group = home.line.own().find(|group| group.key == side)?;
        Some((home, group, &chains[id]))
    });
    let Some((home, group, steps)) = found else {
        let seen = RowView { index, home: *at, groups: Vec::new(), steps: &[] };
        return judged(&seen, at, &standing[at.sheet.0]);
    };
    let steps = history::borrowed(index, at, steps, group.key);
    let seen = RowView { index, home, groups: vec![group], steps: &steps };
    let row = judged(&seen, at, &standing[home.sheet.0]);
    History { steps, ..row }
}

fn judged(seen: &RowView, at: &At, standing: &Standing) -> History {
    let (index, code) = (seen.index, &at.row.code);
    let mut asks: Vec<Issue> = standing
        .lines
        .iter()
        .filter(|(reference, _)| *reference == at.line.reference && !seen.measured_again())
        .map(|(_, ask)| ask.clone())
        .collect();
    asks.extend(findings::asks(seen));
    super::second::stale(index, at, seen.steps, &mut asks);
    let verdict = seen.steps.last().map_or(State::Open, |step| step.verdict.state.clone());
    let mut state = asks.iter().fold(verdict, |state, ask| state.worse(ask.state.clone()));
    let not_applicable = left_out(seen, at, &mut state, &mut asks);
    History {
        code: code.clone(),
        accepted: accepted(seen, code, &state, &mut asks),
        state,
        asks,
        steps: Vec::new(),
        not_applicable,
        at: index.row(code).map(|entry| entry.at.clone()),
    }
}

/// A row marked n.a.: with a reason and initials, an inspector's where the
/// line has limits, and without any reading. What borrows the readings of a row
/// left out is left out with it.
fn left_out(seen: &RowView, at: &At, state: &mut State, asks: &mut Vec<Issue>) -> Option<String> {
    let typed = |code: &str| seen.index.row(code).and_then(|row| row.not_applicable.as_ref());
    let na: &NotApplicable = typed(&at.row.code).or_else(|| typed(&seen.home.row.code))?;
    let line = &seen.index.case.limits.lines[at.line.line];
    let (worse, problem) = match said(seen, na, line) {
        Ok(words) if seen.steps.iter().all(blank) => {
            *state = State::NotApplicable;
            asks.clear();
            return Some(words);
        }
        Ok(_) => (State::Query, "n.a. and readings on one row: one of them is wrong"),
        Err(problem) => (State::Open, problem),
    };
    *state = state.clone().worse(worse.clone());
    asks.push(Issue { state: worse, why: problem.to_owned(), at: Some(na.at.clone()) });
    None
}

fn said(seen: &RowView, na: &NotApplicable, line: &Line) -> Result<String, &'static str> {
    let word =
        |word: &Option<Text>| word.as_ref().map(Text::to_string).filter(|w| !w.trim().is_empty());
    let why = word(&na.why).ok_or("n.a. without a reason")?;
    let by = word(&na.by).ok_or("n.a. without initials")?;
    if line.is_limited() && !seen.index.is_inspector(&by) {
        return Err("n.a. on a line with limits needs an inspector's initials");
    }
    Ok(format!("{why}, {by}"))
}

fn blank(step: &Step) -> bool {
    step.sides.iter().all(|side| side.taken().next().is_none())
}

/// An out accepted on data needs authority, document and date, every box filled
/// in, and no reading later than the acceptance.
fn accepted(seen: &RowView, code: &str, state: &State, asks: &mut Vec<Issue>) -> Option<String> {
    let mut entries = seen.index.record.accepted.iter().rev();
    let entry: &Accepted = entries.find(|entry| entry.row.as_str() == code)?;
    if !matches!(state, State::Out(_)) {
        return None;
    }
    let word =
        |word: &Option<Text>| word.as_ref().map(Text::to_string).filter(|w| !w.trim().is_empty());
    let problem = match (word(&entry.authority), word(&entry.document), entry.on.as_ref()) {
        (Some(authority), Some(document), Some((on, _))) => {
            let last = seen.steps.last();
            let filled = last.is_some_and(|step| {
                seen.groups.iter().zip(&step.sides).all(|(group, side)| {
                    let boxes =
                        if matches!(group.shape, BoxKind::Words) { 0 } else { group.labels.len() };
                    (0..boxes).all(|n| side.filled(n))
                })
            });
            let mut sources =
                last.into_iter().flat_map(|step| &step.sides).flat_map(|side| side.taken());
            let late =
                sources.any(|(_, source)| source.on.as_ref().is_some_and(|(read, _)| read > on));
            match (filled, late) {
                (true, false) => return Some(format!("accepted on {document}, {authority}, {on}")),
                (false, _) => "accepted while a box is blank",
                (_, true) => "accepted before it was last measured",
            }
        }
        _ => "accepted without a named authority, a document and a date",
    };
    asks.push(Issue {
        state: state.clone(),
        why: format!("{problem}: it stays out"),
        at: Some(entry.at.clone()),
    });
    None
}

/// Out everywhere by less than the uncertainty it was held under: measure again
/// before a part is scrapped.
fn ask_repeat(step: &mut Step, state: &State) {
    let State::Out(beyonds) = state else { return };
    let near = |beyond: &Beyond| {
        let held = step.verdict.held.iter().find(|held| held.beyond == beyond.side)?;
        let near = !held.budget.is_empty() && asks_repeat(beyond.by?, &expanded(&held.budget));
        near.then_some(held.name.subject())
    };
    let Some(mut what) = beyonds.iter().map(near).collect::<Option<Vec<&str>>>() else { return };
    if what.is_empty() || step.why == Some(Why::MeasuredAgain) {
        return;
    }
    what.dedup();
    step.verdict.notes.push(format!(
        "out by less than the uncertainty of the {}: measure again before a part is scrapped",
        what.join(" and the ")
    ));
}
