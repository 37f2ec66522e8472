//! Lines that measure one feature see all its readings, whichever sheet they
//! were taken on: a journal that one line reads worn is worn for all of them.

use super::bench::{At, RecordIndex};
use super::judged::Step;
use super::{chain, changes};
use crate::judge::{AlsoRead, BoxGroup, SideReadings};
use std::collections::{BTreeMap, BTreeSet};

/// What one side of a row sees in the boxes of other rows.
struct Seen {
    /// Indices of the row and of its side.
    row: usize,
    side: usize,
    also: Vec<AlsoRead>,
}

/// Judges the last step of every row anew with what the record now holds of
/// its features elsewhere. Earlier steps stand as they were judged.
pub fn readings(bench: &RecordIndex, rows: &mut [(&At, Vec<Step>)]) {
    if !bench.shares_features() {
        return;
    }
    let by_code: BTreeMap<&str, usize> =
        rows.iter().enumerate().map(|(n, (at, _))| (at.row.1.code.as_str(), n)).collect();
    let all: Vec<Seen> = (0..rows.len()).flat_map(|n| seen(bench, rows, &by_code, n)).collect();
    let mut changed: BTreeSet<usize> = BTreeSet::new();
    for Seen { row, side, also } in all {
        if let Some(step) = rows[row].1.last_mut() {
            step.sides[side].also = also;
            changed.insert(row);
        }
    }
    for row in changed {
        let (at, steps) = &mut rows[row];
        let Some(step) = steps.last_mut() else { continue };
        step.verdict = chain::verdict(bench, at, &step.sides);
    }
}

fn seen(
    bench: &RecordIndex,
    rows: &[(&At, Vec<Step>)],
    by_code: &BTreeMap<&str, usize>,
    row: usize,
) -> Vec<Seen> {
    let (at, steps) = &rows[row];
    let Some(step) = steps.last() else { return Vec::new() };
    let code = at.row.1.code.as_str();
    let place = at.row.1.place.map(|(_, n)| n);
    let mut all = Vec::new();
    for (side, group) in chain::own_groups(at).into_iter().enumerate() {
        let Some(feature) = group.feature else { continue };
        let others = bench.others(feature, place, code).filter_map(|(other, key)| {
            let last = rows[*by_code.get(other)?].1.last()?;
            let m = last.sides.iter().position(|typed| typed.key == key)?;
            let readings = &last.sides[m].readings;
            let counts = !readings.is_blank()
                && of_one_part(bench, at, group, [&step.sides[side], &last.sides[m]]);
            let row = other.to_owned();
            counts.then(|| {
                let uncertainty = last.sides[m].uncertainty_of(group.key);
                AlsoRead { row, readings: readings.clone(), uncertainty }
            })
        });
        let also: Vec<AlsoRead> = others.collect();
        if !also.is_empty() {
            all.push(Seen { row, side, also });
        }
    }
    all
}

/// Both speak of the same part in the same state: neither of one before a
/// change or a rework that the other is of. A side whose readings a change took
/// away is of the part that came.
fn of_one_part(bench: &RecordIndex, at: &At, group: &BoxGroup, sides: [&SideReadings; 2]) -> bool {
    let [one, other] = sides.map(|side| {
        let known = side.gone.iter().chain(&side.changes);
        let known = known.filter(|n| changes::disturbs(bench, **n, at, group));
        (known.collect::<BTreeSet<_>>(), &side.state)
    });
    one == other
}
