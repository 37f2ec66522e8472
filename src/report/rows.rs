//! Every row of the set, judged.

use super::asks::{self, Seen};
use super::bench::{At, RecordIndex};
use super::chain;
use super::judged::{Issue, JudgedRow, Step};
use super::questions;
use super::shared;
use super::signs::Standing;
use crate::judge::again::asks_repeat;
use crate::judge::budget::expanded;
use crate::judge::{Beyond, BoxKind, Measure, State};
use crate::model::line::{Kind, Line};
use crate::model::record::{Accepted, NotApplicable, Why};
use crate::model::typed::Text;
use std::collections::BTreeMap;

/// Chains of the rows that print boxes, by row code.
pub type Chains<'a> = BTreeMap<&'a str, Vec<Step>>;

/// Every row in printed order; rows that borrow another row's readings too.
pub fn rows<'a>(bench: &RecordIndex<'a>, standing: &[Standing]) -> Vec<JudgedRow> {
    let places = bench.places();
    let mut chains: Chains<'a> = BTreeMap::new();
    let boxed: Vec<&At> = places.iter().filter(|at| at.line.1.has_boxes()).collect();
    let own = boxed.into_iter().map(|at| (at, chain::own(bench, at)));
    let mut own: Vec<(&At, Vec<Step>)> = own.collect();
    shared::readings(bench, &mut own);
    for (at, mut steps) in own {
        questions::row(bench, at, &mut steps);
        chains.insert(at.row.1.code.as_str(), steps);
    }
    questions::across(bench, &places, &mut chains);
    let by_code = places.iter().map(|at| (at.row.1.code.as_str(), at)).collect();
    let judged = places.iter().map(|at| row(bench, at, &by_code, &chains, standing));
    let judged: Vec<JudgedRow> = judged.collect();
    let with_steps = |mut row: JudgedRow| {
        if let Some(steps) = chains.remove(row.code.as_str()) {
            row.steps = steps;
        }
        if let Some(step) = row.steps.last_mut() {
            ask_repeat(step, &row.state);
        }
        row
    };
    judged.into_iter().map(with_steps).collect()
}

/// A row. Steps of its own stay in `chains`, for the rows that borrow them.
fn row<'a>(
    bench: &RecordIndex<'a>,
    at: &At<'a>,
    places: &BTreeMap<&str, &At<'a>>,
    chains: &Chains<'a>,
    standing: &[Standing],
) -> JudgedRow {
    if let Some(steps) = chains.get(at.row.1.code.as_str()) {
        let seen = Seen { bench, home: *at, groups: chain::own_groups(at), steps };
        return judged(&seen, at, &standing[at.sheet.0]);
    }
    let feature = at.line.1.groups.first().and_then(|group| group.feature);
    let home = feature.and_then(|feature| bench.home(feature, at.row.1.place.map(|(_, n)| n)));
    let found = home.and_then(|(code, side)| {
        let home = *places.get(code)?;
        let group = chain::own_groups(home).into_iter().find(|group| group.key == side)?;
        Some((*home, group, chains.get(code)?))
    });
    let Some((home, group, steps)) = found else {
        let seen = Seen { bench, home: *at, groups: Vec::new(), steps: &[] };
        return judged(&seen, at, &standing[at.sheet.0]);
    };
    let steps = chain::borrowed(bench, at, steps, group.key);
    let seen = Seen { bench, home, groups: vec![group], steps: &steps };
    let row = judged(&seen, at, &standing[home.sheet.0]);
    JudgedRow { steps, ..row }
}

fn judged(seen: &Seen, at: &At, standing: &Standing) -> JudgedRow {
    let (bench, code) = (seen.bench, &at.row.1.code);
    let mut asks: Vec<Issue> = standing
        .lines
        .iter()
        .filter(|(reference, _)| *reference == at.line.1.reference && !seen.measured_again())
        .map(|(_, ask)| ask.clone())
        .collect();
    asks.extend(asks::asks(seen));
    super::second::stale(bench, at, seen.steps, &mut asks);
    let verdict = seen.steps.last().map_or(State::Open, |step| step.verdict.state.clone());
    let mut state = asks.iter().fold(verdict, |state, ask| state.worse(ask.state.clone()));
    let not_applicable = left_out(seen, at, &mut state, &mut asks);
    JudgedRow {
        sheet: at.sheet.0,
        block: at.block,
        line: at.line.0,
        row: at.row.0,
        code: code.clone(),
        limit: at.line.1.line,
        accepted: accepted(seen, code, &state, &mut asks),
        state,
        asks,
        steps: Vec::new(),
        not_applicable,
        at: bench.row(code).map(|entry| entry.at.clone()),
    }
}

/// A row marked n.a.: with a reason and initials, an inspector's where the
/// line has limits, and without any reading. What borrows the readings of a row
/// left out is left out with it.
fn left_out(seen: &Seen, at: &At, state: &mut State, asks: &mut Vec<Issue>) -> Option<String> {
    let typed = |code: &str| seen.bench.row(code).and_then(|row| row.not_applicable.as_ref());
    let na: &NotApplicable = typed(&at.row.1.code).or_else(|| typed(&seen.home.row.1.code))?;
    let line = &seen.bench.case.limits.lines[at.line.1.line];
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

fn said(seen: &Seen, na: &NotApplicable, line: &Line) -> Result<String, &'static str> {
    let word =
        |word: &Option<Text>| word.as_ref().map(Text::to_string).filter(|w| !w.trim().is_empty());
    let why = word(&na.why).ok_or("n.a. without a reason")?;
    let by = word(&na.by).ok_or("n.a. without initials")?;
    if limited(line) && !seen.bench.is_inspector(&by) {
        return Err("n.a. on a line with limits needs an inspector's initials");
    }
    Ok(format!("{why}, {by}"))
}

/// Whether a line has any limit to hold a reading against.
fn limited(line: &Line) -> bool {
    match &line.kind {
        Kind::Fit(_) | Kind::Feeler(_) | Kind::Count(_) => true,
        _ => line.four().is_some_and(|four| !four.is_open()),
    }
}

fn blank(step: &Step) -> bool {
    step.sides.iter().all(|side| side.taken().next().is_none())
}

/// An out accepted on data needs authority, document and date, every box filled
/// in, and no reading later than the acceptance.
fn accepted(seen: &Seen, code: &str, state: &State, asks: &mut Vec<Issue>) -> Option<String> {
    let mut entries = seen.bench.record.accepted.iter().rev();
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
        near.then_some(match held.name {
            Measure::Loosest | Measure::Tightest => "fit",
            Measure::Part(side) => side.word(),
            _ => "reading",
        })
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
