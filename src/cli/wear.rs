//! `benchleaf wear`: what has worn between two jobs of one engine.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::{hold, line};
use super::{disk, job};
use crate::analysis::wear::{Job, Worn, wear};
use crate::bundle::job_files;
use crate::pdf::open;
use crate::quantity::Exact;
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
        line!("{}", history.hours_in_words());
        history.worn.iter().for_each(row);
        for left in &history.left_out {
            line!("not compared: {left}");
        }
        let grown = history.asked().count();
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
        // There are two jobs: whose fault it is stands before it.
        let (opened, held) = hold(|| job::open(path));
        held.tell_of(&path.display().to_string(), false);
        return opened;
    }
    let bytes = disk::report(path, Named::ByHand).map_err(|error| job::wrong(&error))?;
    let opened =
        open(&bytes).map_err(|error| job::wrong(&format!("{}: {error}", path.display())))?;
    job::read(job_files(&opened))
}

fn row(worn: &Worn) {
    let all =
        |readings: &[Exact]| readings.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    let lost = match (worn.wear.is_negative(), worn.rate_in_words()) {
        (true, _) => "no wear".to_owned(),
        (_, Some(rate)) => format!("worn {}, {rate} per 100 h", worn.wear),
        (_, None) => format!("worn {}", worn.wear),
    };
    line!("{:<10} {}: {} to {}, {lost}", worn.name, worn.what, all(&worn.left), all(&worn.found));
    if let Some(grown) = &worn.grown {
        line!("           {}", grown.words);
    }
}
