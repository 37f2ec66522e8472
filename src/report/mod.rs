//! The record to sections: what the report says, not where it stands on paper.

pub mod compared;
mod compared_json;
pub mod history;
mod json;
mod json_lines;
mod originals;
pub mod sections;
pub mod table;
mod types;

pub use compared::Stray;
pub use compared_json::compared_json;
pub use json::{SCHEMA, json};
pub use json_lines::differing;
pub use originals::{Original, Originals};
pub use types::{Cell, Column, FitGroup, FitLine, Marker, Piece, Report, Section, TableGroup};
