//! Lines that measure one feature see all its readings, whichever sheet they
//! were taken on: a journal that one line reads worn is worn for all of them.

use super::index::RecordIndex;
use super::types::Chains;
use super::{changes, history};
use crate::judge::{AlsoRead, BoxGroup, SideReadings};
use crate::sheet::At;
use std::collections::BTreeSet;

/// Judges the last step of every row anew with what the record now holds of
/// its features elsewhere. Earlier steps stand as they were judged.
pub fn readings(index: &RecordIndex, chains: &mut Chains) {
    if !index.shares_features() {
        return;
    }
    let seen: Vec<_> = index.places.iter().map(|at| seen(index, at, chains)).collect();
    for ((at, steps), seen) in index.places.iter().zip(chains).zip(seen) {
        let Some(step) = steps.last_mut() else { continue };
        if seen.iter().all(Vec::is_empty) {
            continue;
        }
        for (side, also) in step.sides.iter_mut().zip(seen) {
            side.also = also;
        }
        step.verdict = history::verdict(index, at, &step.sides);
    }
}

/// What each side of a row sees in the boxes of other rows.
fn seen(index: &RecordIndex, at: &At, chains: &Chains) -> Vec<Vec<AlsoRead>> {
    let Some(step) = chains[at.id].last() else { return Vec::new() };
    let place = at.row.place.map(|(_, n)| n);
    let of_side = |(group, side): (&BoxGroup, &SideReadings)| {
        let Some(feature) = group.feature else { return Vec::new() };
        let others = index.others(feature, place, at.id).filter_map(|(other, key)| {
            let read = chains[other].last()?.side(key)?;
            let counts = !read.readings.is_blank() && of_one_part(index, at, group, [side, read]);
            counts.then(|| AlsoRead {
                row: index.places[other].row.code.clone(),
                readings: read.readings.clone(),
                uncertainty: read.uncertainty_of(group.key),
            })
        });
        others.collect()
    };
    at.line.own().zip(&step.sides).map(of_side).collect()
}

/// Both speak of the same part in the same state: neither of one before a
/// change or a rework that the other is of. A side whose readings a change took
/// away is of the part that came.
fn of_one_part(index: &RecordIndex, at: &At, group: &BoxGroup, sides: [&SideReadings; 2]) -> bool {
    let [one, other] = sides.map(|side| {
        let known = side.gone.iter().chain(&side.changes);
        let known = known.filter(|n| changes::disturbs(index, **n, at, group));
        (known.collect::<BTreeSet<_>>(), &side.state)
    });
    one == other
}
