//! Reading: files that are right, files that are not, and files that are
//! neither.

mod advice;
mod cases;
pub mod demo;
mod groups;
mod meant;
mod noise;
mod places;
mod published_tables;
mod spreadsheet;
mod unmet;
mod wording;
