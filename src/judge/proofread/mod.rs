//! Proof-reading of a limits file: what a table of limits can show to be a
//! misprint.

pub mod derived;
pub mod given;
pub mod lines;
mod misprint;
pub mod revision;
mod units;
