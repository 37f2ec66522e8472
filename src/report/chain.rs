//! The chain of a row: as found, then every later reading, each judged as it
//! stood. Nothing is taken out; the last step is what the record holds.

use super::bench::{At, Bench, who};
use super::judged::{ChainStep, TypedSide};
use super::uncertainty;
use crate::judge::{Group, PartState, RowRead, SideRead, Verdict, check};
use crate::model::date::Date;
use crate::model::engine::Reopens;
use crate::model::record::{Again, Boxes, Change, ItemContent, Mark, Why};
use crate::model::typed::{Typed, Word};
use crate::quantity::Exact;
use crate::sheet::{SheetBlock, sign_key};

/// One side of a row as it stands after a step.
#[derive(Clone, Debug)]
struct SideNow {
    key: &'static str,
    boxes: Vec<Option<Typed>>,
    marks: Vec<Mark>,
    leaves: Vec<(u32, Exact, bool)>,
    state: PartState,
    gauges: Vec<String>,
    by: String,
    on: Option<Date>,
    temperatures: Option<(Exact, Exact)>,
    fresh: bool,
}

/// Every step of a row with boxes of its own.
pub fn own(bench: &Bench, at: &At) -> Vec<ChainStep> {
    let groups: Vec<&Group> = at.line.1.groups.iter().filter(|group| group.own).collect();
    let mut sides: Vec<SideNow> = groups.iter().map(|group| first(bench, at, group)).collect();
    let mut steps = vec![step(bench, at, &groups, &sides, None)];
    let again = bench.again(&at.row.1.code);
    let mut n = 0;
    while n < again.len() {
        let run = again[n..].iter().take_while(|other| same_occasion(again[n], other)).count();
        sides.iter_mut().for_each(|side| side.fresh = false);
        for entry in &again[n..n + run] {
            write(bench, at, &groups, &mut sides, entry);
        }
        steps.push(step(bench, at, &groups, &sides, Some(again[n])));
        n += run;
    }
    steps
}

/// The steps of a row whose figures are the readings of one side of another
/// row; steps that left that side alone are passed over.
pub fn borrowed(bench: &Bench, at: &At, home: &[ChainStep], side: &str) -> Vec<ChainStep> {
    let Some(group) = at.line.1.groups.first() else { return Vec::new() };
    let line = &bench.case.limits.lines[at.line.1.line];
    let mut steps = Vec::new();
    for (n, from) in home.iter().enumerate() {
        let sides = from.typed.iter().zip(&from.read.sides);
        let Some((typed, read)) = sides.into_iter().find(|(typed, _)| typed.key == side) else {
            continue;
        };
        if n > 0 && !typed.fresh {
            continue;
        }
        let read = RowRead { sides: vec![SideRead { key: group.key, ..read.clone() }] };
        steps.push(ChainStep {
            why: from.why,
            who: from.who.clone(),
            what: from.what.clone(),
            typed: vec![TypedSide { key: group.key, ..typed.clone() }],
            verdict: check(line).judge(&read, &bench.setting),
            read,
        });
    }
    steps
}

fn same_occasion(first: &Again, other: &Again) -> bool {
    let date = |again: &Again| again.on.as_ref().map(|(date, _)| *date);
    let by = |again: &Again| again.by.as_ref().map(|by| by.text.clone());
    first.why.0 == other.why.0 && date(first) == date(other) && by(first) == by(other)
}

fn first(bench: &Bench, at: &At, group: &Group) -> SideNow {
    let letter = &at.sheet.1.letter;
    let sign = bench.sign(letter, sign_key(group.key));
    let mut side = SideNow {
        key: group.key,
        boxes: vec![None; group.labels.len()],
        marks: Vec::new(),
        leaves: Vec::new(),
        state: first_state(bench, at, group),
        gauges: sign.map(|sign| words(&sign.gauges)).unwrap_or_default(),
        by: sign.and_then(|sign| sign.by.as_ref()).map(Word::to_string).unwrap_or_default(),
        on: sign.and_then(|sign| sign.on.as_ref()).map(|(date, _)| *date),
        temperatures: sign.and_then(|sign| {
            let part = sign.part_temperature.as_ref()?.value;
            Some((part, sign.gauge_temperature.as_ref().map_or(part, |t| t.value)))
        }),
        fresh: true,
    };
    let Some(entry) = bench.row(&at.row.1.code) else { return side };
    for typed in &entry.groups {
        match (&typed.boxes, typed.key.as_str()) {
            (Boxes::Leaves(leaves), _) => {
                side.leaves = leaves.iter().map(|(n, leaf, entered)| (*n, leaf.value, *entered)).collect();
            }
            (boxes, key) if key == group.key => fill(&mut side, boxes, None),
            _ => {}
        }
    }
    side
}

