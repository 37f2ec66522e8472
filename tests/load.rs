//! Reading: files that are right, files that are not, and files that are
//! neither.

mod cases;
mod demo;
mod noise;
mod places;
mod wording;
