//! A figure, a word or a mark that is kept and not judged.

use super::boxes;
use crate::judge::bounds;
use crate::judge::kind::LineKind;
use crate::judge::measure::Measure;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::state::State;
use crate::judge::types::{BoxGroup, BoxKind, Context, PrintedLimits, ResultBox, Verdict};
use crate::model::limits::{Line, RecordedLine};
use crate::model::record::Mark;
use crate::model::side::Side;

pub struct RecordedCheck<'a> {
    pub line: &'a Line,
    pub recorded: &'a RecordedLine,
}

impl LineKind for RecordedCheck<'_> {
    fn groups(&self, _: &Context) -> Vec<BoxGroup> {
        vec![boxes::plain(self.line, &self.recorded.labels, BoxKind::Words)]
    }

    fn answers(&self, _: &Context) -> Vec<ResultBox> {
        Vec::new()
    }

    fn limits(&self, _: &Context) -> PrintedLimits {
        PrintedLimits { words: "recorded, not judged".to_owned(), ..PrintedLimits::default() }
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let side = side_of(read, Side::Only);
        let labels: Vec<String> = self.recorded.labels.iter().map(ToString::to_string).collect();
        let readings = boxes::in_boxes(side, labels.len().max(1), &self.line.unit);
        let marks = side.map_or(&[][..], |side| &side.marks);
        let marked = !marks.is_empty() && !marks.contains(&Mark::Blank);
        let blanks = boxes::blanks(&labels, &readings).filter(|_| !marked);
        let mut verdict = Verdict::of(State::Recorded);
        bounds::notes(&mut verdict, self.line, false, cx.rule);
        for value in readings.iter().flatten() {
            verdict.show_figure(Measure::Reading, *value);
        }
        let state = if blanks.is_some() { State::Open } else { State::Recorded };
        verdict.notes.extend(blanks.filter(|_| labels.len() > 1));
        verdict.part(None, state);
        verdict
    }
}
