//! What judging asks of every kind of line.

use super::side::SideReadings;
use super::types::{BoxGroup, Context, Range, ResultBox, Scale, Verdict};

/// What every kind of line can say about itself.
pub trait LineKind {
    /// The groups of boxes to fill at one place, in paper order.
    fn groups(&self, cx: &Context) -> Vec<BoxGroup>;

    /// Results to be written at the end of the row, worked out at the bench.
    fn answers(&self, cx: &Context) -> Vec<ResultBox>;

    /// Scales to be drawn once over the rows, each over its group's boxes.
    fn scales(&self, cx: &Context) -> Vec<Scale>;

    /// The allowable ranges before anything is measured, row by row.
    fn ranges(&self, cx: &Context) -> Vec<Range>;

    /// The same of every grade, after what the grade is called.
    fn graded(&self, cx: &Context) -> Vec<(String, Vec<Range>)>;

    /// The limits in one line of words: `new 0.0010 L to 0.0035 L, service to
    /// 0.0050 L`.
    fn limits_in_words(&self, cx: &Context) -> String;

    /// The verdict on the readings of one row. Blank never passes.
    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict;
}
