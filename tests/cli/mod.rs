//! The command line, tested as a person uses it: files written, commands run,
//! what they say and leave behind.

mod archived;
mod attacks;
mod faults;
mod many;
mod originals;
mod paper;
mod proofreading;
mod saying;
mod script;
mod shop;
mod signing;
mod typing;
mod verdicts;
mod weather;

pub use script::Script;
