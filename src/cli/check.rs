//! `benchleaf check`: the transcription read back.

use super::outcome::Outcome;
use super::say::{self, hold};
use super::{job, jobs};
use crate::model::record::Record;
use crate::record::Judged;
use crate::report::json;
use crate::report::sections::ReportInput;
use crate::report::sections::spoken::in_words;
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
    /// Of several jobs each line begins with the folder that it is about.
    pub fn run(&self) -> Outcome {
        jobs::each(&self.jobs, |dir| {
            if self.jobs.len() == 1 {
                return self.one(dir);
            }
            let (outcome, held) = hold(|| self.one(dir));
            held.tell_of(&dir.display().to_string(), self.json);
            outcome
        })
    }

    fn one(&self, dir: &Path) -> Result<Outcome, Outcome> {
        let job = job::open(dir)?;
        let (judged, pages) = job.judge_on_pages()?;
        let blank = Record::blank(&job.set.number);
        let record = job.case.record.as_ref().unwrap_or(&blank);
        let input = ReportInput {
            case: &job.case,
            set: &job.set,
            record,
            judged: &judged,
            pages: &pages,
            originals: None,
            history: None,
            arithmetic: false,
        };
        if self.json {
            say::json(&json(&input).map_err(|error| job::wrong(&error))?);
        } else {
            say::say(&in_words(&input, self.all));
        }
        let outcome = outcome(&judged);
        Ok(outcome)
    }
}

pub fn outcome(judged: &Judged) -> Outcome {
    if judged.blocks() { Outcome::Exceptions } else { Outcome::Done }
}
