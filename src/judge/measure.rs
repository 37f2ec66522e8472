//! What is worked out from the readings of a row and held against limits.

// A new kind must not fall through.
#![warn(clippy::wildcard_enum_match_arm)]

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

impl Measure {
    /// A reading as it stands, or the least or the greatest of several: nothing
    /// is subtracted or averaged.
    pub fn is_read(self) -> bool {
        match self {
            Measure::Smallest(_) | Measure::Largest(_) | Measure::Reading | Measure::Number => true,
            Measure::Tightest
            | Measure::Loosest
            | Measure::Part(_)
            | Measure::Average(_)
            | Measure::Spread
            | Measure::Roundness
            | Measure::Taper
            | Measure::LeastTaper
            | Measure::MostTaper
            | Measure::Entered
            | Measure::Refused => false,
        }
    }

    /// What an uncertainty or an allowed range is of, where this figure is held
    /// against it. Nobody is told to read again what is worked out.
    pub fn subject(self) -> &'static str {
        match self {
            Measure::Tightest | Measure::Loosest => "fit",
            Measure::Part(side) => side.word(),
            Measure::Smallest(_)
            | Measure::Largest(_)
            | Measure::Average(_)
            | Measure::Reading
            | Measure::Number
            | Measure::Entered
            | Measure::Refused => "reading",
            Measure::Spread => "spread",
            Measure::Roundness => "roundness",
            Measure::Taper | Measure::LeastTaper | Measure::MostTaper => "taper",
        }
    }

    /// Whether the row itself is judged by it: not one of the parts of a fit, nor
    /// what a fit is worked out from.
    pub fn is_of_row(self) -> bool {
        match self {
            Measure::Part(_) => false,
            Measure::Smallest(side) | Measure::Largest(side) | Measure::Average(side) => {
                side == Side::Only
            }
            Measure::Tightest
            | Measure::Loosest
            | Measure::Reading
            | Measure::Number
            | Measure::Spread
            | Measure::Roundness
            | Measure::Taper
            | Measure::LeastTaper
            | Measure::MostTaper
            | Measure::Entered
            | Measure::Refused => true,
        }
    }
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
