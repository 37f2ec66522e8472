//! The valid engine, limits, forms, job and record. Every value that a person
//! typed carries the place where it was typed, so that a later finding can
//! point at it.

mod by_place;
mod direct;
pub mod engine;
pub mod form;
pub mod id;
pub mod job;
pub mod limits;
pub mod record;
mod replace;
pub mod side;
mod sized;
pub mod spare;
pub mod text;
mod tolerance;

use engine::Engine;
use form::FormSet;
use id::{FeatureId, LineId, PartId};
use job::Job;
use limits::Limits;
use record::Record;

/// One job, whole: all that the sheets, the verdicts and the report come from.
#[derive(Clone, Debug)]
pub struct Case {
    pub engine: Engine,
    pub limits: Limits,
    pub forms: FormSet,
    pub job: Job,
    /// Absent until a transcription exists.
    pub record: Option<Record>,
}

impl Case {
    /// The part that a line's boxes are measured on: that of their feature, where
    /// they have one, else the part that the line names.
    pub fn part_of(&self, line: LineId, feature: Option<FeatureId>) -> Option<PartId> {
        let feature = feature.and_then(|feature| self.engine.features.get(feature.0));
        feature.map(|feature| feature.part).or_else(|| self.limits.lines[line].part())
    }
}
