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

pub use signature::Slip;

use super::side::SideReadings;
use super::types::Context;
use crate::model::job::Gauge;
use crate::model::limits::{Kind, Line};
use crate::model::side::BoxId;
use crate::model::text::Number;
use crate::quantity::{Exact, Readings, Unit};
use judge::Judge;
use side::Measured;

/// A question about a row. Held rows wait for the quality manager; any other
/// question makes the row a query.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    pub slip: Slip,
    /// In words, with the figures.
    pub cause: String,
    /// The boxes asked about.
    pub boxes: Vec<BoxId>,
    /// The reading that the cause would mean, where there is one.
    pub likely: Option<String>,
    pub hold: bool,
}

/// Readings as typed brought to 20 °C, as they are judged.
pub type AtTwenty<'a> = &'a dyn Fn(&[SideReadings]) -> Vec<SideReadings>;

impl Context<'_> {
    /// What a gauge reads: the limits' unit unless told.
    pub fn unit_of(&self, gauge: &Gauge) -> Unit {
        gauge.unit.clone().unwrap_or(Unit::Length(self.limits.document.unit))
    }

    /// Whether a reading lies in the range of a gauge; `None` where it states
    /// none.
    pub fn covers(&self, gauge: &Gauge, reading: Exact, unit: &Unit) -> Option<bool> {
        let (low, high) = gauge.range.as_ref().map(|(low, high)| (low.value, high.value))?;
        let own = self.unit_of(gauge);
        Some(match (own.length(), unit.length()) {
            (Some(own), Some(other)) => {
                (own.to_mm(low)..=own.to_mm(high)).contains(&other.to_mm(reading))
            }
            _ => own == *unit && (low..=high).contains(&reading),
        })
    }
}

/// A row as it is typed, in the unit of its line and before any correction for
/// temperature.
pub fn as_typed(row: &[SideReadings], line: &Line) -> Vec<SideReadings> {
    let side = |side: &SideReadings| SideReadings {
        key: side.key,
        readings: Readings::new(line.unit.clone(), side.values()),
        state: side.state.clone(),
        uncertainty: side.uncertainty.clone(),
        ..SideReadings::default()
    };
    row.iter().map(side).collect()
}

/// Every question that one row raises by itself; empty where it may be judged
/// as it stands. Direct readings (end play, runout, a load) are only held to
/// their digits and their gauge's range.
pub fn question(
    line: &Line,
    row: &[SideReadings],
    setting: &Context,
    at_twenty: AtTwenty,
) -> Vec<Question> {
    let mut asked = Vec::new();
    let judge = &Judge { line, setting, at_twenty };
    let sides = Measured::of_row(line, row, setting);
    digits::breaches(line, row, &sides, setting, &mut asked);
    if matches!(line.kind, Kind::Fit(_) | Kind::Size(_)) {
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
