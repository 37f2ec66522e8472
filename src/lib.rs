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
//! use benchleaf::record::state_words;
//! use benchleaf::{load, record, sheet};
//! use std::fs::{read_dir, read_to_string};
//!
//! let mut files = Sources::default();
//! let mut put = |name: &str, path: &str| files.put(name, read_to_string(path).unwrap());
//! put("engine.toml", "demo/engine.toml");
//! put("limits.toml", "limits/tw4-h8.toml");
//! put("job.toml", "demo/job.toml");
//! for form in read_dir("forms").unwrap() {
//!     let path = form.unwrap().path().display().to_string();
//!     if path.ends_with(".toml") {
//!         put(&path, &path);
//!     }
//! }
//! // The sheets as they are printed, and their number.
//! let mut out = Diags::new();
//! let blank = load::blank(&files, &mut out);
//! let set = sheet::expand(blank.case().unwrap(), &mut out).unwrap();
//! // One row as somebody typed it; whatever is left blank stays open.
//! let typed = "[C]\nC2.shaft = [1.3718, 1.3716]\nC2.bore = [1.3767, 1.3768]\n";
//! files.put("readings.toml", format!("sheet-set = \"{}\"\n{typed}", set.number));
//! let case = blank.typed(&files, &mut out).unwrap();
//! let judged = record::judge(&case, &set, &mut out).unwrap();
//! assert_eq!(out.faults(), 0, "{}", out.render(&files, false));
//! // 1.3768 − 1.3716 is 0.0052, against 0.0050 in service.
//! let row = judged.row("C2").unwrap();
//! let verdict = &row.last().unwrap().verdict;
//! assert_eq!(verdict.state.to_string(), "out, loose by 0.0002");
//! // It stands in the way of a final report, like all that is still blank.
//! assert!(row.blocks() && judged.blocks());
//! assert!(state_words(row, row.last().unwrap()).starts_with("out, loose by 0.0002"));
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
