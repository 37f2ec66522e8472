//! Pure functions from limits and readings to verdicts: a file a kind of line,
//! the allowable ranges, the slips, the order of states.
//!
//! Everything outside this room works on box groups, scales and verdicts, so
//! that a new kind of line is a variant in `model/line.rs`, its keys in
//! `load/limits.rs`, a file here, and its arm in [`check`].

mod acceptance;
pub mod assignment;
mod bounds;
pub mod budget;
mod fit_limits;
mod kinds;
pub mod ladder;
pub mod mate;
mod measure;
mod proofread;
mod ranges;
mod remedies;
pub mod repeat;
mod side;
pub mod slips;
mod state;
mod types;

pub use fit_limits::FitLimits;
pub use kinds::leaves::{Feeler, GoNoGo, LeafNeeded, Leaves, leaves};
pub use kinds::roundness::LOBING;
pub use kinds::units::{AlsoRead, held_in};
pub use measure::Measure;
pub use proofread::derived::{Published, published};
pub use proofread::lines::proof;
pub use proofread::revision::revised;
pub use remedies::EACH_ALONE;
pub use side::{Provenance, SideReadings, side_of};
pub use state::{Beyond, Flag, State};
pub use types::{
    Band, BoxGroup, BoxKind, Context, Contribution, Figure, Look, Measurand, Part, PartState,
    Range, ResultBox, Scale, Verdict,
};

use crate::model::limits::{Kind, Line, Tolerance};
use crate::quantity::Unit;

/// What every kind of line can say about itself.
pub trait LineKind {
    /// The groups of boxes to fill at one place, in paper order.
    fn groups(&self, setting: &Context) -> Vec<BoxGroup>;

    /// Results to be written at the end of the row, worked out at the bench.
    fn answers(&self, setting: &Context) -> Vec<ResultBox>;

    /// Scales to be drawn once over the rows, each over its group's boxes.
    fn scales(&self, setting: &Context) -> Vec<Scale>;

    /// The allowable ranges before anything is measured, row by row.
    fn ranges(&self, setting: &Context) -> Vec<Range>;

    /// The same of every grade, after what the grade is called.
    fn graded(&self, setting: &Context) -> Vec<(String, Vec<Range>)>;

    /// The limits in one line of words: `new 0.0010 L to 0.0035 L, service to
    /// 0.0050 L`.
    fn limits_in_words(&self, setting: &Context) -> String;

    /// The verdict on the readings of one row. Blank never passes.
    fn judge(&self, read: &[SideReadings], setting: &Context) -> Verdict;
}

/// The check of a line, whatever unit its readings are in.
pub fn check(line: &Line) -> Box<dyn LineKind + '_> {
    kinds::units::one_unit(line, kind(line, &line.unit))
}

/// The check of a line's kind, limits and readings in `unit`, and of what the
/// document says by `replace`.
fn kind<'a>(line: &'a Line, unit: &'a Unit) -> Box<dyn LineKind + 'a> {
    let kind = of_kind(line, unit);
    let replaced = kinds::replace::sides(line);
    if replaced.is_empty() { kind } else { kinds::replace::replaced(kind, replaced) }
}

fn of_kind<'a>(line: &'a Line, unit: &'a Unit) -> Box<dyn LineKind + 'a> {
    let limits = line.four().map_or(Some(Tolerance::default()), |four| four.in_unit(unit));
    let held = limits.is_some();
    let limits = limits.unwrap_or_default();
    let kind: Box<dyn LineKind + 'a> = match &line.kind {
        Kind::Fit(fit) => Box::new(kinds::fit::FitCheck { line, unit, fit, limits }),
        Kind::Size(size) => Box::new(kinds::size::SizeCheck { line, unit, size, limits }),
        Kind::Roundness(roundness) => {
            Box::new(kinds::roundness::RoundnessCheck { line, unit, roundness, limits })
        }
        Kind::Taper(taper) => Box::new(kinds::taper::TaperCheck { line, unit, taper, limits }),
        Kind::Reading(reading) => {
            Box::new(kinds::reading::ReadingCheck { line, unit, reading, limits })
        }
        Kind::Spread(spread) => Box::new(kinds::spread::SpreadCheck { line, unit, spread, limits }),
        Kind::Feeler(feeler) => Box::new(kinds::feeler::FeelerCheck { line, feeler, limits }),
        Kind::Count(count) => Box::new(kinds::count::CountCheck { line, count }),
        Kind::Recorded(recorded) => Box::new(kinds::recorded::RecordedCheck { line, recorded }),
    };
    // Where a limit cannot be stated in the unit, nothing passes it.
    if held { kind } else { kinds::around::around(kind, |_, _, _| Verdict::of(State::Hold)) }
}
