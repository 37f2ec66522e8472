//! Documents to marks: lengths, text measuring, tables that break, frames.
//! Plain data out: lines, boxes, runs, paths.

pub mod font;
pub mod length;
pub mod mark;
pub mod qr;
pub mod report;
