//! Pure functions from limits and readings to verdicts: a file a kind of line,
//! the allowable ranges, the slips, the order of states.
//!
//! Everything outside this room works on box groups, scales and verdicts, so
//! that a new kind of line is a variant in `model/line.rs`, its keys in
//! `load/limits.rs`, a file here, and its arm in [`check`].

pub mod again;
mod around;
mod basis;
mod boxes;
pub mod budget;
mod count;
mod derived;
mod feeler;
mod fit;
mod four;
mod held;
pub mod ladder;
mod leaves;
mod measure;
mod misprint;
mod named;
pub mod pairing;
mod part;
mod proof;
mod ranges;
mod reading;
mod recorded;
mod remedies;
mod replace;
mod revised;
mod roundness;
mod side;
mod size;
pub mod slips;
mod spread;
mod state;
mod taper;
mod twins;
mod types;
mod units;
pub mod window;

pub use basis::FitLimits;
pub use derived::{Published, published};
pub use leaves::{Feeler, GoNoGo, LeafNeeded, Leaves, leaves};
pub use measure::Measure;
pub use proof::proof;
pub use remedies::EACH_ALONE;
pub use revised::revised;
pub use roundness::LOBING;
pub use side::{Provenance, SideReadings, side_of};
pub use state::{Beyond, Flag, State};
pub use types::{
    Band, BoxGroup, BoxKind, Context, Contribution, Figure, Look, Measurand, Part, PartState,
    Range, ResultBox, Scale, Verdict,
};
pub use units::{AlsoRead, held_in};

use crate::model::line::{Kind, Line, Tolerance};
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
    units::one_unit(line, kind(line, &line.unit))
}

/// The check of a line's kind, limits and readings in `unit`, and of what the
/// document says by `replace`.
fn kind<'a>(line: &'a Line, unit: &'a Unit) -> Box<dyn LineKind + 'a> {
    let kind = of_kind(line, unit);
    let replaced = replace::sides(line);
    if replaced.is_empty() { kind } else { replace::replaced(kind, replaced) }
}

fn of_kind<'a>(line: &'a Line, unit: &'a Unit) -> Box<dyn LineKind + 'a> {
    let limits = line.four().map_or(Some(Tolerance::default()), |four| four.in_unit(unit));
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
