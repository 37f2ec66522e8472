//! Taper: the difference of two named planes in one direction, the greatest
//! either way. Where the line says `signed` its sign counts, as a choke's does.

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
use crate::model::limits::{Line, TaperLine};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit};

pub struct TaperCheck<'a> {
    pub line: &'a Line,
    pub unit: &'a Unit,
    pub taper: &'a TaperLine,
    pub limits: Bounds<'a>,
}

/// One plane less the other in one direction.
struct Difference {
    taper: Exact,
    working: String,
    budget: Vec<Contribution>,
}

impl TaperCheck<'_> {
    fn plane<'e>(&self, cx: &Context<'e>, plane: usize) -> &'e str {
        let feature = cx.engine.features.get(self.taper.feature.0);
        let plane = feature.and_then(|feature| feature.planes.get(plane));
        plane.map_or("plane", |plane| plane.as_str())
    }

    /// The differences in each direction: the smaller from the larger, where the
    /// sign does not count. A direction whose own boxes are not both filled has
    /// a blank among them.
    fn differences(
        &self,
        feature: &Feature,
        sets: &[Vec<Option<Exact>>],
        side: &SideReadings,
    ) -> Vec<Option<Difference>> {
        let directions = feature.directions.len();
        let at = |set: &[Option<Exact>], plane: usize, n: usize| {
            set.get(plane * directions + n).copied().flatten()
        };
        let mut all = Vec::new();
        for n in 0..directions {
            for (f, from) in sets.iter().enumerate() {
                for (t, to) in sets.iter().enumerate() {
                    let both = (at(from, self.taper.from, n), at(to, self.taper.to, n));
                    match both {
                        (Some(from), Some(to)) => {
                            let behind = |set, plane| side.budget_of(set, plane * directions + n);
                            let budget = budget::of_difference(
                                behind(f, self.taper.from),
                                behind(t, self.taper.to),
                            );
                            all.push(Some(self.less(from, to, budget)));
                        }
                        _ if f == 0 && t == 0 => all.push(None),
                        _ => {}
                    }
                }
            }
        }
        all
    }

    fn less(&self, from: Exact, to: Exact, budget: Vec<Contribution>) -> Difference {
        let either = !self.taper.signed && from < to;
        let (from, to) = if either { (to, from) } else { (from, to) };
        let show = |value| shown(value, self.line.places, false);
        Difference {
            taper: from - to,
            working: format!("{} - {} = {}", show(from), show(to), show(from - to)),
            budget,
        }
    }
}

impl LineKind for TaperCheck<'_> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        let mut group =
            boxes::of_feature(Side::Only, "Taper", self.taper.feature, self.line, 1, cx);
        group.own = false;
        let feature = cx.engine.features.get(self.taper.feature.0);
        if let Some(feature) = feature {
            let two = [self.taper.from, self.taper.to];
            let counts = |n: usize| two.contains(&feature.plane_direction(n).0);
            group.governs = (0..feature.boxes()).map(counts).collect();
        }
        vec![group]
    }

    fn answers(&self, cx: &Context) -> Vec<ResultBox> {
        let (from, to) = (self.plane(cx, self.taper.from), self.plane(cx, self.taper.to));
        let between = if self.taper.signed { "-" } else { "to" };
        let label = format!("{from} {between} {to}");
        vec![ResultBox::of_figure(label, whole_of(&self.limits, 0), self.line)]
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        let (from, to) = (self.plane(cx, self.taper.from), self.plane(cx, self.taper.to));
        let mut limits = bounds::printed(self.line, &self.limits, None, cx);
        let planes = match self.taper.signed {
            true => format!("{from} less {to}"),
            false => format!("{from} to {to}, either way"),
        };
        limits.words = format!("{planes}: {}", limits.words);
        limits
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let feature = cx.engine.features.get(self.taper.feature.0);
        let side = side_of(read, Side::Only);
        let sets = boxes::sets(side, feature.map_or(0, Feature::boxes), self.unit);
        let blank = SideReadings::default();
        let all =
            feature.map_or(Vec::new(), |f| self.differences(f, &sets, side.unwrap_or(&blank)));
        let known = || all.iter().flatten();
        let least = known().min_by_key(|difference| difference.taper);
        let greatest = known().max_by_key(|difference| difference.taper);
        let words = |end: Option<&Difference>| end.map_or(String::new(), |e| e.working.clone());
        let behind = |end: Option<&Difference>| {
            let figures = known().map(|each| (each.taper, &each.budget));
            let own = end.and_then(|end| budget::behind(figures, end.taper, cx.rule));
            own.map_or(&[][..], Vec::as_slice)
        };
        let held = Extremes {
            beyond: ("under", "over"),
            figures: match all.len() {
                0 | 1 => (Measure::Taper, Measure::Taper),
                _ => (Measure::LeastTaper, Measure::MostTaper),
            },
            blank: all.is_empty() || all.iter().any(Option::is_none),
            partial_proves: true,
            least: least.map(|end| Mean::one(end.taper)),
            greatest: greatest.map(|end| Mean::one(end.taper)),
            workings: (words(least), words(greatest)),
            uncertainty: [behind(least), behind(greatest)],
        };
        bounds::judge(self.line, &self.limits, &held, PartState::of(side), cx)
    }
}
