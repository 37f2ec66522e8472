//! benchleaf: worksheets, verdicts and the measuring record of an aero piston
//! engine overhaul, on paper.

pub mod diag;
pub mod model;
pub mod page;
pub mod quantity;
pub mod wording;
pub mod load;
