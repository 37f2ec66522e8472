//! All tests that stand outside the source, in one program: linking is the
//! slow part.

mod cli;
mod slips;
mod walls;
