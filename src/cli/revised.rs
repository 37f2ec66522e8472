//! `benchleaf limits --against`: what a revision changes, in the file and in a
//! job.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::line;
use super::{disk, job};
use crate::diag::Sources;
use crate::judge::{Verdict, revised};
use crate::load;
use crate::model::limits::Limits;
use crate::quantity::count;
use crate::record::{History, Judged};
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
    let (mut changed, mut otherwise) = (0, 0);
    for row in &new.rows {
        let last =
            |row: Option<&History>| row.and_then(History::last).map(|step| step.verdict.clone());
        let (was, is) = (last(old.row(&row.code)), last(Some(row)));
        let state = |verdict: &Option<Verdict>| {
            let state = verdict.as_ref().map(|verdict| verdict.state.to_string());
            state.unwrap_or_else(|| "not on the sheets".to_owned())
        };
        if state(&was) != state(&is) {
            changed += 1;
            line!("{}: {} would be {}", row.code, state(&was), state(&is));
        } else if let (Some(was), Some(is)) = (&was, &is)
            && was != is
        {
            otherwise += 1;
            line!("{}: {} as before: {}", row.code, is.state, reasons(was, is));
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
    if otherwise > 0 {
        line!("{}: {} would stand for other reasons", dir.display(), count(otherwise, "verdict"));
    }
    Ok(if changed > 0 { Outcome::Exceptions } else { Outcome::Done })
}

/// What a verdict says anew where its state stays as it was.
fn reasons(was: &Verdict, is: &Verdict) -> String {
    let said = |verdict: &Verdict| {
        let flags = verdict.flags.iter().map(ToString::to_string);
        let mut said: Vec<String> = verdict.steps.iter().cloned().chain(flags).collect();
        said.extend(verdict.notes.iter().cloned());
        if let (Some(margin), Some(against)) = (verdict.margin, &verdict.against) {
            said.push(format!("{margin} to {against}"));
        }
        said.extend(verdict.chance.map(|chance| format!("chance {chance}")));
        said.extend(verdict.remedies.iter().chain(&verdict.causes).cloned());
        said
    };
    let before = said(was);
    let anew: Vec<String> = said(is).into_iter().filter(|words| !before.contains(words)).collect();
    match anew.is_empty() {
        true => "it says less".to_owned(),
        false => anew.join("; "),
    }
}

fn judged(files: &Sources, limits: &Path) -> Result<Judged, Outcome> {
    let mut files = files.clone();
    let text: Arc<str> = disk::text(limits, Named::ByHand).map_err(|error| job::wrong(&error))?;
    files.put(load::LIMITS_FILE, text);
    job::read(files)?.judge()
}