fn words(words: &[Word]) -> Vec<String> {
    words.iter().map(Word::to_string).filter(|word| !word.is_empty()).collect()
}

fn fill(side: &mut SideNow, boxes: &Boxes, index: Option<usize>) {
    match (boxes, index) {
        (Boxes::Readings(readings), Some(index)) => {
            if let (Some(slot), Some(reading)) = (side.boxes.get_mut(index), readings.first()) {
                slot.clone_from(reading);
            }
        }
        (Boxes::Readings(readings), None) => {
            for (slot, reading) in side.boxes.iter_mut().zip(readings) {
                slot.clone_from(reading);
            }
        }
        (Boxes::Marks(marks), _) => side.marks.clone_from(marks),
        (Boxes::Leaves(leaves), _) => {
            side.leaves = leaves.iter().map(|(n, leaf, entered)| (*n, leaf.value, *entered)).collect();
        }
    }
}

/// What a later entry writes into the boxes.
fn write(bench: &Bench, at: &At, groups: &[&Group], sides: &mut [SideNow], entry: &Again) {
    for (side, group) in sides.iter_mut().zip(groups) {
        if side.key != entry.key.as_str() {
            continue;
        }
        fill(side, &entry.boxes, entry.index);
        side.fresh = true;
        if entry.why.0 != Why::Mistyped {
            side.by = entry.by.as_ref().map(Word::to_string).unwrap_or_default();
            side.on = entry.on.as_ref().map(|(date, _)| *date);
            if !entry.gauges.is_empty() {
                side.gauges = words(&entry.gauges);
            }
            side.temperatures = None;
        }
        match entry.why.0 {
            Why::PartChanged => side.state = PartState::New,
            Why::Reworked => {
                let grade = change_for(bench, at, group, Why::Reworked)
                    .and_then(|change| change.grade.as_ref())
                    .map(Word::to_string);
                side.state = PartState::Reworked { grade };
            }
            Why::Mistyped | Why::MeasuredAgain => {}
        }
    }
}

/// The change that a reading after it belongs to: of the part that the group is
/// measured on, else the latest whose rework reopens the line.
pub fn change_for<'a>(bench: &Bench<'a>, at: &At, group: &Group, why: Why) -> Option<&'a Change> {
    let engine = &bench.case.engine;
    let line = &bench.case.limits.lines[at.line.1.line];
    let feature = group.feature.and_then(|feature| engine.features.get(feature));
    let part = feature.map(|feature| feature.part).or_else(|| line.part());
    let place = at.row.1.place;
    let own = part.and_then(|part| {
        bench.changes(part, place).into_iter().rfind(|change| change.why.0 == why)
    });
    own.or_else(|| {
        bench.record.changes.iter().rfind(|change| {
            change.why.0 == why && bench.concerns(change, place) && reopens(bench, change, at, group)
        })
    })
}

fn reopens(bench: &Bench, change: &Change, at: &At, group: &Group) -> bool {
    let rework = change.rework.as_ref().and_then(|id| bench.rework(id));
    rework.is_some_and(|rework| {
        rework.reopens.iter().any(|what| match what {
            Reopens::Feature(feature) => group.feature == Some(*feature),
            Reopens::Line(line) => line.as_str() == at.line.1.reference,
            Reopens::Block(_) => false,
        })
    })
}

/// A part that is always renewed is new from the start, unless it was entered
/// as reused.
fn first_state(bench: &Bench, at: &At, group: &Group) -> PartState {
    let Some(feature) = group.feature else { return PartState::Reused };
    let part = bench.case.engine.features[feature].part;
    if !bench.case.engine.parts[part].always_renewed {
        return PartState::Reused;
    }
    let _ = at;
    if renewed_entry(bench, part).is_some_and(|reused| reused) {
        PartState::Reused
    } else {
        PartState::New
    }
}

