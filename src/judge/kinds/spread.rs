//! One reading at each place; the largest less the smallest is judged, as for
//! the weights of a set.

use super::boxes;
use crate::judge::acceptance::{Bounds, Mean, shown};
use crate::judge::bounds::{self, Extremes, whole_of};
use crate::judge::budget;
use crate::judge::kind::LineKind;
use crate::judge::measure::Measure;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::types::{
    BoxGroup, BoxKind, Context, PartState, PrintedLimits, ResultBox, Verdict,
};
use crate::model::limits::{Line, SpreadLine};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit};

pub struct SpreadCheck<'a> {
    pub line: &'a Line,
    pub unit: &'a Unit,
    pub spread: &'a SpreadLine,
    pub limits: Bounds<'a>,
}

/// Cells before the point: a weight is far larger than the spread allowed, and
/// no limit tells how large.
const WHOLE: u8 = 4;

impl SpreadCheck<'_> {
    fn labels(&self, cx: &Context) -> Vec<String> {
        let set = cx.engine.places.get(self.spread.at);
        set.map_or(Vec::new(), |set| set.places.iter().map(|p| p.code.to_string()).collect())
    }
}

impl LineKind for SpreadCheck<'_> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        let shape = BoxKind::Comb { whole: WHOLE, places: self.line.places, signed: false };
        let mut group = boxes::plain(self.line, &[], shape);
        group.labels = self.labels(cx);
        group.governs = vec![true; group.labels.len()];
        group.title = "One at each place".to_owned();
        group.hint = self.spread.with.as_ref().map(ToString::to_string).unwrap_or_default();
        vec![group]
    }

    fn answers(&self, _: &Context) -> Vec<ResultBox> {
        let whole = whole_of(&self.limits, 1) + 1;
        vec![ResultBox::of_figure("largest - smallest", whole, self.line)]
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        bounds::printed(self.line, &self.limits, None, cx)
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let labels = self.labels(cx);
        let side = side_of(read, Side::Only);
        let readings = boxes::in_boxes(side, labels.len(), self.unit);
        let present: Vec<Exact> = readings.iter().flatten().copied().collect();
        let blanks = boxes::blanks(&labels, &readings);
        let ends = present.iter().max().copied().zip(present.iter().min().copied());
        let behind = ends.map_or(Vec::new(), |(largest, smallest)| {
            let of =
                |end| side.map_or(&[][..], |s| s.behind(Some(end), self.unit, cx.rule, |_| true));
            budget::of_difference(of(largest), of(smallest))
        });
        let mut held = Extremes {
            beyond: ("under", "over"),
            figures: (Measure::Spread, Measure::Spread),
            blank: blanks.is_some() || labels.is_empty(),
            partial_proves: true,
            least: None,
            greatest: None,
            workings: Default::default(),
            uncertainty: [&behind; 2],
        };
        if let Some((largest, smallest)) = ends {
            let show = |value| shown(value, self.line.places, false);
            let spread = largest - smallest;
            let working = format!("{} - {} = {}", show(largest), show(smallest), show(spread));
            // More readings can only widen it: a least limit waits for all.
            held.least = blanks.is_none().then_some(Mean::one(spread));
            held.greatest = Some(Mean::one(spread));
            held.workings = (working.clone(), working);
        }
        let mut verdict = bounds::judge(self.line, &self.limits, &held, PartState::of(side), cx);
        verdict.notes.extend(blanks);
        verdict
    }
}
