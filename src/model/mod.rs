//! The valid engine, limits, forms, job and record. Every value that a person
//! typed carries the place where it was typed, so that a later finding can
//! point at it.

pub mod engine;
pub mod form;
pub mod id;
pub mod job;
pub mod limits;
pub mod record;
pub mod side;
pub mod spare;
pub mod text;
mod tolerance;

use engine::Engine;
use form::FormSet;
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
