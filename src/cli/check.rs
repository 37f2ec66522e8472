//! `benchleaf check`: the transcription read back.

use super::{Outcome, job};
use crate::report::sections::Told;
use crate::report::sections::exceptions::{exceptions, open_by_page, summary};
use crate::report::{Judged, json};
use crate::judge::State;
use crate::model::record::Record;
use clap::Args;
use std::fmt::Write;
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
        let told = Told { case: &job.case, set: &job.set, record, judged: &judged, pages: &pages };
        if self.json {
            print!("{}", json(&told).map_err(|error| job::wrong(&error))?);
        } else {
            print!("{}", in_words(&told, self.all));
        }
        Ok(outcome(&judged))
    }
}

pub fn outcome(judged: &Judged) -> Outcome {
    if judged.blocks() { Outcome::Exceptions } else { Outcome::Done }
}

/// Exceptions, then what is open by page, then the count.
pub fn in_words(told: &Told, all: bool) -> String {
    let mut text = String::new();
    let exceptions = exceptions(told);
    let open = State::Open.rank();
    let mut state = String::new();
    for exception in exceptions.iter().filter(|exception| exception.rank != open) {
        let heading = exception.state.split(',').next().unwrap_or_default().to_owned();
        if heading != state {
            let _ = writeln!(text, "{heading}");
            state = heading;
        }
        let page = if exception.page.is_empty() { String::new() } else { format!(" (page {})", exception.page) };
        let _ = writeln!(text, "  {}{page} {}: {}", exception.code, exception.what, exception.state);
        for why in &exception.why {
            let _ = writeln!(text, "      {why}");
        }
    }
    let missing: Vec<_> = exceptions.iter().filter(|exception| exception.rank == open).collect();
    if !missing.is_empty() {
        let _ = writeln!(text, "open, by page");
        for line in open_by_page(&missing).split(" · ") {
            let _ = writeln!(text, "  {line}");
        }
        for exception in missing.iter().filter(|e| e.why.iter().any(|w| w != "not done" && w != "nothing written" && w != "not entered")) {
            let _ = writeln!(text, "  {}: {}", exception.code, exception.why.join("; "));
        }
    }
    if all {
        every_row(told, &mut text);
    }
    let _ = writeln!(text, "{}", summary(told));
    text
}

fn every_row(told: &Told, text: &mut String) {
    for row in &told.judged.rows {
        let Some(step) = row.last() else { continue };
        let line = &told.case.limits.lines[row.limit];
        let words = crate::report::state_words(row, step);
        let _ = writeln!(text, "{} {}: {words}", row.code, line.name);
        for worked in &step.verdict.steps {
            let _ = writeln!(text, "      {worked}");
        }
    }
}
