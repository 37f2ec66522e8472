//! Blocks to pages: lengths, typefaces, text, frames, breaks. Plain data out:
//! lines, boxes, runs, paths. Knows no engine.

pub mod canvas;
pub mod font;
pub mod frame;
pub mod length;
pub mod margins;
pub mod mark;
pub mod paginate;
pub mod qr;
pub mod style;

pub use mark::{area, at, moved};
