//! First readings held against those of a second person who had not seen them.
//! Two people never read quite the same: what is within the uncertainty of
//! both is alike.

use super::difference::{Comparison, both_exist, difference};
use super::likelier;
use super::written::{Spot, all};
use crate::diag::Diags;
use crate::judge::budget::expanded;
use crate::model::Case;
use crate::model::record::Record;
use crate::model::side::BoxId;
use crate::quantity::squared_exceeds;
use crate::record::{RecordIndex, Step, history, uncertainty};
use crate::sheet::{Pages, SheetSet, judge_context};
use std::collections::BTreeSet;

/// Compares the rows that the second person measured. `None` with the faults
/// in `out` where either names what the sheets do not have.
pub fn compare_blind(
    case: &Case,
    set: &SheetSet,
    (first, blind): (&Record, &Record),
    pages: &Pages,
    out: &mut Diags,
) -> Option<Comparison> {
    both_exist(case, set, [first, blind], out)?;
    let index = |record| RecordIndex::new(case, set, record, judge_context(case));
    let indexes = [&index(first), &index(blind)];
    let mut rows = likelier::Rows::new(indexes);
    let (mine, theirs) = (all(set, first), all(set, blind));
    let measured: BTreeSet<&str> = theirs.keys().filter_map(|spot| spot.row()).collect();
    let signed =
        |spot: &&Spot| spot.part == "by" && theirs.contains_key(*spot) && spot.row().is_none();
    let mut found = Comparison::default();
    for spot in mine.keys().filter(signed) {
        let (a, b) = (mine.get(spot), theirs.get(spot));
        if a.map(|a| &a.toml) == b.map(|b| &b.toml) {
            let mut difference = difference(set, pages, spot, (a, b));
            difference.name.push_str(", the same person twice");
            found.differences.push(difference);
        }
    }
    let spots: BTreeSet<&Spot> = mine.keys().chain(theirs.keys()).collect();
    let was_measured = |spot: &&Spot| spot.row().is_some_and(|code| measured.contains(code));
    for spot in spots.into_iter().filter(was_measured) {
        let (a, b) = (mine.get(spot), theirs.get(spot));
        let same = match (a, b, spot.box_of_row()) {
            (Some(a), Some(b), Some(place)) => a.toml == b.toml || within(indexes, place),
            _ => false,
        };
        if same {
            found.alike += 1;
            continue;
        }
        let mut difference = difference(set, pages, spot, (a, b));
        if let (Some((code, place)), Some(_), Some(_)) = (spot.box_of_row(), a, b) {
            rows.ask(code, &[place], &mut difference);
        }
        found.differences.push(difference);
    }
    Some(found.by_page())
}

/// Whether two readings of a box differ by no more than both gauges allow: the
/// square of the difference against the sum of the squares. Where neither
/// states an uncertainty, only the same figure is alike.
fn within(indexes: [&RecordIndex; 2], (code, place): (&str, BoxId)) -> bool {
    let Some(at) = &indexes[0].set.row(code) else { return false };
    let Some(group) = at.line.own().find(|group| group.key == place.group) else { return false };
    let read = indexes.map(|index| {
        let step: Step = history::own(index, at).into_iter().next()?;
        let side = step.sides.into_iter().find(|side| side.key == place.group)?;
        let value = side.boxes.get(place.index)?.as_ref()?.value;
        let gauges = &side.sources.get(place.index)?.gauges;
        let parts = uncertainty::of(index, gauges, &group.unit, group.key, value);
        Some((value, expanded(&parts)))
    });
    let [Some((one, mut parts)), Some((other, more))] = read else { return false };
    parts.extend(more);
    !parts.is_empty() && !squared_exceeds(one - other, &parts)
}
