//! The kinds of line, a file each.

pub mod around;
mod boxes;
pub mod count;
pub mod feeler;
pub mod fit;
pub mod leaves;
pub mod named;
pub mod part;
pub mod reading;
pub mod recorded;
pub mod replace;
pub mod roundness;
pub mod size;
pub mod spread;
pub mod taper;
pub mod units;
