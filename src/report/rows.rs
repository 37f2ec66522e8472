//! Every row of the set, judged.

use super::bench::{At, Bench, why_word};
use super::chain::{self, change_for};
use super::judged::{Ask, ChainStep, JudgedRow};
use super::questions;
use super::signs::{Standing, lapsed_gauge};
use crate::judge::again::{Agreement, Repeat, Said, agreement, asks_repeat, lacks, lacks_to_turn, turns};
use crate::judge::{Beyond, Group, State};
use crate::model::engine::Reopens;
use crate::model::record::{Accepted, Again, Change, Why};
use crate::model::typed::Word;
use std::collections::BTreeMap;

/// Every row in printed order; rows that borrow another row's readings too.
pub fn rows(bench: &Bench, standing: &[Standing]) -> Vec<JudgedRow> {
    let places = bench.places();
    let mut chains: BTreeMap<&str, Vec<ChainStep>> = BTreeMap::new();
    for at in places.iter().filter(|at| at.line.1.has_boxes()) {
        chains.insert(&at.row.1.code, chain::own(bench, at));
    }
    let mut rows: Vec<JudgedRow> = places
        .iter()
        .map(|at| {
            let steps = match chains.get(at.row.1.code.as_str()) {
                Some(steps) => steps.clone(),
                None => borrowed(bench, at, &chains),
            };
            judged(bench, at, steps, &standing[at.sheet.0])
        })
        .collect();
    questions::across(bench, &mut rows);
    rows
}

fn borrowed(bench: &Bench, at: &At, chains: &BTreeMap<&str, Vec<ChainStep>>) -> Vec<ChainStep> {
    let feature = at.line.1.groups.first().and_then(|group| group.feature);
    let home = feature.and_then(|feature| bench.home(feature, at.row.1.place.map(|(_, n)| n)));
    let Some((code, side)) = home else { return Vec::new() };
    chains.get(code).map(|home| chain::borrowed(bench, at, home, side)).unwrap_or_default()
}

fn judged(bench: &Bench, at: &At, mut steps: Vec<ChainStep>, standing: &Standing) -> JudgedRow {
    let line = at.line.1;
    let entry = bench.row(&at.row.1.code);
    if line.has_boxes() {
        questions::row(bench, at, &mut steps);
    }
    let mut asks: Vec<Ask> = standing
        .lines
        .iter()
        .filter(|(reference, _)| *reference == line.reference && line.has_boxes())
        .map(|(_, ask)| ask.clone())
        .collect();
    if line.has_boxes() {
        against_keys(at, &steps, standing, &mut asks);
        later(bench, at, &steps, &mut asks);
        repeats(at, &steps, &mut asks);
        late_gauges(bench, at, &mut asks);
        super::second::stale(bench, at, &steps, &mut asks);
    }
    reopened(bench, at, &steps, &mut asks);
    let verdict = steps.last().map_or(State::Open, |step| step.verdict.state.clone());
    let mut state = asks.iter().fold(verdict, |state, ask| state.worse(ask.state.clone()));
    let not_applicable = left_out(bench, at, &mut state, &mut asks);
    if let Some(step) = steps.last_mut() {
        ask_repeat(step, &state);
    }
    JudgedRow {
        sheet: at.sheet.0,
        block: at.block,
        line: at.line.0,
        row: at.row.0,
        code: at.row.1.code.clone(),
        limit: line.line,
        accepted: accepted(bench, &at.row.1.code, &state, &mut asks),
        state,
        asks,
        steps,
        not_applicable,
        at: entry.map(|entry| entry.at.clone()),
    }
}

/// What stands against the sign-off that the row's first readings belong to;
/// gone for a side that was since measured again as a whole.
fn against_keys(at: &At, steps: &[ChainStep], standing: &Standing, asks: &mut Vec<Ask>) {
    for (key, ask) in &standing.keys {
        let side = at.line.1.groups.iter().find(|g| g.own && crate::sheet::sign_key(g.key) == key);
        let Some(side) = side else { continue };
        let replaced = steps.iter().skip(1).any(|step| {
            step.why != Some(Why::Mistyped)
                && step.typed.iter().any(|typed| typed.key == side.key && typed.fresh)
        });
        let blank = steps.first().and_then(|step| step.read.side(side.key)).is_none_or(|s| s.is_blank());
        if !replaced && !blank {
            asks.push(ask.clone());
        }
    }
}

