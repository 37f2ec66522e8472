//! Pure functions from limits and readings to verdicts: a file a kind of line,
//! the allowable ranges, the slips, the order of states.
//!
//! Everything outside this room works on box groups, scales and verdicts, so
//! that a new kind of line is a variant in `model/limits.rs`, its keys in
//! `load/lines.rs`, a file in `kinds/`, and an arm in `kinds/mod.rs` and in
//! `proofread/lines.rs`.

mod acceptance;
pub mod assignment;
mod bounds;
pub mod budget;
mod fit_limits;
mod kind;
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
pub use kind::LineKind;
pub use kinds::leaves::{Feeler, GoNoGo, LeafNeeded, Leaves, leaves};
pub use kinds::{check, limits_held};
pub use measure::Measure;
pub use proofread::derived::{Published, published};
pub use proofread::lines::proof;
pub use proofread::revision::revised;
pub use remedies::EACH_ALONE;
pub use side::{AlsoRead, Provenance, SideReadings, held_in, side_of};
pub use state::{Beyond, Flag, State};
pub use types::{
    Band, BoxGroup, BoxKind, Context, Contribution, Figure, Look, Measurand, Part, PartState,
    Range, ResultBox, Scale, Verdict,
};
