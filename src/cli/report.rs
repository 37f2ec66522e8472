//! `benchleaf report`: the report PDF.

use super::lock::Lock;
use super::outcome::Outcome;
use super::plain::Named;
use super::say::{complain, line, say};
use super::{check, disk, job, jobs};
use crate::analysis::wear::Wear;
use crate::bundle::{How, ORIGINALS, read_compared};
use crate::model::job::Paper;
use crate::quantity::count;
use crate::record::Status;
use crate::report::compared::Compared;
use crate::scan::Looks;
use clap::Args;
use std::path::{Path, PathBuf};

/// Make the report: a draft, or of a record incomplete or complete.
#[derive(Args)]
pub struct Report {
    /// Job folders.
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// A draft, whatever the record holds.
    #[arg(long, conflicts_with = "complete_only")]
    draft: bool,
    /// Write nothing unless the record is complete; say what stands in the way.
    #[arg(long = "complete", alias = "final")]
    complete_only: bool,
    /// Work the arithmetic of every row in the report; its figures are in the
    /// verdicts anyway.
    #[arg(long)]
    arithmetic: bool,
    /// Paper to print on, where it is not the job's.
    #[arg(long, value_parser = super::sheets::paper, value_name = "A4|Letter")]
    paper: Option<Paper>,
    /// Scans of the filled sheets (PDF, PNG, JPEG) to carry inside; the job's
    /// own folder `originals` unless told.
    #[arg(long, value_name = "DIR")]
    originals: Option<PathBuf>,
    /// Where the PDF goes; report.pdf in the job folder unless told.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl Report {
    pub fn run(&self) -> Outcome {
        if self.out.is_some() && self.jobs.len() > 1 {
            return job::wrong(
                &"--out names one file and several jobs are given; give one job, or no --out",
            );
        }
        if self.originals.is_some() && self.jobs.len() > 1 {
            return job::wrong(
                &"--originals names the scans of one job and several are given; give one job",
            );
        }
        jobs::each(&self.jobs, |dir| self.one(dir))
    }

    fn one(&self, dir: &Path) -> Result<Outcome, Outcome> {
        let job = job::open(dir)?;
        let files = self.originals(dir)?;
        let read = (&job.set, job.case.record.as_ref());
        let (originals, compared) = read_compared(read, files, &mut Looks::default());
        let earlier = disk::earlier(dir, &job.case.job).map_err(|error| job::wrong(&error))?;
        let how = How {
            draft: self.draft,
            arithmetic: self.arithmetic,
            paper: self.paper,
            originals: &originals,
            compared: compared.as_ref(),
            earlier: earlier.as_ref(),
        };
        let made = job.build(how)?;
        if self.complete_only && made.status != Status::Complete {
            say(&made.words);
            complain!("benchleaf: the record is not complete; nothing was written");
            return Ok(Outcome::Exceptions);
        }
        let path = self.out.clone().unwrap_or_else(|| dir.join("report.pdf"));
        let lock = Lock::beside(&path).map_err(|error| job::wrong(&error))?;
        disk::replace_pdf(&lock, &path, &made.bytes).map_err(|error| job::wrong(&error))?;
        line!("{}: {}, {}", path.display(), count(made.pages, "page"), made.status.in_words());
        if made.status != Status::Complete && !self.draft {
            say(&made.words);
        }
        let mut outcome = check::outcome(&made.judged);
        for (worn, grown) in made.history.iter().flat_map(Wear::asked) {
            line!("wear: {}: {}", worn.name, grown.words);
            outcome = outcome.max(Outcome::Exceptions);
        }
        if let Some(originals) = &made.originals {
            originals.words().iter().for_each(|words| line!("originals: {words}"));
            for words in originals.compared.iter().flat_map(Compared::words) {
                line!("scans: {words}");
            }
            if !originals.whole() {
                outcome = outcome.max(Outcome::Exceptions);
            }
        }
        Ok(outcome)
    }

    /// The scans to carry.
    fn originals(&self, dir: &Path) -> Result<Vec<disk::Scan>, Outcome> {
        let own = dir.join(ORIGINALS);
        let files = match &self.originals {
            Some(dir) => disk::scans(dir, Named::ByHand),
            None => disk::scans(&own, Named::ByFolder),
        };
        let files = files.map_err(|error| job::wrong(&error))?.unwrap_or_default();
        if let Some(dir) = self.originals.as_ref().filter(|_| files.is_empty()) {
            return Err(job::wrong(&format!("{}: no scan in it", dir.display())));
        }
        Ok(files)
    }
}
