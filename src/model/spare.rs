//! Spares on the shelf, measured and not yet fitted.

use super::id::FeatureId;
use super::text::Text;
use crate::diag::Span;
use crate::quantity::Readings;

/// One part on the shelf with the readings of one of its features.
#[derive(Clone, Debug)]
pub struct Spare {
    /// The shop's own mark on it: `S-4`.
    pub id: Text,
    pub feature: FeatureId,
    /// One a box, in the order and the unit in which the sheets print them; of a
    /// part that serves several places a set for each, else one set.
    pub read: Vec<Readings>,
    /// Unused: it is held to its new limits.
    pub new: bool,
    pub at: Span,
}
