//! Worksheets, second-stage sheets, tags and reports on paper.

pub mod boxes;
pub mod differences;
pub mod history;
pub mod paper;
pub mod report;
pub mod scale;
mod second_stage;
pub mod tags;
pub mod worksheet;

pub use second_stage::lay_second;
