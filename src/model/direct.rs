//! Lines that are read directly off a gauge, tried with leaves, counted, or kept
//! as a figure or a word.

use super::id::PartId;
use super::text::Text;
use super::tolerance::Tolerance;

/// Direct readings: end play, backlash, runout, load at a length, time, ...
#[derive(Clone, Debug)]
pub struct ReadingLine {
    /// Index into `Engine::places`; absent for one place.
    pub at: Option<usize>,
    /// What it is read on.
    pub part: Option<PartId>,
    /// Boxes at each place; labels where given.
    pub labels: Vec<Text>,
    /// Gauge or set-up to read it with: `spring tester at 1.430 in`.
    pub with: Option<Text>,
    pub limits: Tolerance,
    pub when: Option<usize>,
}

/// One reading at each place; the largest less the smallest is judged.
#[derive(Clone, Debug)]
pub struct SpreadLine {
    pub at: usize,
    pub part: Option<PartId>,
    pub with: Option<Text>,
    pub limits: Tolerance,
}

/// Leaves tried at every tooth or place.
#[derive(Clone, Debug)]
pub struct FeelerLine {
    /// Index into `Engine::places`: one row a place, such as drive and driven.
    pub at: Option<usize>,
    pub part: Option<PartId>,
    /// Teeth or spots at each place.
    pub teeth: u32,
    /// What is counted: `tooth`.
    pub each: Text,
    pub limits: Tolerance,
}

#[derive(Clone, Debug)]
pub struct CountLine {
    pub at: Option<usize>,
    pub part: Option<PartId>,
    pub exact: u32,
}

/// A figure or a word that is kept and not judged.
#[derive(Clone, Debug)]
pub struct RecordedLine {
    pub at: Option<usize>,
    pub part: Option<PartId>,
    pub labels: Vec<Text>,
}
