//! All tests that stand outside the source, in one program: linking is the
//! slow part.

mod load;
mod report_pages;
mod walls;
