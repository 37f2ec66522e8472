//! Position tags: which part came from which place.

use super::types::{Sheet, SheetSet};
use crate::judge::BoxGroup;
use crate::model::Case;
use crate::model::id::PartId;
use crate::model::side::Side;
use std::collections::BTreeMap;

/// One tag to cut out and wire to a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tag {
    /// Of the first row that measures the part: `T2EX`; for a part that all
    /// places share, its line's reference: `C`.
    pub code: String,
    /// `shaft` or `bore` of that row: the two parts of a fit have tags of their
    /// own.
    pub side: Option<Side>,
    pub part: String,
    /// In words; empty for a part that all places share.
    pub place: String,
    pub reach: Option<String>,
    /// The other rows that measure it.
    pub also: Vec<String>,
}

impl Tag {
    /// What the tag's code says behind the set's number: `T2EX.SHAFT`, as the
    /// box is typed, in the capitals that make a small code.
    pub fn reference(&self) -> String {
        let side =
            self.side.map(|side| format!(".{}", side.word().to_uppercase())).unwrap_or_default();
        format!("{}{side}", self.code)
    }
}

/// A tag for every part that the sheets measure, in the order of the sheets.
/// Parts that are renewed at every overhaul get none.
pub fn tags(case: &Case, set: &SheetSet) -> Vec<Tag> {
    let mut found: Vec<Tag> = Vec::new();
    let mut known: BTreeMap<(PartId, Option<usize>), usize> = BTreeMap::new();
    for line in set.sheets.iter().flat_map(Sheet::lines).filter(|line| line.has_boxes()) {
        let limits = &case.limits.lines[line.line];
        let side = |group: &BoxGroup| Some(group.key.side()).filter(|side| *side != Side::Only);
        let own = line.own();
        let features = own.filter_map(|group| Some((group.feature?, side(group))));
        let mut parts: Vec<(PartId, Option<Side>)> =
            features.map(|(n, side)| (case.engine.features[n].part, side)).collect();
        parts.extend(limits.part().map(|part| (part, None)));
        let each = line.rows.iter().flat_map(|row| parts.iter().map(move |part| (row, *part)));
        for (row, (part, side)) in each {
            let whole = &case.engine.parts[part];
            if whole.always_renewed {
                continue;
            }
            let own = row.place.filter(|(places, _)| whole.at == Some(*places));
            // A spread is one row for all its parts: none of them is meant.
            if own.is_none() && whole.at.is_some() {
                continue;
            }
            let at = known.entry((part, own.map(|(_, n)| n))).or_insert_with(|| {
                let single = own.is_some();
                found.push(Tag {
                    code: if single { row.code.clone() } else { line.reference.clone() },
                    side,
                    part: if single { whole.single() } else { &whole.name }.to_string(),
                    place: if single { row.name.clone() } else { String::new() },
                    reach: row.reach.clone().filter(|_| single),
                    also: Vec::new(),
                });
                found.len() - 1
            });
            let tag = &mut found[*at];
            let other = if own.is_some() { &row.code } else { &line.reference };
            if tag.code != *other && !tag.also.contains(other) {
                tag.also.push(other.clone());
            }
        }
    }
    found
}
