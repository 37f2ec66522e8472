//! The record to sections: what the report says, not where it stands on paper.

mod types;

pub use types::{Cell, Column, FitGroup, FitLine, Marker, Piece, Report, Section, Status};
