//! benchleaf: worksheets, verdicts and the measuring record of an aero piston
//! engine overhaul, on paper.

pub mod archive;
pub mod diag;
pub mod draw;
pub mod judge;
pub mod model;
pub mod page;
pub mod quantity;
pub mod report;
pub mod sheet;
