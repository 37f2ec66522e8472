//! `benchleaf wear`: what has worn between two jobs of one engine.

use super::say::line;
use super::{Outcome, disk, job};
use crate::archive::open;
use crate::proof::job_files;
use crate::quantity::Exact;
use crate::report::wear::{History, Job, Worn, wear};
use clap::Args;
use std::path::{Path, PathBuf};

/// Show what each part has worn between an earlier job of the same engine and
/// a later one, and how fast.
///
/// The earlier job counts as it left the part, the later as it found it. Exit
/// status 1 where a part has grown.
#[derive(Args)]
pub struct Wear {
    /// A report, or a job folder.
    #[arg(value_name = "OLD")]
    earlier: PathBuf,
    #[arg(value_name = "NEW")]
    later: PathBuf,
}

impl Wear {
    pub fn run(&self) -> Outcome {
        self.tell().unwrap_or_else(|outcome| outcome)
    }

    fn tell(&self) -> Result<Outcome, Outcome> {
        let (earlier, later) = (read(&self.earlier)?, read(&self.later)?);
        let (before, after) = (earlier.judge()?, later.judge()?);
        let history = wear(
            Job { case: &earlier.case, set: &earlier.set, judged: &before },
            Job { case: &later.case, set: &later.set, judged: &after },
        );
        let history = history.map_err(|error| job::wrong(&error))?;
        hours(&history);
        history.worn.iter().for_each(row);
        for left in &history.left_out {
            line!("not compared: {left}");
        }
        let grown = history.worn.iter().filter(|worn| asks(worn)).count();
        line!(
            "{} compared, {} not, {grown} to be asked about",
            history.worn.len(),
            history.left_out.len()
        );
        Ok(if grown > 0 { Outcome::Exceptions } else { Outcome::Done })
    }
}

/// A job from its folder, or from the files that its report carries.
pub fn read(path: &Path) -> Result<job::Job, Outcome> {
    if path.is_dir() {
        return job::open(path);
    }
    let bytes = disk::bytes(path).map_err(|error| job::wrong(&error))?;
    let opened =
        open(&bytes).map_err(|error| job::wrong(&format!("{}: {error}", path.display())))?;
    job::read(job_files(&opened))
}

fn asks(worn: &Worn) -> bool {
    worn.grown.as_ref().is_some_and(|words| words.ends_with("Measure again"))
}

fn hours(history: &History) {
    match history.hours {
        Some((old, new)) => line!(
            "{} h since the earlier job ({old} h to {new} h); per hundred hours rounded to the nearest at one \
             decimal beyond the readings, halves away from zero",
            new - old
        ),
        None => line!(
            "the jobs do not both say their hours, or not rising ones: no wear per hundred hours"
        ),
    }
}

fn row(worn: &Worn) {
    let all =
        |readings: &[Exact]| readings.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    let rate = worn.rate.map(|rate| format!(", {rate} per 100 h")).unwrap_or_default();
    let lost =
        if worn.wear.is_negative() { "no wear".to_owned() } else { format!("worn {}", worn.wear) };
    let rate = if worn.wear.is_negative() { String::new() } else { rate };
    line!(
        "{:<10} {}: {} to {}, {lost}{rate}",
        worn.name,
        worn.what,
        all(&worn.left),
        all(&worn.found)
    );
    if let Some(grown) = &worn.grown {
        line!("           {grown}");
    }
}
