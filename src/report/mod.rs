//! The record to sections: what the report says, not where it stands on paper.

pub mod history;
mod json;
mod json_lines;
pub mod compared;
mod originals;
pub mod sections;
pub mod table;
mod types;

pub use json::{SCHEMA, json};
pub use json_lines::differing;
pub use originals::{Original, Originals, Stray};
pub use types::{Cell, Column, FitGroup, FitLine, Marker, Piece, Report, Section, TableGroup};
