//! Taper: the signed difference of two named planes in one direction. A
//! barrel's choke is the other sign and has its own line.

use super::boxes;
use super::four::{self, Held, whole_digits};
use super::held::{Mean, shown};
use super::types::{Answer, Group, PartState, Range, RowRead, Scale, Setting, Verdict};
use super::{Check, ranges};
use crate::model::engine::Feature;
use crate::model::line::{Line, TaperLine};
use crate::quantity::Exact;

pub struct TaperCheck<'a> {
    pub line: &'a Line,
    pub taper: &'a TaperLine,
}

impl TaperCheck<'_> {
    fn plane<'e>(&self, setting: &Setting<'e>, plane: usize) -> &'e str {
        let feature = setting.engine.features.get(self.taper.feature);
        let plane = feature.and_then(|feature| feature.planes.get(plane));
        plane.map_or("plane", |plane| plane.as_str())
    }

    /// The difference in each direction, and its subtraction in words.
    fn differences(
        &self,
        feature: &Feature,
        readings: &[Option<Exact>],
    ) -> Vec<Option<(Exact, String)>> {
        let directions = feature.directions.len();
        let at = |plane: usize, n: usize| readings.get(plane * directions + n).copied().flatten();
        let show = |value| shown(value, self.line.places, false);
        (0..directions)
            .map(|n| {
                let (from, to) = (at(self.taper.from, n)?, at(self.taper.to, n)?);
                let words = format!("{} - {} = {}", show(from), show(to), show(from - to));
                Some((from - to, words))
            })
            .collect()
    }
}

impl Check for TaperCheck<'_> {
    fn groups(&self, setting: &Setting) -> Vec<Group> {
        let mut group =
            boxes::of_feature("read", "Taper", self.taper.feature, self.line, 1, setting);
        group.own = false;
        let feature = setting.engine.features.get(self.taper.feature);
        if let Some(feature) = feature {
            let two = [self.taper.from, self.taper.to];
            let counts = |n: usize| two.contains(&feature.plane_direction(n).0);
            group.governs = (0..feature.boxes()).map(counts).collect();
        }
        vec![group]
    }

    fn answers(&self, setting: &Setting) -> Vec<Answer> {
        let (from, to) = (self.taper.from, self.taper.to);
        vec![Answer {
            label: format!("{} - {}", self.plane(setting, from), self.plane(setting, to)),
            whole: whole_digits(self.taper.limits.all().map(|limit| limit.value), 0),
            places: self.line.places,
            side: false,
            governs: true,
        }]
    }

    fn scales(&self, setting: &Setting) -> Vec<Scale> {
        four::scale("answer", &self.taper.limits, false, setting.scope).into_iter().collect()
    }

    fn ranges(&self, setting: &Setting) -> Vec<Range> {
        ranges::of_four(&self.taper.limits, setting.scope)
    }

    fn limits_in_words(&self, setting: &Setting) -> String {
        let (from, to) = (self.taper.from, self.taper.to);
        let limits = four::in_words(self.line, &self.taper.limits, false, setting);
        format!("{} less {}: {limits}", self.plane(setting, from), self.plane(setting, to))
    }

    fn judge(&self, read: &RowRead, setting: &Setting) -> Verdict {
        let feature = setting.engine.features.get(self.taper.feature);
        let side = read.side("read");
        let readings = boxes::in_boxes(side, feature.map_or(0, Feature::boxes));
        let all = feature.map_or(Vec::new(), |feature| self.differences(feature, &readings));
        let known: Vec<&(Exact, String)> = all.iter().flatten().collect();
        let least = known.iter().min_by_key(|(value, _)| *value);
        let greatest = known.iter().max_by_key(|(value, _)| *value);
        let words = |end: Option<&&(Exact, String)>| end.map_or(String::new(), |e| e.1.clone());
        // Two readings by the same gauges make a difference: each counts.
        let twice = side.map_or(Vec::new(), |side| side.uncertainty.repeat(2));
        let held = Held {
            name: "taper",
            beyond: ("under", "over"),
            figures: if all.len() < 2 { ("taper", "taper") } else { ("least taper", "most taper") },
            blank: all.is_empty() || all.iter().any(Option::is_none),
            partial_proves: true,
            least: least.map(|end| Mean::one(end.0)),
            greatest: greatest.map(|end| Mean::one(end.0)),
            workings: (words(least), words(greatest)),
            uncertainty: &twice,
        };
        four::judge(self.line, &self.taper.limits, &held, PartState::of(side), setting)
    }
}
