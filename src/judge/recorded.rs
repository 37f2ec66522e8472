//! A figure, a word or a mark that is kept and not judged.

use super::LineKind;
use super::boxes;
use super::four;
use super::measure::Measure;
use super::side::{SideReadings, side_of};
use super::state::State;
use super::types::{BoxGroup, BoxKind, Context, Range, ResultBox, Scale, Verdict};
use crate::model::line::{Line, RecordedLine};
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

    fn scales(&self, _: &Context) -> Vec<Scale> {
        Vec::new()
    }

    fn ranges(&self, _: &Context) -> Vec<Range> {
        Vec::new()
    }

    fn graded(&self, _: &Context) -> Vec<(String, Vec<Range>)> {
        Vec::new()
    }

    fn limits_in_words(&self, _: &Context) -> String {
        "recorded, no limit".to_owned()
    }

    fn judge(&self, read: &[SideReadings], setting: &Context) -> Verdict {
        let side = side_of(read, Side::Only);
        let labels: Vec<String> = self.recorded.labels.iter().map(ToString::to_string).collect();
        let readings = boxes::in_boxes(side, labels.len().max(1), &self.line.unit);
        let marks = side.map_or(&[][..], |side| &side.marks);
        let marked = !marks.is_empty() && !marks.contains(&Mark::Blank);
        let blanks = boxes::blanks(&labels, &readings).filter(|_| !marked);
        let mut verdict = Verdict::of(State::Recorded);
        four::notes(&mut verdict, self.line, false, setting.rule);
        for value in readings.iter().flatten() {
            verdict.show_figure(Measure::Reading, *value);
        }
        let state = if blanks.is_some() { State::Open } else { State::Recorded };
        verdict.notes.extend(blanks.filter(|_| labels.len() > 1));
        verdict.part(None, state);
        verdict
    }
}
