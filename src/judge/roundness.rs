//! Roundness: the largest difference across the directions of one plane, from
//! the readings of the size. Two-point measuring cannot see lobing.

use super::boxes;
use super::four::{self, Held, whole_digits};
use super::held::{Mean, shown};
use super::types::{Answer, Group, PartState, Range, RowRead, Scale, Setting, Verdict};
use super::{Check, ranges};
use crate::model::engine::Feature;
use crate::model::line::{Line, RoundnessLine};
use crate::quantity::Exact;

pub struct RoundnessCheck<'a> {
    pub line: &'a Line,
    pub roundness: &'a RoundnessLine,
}

/// Printed with every verdict on roundness (ISO 4292, from memory).
pub const LOBING: &str = "two-point measuring cannot see lobing";

impl Check for RoundnessCheck<'_> {
    fn groups(&self, setting: &Setting) -> Vec<Group> {
        let feature = self.roundness.feature;
        let mut group = boxes::of_feature("read", "Roundness", feature, self.line, 1, setting);
        group.own = false;
        vec![group]
    }

    fn answers(&self, _: &Setting) -> Vec<Answer> {
        vec![Answer {
            label: "largest - smallest".to_owned(),
            whole: whole_digits(self.roundness.limits.all().map(|limit| limit.value), 0),
            places: self.line.places,
            side: false,
            governs: true,
        }]
    }

    fn scales(&self, setting: &Setting) -> Vec<Scale> {
        four::scale("answer", &self.roundness.limits, false, setting.scope).into_iter().collect()
    }

    fn ranges(&self, setting: &Setting) -> Vec<Range> {
        ranges::of_four(&self.roundness.limits, setting.scope)
    }

    fn limits_in_words(&self, setting: &Setting) -> String {
        four::in_words(self.line, &self.roundness.limits, false, setting)
    }

    fn judge(&self, read: &RowRead, setting: &Setting) -> Verdict {
        let feature = setting.engine.features.get(self.roundness.feature);
        let boxes_count = feature.map_or(0, Feature::boxes);
        let side = read.side("read");
        let readings = boxes::in_boxes(side, boxes_count);
        let worst = feature.and_then(|feature| self.worst_plane(feature, &readings));
        // Two readings by the same gauges make a difference: each counts.
        let twice = side.map_or(Vec::new(), |side| side.uncertainty.repeat(2));
        let blank = boxes_count == 0 || readings.iter().any(Option::is_none);
        let mut held = Held {
            name: "roundness",
            beyond: ("under", "over"),
            figures: ("roundness", "roundness"),
            blank,
            partial_proves: true,
            uncertainty: &twice,
            ..Held::default()
        };
        if let Some((roundness, working)) = worst {
            // Further readings can only widen it.
            held.least = (!blank).then_some(Mean::one(roundness));
            held.greatest = Some(Mean::one(roundness));
            held.workings = (working.clone(), working);
        }
        let mut verdict =
            four::judge(self.line, &self.roundness.limits, &held, PartState::of(side), setting);
        verdict.notes.push(LOBING.to_owned());
        verdict
    }
}

impl RoundnessCheck<'_> {
    /// The plane with the largest difference, and its subtraction.
    fn worst_plane(
        &self,
        feature: &Feature,
        readings: &[Option<Exact>],
    ) -> Option<(Exact, String)> {
        if feature.directions.len() < 2 {
            return None;
        }
        let show = |value| shown(value, self.line.places, false);
        let mut worst: Option<(Exact, String)> = None;
        for (plane, boxes) in readings.chunks(feature.directions.len()).enumerate() {
            let present: Vec<Exact> = boxes.iter().flatten().copied().collect();
            let (Some(largest), Some(smallest)) = (present.iter().max(), present.iter().min())
            else {
                continue;
            };
            if present.len() < 2 {
                continue;
            }
            let roundness = *largest - *smallest;
            let sum = format!("{} - {} = {}", show(*largest), show(*smallest), show(roundness));
            let working = match feature.planes.get(plane) {
                Some(name) => format!("{name} {sum}"),
                None => sum,
            };
            if worst.as_ref().is_none_or(|(least, _)| roundness > *least) {
                worst = Some((roundness, working));
            }
        }
        worst
    }
}
