//! The command line, tested as a person uses it: files written, commands run,
//! what they say and leave behind.

mod archived;
mod attacks;
mod beside;
mod claims;
mod everyones;
mod faults;
mod fields;
mod folders;
mod history;
mod many;
mod originals;
mod output;
mod paper;
mod pictures;
mod proofreading;
mod saying;
mod scans;
mod script;
mod shop;
mod signing;
mod spreadsheet;
mod stopped;
mod table;
mod typing;
mod verdicts;
mod weather;

pub use script::Script;
