//! One side of a row as it stands: the boxes, where each reading comes from,
//! and what the part is.

use super::index::RecordIndex;
use super::{changes, grades};
use crate::judge::{BoxGroup, PartState, Provenance, SideReadings};
use crate::model::id::PartId;
use crate::model::record::{Again, Boxes, ItemContent, Mark, Sign, Why};
use crate::model::text::{Number, Text};
use crate::quantity::Exact;
use crate::sheet::{At, SheetBlock};

/// The side before anything was written on it.
pub fn wipe(side: &mut SideReadings) {
    side.leaves.clear();
    side.boxes.iter_mut().for_each(|typed| *typed = None);
    side.marks.iter_mut().for_each(|mark| *mark = Mark::Blank);
    side.fresh = false;
}

/// All that stands on it was written in this step.
pub fn written_in(side: &mut SideReadings, step: usize) {
    for source in &mut side.sources {
        (source.step, source.taken) = (step, step);
    }
    side.began.iter_mut().for_each(|began| *began = step);
    side.fresh = true;
}

/// As first written on the sheet.
pub fn first(index: &RecordIndex, at: &At, group: &BoxGroup) -> SideReadings {
    let sign = index.sign_of(&at.sheet.1.letter, group.key.side().word(), &at.row.code);
    let source = sign.map(|sign| of_sign(sign, &at.line.reference)).unwrap_or_default();
    let (state, changes, gone) = first_state(index, at, group, &source);
    let mut side = SideReadings {
        key: group.key,
        boxes: vec![None; group.labels.len()],
        sources: vec![source; group.labels.len()],
        confirmed: vec![false; group.labels.len()],
        state,
        changes,
        gone,
        began: vec![0; group.labels.len()],
        fresh: true,
        ..SideReadings::default()
    };
    let Some(entry) = index.row(&at.row.code) else { return side };
    for typed in &entry.groups {
        let leaves = matches!(typed.boxes, Boxes::Leaves(_));
        if leaves || typed.key.0 == group.key {
            fill(&mut side, &typed.boxes, None);
        }
    }
    side
}

fn of_sign(sign: &Sign, reference: &str) -> Provenance {
    Provenance {
        step: 0,
        taken: 0,
        why: None,
        by: sign.by.as_ref().map(Text::to_string).unwrap_or_default(),
        on: sign.on.clone(),
        gauges: named(sign.gauges.of(reference)),
        temperatures: temperatures(sign.part_temperature.as_ref(), sign.gauge_temperature.as_ref()),
        zero: sign.zero,
    }
}

/// Who took a later reading, when and with what.
pub fn of_again(entry: &Again, step: usize) -> Provenance {
    Provenance {
        step,
        taken: step,
        why: Some(entry.why.0),
        by: entry.by.as_ref().map(Text::to_string).unwrap_or_default(),
        on: entry.on.clone(),
        gauges: named(&entry.gauges),
        temperatures: temperatures(
            entry.part_temperature.as_ref(),
            entry.gauge_temperature.as_ref(),
        ),
        zero: entry.zero,
    }
}

fn named(gauges: &[Text]) -> Vec<Text> {
    gauges.iter().filter(|gauge| !gauge.as_str().trim().is_empty()).cloned().collect()
}

/// A gauge whose temperature was not taken was as warm as the part.
fn temperatures(part: Option<&Number>, gauge: Option<&Number>) -> Option<(Exact, Exact)> {
    let part = part?.value;
    Some((part, gauge.map_or(part, |gauge| gauge.value)))
}

/// Writes into the boxes; which of them.
fn fill(side: &mut SideReadings, boxes: &Boxes, index: Option<usize>) -> Vec<usize> {
    match (boxes, index) {
        (Boxes::Readings(readings), Some(index)) => {
            if let (Some(slot), Some(reading)) = (side.boxes.get_mut(index), readings.first()) {
                slot.clone_from(reading);
            }
            vec![index]
        }
        (Boxes::Readings(readings), None) => {
            for (slot, reading) in side.boxes.iter_mut().zip(readings) {
                slot.clone_from(reading);
            }
            (0..readings.len()).collect()
        }
        (Boxes::Marks(marks), _) => {
            side.marks.clone_from(marks);
            (0..marks.len()).collect()
        }
        (Boxes::Leaves(leaves), _) => {
            side.leaves =
                leaves.iter().map(|(n, leaf, entered)| (*n, leaf.value, *entered)).collect();
            Vec::new()
        }
    }
}

/// Takes away what was read before a change: it is of a part that has gone, or
/// of what the work disturbed. Whether anything stood there.
pub fn take_away(
    index: &RecordIndex,
    at: &At,
    group: &BoxGroup,
    side: &mut SideReadings,
    n: usize,
    step: usize,
) -> bool {
    if side.gone.contains(&n) {
        return false;
    }
    side.gone.push(n);
    let mut stood = !side.leaves.is_empty();
    side.leaves.clear();
    let here = changes::boxes(index, &index.record.changes[n], at, group);
    for (at, _) in here.iter().enumerate().filter(|(_, here)| **here) {
        stood |= side.filled(at);
        if let Some(slot) = side.boxes.get_mut(at) {
            *slot = None;
        }
        if let Some(mark) = side.marks.get_mut(at) {
            *mark = Mark::Blank;
        }
        if let Some(began) = side.began.get_mut(at) {
            *began = step;
        }
    }
    side.fresh |= stood;
    // What is there now is judged as what the change made of it, whoever reads
    // it next, and whether it is read here or for another line.
    let known: Vec<usize> = side.gone.iter().chain(&side.changes).copied().collect();
    side.state = state_after(index, at, group, &known);
    stood
}

