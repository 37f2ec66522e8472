//! Judging, against figures from outside and the check values of the rules.

pub mod bench;
mod feelers;
mod fits;
mod governing;
mod guarded;
mod kinds;
mod new_parts;
mod numbers;
mod proofs;
mod published;
mod ranges;
mod replaced;
mod shipped;
mod states;
pub mod table;
mod tables;
mod units;
mod wear;
