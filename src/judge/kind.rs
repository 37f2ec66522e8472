//! What judging asks of every kind of line.

use super::side::SideReadings;
use super::types::{BoxGroup, Context, PrintedLimits, ResultBox, Verdict};

/// What every kind of line can say about itself.
pub trait LineKind {
    /// The groups of boxes to fill at one place, in paper order.
    fn groups(&self, cx: &Context) -> Vec<BoxGroup>;

    /// Results to be written at the end of the row, worked out at the bench.
    fn answers(&self, cx: &Context) -> Vec<ResultBox>;

    /// The limits as they are printed before anything is measured.
    fn limits(&self, cx: &Context) -> PrintedLimits;

    /// The verdict on the readings of one row. Blank never passes.
    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict;
}
