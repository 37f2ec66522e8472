//! The chain of a row: as found, then every later reading, each judged as it
//! stood. Nothing is taken out; the last step is what the record holds.

use super::bench::{At, Bench, who};
use super::judged::{ChainStep, Source, TypedSide};
use super::side::{self, SideNow};
use super::{changes, temperature, uncertainty};
use crate::judge::{Contribution, Group, RowRead, SideRead, Verdict, check};
use crate::model::line::Line;
use crate::model::record::{Again, Mark, Why};
use crate::model::typed::Word;
use crate::quantity::Readings;

/// Every step of a row with boxes of its own.
pub fn own(bench: &Bench, at: &At) -> Vec<ChainStep> {
    let groups = own_groups(at);
    let mut sides: Vec<SideNow> =
        groups.iter().map(|group| side::first(bench, at, group)).collect();
    let mut steps = vec![step(bench, at, &groups, &sides, &[])];
    let again = bench.again(&at.row.1.code);
    let entry = |n: usize| &bench.record.again[again[n]];
    let mut n = 0;
    while n < again.len() {
        let run = (n..again.len()).take_while(|m| same_occasion(entry(n), entry(*m))).count();
        for (side, group) in sides.iter_mut().zip(&groups) {
            side.typed.fresh = false;
            for m in n..n + run {
                side::write(bench, at, group, side, entry(m), steps.len());
            }
        }
        steps.push(step(bench, at, &groups, &sides, &again[n..n + run]));
        n += run;
    }
    steps
}

/// The groups of boxes that a row prints, in paper order.
pub fn own_groups<'a>(at: &At<'a>) -> Vec<&'a Group> {
    at.line.1.groups.iter().filter(|group| group.own).collect()
}

/// Entries that one person wrote on one day for one reason are one step.
fn same_occasion(first: &Again, other: &Again) -> bool {
    let date = |again: &Again| again.on.as_ref().map(|(date, _)| *date);
    let by = |again: &Again| again.by.as_ref().map(|by| by.text.clone());
    first.why.0 == other.why.0 && date(first) == date(other) && by(first) == by(other)
}

