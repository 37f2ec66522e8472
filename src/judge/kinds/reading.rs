//! Direct readings in any unit: end play, backlash, runout (full indicator
//! movement, never halved), spring load at a length, leak-down time, torque.

use super::boxes;
use crate::judge::acceptance::{Bounds, Mean};
use crate::judge::bounds::{self, Extremes};
use crate::judge::kind::LineKind;
use crate::judge::measure::Measure;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::types::{BoxGroup, Context, PartState, PrintedLimits, ResultBox, Verdict};
use crate::model::limits::{Line, ReadingLine};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit};

pub struct ReadingCheck<'a> {
    pub line: &'a Line,
    pub unit: &'a Unit,
    pub reading: &'a ReadingLine,
    pub limits: Bounds<'a>,
}

impl LineKind for ReadingCheck<'_> {
    fn groups(&self, _: &Context) -> Vec<BoxGroup> {
        let shape = boxes::comb(self.line, &self.limits);
        let mut group = boxes::plain(self.line, &self.reading.labels, shape);
        group.hint = self.reading.with.as_ref().map(ToString::to_string).unwrap_or_default();
        group.when = self.reading.when;
        vec![group]
    }

    fn answers(&self, _: &Context) -> Vec<ResultBox> {
        Vec::new()
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        bounds::printed(self.line, &self.limits, Some(Side::Only.into()), cx)
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let labels: Vec<String> = self.reading.labels.iter().map(ToString::to_string).collect();
        let side = side_of(read, Side::Only);
        let readings = boxes::in_boxes(side, labels.len().max(1), self.unit);
        let present: Vec<Exact> = readings.iter().flatten().copied().collect();
        let blanks = boxes::blanks(&labels, &readings);
        let single = readings.len() == 1;
        let held = Extremes {
            beyond: ("under", "over"),
            figures: match single {
                true => (Measure::Reading, Measure::Reading),
                false => (Measure::Smallest(Side::Only), Measure::Largest(Side::Only)),
            },
            blank: blanks.is_some(),
            partial_proves: true,
            least: present.iter().min().copied().map(Mean::one),
            greatest: present.iter().max().copied().map(Mean::one),
            uncertainty: [present.iter().min(), present.iter().max()].map(|end| {
                side.map_or(&[][..], |s| s.behind(end.copied(), self.unit, cx.rule, |_| true))
            }),
            workings: Default::default(),
        };
        let mut verdict = bounds::judge(self.line, &self.limits, &held, PartState::of(side), cx);
        verdict.notes.extend(blanks.filter(|_| !single));
        verdict
    }
}
