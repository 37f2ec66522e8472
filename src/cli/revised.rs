//! `benchleaf limits --against`: what a revision changes, in the file and in a
//! job.

use super::plain::Named;
use super::say::line;
use super::{Outcome, disk, job};
use crate::diag::Sources;
use crate::judge::revised;
use crate::load;
use crate::model::line::Limits;
use crate::report::Judged;
use crate::report::count;
use std::path::Path;
use std::sync::Arc;

/// Says what differs, and which verdicts of a job the newer file would change.
pub fn tell(
    (older, old): (&Path, &Limits),
    (newer, new): (&Path, &Limits),
    dir: Option<&Path>,
) -> Result<Outcome, Outcome> {
    let said = revised(old, new);
    said.iter().for_each(|words| line!("{words}"));
    match said.len() {
        0 => line!("{} and {}: no differences", older.display(), newer.display()),
        n => line!("{}", count(n, "difference")),
    }
    match dir {
        Some(dir) => verdicts(dir, older, newer),
        None => Ok(Outcome::Done),
    }
}

/// The readings of a job under either file: the sheets that a revision
/// strands are another matter, which `benchleaf check` tells.
fn verdicts(dir: &Path, older: &Path, newer: &Path) -> Result<Outcome, Outcome> {
    let files = disk::job(dir).map_err(|error| job::wrong(&error))?;
    let (old, new) = (judged(&files, older)?, judged(&files, newer)?);
    let mut changed = 0;
    for row in &new.rows {
        let state = |row: Option<&crate::report::JudgedRow>| {
            row.and_then(|row| row.last()).map(|step| step.verdict.state.to_string())
        };
        let (was, is) = (state(old.row(&row.code)), state(Some(row)));
        if was != is {
            changed += 1;
            let none = "not on the sheets".to_owned();
            line!(
                "{}: {} would be {}",
                row.code,
                was.unwrap_or_else(|| none.clone()),
                is.unwrap_or(none)
            );
        }
    }
    for gone in old.rows.iter().filter(|row| new.row(&row.code).is_none()) {
        changed += 1;
        line!("{}: no longer measured", gone.code);
    }
    match changed {
        0 => line!("{}: no verdict would change", dir.display()),
        n => line!("{}: {} would change", dir.display(), count(n, "verdict")),
    }
    Ok(if changed > 0 { Outcome::Exceptions } else { Outcome::Done })
}

fn judged(files: &Sources, limits: &Path) -> Result<Judged, Outcome> {
    let mut files = files.clone();
    let text: Arc<str> = disk::text(limits, Named::ByHand).map_err(|error| job::wrong(&error))?;
    files.put(load::LIMITS_FILE, text);
    job::read(files)?.judge()
}
