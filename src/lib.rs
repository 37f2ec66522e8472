//! benchleaf: worksheets, verdicts and the measuring record of an aero piston
//! engine overhaul, on paper.
//!
//! A job flows one way through the rooms: the texts of five files ([`load`])
//! become a valid case ([`model`]), the case becomes sheets ([`sheet`]), the
//! transcription is held against them ([`record`]) with a verdict for every
//! row ([`judge`]) and told in sections ([`report`]). Sheets and sections are
//! laid out as plain marks ([`pages`], [`layout`]), written as PDF ([`pdf`])
//! and signed ([`sign`]); [`bundle`] makes a report with all its sources, and
//! proves it. The clock, the disk and the random source enter at the command
//! line ([`cli`]) only.

#![forbid(unsafe_code)]

pub mod analysis;
pub mod bundle;
pub mod cli;
pub mod diag;
pub mod judge;
pub mod layout;
pub mod load;
pub mod model;
pub mod pages;
pub mod pdf;
pub mod quantity;
pub mod record;
pub mod report;
pub mod scan;
pub mod sheet;
pub mod sign;
pub mod template;