/// What a later reading needs and does not have.
fn later(bench: &Bench, at: &At, steps: &[ChainStep], asks: &mut Vec<Ask>) {
    let again = bench.again(&at.row.1.code);
    for (n, entry) in again.iter().enumerate() {
        let gauges: Vec<&str> = entry.gauges.iter().map(Word::as_str).collect();
        let change = at
            .line
            .1
            .groups
            .iter()
            .find(|group| group.own && group.key == entry.key.as_str())
            .and_then(|group| change_for(bench, at, group, entry.why.0));
        let said = said_of(bench, entry, change, &gauges);
        let mut missing: Vec<String> = lacks(entry.why.0, &said).iter().map(ToString::to_string).collect();
        if matches!(entry.why.0, Why::PartChanged | Why::Reworked) && change.is_none() {
            missing = vec![format!("add the [[change]] of the part, why = \"{}\"", why_word(entry.why.0))];
        }
        if let Some((before, after)) = turned(steps, n) {
            if entry.why.0 == Why::MeasuredAgain && turns(before, after) {
                let earlier = earlier_said(at, bench, entry, steps);
                let owned: Vec<&str> = earlier.1.iter().map(String::as_str).collect();
                let earlier = Said { by: Some(&earlier.0), gauges: &owned, ..Said::default() };
                missing.extend(lacks_to_turn(&earlier, &said).iter().map(ToString::to_string));
            }
        }
        if !missing.is_empty() {
            asks.push(Ask {
                state: State::Hold,
                why: format!("{}: {}", why_word(entry.why.0), missing.join("; ")),
                at: Some(entry.at.clone()),
            });
        }
    }
}

fn said_of<'a>(
    bench: &Bench,
    entry: &'a Again,
    change: Option<&'a Change>,
    gauges: &'a [&'a str],
) -> Said<'a> {
    let word = |word: &'a Option<Word>| word.as_ref().map(Word::as_str);
    let of_change = |pick: fn(&Change) -> &Option<Word>| change.and_then(|c| pick(c).as_ref()).map(Word::as_str);
    Said {
        by: word(&entry.by),
        dated: entry.on.is_some(),
        gauges,
        second: word(&entry.inspector),
        inspector: entry.inspector.as_ref().is_some_and(|by| bench.is_inspector(by.as_str())),
        what: word(&entry.note).or(of_change(|c| &c.what)),
        data: of_change(|c| &c.data),
        number: of_change(|c| &c.number),
        batch: of_change(|c| &c.batch),
        document: of_change(|c| &c.document),
    }
}

/// The states before and after the step that holds later entry `n`.
fn turned(steps: &[ChainStep], n: usize) -> Option<(&State, &State)> {
    // Entries of one occasion share a step; the last pair is what counts.
    let after = steps.get((n + 1).min(steps.len().checked_sub(1)?))?;
    let before = steps.get((n + 1).min(steps.len() - 1).checked_sub(1)?)?;
    Some((&before.verdict.state, &after.verdict.state))
}

fn earlier_said(at: &At, bench: &Bench, entry: &Again, steps: &[ChainStep]) -> (String, Vec<String>) {
    let _ = (at, bench);
    let side = |step: &ChainStep| {
        let typed = step.typed.iter().find(|typed| typed.key == entry.key.as_str())?;
        Some((typed.by.clone(), typed.gauges.clone()))
    };
    let before = steps.iter().rev().nth(1);
    before.and_then(side).unwrap_or_default()
}

/// Repeats of one box that differ by more than both uncertainties hold.
fn repeats(at: &At, steps: &[ChainStep], asks: &mut Vec<Ask>) {
    let Some((last, earlier)) = steps.split_last() else { return };
    let Some(before) = earlier.last() else { return };
    if last.why != Some(Why::MeasuredAgain) {
        return;
    }
    for (now, was) in last.read.sides.iter().zip(&before.read.sides) {
        for (n, (later, earlier)) in now.readings.iter().zip(&was.readings).enumerate() {
            let (Some(later), Some(earlier)) = (*later, *earlier) else { continue };
            if later == earlier {
                continue;
            }
            let repeat = Repeat {
                earlier,
                later,
                earlier_uncertainty: &was.uncertainty,
                later_uncertainty: &now.uncertainty,
                was_query: before.verdict.state == State::Query,
            };
            if agreement(&repeat) == Agreement::Disagree {
                asks.push(Ask {
                    state: State::Hold,
                    why: format!(
                        "{} {} {}: {later} measured again differs from {earlier} by more than both uncertainties: say which stands",
                        at.row.1.code, now.key, n + 1
                    ),
                    at: None,
                });
            }
        }
    }
}

fn late_gauges(bench: &Bench, at: &At, asks: &mut Vec<Ask>) {
    for entry in bench.again(&at.row.1.code) {
        let Some((date, _)) = &entry.on else { continue };
        for id in &entry.gauges {
            asks.extend(lapsed_gauge(bench, id.as_str(), *date, &id.at));
        }
    }
}

