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

use super::types::{Context, Contribution, PartState};
use crate::judge::SideReadings;
use crate::model::line::{Kind, Line};
use crate::model::side::{BoxId, Group};
use crate::model::typed::Number;
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

/// A gauge that a box was read with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GaugeRange<'a> {
    pub name: &'a str,
    pub low: Exact,
    pub high: Exact,
    pub unit: &'a Unit,
    /// It only transfers a size to another gauge: its range is not judged.
    pub transfer: bool,
}

/// A reading as typed, in the line's unit and before any correction for
/// temperature.
#[derive(Clone, Copy, Debug)]
pub struct BoxTyped<'a> {
    pub typed: &'a Number,
    pub gauges: &'a [GaugeRange<'a>],
    /// Measured again, and the same value found: no longer in question.
    pub confirmed: bool,
}

/// One group of boxes of a row.
#[derive(Clone, Debug, Default)]
pub struct SideTyped<'a> {
    pub key: Group,
    /// One a box in printed order; `None` for a blank.
    pub boxes: Vec<Option<BoxTyped<'a>>>,
    pub state: PartState,
    /// Handed on to judging, one list a box.
    pub uncertainty: Vec<Vec<Contribution>>,
}

/// A row as typed.
#[derive(Clone, Debug, Default)]
pub struct RowTyped<'a> {
    pub sides: Vec<SideTyped<'a>>,
}

/// Readings as typed brought to 20 °C, as they are judged.
pub type AtTwenty<'a> = &'a dyn Fn(&[SideReadings]) -> Vec<SideReadings>;

impl GaugeRange<'_> {
    /// Whether it shows readings of this unit at all.
    pub fn reads(&self, unit: &Unit) -> bool {
        self.unit == unit || (self.unit.length().is_some() && unit.length().is_some())
    }

    /// Whether a reading of this unit lies in its range.
    pub fn covers(&self, reading: Exact, unit: &Unit) -> bool {
        let range = match (self.unit.length(), unit.length()) {
            (Some(own), Some(other)) => {
                let reading = other.to_mm(reading);
                return (own.to_mm(self.low)..=own.to_mm(self.high)).contains(&reading);
            }
            _ => self.low..=self.high,
        };
        self.unit == unit && range.contains(&reading)
    }
}

impl SideTyped<'_> {
    fn read(&self, unit: &Unit) -> SideReadings {
        let boxes = self.boxes.iter().map(|b| b.map(|b| b.typed.value)).collect();
        SideReadings {
            key: self.key,
            readings: Readings::new(unit.clone(), boxes),
            state: self.state.clone(),
            uncertainty: self.uncertainty.clone(),
            ..SideReadings::default()
        }
    }
}

impl RowTyped<'_> {
    /// As readings of the line's unit.
    pub fn read(&self, line: &Line) -> Vec<SideReadings> {
        self.sides.iter().map(|side| side.read(&line.unit)).collect()
    }
}

/// Every question that one row raises by itself; empty where it may be judged
/// as it stands. Direct readings (end play, runout, a load) are only held to
/// their digits and their gauge's range.
pub fn question(
    line: &Line,
    row: &RowTyped,
    setting: &Context,
    at_twenty: AtTwenty,
) -> Vec<Question> {
    let mut asked = Vec::new();
    let judge = &Judge { line, setting, at_twenty };
    let sides = Measured::of_row(line, row, setting);
    digits::breaches(line, row, &sides, &mut asked);
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
