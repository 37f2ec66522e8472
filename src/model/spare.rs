//! Spares on the shelf, measured and not yet fitted.

use super::id::FeatureId;
use super::typed::{Number, Text};
use crate::diag::Span;

/// One part on the shelf with the readings of one of its features.
#[derive(Clone, Debug)]
pub struct Spare {
    /// The shop's own mark on it: `S-4`.
    pub id: Text,
    pub feature: FeatureId,
    /// One a box, in the order in which the sheets print them; of a part that
    /// serves several places a set for each, else one set.
    pub read: Vec<Vec<Option<Number>>>,
    /// Unused: it is held to its new limits.
    pub new: bool,
    pub at: Span,
}
