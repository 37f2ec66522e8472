//! Lines that hold sizes of features: of shaft and bore together, of one alone,
//! and their undersize and oversize grades.

use super::id::FeatureId;
use super::side::Side;
use super::text::Text;
use super::tolerance::{SizeLimits, Tolerance};

/// How the readings of a feature are brought to the figures that are judged.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Reduction {
    /// Smallest and largest (common practice, no source).
    #[default]
    Worst,
    Average,
}

#[derive(Clone, Debug)]
pub struct FitLine {
    pub shaft: SizeLimits,
    pub bore: SizeLimits,
    /// Signed: loose above zero.
    pub fit: Tolerance,
    pub reduction: Reduction,
    /// Undersize or oversize grades, each with its own part limits.
    pub grades: Vec<Grade>,
}

impl FitLine {
    pub fn part(&self, side: Side) -> &SizeLimits {
        side.of([&self.shaft, &self.bore])
    }

    pub fn features(&self) -> [(Side, FeatureId); 2] {
        Side::FIT.map(|side| (side, self.part(side).feature))
    }

    /// The grade that a part on one side of the fit was brought to.
    pub fn grade(&self, side: Side, name: &str) -> Option<&Grade> {
        self.grades.iter().find(|grade| grade.names(side).any(|known| known == name))
    }
}

#[derive(Clone, Debug)]
pub struct SizeLine {
    pub feature: FeatureId,
    pub limits: Tolerance,
    pub reduction: Reduction,
    /// Undersize or oversize grades, each with limits of its own.
    pub grades: Vec<SizeGrade>,
}

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
