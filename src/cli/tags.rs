//! `benchleaf tags`: position tags for the parts, and the strip for openings.

use super::job::{self, Job};
use super::jobs;
use super::outcome::Outcome;
use super::say::line;
use crate::analysis::{Aside, Disposition, set_aside};
use crate::diag::Diags;
use crate::model::job::Paper;
use crate::pages::tags::{lay_aside, lay_openings, lay_tags};
use crate::quantity::count;
use crate::sheet::{Sheet, SheetSet, tags};
use clap::Args;
use std::path::{Path, PathBuf};

/// Print position tags for the parts, to cut out and wire on.
///
/// Every part that the sheets measure gets one, with its row code; parts that
/// are renewed at every overhaul get none.
#[derive(Args)]
pub struct Tags {
    /// Job folders.
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// The strip in large print, for places reached through an opening, in
    /// place of the tags.
    #[arg(long)]
    strip: bool,
    /// Quarantine tags for the parts that the record has out or on hold, scrap
    /// tags for those that it says were changed, in place of the position tags.
    #[arg(long, conflicts_with = "strip")]
    set_aside: bool,
    /// Paper to print on, where it is not the job's.
    #[arg(long, value_parser = super::sheets::paper, value_name = "A4|Letter")]
    paper: Option<Paper>,
    /// Where the PDF goes; the job folder unless told.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

impl Tags {
    pub fn run(&self) -> Outcome {
        if self.out.is_some() && self.jobs.len() > 1 {
            return job::wrong(
                &"--out names one folder and several jobs are given; give one job, or no --out",
            );
        }
        jobs::each(&self.jobs, |dir| self.one(dir))
    }

    fn one(&self, dir: &Path) -> Result<Outcome, Outcome> {
        let mut job = job::open(dir)?;
        if let Some(paper) = self.paper {
            job.set.head.paper = paper;
        }
        let mut out = Diags::new();
        let (name, laid, words) = if self.set_aside {
            let parts = parts(&job)?;
            if parts.is_empty() {
                line!("{}: no part is out, on hold or changed; nothing was written", dir.display());
                return Ok(Outcome::Done);
            }
            let scrap = parts.iter().filter(|part| part.disposition == Disposition::Scrap).count();
            let words = format!("{} quarantine tags, {scrap} scrap tags", parts.len() - scrap);
            ("tags-set-aside.pdf", lay_aside(&job.set, &parts, &mut out), words)
        } else if self.strip {
            if !openings(&job.set) {
                line!(
                    "{}: the engine file names no place with reach; nothing was written",
                    dir.display()
                );
                return Ok(Outcome::Done);
            }
            let laid = lay_openings(&job.set, &mut out);
            ("strip.pdf", laid, "large print for places reached through an opening".to_owned())
        } else {
            let tags = tags(&job.case, &job.set);
            ("tags.pdf", lay_tags(&job.set, &tags, &mut out), count(tags.len(), "tag"))
        };
        job::show(&out, &job.files);
        let laid = laid.ok_or(Outcome::Wrong)?;
        let path = self.out.as_deref().unwrap_or(dir).join(name);
        job::write(&path, &laid)?;
        line!("{}: {}, {words}", path.display(), count(laid.pages.len(), "page"));
        Ok(Outcome::Done)
    }
}

/// Is anything measured through an opening?
fn openings(set: &SheetSet) -> bool {
    let mut rows = set.sheets.iter().flat_map(Sheet::lines).flat_map(|line| &line.rows);
    rows.any(|row| row.reach.is_some())
}

/// What the record sets aside.
fn parts(job: &Job) -> Result<Vec<Aside>, Outcome> {
    let judged = job.judge()?;
    let none = Vec::new;
    Ok(job
        .case
        .record
        .as_ref()
        .map_or_else(none, |record| set_aside(&job.case, &job.set, record, &judged)))
}
