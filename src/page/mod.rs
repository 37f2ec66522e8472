//! Documents to marks: lengths, text measuring, tables that break, frames.
//! Plain data out: lines, boxes, runs, paths.

pub mod comb;
pub mod font;
pub mod frame;
pub mod length;
pub mod mark;
pub mod paginate;
pub mod paper;
pub mod pen;
pub mod qr;
pub mod report;
pub mod scale;
pub mod sheets;
pub mod text;
