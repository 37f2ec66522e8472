//! benchleaf: worksheets, verdicts and the measuring record of an aero piston
//! engine overhaul, on paper.
//!
//! A job flows one way through the rooms: the texts of five files ([`load`])
//! become a valid case ([`model`]), the case becomes sheets ([`sheet`]), the
//! sheets and the record become verdicts ([`judge`]) and sections
//! ([`report`]), both are laid out as plain marks ([`page`]), drawn
//! ([`draw`]) and made fit for an archive ([`archive`]). The clock, the disk
//! and the random source enter at the command line ([`cli`]) only.

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
