//! `benchleaf check`: the transcription read back.

use super::say::say;
use super::{Outcome, job};
use crate::model::record::Record;
use crate::report::sections::Told;
use crate::report::sections::spoken::in_words;
use crate::report::{Judged, json};
use clap::Args;
use std::path::{Path, PathBuf};

/// Read the transcription back: exceptions first, then what is missing by
/// page.
#[derive(Args)]
pub struct Check {
    /// Job folders.
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// Every verdict as JSON, for machines; DEVELOPERS.md describes it.
    #[arg(long)]
    json: bool,
    /// Every row, not only the exceptions.
    #[arg(long, conflicts_with = "json")]
    all: bool,
}

impl Check {
    pub fn run(&self) -> Outcome {
        let each = self.jobs.iter().map(|dir| self.one(dir).unwrap_or_else(|outcome| outcome));
        each.max().unwrap_or(Outcome::Done)
    }

    fn one(&self, dir: &Path) -> Result<Outcome, Outcome> {
        let job = job::open(dir)?;
        let fonts = job::fonts()?;
        let (_, pages) = job.lay(None, &fonts)?;
        let judged = job.judge()?;
        let blank = Record::blank(&job.set.number);
        let record = job.case.record.as_ref().unwrap_or(&blank);
        let told = Told {
            case: &job.case,
            set: &job.set,
            record,
            judged: &judged,
            pages: &pages,
            originals: None,
            history: None,
        };
        if self.json {
            say(&json(&told).map_err(|error| job::wrong(&error))?);
        } else {
            say(&in_words(&told, self.all));
        }
        Ok(outcome(&judged))
    }
}

pub fn outcome(judged: &Judged) -> Outcome {
    if judged.blocks() { Outcome::Exceptions } else { Outcome::Done }
}