/// The steps of a row whose figures are the readings of one side of another
/// row; steps that left that side alone are passed over. Where that side is in
/// question nothing is judged here either.
pub fn borrowed(bench: &Bench, at: &At, home: &[ChainStep], side: &str) -> Vec<ChainStep> {
    let Some(group) = at.line.1.groups.first() else { return Vec::new() };
    let line = &bench.case.limits.lines[at.line.1.line];
    let mut steps: Vec<ChainStep> = Vec::new();
    let mut kept: Vec<usize> = Vec::new();
    let place = |from: &ChainStep| from.typed.iter().position(|typed| typed.key == side);
    let writes = |n: usize| {
        let m = place(&home[n]).filter(|m| n == 0 || home[n].typed[*m].fresh)?;
        Some((n, m))
    };
    let written: Vec<(usize, usize)> = (0..home.len()).filter_map(writes).collect();
    for (n, m) in &written {
        let (from, m) = (&home[*n], *m);
        kept.push(*n);
        // What other rows hold of the feature now stands in the last step.
        let now = home.last().filter(|_| written.last().is_some_and(|last| last.0 == *n));
        let also = now.map_or_else(Vec::new, |last| last.read.sides[m].also.clone());
        let mut read = SideRead { key: group.key, also, ..from.read.sides[m].clone() };
        for part in read.uncertainty.iter_mut().flatten() {
            *part = Contribution { side: group.key, ..*part };
        }
        let read = RowRead { sides: vec![read] };
        let mut verdict = check(line).judge(&read, &bench.setting);
        let questioned: Vec<(&'static str, usize)> = from
            .questioned
            .iter()
            .filter(|(key, _)| *key == side)
            .map(|(_, n)| (group.key, *n))
            .collect();
        if !questioned.is_empty() {
            verdict.state = from.verdict.state.clone();
            verdict.unjudged();
            verdict.causes.clone_from(&from.verdict.causes);
        }
        let words = uncertainty::in_words(bench, &verdict, line.places);
        verdict.steps.extend(words);
        steps.push(ChainStep {
            typed: vec![renumbered(&from.typed[m], group.key, &kept)],
            read,
            verdict,
            questioned,
            ..from.clone()
        });
    }
    steps
}

/// A side as it stands in a chain of fewer steps.
fn renumbered(side: &TypedSide, key: &'static str, kept: &[usize]) -> TypedSide {
    let step = |source: &Source| Source {
        step: kept.iter().position(|n| *n == source.step).unwrap_or_default(),
        ..source.clone()
    };
    TypedSide { key, sources: side.sources.iter().map(step).collect(), ..side.clone() }
}

fn step(
    bench: &Bench,
    at: &At,
    groups: &[&Group],
    sides: &[SideNow],
    entries: &[usize],
) -> ChainStep {
    let line = &bench.case.limits.lines[at.line.1.line];
    let read = RowRead {
        sides: sides
            .iter()
            .zip(groups)
            .map(|(side, group)| SideRead {
                key: side.typed.key,
                readings: readings(line, &side.typed),
                also: Vec::new(),
                marks: side.typed.marks.clone(),
                leaves: side.leaves.clone(),
                state: side.typed.state.clone(),
                uncertainty: uncertainty::of_boxes(bench, group, &side.typed),
            })
            .collect(),
    };
    let typed: Vec<TypedSide> = sides.iter().map(|side| side.typed.clone()).collect();
    let read = at_twenty(bench, at, groups, &typed, &read);
    let verdict = verdict(bench, at, (&typed, &read));
    let first = entries.first().map(|n| &bench.record.again[*n]);
    ChainStep {
        why: first.map(|entry| entry.why.0),
        who: step_who(bench, &typed, entries),
        what: first.map(|entry| step_what(bench, at, groups, entry)).unwrap_or_default(),
        entries: entries.to_vec(),
        typed,
        read,
        verdict,
        questioned: Vec::new(),
    }
}

/// The verdict on readings, with the arithmetic that led to them and the
/// uncertainty that they were held under.
pub fn verdict(bench: &Bench, at: &At, (typed, read): (&[TypedSide], &RowRead)) -> Verdict {
    let line = &bench.case.limits.lines[at.line.1.line];
    let mut verdict = check(line).judge(read, &bench.setting);
    let groups = own_groups(at);
    let warm =
        groups.iter().zip(typed).flat_map(|(g, side)| temperature::in_words(bench, at, g, side));
    verdict.steps = warm.chain(verdict.steps).collect();
    let words = uncertainty::in_words(bench, &verdict, line.places);
    verdict.steps.extend(words);
    verdict
}

/// Readings as they were taken, brought to 20 °C.
pub fn at_twenty(
    bench: &Bench,
    at: &At,
    groups: &[&Group],
    typed: &[TypedSide],
    read: &RowRead,
) -> RowRead {
    let mut read = read.clone();
    for ((side, typed), group) in read.sides.iter_mut().zip(typed).zip(groups) {
        side.readings.corrected(|n, value| match typed.sources.get(n) {
            Some(source) => temperature::at_twenty(bench, at, group, source, value),
            None => value,
        });
    }
    read
}

/// The boxes of a side as they are typed: in the unit of their line.
fn readings(line: &Line, side: &TypedSide) -> Readings {
    let figures = side.boxes.iter().map(|typed| typed.as_ref().map(|typed| typed.value));
    Readings::new(line.unit.clone(), figures.collect())
}

fn step_who(bench: &Bench, typed: &[TypedSide], entries: &[usize]) -> String {
    let Some(first) = entries.first().map(|n| &bench.record.again[*n]) else {
        return first_who(typed);
    };
    let entries = || entries.iter().map(|n| &bench.record.again[*n]);
    let mut gauges: Vec<Word> = Vec::new();
    for gauge in entries().flat_map(|entry| &entry.gauges) {
        if !gauges.iter().any(|known| known.text == gauge.text) {
            gauges.push(gauge.clone());
        }
    }
    let mut said = who(first.by.as_ref(), first.on.as_ref().map(|(date, _)| *date), &gauges);
    if let Some(zero) = zero(first.zero) {
        said.push_str(&format!(", {zero}"));
    }
    if let Some(inspector) = entries().find_map(|entry| entry.inspector.as_ref()) {
        said.push_str(&format!(", seen by {inspector}"));
    }
    said
}

/// Both looks at the zero were right; anything else is asked about.
fn zero(looked: Option<[Mark; 2]>) -> Option<&'static str> {
    (looked == Some([Mark::Ok; 2])).then_some("zero right before and after")
}

fn first_who(typed: &[TypedSide]) -> String {
    let said = |side: &TypedSide| {
        let Some(source) = side.sources.first() else { return String::new() };
        let by = (!source.by.is_empty()).then(|| source.by.clone());
        let date = source.on.as_ref().map(|(on, _)| on.to_string());
        let gauges: Vec<&str> = source.gauges.iter().map(Word::as_str).collect();
        let gauges = (!gauges.is_empty()).then(|| gauges.join(" and "));
        [by, date, gauges].into_iter().flatten().collect::<Vec<_>>().join(", ")
    };
    let each: Vec<(&str, String)> = typed
        .iter()
        .map(|side| (side.key, said(side)))
        .filter(|(_, said)| !said.is_empty())
        .collect();
    match each.as_slice() {
        [(_, said)] => said.clone(),
        several => several
            .iter()
            .map(|(key, said)| format!("{key}: {said}"))
            .collect::<Vec<_>>()
            .join("; "),
    }
}

/// What was done: the words of the entry, or of the change it belongs to.
fn step_what(bench: &Bench, at: &At, groups: &[&Group], entry: &Again) -> String {
    let group = groups.iter().find(|group| group.key == entry.key.as_str());
    let change =
        group.filter(|_| matches!(entry.why.0, Why::Reworked | Why::PartChanged)).and_then(
            |group| changes::of_reading(bench, at, group, entry.why.0, &side::of_again(entry, 0)),
        );
    let change = change.and_then(|n| bench.record.changes[n].what.as_ref());
    entry.note.as_ref().or(change).map(Word::to_string).unwrap_or_default()
}