/// Whether the renewed part was entered as reused.
fn renewed_entry(bench: &Bench, part: usize) -> Option<bool> {
    for sheet in &bench.set.sheets {
        for block in &sheet.blocks {
            let SheetBlock::Renew { items, .. } = block else { continue };
            let Some(item) = items.iter().find(|item| item.part == part) else { continue };
            if let Some(ItemContent::Renewed(typed)) =
                bench.item(&sheet.letter, item.number).map(|entry| &entry.content)
            {
                return Some(typed.reused);
            }
        }
    }
    None
}

fn step(
    bench: &Bench,
    at: &At,
    groups: &[&Group],
    sides: &[SideNow],
    entry: Option<&Again>,
) -> ChainStep {
    let read = RowRead {
        sides: sides.iter().zip(groups).map(|(side, group)| side_read(bench, side, group)).collect(),
    };
    let line = &bench.case.limits.lines[at.line.1.line];
    let verdict: Verdict = check(line).judge(&read, &bench.setting);
    ChainStep {
        why: entry.map(|entry| entry.why.0),
        who: step_who(sides, entry),
        what: entry.map(|entry| step_what(bench, at, groups, entry)).unwrap_or_default(),
        typed: sides.iter().map(typed_side).collect(),
        read,
        verdict,
    }
}

fn side_read(bench: &Bench, side: &SideNow, group: &Group) -> SideRead {
    let expansion = group.feature.and_then(|feature| {
        let part = bench.case.engine.features.get(feature)?.part;
        bench.case.engine.parts.get(part)?.expansion.as_ref().map(|e| e.value)
    });
    let readings = side.boxes.iter().map(|typed| {
        let value = typed.as_ref()?.value;
        Some(uncertainty::at_twenty(value, side.temperatures, expansion, group))
    });
    SideRead {
        key: group.key,
        readings: readings.collect(),
        marks: side.marks.clone(),
        leaves: side.leaves.clone(),
        state: side.state.clone(),
        uncertainty: uncertainty::of(bench, &side.gauges, &group.unit),
    }
}

fn typed_side(side: &SideNow) -> TypedSide {
    TypedSide {
        key: side.key,
        boxes: side.boxes.clone(),
        gauges: side.gauges.clone(),
        by: side.by.clone(),
        on: side.on,
        fresh: side.fresh,
    }
}

fn step_who(sides: &[SideNow], entry: Option<&Again>) -> String {
    match entry {
        Some(entry) => {
            let mut said = who(entry.by.as_ref(), entry.on.as_ref().map(|(d, _)| *d), &entry.gauges);
            if let Some(inspector) = &entry.inspector {
                said.push_str(&format!(", seen by {inspector}"));
            }
            said
        }
        None => {
            let each = sides.iter().map(|side| {
                let date = side.on.map(|on| on.to_string());
                let gauges = (!side.gauges.is_empty()).then(|| side.gauges.join(" and "));
                let said: Vec<String> = [Some(side.by.clone()).filter(|by| !by.is_empty()), date, gauges]
                    .into_iter()
                    .flatten()
                    .collect();
                (side.key, said.join(", "))
            });
            let each: Vec<(&str, String)> = each.filter(|(_, said)| !said.is_empty()).collect();
            match each.as_slice() {
                [(_, said)] => said.clone(),
                several => several
                    .iter()
                    .map(|(key, said)| format!("{key}: {said}"))
                    .collect::<Vec<_>>()
                    .join("; "),
            }
        }
    }
}

/// What was done: the words of the entry, or of the change it belongs to.
fn step_what(bench: &Bench, at: &At, groups: &[&Group], entry: &Again) -> String {
    let group = groups.iter().find(|group| group.key == entry.key.as_str());
    let change = group.and_then(|group| change_for(bench, at, group, entry.why.0));
    let said = entry.note.as_ref().or_else(|| change.and_then(|change| change.what.as_ref()));
    said.map(Word::to_string).unwrap_or_default()
}
