//! The paper that a job names, as a size.

use crate::layout::frame::{A4, LETTER, Size};
use crate::model::job::Paper;

/// Width and height of the paper.
pub const fn size(paper: Paper) -> Size {
    match paper {
        Paper::A4 => A4,
        Paper::Letter => LETTER,
    }
}
