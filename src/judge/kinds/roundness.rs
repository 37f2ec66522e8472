//! Roundness: the largest difference across the directions of one plane, from
//! the readings of the size. Two-point measuring cannot see lobing.

use super::boxes;
use crate::judge::acceptance::{Bounds, Mean, shown};
use crate::judge::bounds::{self, Extremes, whole_of};
use crate::judge::budget;
use crate::judge::kind::LineKind;
use crate::judge::measure::Measure;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::types::{
    BoxGroup, Context, Contribution, PartState, PrintedLimits, ResultBox, Verdict,
};
use crate::model::engine::Feature;
use crate::model::limits::{Line, RoundnessLine};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit};

pub struct RoundnessCheck<'a> {
    pub line: &'a Line,
    pub unit: &'a Unit,
    pub roundness: &'a RoundnessLine,
    pub limits: Bounds<'a>,
}

/// Printed with every verdict on roundness (ISO 4292, from memory).
const LOBING: &str = "two-point measuring cannot see lobing";

impl LineKind for RoundnessCheck<'_> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        let feature = self.roundness.feature;
        let mut group = boxes::of_feature(Side::Only, "Roundness", feature, self.line, 1, cx);
        group.own = false;
        vec![group]
    }

    fn answers(&self, _: &Context) -> Vec<ResultBox> {
        let whole = whole_of(&self.limits, 0);
        vec![ResultBox::of_figure("largest - smallest", whole, self.line)]
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        bounds::printed(self.line, &self.limits, None, cx)
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let feature = cx.engine.features.get(self.roundness.feature.0);
        let boxes_count = feature.map_or(0, Feature::boxes);
        let side = side_of(read, Side::Only);
        let sets = boxes::sets(side, boxes_count, self.unit);
        let planes = feature.map_or(Vec::new(), |feature| {
            self.planes(feature, &sets, side.unwrap_or(&SideReadings::default()), cx)
        });
        let worst = planes.iter().rev().max_by_key(|plane| plane.roundness);
        let figures = planes.iter().map(|plane| (plane.roundness, &plane.budget));
        let behind = worst.and_then(|w| budget::behind(figures, w.roundness, cx.rule));
        let behind = behind.map_or(&[][..], Vec::as_slice);
        let blank = boxes_count == 0 || sets[0].iter().any(Option::is_none);
        let mut held = Extremes {
            beyond: ("under", "over"),
            figures: (Measure::Roundness, Measure::Roundness),
            blank,
            partial_proves: true,
            least: None,
            greatest: None,
            workings: Default::default(),
            uncertainty: [behind; 2],
        };
        if let Some(plane) = worst {
            // Further readings can only widen it.
            held.least = (!blank).then_some(Mean::one(plane.roundness));
            held.greatest = Some(Mean::one(plane.roundness));
            held.workings = (plane.working.clone(), plane.working.clone());
        }
        let mut verdict = bounds::judge(self.line, &self.limits, &held, PartState::of(side), cx);
        verdict.notes.push(LOBING.to_owned());
        verdict
    }
}

/// The largest difference across the directions of one plane.
struct Plane {
    roundness: Exact,
    working: String,
    budget: Vec<Contribution>,
}

impl RoundnessCheck<'_> {
    /// Every plane with two readings or more.
    fn planes(
        &self,
        feature: &Feature,
        sets: &[Vec<Option<Exact>>],
        side: &SideReadings,
        cx: &Context,
    ) -> Vec<Plane> {
        let show = |value| shown(value, self.line.places, false);
        let directions = feature.directions.len();
        let of = |plane: usize| {
            let (largest, smallest) = across(feature, sets, plane)?;
            let roundness = largest - smallest;
            let sum = format!("{} - {} = {}", show(largest), show(smallest), show(roundness));
            let here = |n: usize| n / directions == plane;
            let behind = |end| side.behind(Some(end), self.unit, cx.rule, here);
            Some(Plane {
                roundness,
                working: match feature.planes.get(plane) {
                    Some(name) => format!("{name} {sum}"),
                    None => sum,
                },
                budget: budget::of_difference(behind(largest), behind(smallest)),
            })
        };
        (0..feature.planes.len().max(1)).filter_map(of).collect()
    }
}

/// The readings of two directions of one plane that are furthest apart, the
/// larger first.
fn across(feature: &Feature, sets: &[Vec<Option<Exact>>], plane: usize) -> Option<(Exact, Exact)> {
    let directions = feature.directions.len();
    let all: Vec<(usize, Exact)> = sets
        .iter()
        .flat_map(|set| set.iter().enumerate().skip(plane * directions).take(directions))
        .filter_map(|(n, reading)| Some((n, (*reading)?)))
        .collect();
    let pairs = all.iter().flat_map(|one| all.iter().map(move |other| (one, other)));
    let apart = pairs.filter(|((n, _), (m, _))| n != m);
    let (one, other) = apart.max_by_key(|((_, one), (_, other))| *one - *other)?;
    Some((one.1, other.1))
}
