//! Tags of parts: one for each that was measured, one for each set aside.

pub mod position;
pub mod set_aside;

pub use position::{lay_openings, lay_tags};
pub use set_aside::lay_aside;
