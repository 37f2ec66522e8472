//! Slips of the pen, the eye and the keys, caught when the paper is typed in.
//!
//! None is ever put right here: a row in question shows every likely cause
//! with the reading it would mean, and only the paper or another measurement
//! resolves it. A true out is never hidden behind a guess, so most questions
//! are asked only where undoing one slip changes a verdict.

pub mod across;
mod digits;
mod exchange;
mod judge;
mod pair;
mod side;
mod signature;
mod whole;

pub use judge::{AtTwenty, as_typed};
pub use signature::{Question, Slip};

use super::side::SideReadings;
use super::types::Context;
use crate::model::limits::Line;
use crate::model::text::Number;
use crate::quantity::Unit;
use judge::Judge;
use side::Measured;

/// Every question that one row raises by itself; empty where it may be judged
/// as it stands. Direct readings (end play, runout, a load) are only held to
/// their digits and their gauge's range.
pub fn question(
    line: &Line,
    row: &[SideReadings],
    cx: &Context,
    at_twenty: AtTwenty,
) -> Vec<Question> {
    let mut asked = Vec::new();
    let judge = &Judge { line, cx, at_twenty };
    let sides = Measured::of_row(line, row, cx);
    digits::breaches(line, row, &sides, cx, &mut asked);
    if !line.features_read().is_empty() {
        pair::apart(line, row, &sides, judge, &mut asked);
        whole::beyond(&sides, &mut asked);
        whole::not_wear(&sides, &mut asked);
        exchange::within(line, row, &sides, judge, &mut asked);
    }
    let mut single: Vec<Question> = Vec::with_capacity(asked.len());
    for question in asked {
        let said = |other: &Question| {
            other.slip == question.slip
                && other.boxes == question.boxes
                && other.likely == question.likely
        };
        if !single.iter().any(said) {
            single.push(question);
        }
    }
    single
}

/// The slip that would make one of two readings of a box out of the other, in
/// words with its step.
pub fn between(one: &Number, other: &Number, unit: &Unit, places: u8) -> Option<String> {
    let Some(length) = unit.length() else {
        // Seconds and pounds have no sleeve to misread: only digits.
        let read = |from: &Number, to: &Number| signature::reread_as(&from.text, to.value);
        return read(one, other).or_else(|| read(other, one)).map(|slip| slip.to_string());
    };
    let undone = |from: &Number, to: &Number| {
        let all = signature::undo(from.value, &from.text, length, places);
        all.into_iter().find(|undone| undone.value == to.value).map(|undone| undone.slip)
    };
    let slip = undone(one, other).or_else(|| undone(other, one))?;
    Some(slip.in_words(length))
}
