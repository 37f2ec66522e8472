//! The cells of a comb as they look.

use super::grey::Grey;
use super::net::{self, Answer, Seen};
use super::patch::{self, At, Cell};

/// One cell, looked at.
#[derive(Clone, Debug)]
pub struct Figure {
    answers: [Answer; 2],
}

impl Figure {
    pub fn seen(&self) -> Seen {
        net::seen(&self.answers)
    }

    /// Whether the cell is sooner empty than anything else: where all cells of a box
    /// are, nothing is written in it.
    pub fn leans_empty(&self) -> bool {
        net::leans_empty(&self.answers)
    }

    /// Whether the cell may hold that digit: false only where it can be ruled out.
    pub fn may_be(&self, digit: u8) -> bool {
        net::may_be(&self.answers, digit)
    }
}

/// Looks at the cells of a comb, in millimetres on the page that `at` finds in the
/// picture.
pub fn figures(picture: &Grey, at: At<'_>, cells: &[Cell]) -> Vec<Figure> {
    let patches = patch::cells(picture, at, cells);
    patches.iter().map(|patch| Figure { answers: net::look(patch) }).collect()
}
