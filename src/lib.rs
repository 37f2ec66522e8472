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
//!
//! From five files to a verdict:
//!
//! ```
//! use benchleaf::diag::{Diags, Sources};
//! use benchleaf::record::{Judged, judge};
//! use benchleaf::{load, sheet};
//! use std::fs::{read_dir, read_to_string};
//!
//! /// The demonstration's job, without a transcription.
//! fn job() -> std::io::Result<Sources> {
//!     let mut files = Sources::default();
//!     files.put("engine.toml", read_to_string("demo/engine.toml")?);
//!     files.put("limits.toml", read_to_string("limits/tw4-h8.toml")?);
//!     files.put("job.toml", read_to_string("demo/job.toml")?);
//!     for form in read_dir("forms")? {
//!         let path = form?.path().display().to_string();
//!         if path.ends_with(".toml") {
//!             files.put(path.clone(), read_to_string(path)?);
//!         }
//!     }
//!     Ok(files)
//! }
//!
//! /// One row as somebody typed it; whatever is left blank stays open. `None`
//! /// with the faults in `out`.
//! fn judged(mut files: Sources, out: &mut Diags) -> Option<Judged> {
//!     let blank = load::blank(&files, out);
//!     // The sheets as they are printed, and their number.
//!     let set = sheet::expand(blank.case()?, out)?;
//!     let typed = "[C]\nC2.shaft = [1.3718, 1.3716]\nC2.bore = [1.3767, 1.3768]\n";
//!     files.put("readings.toml", format!("sheet-set = \"{}\"\n{typed}", set.number));
//!     let case = blank.typed(&files, out)?;
//!     judge(&case, &set, out)
//! }
//!
//! let mut out = Diags::new();
//! let judged = judged(job()?, &mut out);
//! assert_eq!(out.faults(), 0, "{:?}", out.iter().collect::<Vec<_>>());
//! let row = judged.as_ref().and_then(|judged| judged.row("C2"));
//! let step = row.and_then(|row| row.last());
//! // 1.3768 − 1.3716 is 0.0052, against 0.0050 in service.
//! let state = step.map(|step| step.verdict.state.to_string());
//! assert_eq!(state.as_deref(), Some("out, loose by 0.0002"));
//! // It keeps the record from being complete, like all that is still blank.
//! assert!(row.is_some_and(|row| row.blocks()));
//! # Ok::<(), std::io::Error>(())
//! ```

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
