//! Temporary root until the tests are one program.

#[path = "archive/mod.rs"]
mod archive;
