//! All tests that stand outside the source, in one program: linking is the
//! slow part.

mod archive;
mod around;
mod checks;
mod cli;
mod families;
mod golden;
mod judge;
mod load;
mod marks;
mod properties;
mod record;
mod report_pages;
mod second;
mod sheet_pages;
mod slips;
mod walls;
mod work;
