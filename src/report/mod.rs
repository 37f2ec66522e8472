//! The record to sections: what the report says, not where it stands on paper.

mod aside;
mod asks;
mod bench;
mod chain;
mod changes;
pub mod compare;
mod count;
mod disturbed;
mod grades;
mod holds;
mod items;
mod json;
mod json_lines;
mod judge_record;
mod judged;
mod originals;
mod questions;
pub mod recall;
mod resolve;
mod rows;
mod second;
pub mod sections;
mod shared;
mod side;
mod signs;
mod temperature;
mod types;
mod uncertainty;
pub mod wear;
pub mod whatif;
mod words;

pub use aside::{Aside, Disposition, set_aside};
pub use count::count;
pub use json::{SCHEMA, json};
pub use json_lines::differing;
pub use judge_record::judge;
pub use judged::{
    FoundLine, Issue, Judged, JudgedItem, JudgedRow, JudgedSheet, Provenance, Status, Step,
    TypedSide,
};
pub use originals::{Original, Originals, Stray};
pub use second::{Ready, ready, sheets_typed};
pub use types::{Cell, Column, FitGroup, FitLine, Marker, Piece, Report, Section};
pub use words::{flags, line_of, name_of, percent, state_words};
