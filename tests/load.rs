//! Reading: files that are right, files that are not, and files that are
//! neither.

mod cases;
mod demo;
