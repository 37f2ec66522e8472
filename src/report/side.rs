//! One side of a row as it stands: the boxes, where each reading comes from,
//! and what the part is.

use super::bench::{At, Bench};
use super::changes;
use super::grades;
use super::judged::{Source, TypedSide};
use crate::judge::{Group, PartState};
use crate::model::record::{Again, Boxes, ItemContent, Sign, Why};
use crate::model::typed::{Typed, Word};
use crate::quantity::Exact;
use crate::sheet::{SheetBlock, sign_key};

/// A side and the further leaves tried on it.
#[derive(Clone, Debug)]
pub struct SideNow {
    pub typed: TypedSide,
    pub leaves: Vec<(u32, Exact, bool)>,
}

/// As first written on the sheet.
pub fn first(bench: &Bench, at: &At, group: &Group) -> SideNow {
    let sign = bench.sign(&at.sheet.1.letter, sign_key(group.key));
    let source = sign.map(of_sign).unwrap_or_default();
    let (state, changes) = first_state(bench, at, group, &source);
    let mut side = SideNow {
        typed: TypedSide {
            key: group.key,
            boxes: vec![None; group.labels.len()],
            marks: Vec::new(),
            sources: vec![source; group.labels.len()],
            state,
            changes,
            fresh: true,
        },
        leaves: Vec::new(),
    };
    let Some(entry) = bench.row(&at.row.1.code) else { return side };
    for typed in &entry.groups {
        let leaves = matches!(typed.boxes, Boxes::Leaves(_));
        if leaves || typed.key.as_str() == group.key {
            fill(&mut side, &typed.boxes, None);
        }
    }
    side
}

fn of_sign(sign: &Sign) -> Source {
    Source {
        step: 0,
        why: None,
        by: sign.by.as_ref().map(Word::to_string).unwrap_or_default(),
        on: sign.on.clone(),
        gauges: named(&sign.gauges),
        temperatures: temperatures(sign.part_temperature.as_ref(), sign.gauge_temperature.as_ref()),
        zero: sign.zero,
    }
}

/// Who took a later reading, when and with what.
pub fn of_again(entry: &Again, step: usize) -> Source {
    Source {
        step,
        why: Some(entry.why.0),
        by: entry.by.as_ref().map(Word::to_string).unwrap_or_default(),
        on: entry.on.clone(),
        gauges: named(&entry.gauges),
        temperatures: temperatures(
            entry.part_temperature.as_ref(),
            entry.gauge_temperature.as_ref(),
        ),
        zero: entry.zero,
    }
}

fn named(gauges: &[Word]) -> Vec<Word> {
    gauges.iter().filter(|gauge| !gauge.as_str().trim().is_empty()).cloned().collect()
}

/// A gauge whose temperature was not taken was as warm as the part.
fn temperatures(part: Option<&Typed>, gauge: Option<&Typed>) -> Option<(Exact, Exact)> {
    let part = part?.value;
    Some((part, gauge.map_or(part, |gauge| gauge.value)))
}

/// Writes into the boxes; which of them.
fn fill(side: &mut SideNow, boxes: &Boxes, index: Option<usize>) -> Vec<usize> {
    match (boxes, index) {
        (Boxes::Readings(readings), Some(index)) => {
            if let (Some(slot), Some(reading)) = (side.typed.boxes.get_mut(index), readings.first())
            {
                slot.clone_from(reading);
            }
            vec![index]
        }
        (Boxes::Readings(readings), None) => {
            for (slot, reading) in side.typed.boxes.iter_mut().zip(readings) {
                slot.clone_from(reading);
            }
            (0..readings.len()).collect()
        }
        (Boxes::Marks(marks), _) => {
            side.typed.marks.clone_from(marks);
            (0..marks.len()).collect()
        }
        (Boxes::Leaves(leaves), _) => {
            side.leaves =
                leaves.iter().map(|(n, leaf, entered)| (*n, leaf.value, *entered)).collect();
            Vec::new()
        }
    }
}

/// What a later entry writes. The first reading of another part, or of a part
/// reworked, clears the boxes: nothing that was read before is of that part.
pub fn write(
    bench: &Bench,
    at: &At,
    group: &Group,
    side: &mut SideNow,
    entry: &Again,
    step: usize,
) {
    let leaves = matches!(entry.boxes, Boxes::Leaves(_));
    if !leaves && side.typed.key != entry.key.as_str() {
        return;
    }
    let source = of_again(entry, step);
    if matches!(entry.why.0, Why::PartChanged | Why::Reworked) {
        change(bench, at, group, side, &source);
    }
    let written = fill(side, &entry.boxes, entry.index);
    side.typed.fresh = true;
    for n in written {
        let Some(slot) = side.typed.sources.get_mut(n) else { continue };
        // The paper was read again, not the part: who measured it stays.
        *slot = match entry.why.0 {
            Why::Mistyped => Source { step, ..slot.clone() },
            _ => source.clone(),
        };
    }
}

fn change(bench: &Bench, at: &At, group: &Group, side: &mut SideNow, source: &Source) {
    let Some(why) = source.why else { return };
    let Some(n) = changes::of_reading(bench, at, group, why, source) else {
        side.typed.state = match why {
            Why::PartChanged => PartState::New,
            _ => PartState::Reworked { grade: None },
        };
        return;
    };
    if side.typed.changes.contains(&n) {
        return;
    }
    let change = &bench.record.changes[n];
    for (slot, here) in side.typed.boxes.iter_mut().zip(changes::boxes(bench, change, at, group)) {
        if here {
            *slot = None;
        }
    }
    side.typed.changes.push(n);
    if changes::own_part(bench, change, at, group) {
        side.typed.state = changes::state(bench, change, group);
    }
}

/// A part that is always renewed is new from the start, unless it was entered
/// as reused. A part changed or reworked on a day before its first reading was
/// read as it then was.
fn first_state(bench: &Bench, at: &At, group: &Group, source: &Source) -> (PartState, Vec<usize>) {
    let renewed = changes::part_measured(bench, at, group)
        .is_some_and(|part| bench.case.engine.parts[part].always_renewed && !reused(bench, part));
    let before = |change: &crate::model::record::Change| {
        let both = change.on.as_ref().zip(source.on.as_ref());
        both.is_some_and(|((changed, _), (read, _))| changed < read)
    };
    let changes: Vec<usize> = bench
        .record
        .changes
        .iter()
        .enumerate()
        .filter(|(_, change)| before(change) && changes::own_part(bench, change, at, group))
        .map(|(n, _)| n)
        .collect();
    let state = match changes.last() {
        Some(n) => changes::state(bench, &bench.record.changes[*n], group),
        None => grades::arrived(bench, at, group, renewed),
    };
    (state, changes)
}

/// Whether an always-renewed part was entered as reused.
fn reused(bench: &Bench, part: usize) -> bool {
    let renewals = bench.set.sheets.iter().flat_map(|sheet| {
        sheet.blocks.iter().filter_map(move |block| match block {
            SheetBlock::Renew { items, .. } => Some((sheet, items)),
            _ => None,
        })
    });
    renewals.into_iter().any(|(sheet, items)| {
        items.iter().filter(|item| item.part == part).any(|item| {
            let entry = bench.item(&sheet.letter, item.number);
            matches!(entry.map(|entry| &entry.content), Some(ItemContent::Renewed(typed)) if typed.reused)
        })
    })
}
