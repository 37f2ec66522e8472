//! `benchleaf compare`: two independent transcriptions, box by box.

use super::outcome::Outcome;
use super::say::line;
use super::typed::typed;
use super::{disk, job, scans};
use crate::analysis::compare::{Comparison, Difference, Which, compare, compare_blind, merged};
use crate::load;
use crate::model::record::Record;
use crate::quantity::count;
use clap::Args;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Compare two independent transcriptions of the same sheets, box by box.
///
/// Where B is a blind.toml, readings of a second person, the rows measured by
/// both are compared, and what is within the uncertainty of both is alike.
/// With --scans the figures that seem to stand on the scanned sheets are held
/// against what was typed. Exit status 1 where anything differs. Nothing is
/// decided: only the paper says which is right.
#[derive(Args)]
pub struct Compare {
    /// A transcription, or a job folder with one.
    #[arg(value_name = "A")]
    first: PathBuf,
    #[arg(value_name = "B", required_unless_present = "scans", conflicts_with = "scans")]
    second: Option<PathBuf>,
    /// Scans of the filled sheets (PDF, PNG, JPEG) in the place of B, or folders
    /// with them; the job's own folder `originals` unless told. They fill no box and
    /// count as no second person. Before anything is typed only the boxes that are
    /// empty or struck out are named, never what the others hold.
    #[arg(long, value_name = "FILE", num_args = 0..)]
    scans: Option<Vec<PathBuf>>,
    /// The job folder, where neither is in one.
    #[arg(long, value_name = "JOB")]
    job: Option<PathBuf>,
    /// Write a transcription of all that both agree on, every other box open;
    /// a file that exists is never written to.
    #[arg(long, value_name = "FILE", conflicts_with = "scans")]
    merge: Option<PathBuf>,
    #[command(flatten)]
    how: scans::How,
}

impl Compare {
    pub fn run(&self) -> Outcome {
        self.compare().unwrap_or_else(|outcome| outcome)
    }

    fn compare(&self) -> Result<Outcome, Outcome> {
        let dir = self.folder()?;
        let Some(b) = &self.second else {
            let files = self.scans.as_deref().unwrap_or_default();
            return scans::compare(&dir, &self.first, files, &self.how);
        };
        if self.how.is_told() {
            return Err(job::wrong(&"--json and --pdf go with --scans"));
        }
        let mut files = disk::job(&dir).map_err(|error| job::wrong(&error))?;
        files.0.remove(load::READINGS_FILE);
        let mut job = job::read(files)?;
        let first = typed(&self.first, &mut job)?;
        let second = typed(b, &mut job)?;
        let pages = job.pages(&first)?;
        let compare = match (first.blind, second.blind) {
            (false, true) => compare_blind,
            (true, false) => {
                return Err(job::wrong(&"name the first readings first and the blind ones second"));
            }
            _ => compare,
        };
        let found = job.told(|out| compare(&job.case, &job.set, (&first, &second), &pages, out))?;
        line!("A {}", self.first.display());
        line!("B {}", b.display());
        tell(&found);
        if let Some(path) = &self.merge {
            if second.blind {
                return Err(job::wrong(
                    &"readings of two people are not merged: each stands as it was read",
                ));
            }
            let text = merged(&job.set, &pages, &found, &printed(&first, &second));
            let new = disk::create(path, text.as_bytes()).map_err(|error| job::wrong(&error))?;
            if !new {
                return Err(job::wrong(&format!(
                    "{}: exists already; name a new file",
                    path.display()
                )));
            }
            line!(
                "{}: {} that both hold alike, every other box open",
                path.display(),
                count(found.alike, "box")
            );
        }
        Ok(if found.differences.is_empty() { Outcome::Done } else { Outcome::Exceptions })
    }

    /// The folder of the job that both belong to.
    fn folder(&self) -> Result<PathBuf, Outcome> {
        let beside = |path: &Path| match path.is_dir() {
            true => path.to_owned(),
            false => match path.parent() {
                Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
                _ => PathBuf::from("."),
            },
        };
        let second = self.second.as_deref().map(beside);
        let known = [&self.job, &Some(beside(&self.first)), &second];
        let mut known = known.into_iter().flatten();
        let found = known.find(|dir| dir.join(load::ENGINE_FILE).exists());
        found.cloned().ok_or_else(|| {
            job::wrong(&"no transcription named lies in a job folder; name it with --job")
        })
    }
}

/// By sheet, what both say was printed on it.
fn printed(first: &Record, second: &Record) -> BTreeMap<String, Option<String>> {
    let of = |record: &Record, letter: &str| {
        let entry = record.sheets.iter().find(|entry| entry.letter.as_str() == letter)?;
        entry.printed.as_ref().map(ToString::to_string)
    };
    let letters = first.sheets.iter().map(|entry| entry.letter.to_string());
    letters
        .map(|letter| {
            let (one, other) = (of(first, &letter), of(second, &letter));
            let same = one.filter(|one| other.as_ref() == Some(one));
            (letter, same)
        })
        .collect()
}

pub fn tell(found: &Comparison) {
    let mut place = String::new();
    for difference in &found.differences {
        let here = heading(difference);
        if here != place {
            line!("");
            line!("{here}");
            place = here;
        }
        one(difference);
    }
    line!("");
    match found.differences.len() {
        0 => line!("no differences; {} alike", count(found.alike, "box")),
        n => line!("{}; {} alike", count(n, "difference"), count(found.alike, "box")),
    }
}

fn heading(difference: &Difference) -> String {
    match (difference.page.as_str(), difference.sheet.as_str()) {
        (_, "") if difference.name == "sheet set" => "every page".to_owned(),
        (_, "") => "behind the sheets".to_owned(),
        ("", sheet) => format!("sheet {sheet}"),
        (page, sheet) => format!("page {page} · sheet {sheet}"),
    }
}

fn one(difference: &Difference) {
    let shown = |side: &Option<String>| side.clone().unwrap_or_else(|| "blank".to_owned());
    let slip = difference.slip.as_ref().map(|slip| format!("   {slip}")).unwrap_or_default();
    line!(
        "  {:<16} A {}   B {}{slip}",
        difference.name,
        shown(&difference.first),
        shown(&difference.second)
    );
    for opinion in &difference.rules {
        let which = match opinion.likelier {
            Which::First => "A",
            Which::Second => "B",
        };
        line!("      {which} likelier, by the rule of {}: {}", opinion.rule, opinion.why);
    }
    if let Some((first, second)) = &difference.states {
        line!("      {first} with A, {second} with B");
    }
}
