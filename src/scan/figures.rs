//! The cells of a comb as they look: a digit, no single digit, empty, or none of
//! these for sure.

use super::grey::Grey;
use super::net::{self, Answer};
use super::patch::{self, At, Cell};

/// What stands in a cell, where both nets are sure of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Seen {
    Digit(u8),
    /// Struck out, overwritten, scribbled.
    NoDigit,
    Empty,
    Unsure,
}

/// One cell, looked at.
#[derive(Clone, Debug)]
pub struct Figure {
    answers: [Answer; 2],
}

impl Figure {
    pub fn seen(&self) -> Seen {
        match net::digit(&self.answers) {
            net::Seen::One(digit) => Seen::Digit(digit),
            net::Seen::Another => Seen::NoDigit,
            net::Seen::Empty => Seen::Empty,
            net::Seen::Unsure => Seen::Unsure,
        }
    }

    /// Whether both nets find it likeliest that the cell is empty, by however little:
    /// where all cells of a box do, nothing is written in it.
    pub fn leans_empty(&self) -> bool {
        let empty = self.answers[0].digits.len() - 1;
        let most =
            |answer: &Answer| answer.digits.iter().all(|score| *score <= answer.digits[empty]);
        self.answers.iter().all(most)
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
