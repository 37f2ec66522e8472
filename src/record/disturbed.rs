//! What each change of the record disturbs: the work of the engine's table that
//! it is, else everything that names the part.

use super::words::why_word;
use crate::judge::BoxGroup;
use crate::model::Case;
use crate::model::engine::{Reopens, Rework};
use crate::model::id::{FeatureId, PartId};
use crate::model::record::{Change, Record, Why};
use crate::sheet::{At, MarksBlock, SheetBlock, TableBlock};

/// A change with what it reopens.
pub struct Disturbed {
    /// As printed.
    pub name: String,
    pub part: Option<PartId>,
    /// Everything that names the part: the engine's table does not say less.
    pub whole: bool,
    /// The features that work to a grade is of; its part's others are spared.
    pub graded: Vec<FeatureId>,
    pub reopens: Vec<Reopens>,
}

/// One a change, in the order of the file.
pub fn all(case: &Case, record: &Record) -> Vec<Disturbed> {
    record.changes.iter().map(|change| disturbed(case, change)).collect()
}

/// Indices of the changes from the first day to the last; of one day in the
/// order of the file, undated ones at the end.
pub fn in_time(record: &Record) -> Vec<usize> {
    let mut order: Vec<usize> = (0..record.changes.len()).collect();
    let date = |n: &usize| record.changes[*n].on.as_ref().map(|(date, _)| *date);
    order.sort_by_key(|n| (date(n).is_none(), date(n)));
    order
}

/// The rework of the engine's table that a change names, or the part's only one
/// of its kind. Work that the table does not know reopens everything.
fn disturbed(case: &Case, change: &Change) -> Disturbed {
    let part = case.engine.part(change.part.as_str());
    if let Some(rework) = rework_of(case, change, part) {
        let (name, reopens) = (rework.name.to_string(), rework.reopens.clone());
        return Disturbed { name, part, whole: false, graded: Vec::new(), reopens };
    }
    let name = format!("{}, {}", change.part, why_word(change.why.0));
    let graded = match change.why.0 {
        Why::Reworked => features(case, change),
        _ => Vec::new(),
    };
    Disturbed { name, part, whole: true, graded, reopens: Vec::new() }
}

/// The features that a change leaves at its grade: those that it names, else
/// every one of the part that has such a grade in the limits.
pub fn features(case: &Case, change: &Change) -> Vec<FeatureId> {
    let engine = &case.engine;
    if !change.features.is_empty() {
        let ids = change.features.iter();
        return ids.filter_map(|id| engine.feature(id.as_str())).collect();
    }
    let Some(grade) = &change.grade else { return Vec::new() };
    let part = engine.part(change.part.as_str());
    let of_part = |feature: FeatureId| engine.features.get(feature.0).map(|f| f.part) == part;
    let named = case.limits.grades().into_iter().filter(|(_, name)| *name == grade.as_str());
    let mut all: Vec<FeatureId> =
        named.map(|(feature, _)| feature).filter(|f| of_part(*f)).collect();
    all.sort_unstable();
    all.dedup();
    all
}

fn rework_of<'a>(case: &'a Case, change: &Change, part: Option<PartId>) -> Option<&'a Rework> {
    let reworks = &case.engine.reworks;
    if let Some(id) = &change.rework {
        return reworks.iter().find(|known| known.id.text == id.text);
    }
    if change.why.0 == Why::Reworked && change.grade.is_none() {
        return None;
    }
    let changed = change.why.0 == Why::PartChanged;
    let mut like =
        reworks.iter().filter(|known| Some(known.part) == part && known.part_changed == changed);
    like.next().filter(|_| like.next().is_none())
}

impl Disturbed {
    /// Whether a group of boxes is reopened.
    pub fn boxes(&self, case: &Case, at: &At, group: &BoxGroup) -> bool {
        let spared =
            |feature: FeatureId| !self.graded.is_empty() && !self.graded.contains(&feature);
        let of_part = self.whole
            && self.part.is_some()
            && self.part == case.part_of(at.line.line, group.feature)
            && !group.feature.is_some_and(spared);
        // Of a line without features, which it is read on together with others.
        let beside = self.whole
            && group.feature.is_none()
            && self.part.is_some_and(|part| case.limits.lines[at.line.line].also.contains(&part));
        let limits = &case.limits;
        let feature_of =
            |line: &str| limits.line(line).and_then(|line| limits.lines[line].feature());
        let named = |what: &Reopens| match what {
            Reopens::Feature(feature) => group.feature == Some(*feature),
            Reopens::Line(line) => {
                line.as_str() == at.line.reference
                    || group.feature.is_some() && group.feature == feature_of(line.as_str())
            }
            Reopens::Block(_) => false,
        };
        of_part || beside || self.reopens.iter().any(named)
    }

    /// Whether an item of a block is reopened, by the parts that it speaks of or
    /// by the block's name.
    pub fn item(&self, block: &SheetBlock, number: u32) -> bool {
        let (id, parts) = match block {
            SheetBlock::Marks(MarksBlock { id, .. })
            | SheetBlock::Write { id, .. }
            | SheetBlock::Table(TableBlock { id, .. }) => {
                let item = block.items().iter().find(|item| item.number == number);
                (id, item.map_or(Vec::new(), |item| item.parts.clone()))
            }
            SheetBlock::Renew { id, items, .. } => {
                let own = items.iter().filter(|item| item.number == number);
                (id, own.map(|item| item.part).collect())
            }
            SheetBlock::Measure(_) | SheetBlock::Caution(_) | SheetBlock::Note(_) => return false,
        };
        let of_part = |part: PartId| parts.contains(&part);
        // Of a list of several parts, those items that speak of this one.
        let own = self
            .part
            .is_some_and(|part| block.items().iter().any(|item| item.parts.contains(&part)));
        let named = |what: &Reopens| match what {
            Reopens::Block(name) => {
                id.as_deref() == Some(name.as_str()) && (!own || self.part.is_some_and(of_part))
            }
            Reopens::Feature(_) | Reopens::Line(_) => false,
        };
        self.whole && self.part.is_some_and(of_part) || self.reopens.iter().any(named)
    }
}
