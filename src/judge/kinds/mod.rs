//! The kinds of line, a file each.

pub mod around;
mod boxes;
mod by_place;
pub mod count;
pub mod feeler;
pub mod fit;
pub mod leaves;
pub mod named;
pub mod part;
pub mod reading;
pub mod recorded;
pub mod replace;
pub mod roundness;
pub mod size;
pub mod spread;
pub mod taper;

use super::kind::LineKind;
use super::side::{SideReadings, also_read, held_in, side_of};
use super::state::State;
use super::types::{PartState, Verdict};
use crate::model::limits::{Kind, Line, Tolerance};
use crate::model::side::Side;
use crate::quantity::Unit;

/// The check of a line, whatever unit its readings are in: they and the limits
/// are brought to one unit before they meet. Roundness and taper borrow the
/// readings of another line, which may be in inches where theirs is in
/// millimetres.
pub fn check(line: &Line) -> Box<dyn LineKind + '_> {
    let checked = in_one_unit(line);
    if line.only.is_some() { by_place::by_place(checked, line) } else { checked }
}

fn in_one_unit(line: &Line) -> Box<dyn LineKind + '_> {
    around::around(kind(line, &line.unit), move |one, read, cx| {
        let unit = held_in(line, read);
        let mixed = read.iter().flat_map(SideReadings::units).find(|own| **own != unit);
        let mixed = mixed.cloned().or_else(|| (line.unit != unit).then(|| unit.clone()));
        let Some(other) = mixed else {
            let mut verdict = one.judge(read, cx);
            verdict.notes.extend(also_read(read));
            return verdict;
        };
        let sides: Vec<_> = read.iter().map(|side| side.in_unit(&unit)).collect();
        let mut verdict = kind(line, &unit).judge(&sides, cx);
        let words = match line.unit == unit {
            true => format!("read in {other}, limits in {unit}"),
            false => format!("read in {other}, limits in {}", line.unit),
        };
        verdict.notes.push(format!("{words}: held in {unit}, 1 in is 25.4 mm exactly"));
        verdict.notes.extend(also_read(read));
        verdict
    })
}

/// The limits of the figure that a row is judged by, as its part now is: a
/// grade's where it has one.
pub fn limits_held<'a>(line: &'a Line, read: &[SideReadings]) -> Option<&'a Tolerance> {
    match line.size() {
        Some(size) => size::of_grade(size, PartState::of(side_of(read, Side::Only))),
        None => line.tolerance(),
    }
}

/// The check of a line's kind, limits and readings in `unit`, and of what the
/// document says by `replace`.
fn kind<'a>(line: &'a Line, unit: &'a Unit) -> Box<dyn LineKind + 'a> {
    let kind = of_kind(line, unit);
    if replace::anywhere(line) { replace::replaced(kind, line) } else { kind }
}

// A new kind must not fall through.
#[warn(clippy::wildcard_enum_match_arm)]
fn of_kind<'a>(line: &'a Line, unit: &'a Unit) -> Box<dyn LineKind + 'a> {
    let limits = line.tolerance().map_or(Some(Tolerance::default()), |limits| limits.in_unit(unit));
    let held = limits.is_some();
    let limits = limits.unwrap_or_default();
    let kind: Box<dyn LineKind + 'a> = match &line.kind {
        Kind::Fit(fit) => Box::new(fit::FitCheck { line, unit, fit, limits }),
        Kind::Size(size) => Box::new(size::SizeCheck { line, unit, size, limits }),
        Kind::Roundness(roundness) => {
            Box::new(roundness::RoundnessCheck { line, unit, roundness, limits })
        }
        Kind::Taper(taper) => Box::new(taper::TaperCheck { line, unit, taper, limits }),
        Kind::Reading(reading) => Box::new(reading::ReadingCheck { line, unit, reading, limits }),
        Kind::Spread(spread) => Box::new(spread::SpreadCheck { line, unit, spread, limits }),
        Kind::Feeler(feeler) => Box::new(feeler::FeelerCheck { line, feeler, limits }),
        Kind::Count(count) => Box::new(count::CountCheck { line, count }),
        Kind::Recorded(recorded) => Box::new(recorded::RecordedCheck { line, recorded }),
    };
    // Where a limit cannot be stated in the unit, nothing passes it.
    if held { kind } else { around::around(kind, |_, _, _| Verdict::of(State::Hold)) }
}