/// What a later entry writes. The first reading of another part, or of a part
/// reworked, clears the boxes: nothing that was read before is of that part.
pub fn write(
    index: &RecordIndex,
    at: &At,
    group: &BoxGroup,
    side: &mut SideReadings,
    entry: &Again,
    step: usize,
) {
    let leaves = matches!(entry.boxes, Boxes::Leaves(_));
    if !leaves && side.key != entry.key.0 {
        return;
    }
    let source = of_again(entry, step);
    if matches!(entry.why.0, Why::PartChanged | Why::Reworked) {
        change(index, at, group, side, &source);
    }
    let before = (entry.why.0 == Why::Mistyped).then(|| side.boxes.clone());
    let written = fill(side, &entry.boxes, entry.index);
    // What the paper says of a part that has gone is no reading of this one.
    for (n, before) in before.into_iter().flatten().enumerate() {
        let gone = side.sources[n].taken < side.began[n];
        if before.is_none() && gone {
            side.boxes[n] = None;
        }
    }
    side.fresh = true;
    for n in written {
        let Some(slot) = side.sources.get_mut(n) else { continue };
        // The paper was read again, not the part: who measured it stays.
        *slot = match entry.why.0 {
            Why::Mistyped => Provenance { step, ..slot.clone() },
            _ => source.clone(),
        };
    }
}

fn change(
    index: &RecordIndex,
    at: &At,
    group: &BoxGroup,
    side: &mut SideReadings,
    source: &Provenance,
) {
    let Some(why) = source.why else { return };
    let Some(n) = changes::of_reading(index, at, group, why, source) else {
        side.state = match why {
            Why::PartChanged => PartState::New,
            _ => PartState::Reworked { grade: None },
        };
        return;
    };
    take_away(index, at, group, side, n, source.step);
    // It was read of all that had been done by that day.
    let more: Vec<usize> = side.gone.iter().chain([&n]).copied().collect();
    for n in more {
        if !side.changes.contains(&n) {
            side.changes.push(n);
        }
    }
    side.state = state_after(index, at, group, &side.changes);
}

/// The state that some changes of the part itself left it in, from the first to
/// the last. Work that is not to a grade leaves a new part new, and a graded one
/// at its grade.
fn state_after(index: &RecordIndex, at: &At, group: &BoxGroup, changes: &[usize]) -> PartState {
    let of_part = |n: &&usize| {
        changes.contains(n) && changes::own_part(index, &index.record.changes[**n], at, group)
    };
    let own = index.in_time.iter().filter(of_part).map(|n| &index.record.changes[*n]);
    own.fold(as_found(index, at, group), |before, change| {
        match (changes::state(index, change, group), before) {
            (PartState::Reworked { grade: None }, PartState::Reused) => {
                PartState::Reworked { grade: None }
            }
            (PartState::Reworked { grade: None }, PartState::Arrived { grade, .. }) => {
                PartState::Arrived { grade, reworked: true }
            }
            (PartState::Reworked { grade: None }, before) => before,
            (after, _) => after,
        }
    })
}

/// A part that is always renewed is new from the start, unless it was entered
/// as reused.
fn as_found(index: &RecordIndex, at: &At, group: &BoxGroup) -> PartState {
    let renewed = index
        .case
        .part_of(at.line.line, group.feature)
        .is_some_and(|part| index.case.engine.parts[part].always_renewed && !reused(index, part));
    grades::arrived(index, at, group, renewed)
}

/// A part changed or reworked on a day before its first reading was read as it
/// then was.
fn first_state(
    index: &RecordIndex,
    at: &At,
    group: &BoxGroup,
    source: &Provenance,
) -> (PartState, Vec<usize>, Vec<usize>) {
    let before = |n: &usize| {
        let both = index.record.changes[*n].on.as_ref().zip(source.on.as_ref());
        both.is_some_and(|((changed, _), (read, _))| changed < read)
    };
    let before: Vec<usize> = index.in_time.iter().copied().filter(before).collect();
    let own = |n: &usize| changes::own_part(index, &index.record.changes[*n], at, group);
    let all: Vec<usize> = before.iter().copied().filter(own).collect();
    let gone = before.into_iter().filter(|n| changes::disturbs(index, *n, at, group)).collect();
    (state_after(index, at, group, &all), all, gone)
}

/// Whether an always-renewed part was entered as reused.
fn reused(index: &RecordIndex, part: PartId) -> bool {
    let renewals = index.set.sheets.iter().flat_map(|sheet| {
        sheet.blocks.iter().filter_map(move |block| match block {
            SheetBlock::Renew { items, .. } => Some((sheet, items)),
            _ => None,
        })
    });
    renewals.into_iter().any(|(sheet, items)| {
        items.iter().filter(|item| item.part == part).any(|item| {
            let entry = index.item(&sheet.letter, item.number);
            matches!(entry.map(|entry| &entry.content), Some(ItemContent::Renewed(typed)) if typed.reused)
        })
    })
}
