//! What is worked out from the readings of a row and held against limits.

use crate::model::side::Side;
use std::fmt;

/// A figure of a verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Measure {
    Tightest,
    Loosest,
    /// A part of a fit, held against limits of its own.
    Part(Side),
    Smallest(Side),
    Largest(Side),
    Average(Side),
    #[default]
    Reading,
    Number,
    Spread,
    Roundness,
    Taper,
    LeastTaper,
    MostTaper,
    /// By leaves, at every tooth.
    Entered,
    Refused,
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Measure::Tightest => "tightest",
            Measure::Loosest => "loosest",
            Measure::Part(side) => side.word(),
            Measure::Smallest(Side::Only) => "smallest",
            Measure::Largest(Side::Only) => "largest",
            Measure::Average(Side::Only) => "average",
            Measure::Smallest(side) => return write!(f, "smallest {side}"),
            Measure::Largest(side) => return write!(f, "largest {side}"),
            Measure::Average(side) => return write!(f, "average {side}"),
            Measure::Reading => "reading",
            Measure::Number => "number",
            Measure::Spread => "spread",
            Measure::Roundness => "roundness",
            Measure::Taper => "taper",
            Measure::LeastTaper => "least taper",
            Measure::MostTaper => "most taper",
            Measure::Entered => "entered everywhere",
            Measure::Refused => "refused everywhere",
        })
    }
}
