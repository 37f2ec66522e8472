//! The boxes of a feature and of plain readings: labels, directions in words,
//! which of them govern, how many digits each holds.

use crate::judge::acceptance::Bounds;
use crate::judge::bounds::whole_of;
use crate::judge::side::SideReadings;
use crate::judge::types::{BoxGroup, BoxKind, Context};
use crate::model::engine::Feature;
use crate::model::id::FeatureId;
use crate::model::limits::Line;
use crate::model::side::Side;
use crate::model::text::Text;
use crate::quantity::{Exact, Unit};

/// `A in line with the gear dowel, B at right angles`, and which governs.
pub(super) fn hint(feature: &Feature) -> String {
    let letter = |n: usize| char::from(b'A' + u8::try_from(n.min(25)).unwrap_or(25));
    let mut words: Vec<String> = feature
        .directions
        .iter()
        .enumerate()
        .filter(|(_, direction)| !direction.as_str().is_empty())
        .map(|(n, direction)| format!("{} {direction}", letter(n)))
        .collect();
    match (feature.governing_direction, feature.governing_plane) {
        (None, None) => {}
        (Some(direction), None) => words.push(format!("{} alone governs", letter(direction))),
        (direction, Some(plane)) => {
            let plane = feature.planes.get(plane).map_or("", |plane| plane.as_str());
            let direction = direction.map_or(String::new(), |n| format!(" {}", letter(n)));
            words.push(format!("{plane}{direction} alone governs"));
        }
    }
    // A direction with a comma of its own needs a stronger break.
    let between = if words.iter().any(|word| word.contains(',')) { "; " } else { ", " };
    words.join(between)
}

/// The group of a feature's boxes.
pub(super) fn of_feature(
    side: Side,
    title: &str,
    feature_index: FeatureId,
    line: &Line,
    whole: u8,
    cx: &Context,
) -> BoxGroup {
    let feature = cx.engine.features.get(feature_index.0);
    let boxes = feature.map_or(0, Feature::boxes);
    BoxGroup {
        key: side.into(),
        title: title.to_owned(),
        called: title.to_lowercase(),
        hint: feature.map(hint).unwrap_or_default(),
        labels: feature.map(Feature::labels).unwrap_or_default(),
        governs: vec![true; boxes],
        shape: BoxKind::Comb { whole, places: line.places, signed: false },
        own: true,
        feature: Some(feature_index),
        when: feature.and_then(|feature| feature.when),
        unit: line.unit.clone(),
    }
}

/// The group of plain readings, one box a label; one box where there is none.
pub(super) fn plain(line: &Line, labels: &[Text], shape: BoxKind) -> BoxGroup {
    let labels: Vec<String> = match labels {
        [] => vec![String::new()],
        labels => labels.iter().map(Text::to_string).collect(),
    };
    BoxGroup {
        key: Side::Only.into(),
        title: "Reading".to_owned(),
        called: "reading".to_owned(),
        hint: String::new(),
        governs: vec![true; labels.len()],
        labels,
        shape,
        own: true,
        feature: None,
        when: None,
        unit: line.unit.clone(),
    }
}

/// A comb wide enough for the largest limit, signed where a limit is.
pub(super) fn comb(line: &Line, limits: &Bounds) -> BoxKind {
    BoxKind::Comb {
        whole: whole_of(limits, 1),
        places: line.places,
        signed: limits.all().any(|limit| limit.value.is_negative()),
    }
}

/// The readings of a group as so many boxes: those beyond the end are blank.
pub(super) fn in_boxes(
    side: Option<&SideReadings>,
    boxes: usize,
    unit: &Unit,
) -> Vec<Option<Exact>> {
    (0..boxes).map(|n| side.and_then(|side| side.readings.get(n, unit))).collect()
}

/// Every set of so many readings of a feature, the row's own first: other rows
/// may have boxes for it too.
pub(super) fn sets(
    side: Option<&SideReadings>,
    boxes: usize,
    unit: &Unit,
) -> Vec<Vec<Option<Exact>>> {
    side.map_or_else(|| vec![vec![None; boxes]], |side| side.sets(boxes, unit))
}

/// The readings of all sets that count. A part of a set makes no average.
pub(super) fn together(
    sets: &[Vec<Option<Exact>>],
    average: bool,
    counts: impl Fn(usize) -> bool,
) -> Vec<Exact> {
    let whole = |set: &Vec<Option<Exact>>| set.iter().all(Option::is_some);
    let sets = sets.iter().enumerate().filter(|(n, set)| *n == 0 || !average || whole(set));
    let boxes = sets.flat_map(|(_, set)| set.iter().enumerate());
    boxes.filter_map(|(n, reading)| reading.filter(|_| counts(n))).collect()
}

/// The labels of the boxes that are blank, for a note.
pub(super) fn blanks(labels: &[String], readings: &[Option<Exact>]) -> Option<String> {
    let mut blank: Vec<String> = Vec::new();
    for (n, _) in readings.iter().enumerate().filter(|(_, reading)| reading.is_none()) {
        blank.push(match labels.get(n).filter(|label| !label.is_empty()) {
            Some(label) => label.clone(),
            None => format!("box {}", n + 1),
        });
    }
    (!blank.is_empty()).then(|| format!("blank: {}", blank.join(", ")))
}