/// A rework or a change of part reopens what it disturbs, until a reading not
/// older than the change stands there.
fn reopened(bench: &Bench, at: &At, steps: &[ChainStep], asks: &mut Vec<Ask>) {
    for change in &bench.record.changes {
        let rework = change.rework.as_ref().and_then(|id| bench.rework(id));
        let Some(rework) = rework else { continue };
        let here = bench.concerns(change, at.row.1.place.filter(|(set, _)| {
            bench.case.engine.parts[rework.part].at == Some(*set)
        }));
        if !here {
            continue;
        }
        for what in &rework.reopens {
            let sides: Vec<&Group> = match what {
                Reopens::Feature(feature) => {
                    at.line.1.groups.iter().filter(|g| g.own && g.feature == Some(*feature)).collect()
                }
                Reopens::Line(line) if line.as_str() == at.line.1.reference => {
                    at.line.1.groups.iter().filter(|group| group.own).collect()
                }
                _ => Vec::new(),
            };
            for side in sides {
                if !measured_since(bench, change, side, &at.row.1.code, steps) {
                    asks.push(Ask {
                        state: State::Open,
                        why: format!("{} reopened by {}: measure again", side.key, rework.name),
                        at: Some(change.at.clone()),
                    });
                }
            }
        }
    }
}

fn measured_since(bench: &Bench, change: &Change, side: &Group, code: &str, _steps: &[ChainStep]) -> bool {
    let Some((changed, _)) = &change.on else { return false };
    let later = |entry: &&Again| {
        entry.key.as_str() == side.key
            && entry.why.0 != Why::Mistyped
            && entry.on.as_ref().is_some_and(|(on, _)| on >= changed)
    };
    bench.again(code).iter().any(|entry| later(&entry))
}

/// A row marked n.a.: with a reason and initials, an inspector's where the
/// line has limits.
fn left_out(bench: &Bench, at: &At, state: &mut State, asks: &mut Vec<Ask>) -> Option<String> {
    use crate::model::line::Kind;
    let na = bench.row(&at.row.1.code)?.not_applicable.as_ref()?;
    let why = na.why.as_ref().filter(|why| !why.as_str().trim().is_empty());
    let by = na.by.as_ref().filter(|by| !by.as_str().is_empty());
    let limited = !matches!(bench.case.limits.lines[at.line.1.line].kind, Kind::Recorded(_));
    let problem = match (why, by) {
        (None, _) => Some("n.a. without a reason"),
        (_, None) => Some("n.a. without initials"),
        (_, Some(by)) if limited && !bench.is_inspector(by.as_str()) => {
            Some("n.a. on a line with limits needs an inspector's initials")
        }
        _ => None,
    };
    if let Some(problem) = problem {
        *state = State::Open;
        asks.push(Ask { state: State::Open, why: problem.to_owned(), at: Some(na.at.clone()) });
        return None;
    }
    *state = State::NotApplicable;
    asks.clear();
    Some(format!("{}, {}", why.map(Word::as_str).unwrap_or_default(), by.map(Word::as_str).unwrap_or_default()))
}

/// An out accepted on data needs authority, document and date.
fn accepted(bench: &Bench, code: &str, state: &State, asks: &mut Vec<Ask>) -> Option<String> {
    let entry: &Accepted = bench.record.accepted.iter().find(|entry| entry.row.as_str() == code)?;
    if !matches!(state, State::Out(_)) {
        return None;
    }
    let said = |word: &Option<Word>| word.as_ref().map(Word::to_string).filter(|w| !w.trim().is_empty());
    match (said(&entry.authority), said(&entry.document), entry.on.as_ref()) {
        (Some(authority), Some(document), Some((on, _))) => {
            Some(format!("accepted on {document}, {authority}, {on}"))
        }
        _ => {
            asks.push(Ask {
                state: state.clone(),
                why: "accepted without a named authority, a document and a date: it stays out".to_owned(),
                at: Some(entry.at.clone()),
            });
            None
        }
    }
}

/// Out by less than the uncertainty of the fit: measure again before a part is
/// scrapped.
fn ask_repeat(step: &mut ChainStep, state: &State) {
    let State::Out(beyonds) = state else { return };
    let all: Vec<_> = step.read.sides.iter().flat_map(|side| side.uncertainty.clone()).collect();
    let near = |beyond: &Beyond| beyond.by.is_some_and(|by| asks_repeat(by, &all));
    if !all.is_empty() && beyonds.iter().all(near) && step.why != Some(Why::MeasuredAgain) {
        step.verdict.notes.push(
            "out by less than the uncertainty of the fit: measure again before a part is scrapped".to_owned(),
        );
    }
}
