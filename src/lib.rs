//! benchleaf: worksheets, verdicts and the measuring record of an aero piston
//! engine overhaul, on paper.

pub mod archive;
pub mod draw;
pub mod page;
