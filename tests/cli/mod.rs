//! The command line, tested as a person uses it: files written, commands run,
//! what they say and leave behind.

mod faults;
mod script;

pub use script::{Ran, Script};
