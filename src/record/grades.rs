//! Grades: each belongs to a feature of a part, at all of that part's places.

use super::disturbed::features;
use super::index::RecordIndex;
use super::types::{History, Issue};
use crate::judge::{BoxGroup, PartState, State};
use crate::model::id::FeatureId;
use crate::model::record::Change;
use crate::model::text::Text;
use crate::sheet::At;
use std::collections::BTreeMap;

/// Whether a change leaves what is measured in a group as it was: it is of other
/// features of the part. A change that names neither feature nor grade is of
/// them all, and so is one to a grade that nobody knows.
pub fn spares(index: &RecordIndex, change: &Change, group: &BoxGroup) -> bool {
    let of = features(index.case, change);
    !of.is_empty() && group.feature.is_none_or(|feature| !of.contains(&feature))
}

/// The limits must have the grade for each feature that the change is of.
pub fn unknown(index: &RecordIndex, change: &Change) -> Option<String> {
    let grade = change.grade.as_ref()?;
    let engine = &index.case.engine;
    let part = Some(engine.part(change.part.as_str())?);
    let known = index.case.limits.grades();
    let has = |of: &dyn Fn(FeatureId) -> bool| {
        let mut names: Vec<&str> = Vec::new();
        for (_, name) in known.iter().filter(|(feature, _)| of(*feature)) {
            if !names.contains(name) {
                names.push(name);
            }
        }
        names
    };
    let told = |names: Vec<&str>| match names.as_slice() {
        [] => "no grade".to_owned(),
        names => names.join(", "),
    };
    for id in &change.features {
        let Some(feature) = engine.feature(id.as_str()) else { continue };
        let names = has(&|f| f == feature);
        if !names.contains(&grade.as_str()) {
            let has = told(names);
            return Some(format!("the limits have no grade {grade} for {id}; they have {has}"));
        }
    }
    let names = has(&|feature| engine.features.get(feature.0).map(|f| f.part) == part);
    (!names.contains(&grade.as_str())).then(|| {
        let has = told(names);
        format!("the limits have no grade {grade} for this part; they have {has}")
    })
}

/// The state in which a part came to this job: at a grade where the job says so,
/// reused or, always renewed, new.
pub fn arrived(index: &RecordIndex, at: &At, group: &BoxGroup, renewed: bool) -> PartState {
    let engine = &index.case.engine;
    let place = at.row.place.map(|(set, n)| &engine.places[set].places[n]);
    let here =
        |codes: &[Text]| codes.is_empty() || place.is_some_and(|place| place.is_among(codes));
    let mut all = index.case.job.arrived.iter();
    let found = all.find(|arrived| {
        group.feature.is_some()
            && engine.feature(arrived.feature.as_str()) == group.feature
            && here(&arrived.places)
    });
    match (found, renewed) {
        (Some(arrived), true) => PartState::NewTo { grade: arrived.grade.to_string() },
        (Some(arrived), false) => {
            PartState::Arrived { grade: arrived.grade.to_string(), reworked: false }
        }
        (None, true) => PartState::New,
        (None, false) => PartState::Reused,
    }
}

/// Each grade with the rows that stand at it; the empty one is none.
type Graded<'a> = Vec<(String, Vec<&'a str>)>;

/// One grade belongs to a feature at all of its places as they stand now:
/// journals of one shaft are ground alike, crankpins need not be as the main
/// journals are.
pub fn mixed(index: &RecordIndex, rows: &[History]) -> Vec<Issue> {
    let mut graded: BTreeMap<(FeatureId, Option<usize>), Graded> = BTreeMap::new();
    for (at, row) in index.places.iter().zip(rows).filter(|(at, _)| at.line.has_boxes()) {
        let sides = row.last().map_or(&[][..], |step| &step.sides);
        let groups = at.line.own();
        for (group, side) in groups.zip(sides) {
            let Some(grade) = side.state.grade() else { continue };
            let Some(feature) = group.feature else { continue };
            let Some(part) = index.case.part_of(at.line.line, group.feature) else { continue };
            let place = index.case.engine.place_of(part, at.row.place).map(|(_, n)| n);
            let grades = graded.entry((feature, place)).or_default();
            match grades.iter_mut().find(|(known, _)| known == grade) {
                Some((_, codes)) => codes.push(&row.code),
                None => grades.push((grade.to_owned(), vec![&row.code])),
            }
        }
    }
    let several = graded.into_iter().filter(|(_, grades)| grades.len() > 1);
    let asks = several.map(|((feature, _), grades)| {
        let each = grades.iter().map(|(grade, codes)| format!("{grade} at {}", codes.join(" ")));
        let name = &index.case.engine.features[feature].name;
        let each: Vec<String> = each.collect();
        let why = format!(
            "mixed grades on the {name}, {}: one grade for all of them on one part",
            each.join(", ")
        );
        Issue { state: State::Hold, why, at: None }
    });
    asks.collect()
}
