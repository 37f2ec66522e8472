//! `benchleaf tags`: position tags for the parts, and the strip for openings.

use super::say::line;
use super::{Outcome, job, jobs};
use crate::diag::Diags;
use crate::model::job::Paper;
use crate::page::font::Fonts;
use crate::page::sheets::{lay_openings, lay_tags};
use crate::sheet::tags;
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
        jobs::each(&self.jobs, |dir, fonts| self.one(dir, fonts))
    }

    fn one(&self, dir: &Path, fonts: &Fonts) -> Result<Outcome, Outcome> {
        let mut job = job::open(dir)?;
        if let Some(paper) = self.paper {
            job.set.head.paper = paper;
        }
        let mut out = Diags::new();
        let (name, laid, words) = if self.strip {
            let laid = lay_openings(&job.set, fonts, &mut out);
            ("strip.pdf", laid, "large print for places reached through an opening".to_owned())
        } else {
            let tags = tags(&job.case, &job.set);
            ("tags.pdf", lay_tags(&job.set, &tags, fonts, &mut out), format!("{} tags", tags.len()))
        };
        job::show(&out, &job.files);
        let laid = laid.ok_or(Outcome::Wrong)?;
        let path = self.out.as_deref().unwrap_or(dir).join(name);
        job::write(&path, &laid, fonts)?;
        line!("{}: {} pages, {words}", path.display(), laid.pages.len());
        Ok(Outcome::Done)
    }
}
