//! Every test outside the source, in one binary.

mod report_pages;
