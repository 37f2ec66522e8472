//! Reading: files that are right, files that are not, and files that are
//! neither.

mod advice;
mod cases;
pub mod demo;
mod noise;
mod places;
mod unmet;
mod wording;
