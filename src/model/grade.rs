//! Undersize and oversize grades of a line.

use super::side::Side;
use super::text::Text;
use super::tolerance::{SizeLimits, Tolerance};

/// One grade, such as 0.006 undersize: it belongs to a feature at all of its
/// places, and its limits hold for the mate too. Parts may be called otherwise:
/// a pin 0.010 under takes a bearing 0.010 over.
#[derive(Clone, Debug)]
pub struct Grade {
    pub name: Text,
    pub shaft: Option<SizeLimits>,
    pub bore: Option<SizeLimits>,
    pub shaft_called: Option<Text>,
    pub bore_called: Option<Text>,
}

impl Grade {
    /// What a part of this grade is called on one side of the fit.
    pub fn names(&self, side: Side) -> impl Iterator<Item = &str> {
        let called = side.of([&self.shaft_called, &self.bore_called]);
        called.iter().chain([&self.name]).map(Text::as_str)
    }
}

/// One grade of a size: it belongs to the feature at all of its places.
#[derive(Clone, Debug)]
pub struct SizeGrade {
    pub name: Text,
    pub limits: Tolerance,
}
