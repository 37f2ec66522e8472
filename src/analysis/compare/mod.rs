//! Two transcriptions of the same paper, box by box. Neither is put right:
//! what differs is listed, and only the paper says which is true.

mod blind;
mod difference;
mod events;
mod likelier;
mod merge;
mod value;
mod written;

pub use blind::compare_blind;
pub use difference::{Comparison, Difference, Opinion, Which};
pub use merge::merged;

use crate::diag::Diags;
use crate::model::Case;
use crate::model::record::Record;
use crate::model::side::BoxId;
use crate::record::RecordIndex;
use crate::sheet::{Pages, SheetSet, judge_context};
use difference::{both_exist, difference};
use likelier::Rows;
use std::collections::BTreeSet;
use written::{All, Spot};

/// Compares two transcriptions of one job. `None` with the faults in `out`
/// where either names what the sheets do not have.
pub fn compare(
    case: &Case,
    set: &SheetSet,
    (first, second): (&Record, &Record),
    pages: &Pages,
    out: &mut Diags,
) -> Option<Comparison> {
    both_exist(case, set, [first, second], out)?;
    let index = |record| RecordIndex::new(case, set, record, judge_context(case));
    let (one, other) = (index(first), index(second));
    let mut rows = Rows::new([&one, &other]);
    let (mine, mut theirs) = (written::all(set, first), written::all(set, second));
    pair_events(&mine, &mut theirs);
    let spots: BTreeSet<&Spot> = mine.keys().chain(theirs.keys()).collect();
    let mut found = Comparison::default();
    let mut changed: Vec<Changed> = Vec::new();
    for spot in spots {
        let (a, b) = (mine.get(spot), theirs.get(spot));
        if spot.is_event()
            && !(mine.contains_key(&spot.event()) && theirs.contains_key(&spot.event()))
        {
            if *spot == spot.event() {
                found.differences.push(difference(set, pages, spot, (a, b)));
            }
            continue;
        }
        match (a, b) {
            (Some(a), Some(b)) if a.toml == b.toml => {
                found.alike += usize::from(!a.toml.is_empty());
                found.agreed.insert(spot.clone(), a.clone());
            }
            _ => {
                let difference = difference(set, pages, spot, (a, b));
                if let (Some((code, place)), Some(a), Some(b)) = (spot.box_of_row(), a, b) {
                    let n = found.differences.len();
                    let change = (a.toml.as_str(), b.toml.as_str());
                    changed.push(Changed { code, place, change, n });
                }
                found.differences.push(difference);
            }
        }
    }
    for one in &changed {
        let exchanged = |other: &&Changed| {
            other.code == one.code && other.change == (one.change.1, one.change.0)
        };
        let mut places = vec![one.place];
        places.extend(changed.iter().find(exchanged).map(|other| other.place));
        rows.ask(one.code, &places, &mut found.differences[one.n]);
    }
    Some(found.by_page())
}

/// A box of a row in which the two hold different readings.
struct Changed<'a> {
    code: &'a str,
    place: BoxId,
    /// As the first has it, and the second.
    change: (&'a str, &'a str),
    /// Index of its difference.
    n: usize,
}

/// An entry whose subject differs is still the same entry where half of the
/// rest of it does not.
fn pair_events(mine: &All, theirs: &mut All) {
    let only = |all: &All, other: &All| -> Vec<Spot> {
        let heads = all.keys().filter(|spot| spot.is_event() && **spot == spot.event());
        heads.filter(|spot| !other.contains_key(spot)).cloned().collect()
    };
    let mut waiting = only(theirs, mine);
    for head in only(mine, theirs) {
        let fields = fields_of(mine, &head);
        let alike = |other: &Spot| {
            let others = fields_of(theirs, other);
            let same = fields.iter().filter(|field| others.contains(field)).count();
            other.rank == head.rank && same * 2 >= fields.len().max(others.len())
        };
        let Some(n) = waiting.iter().position(alike) else { continue };
        let other = waiting.remove(n);
        let moved: Vec<Spot> =
            theirs.keys().filter(|spot| spot.event() == other).cloned().collect();
        for spot in moved {
            if let Some(written) = theirs.remove(&spot) {
                theirs.insert(Spot { m: spot.m, part: spot.part.clone(), ..head.clone() }, written);
            }
        }
    }
}

fn fields_of<'a>(all: &'a All, head: &Spot) -> Vec<(&'a str, &'a str)> {
    let own = all.iter().filter(|(spot, _)| spot.event() == *head && **spot != *head);
    own.map(|(spot, written)| (spot.part.as_str(), written.toml.as_str())).collect()
}
