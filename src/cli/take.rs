//! `benchleaf take`: sheets that were filled in on a screen, to a transcription.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::{complain, line};
use super::typed::typed as read;
use super::{compare, disk, job};
use crate::layout::mark::{Document, Entry, Mark};
use crate::load;
use crate::model::job::Paper;
use crate::pages::worksheet::lay_fields;
use crate::pdf::typed_in;
use crate::quantity::count;
use crate::record::taken;
use crate::sheet::fields::NUMBER;
use crate::sheet::{Pages, SheetSet, typed};
use clap::Args;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Take what was typed into a set with fields (sheets --fill) as a transcription.
///
/// The fields' values alone are read, never what is drawn. A transcription that
/// exists is never written to: what differs from it is listed box by box, and
/// --into names a new one. Half-filled is fine. Exit status 1 where anything
/// differs.
#[derive(Args)]
pub struct Take {
    /// The job folder.
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// The filled sheets.
    #[arg(value_name = "PDF")]
    filled: PathBuf,
    /// The transcription to write; readings.toml in the job folder unless told.
    #[arg(long, value_name = "FILE")]
    into: Option<PathBuf>,
}

/// Fields named in one message at most.
const SOME: usize = 12;

impl Take {
    pub fn run(&self) -> Outcome {
        self.take().unwrap_or_else(|outcome| outcome)
    }

    fn take(&self) -> Result<Outcome, Outcome> {
        let mut files = disk::job(&self.job).map_err(|error| job::wrong(&error))?;
        files.0.remove(load::READINGS_FILE);
        let mut job = job::read(files)?;
        let bytes =
            disk::report(&self.filled, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let name = self.filled.display();
        let values = typed_in(&bytes).map_err(|error| job::wrong(&format!("{name}: {error}")))?;
        let letters = self.letters(&job.set, &values)?;
        let pages = self.fits(&mut job, &letters, &values)?;
        let record = job.told(|out| taken(&job.set, &pages, &letters, &values, out))?;
        let text = typed(&job.set, &pages, &record);
        let into = self.into.clone().unwrap_or_else(|| self.job.join(load::READINGS_FILE));
        if disk::create(&into, text.as_bytes()).map_err(|error| job::wrong(&error))? {
            let (filled, all) = filled(&values);
            line!("{}: {filled} of {} filled", into.display(), count(all, "field"));
            return Ok(Outcome::Done);
        }
        let there = read(&into, &mut job)?;
        let found = job.told(|out| {
            let both = (&there, &record);
            crate::analysis::compare::compare(&job.case, &job.set, both, &pages, out)
        })?;
        line!("A {}: is there already, left as it is", into.display());
        line!("B {name}");
        compare::tell(&found);
        if found.differences.is_empty() {
            return Ok(Outcome::Done);
        }
        line!("to write what B holds: --into and the name of a new file");
        Ok(Outcome::Exceptions)
    }

    /// The sheets in the file, each of this set and as it is now.
    fn letters(
        &self,
        set: &SheetSet,
        values: &BTreeMap<String, String>,
    ) -> Result<Vec<String>, Outcome> {
        let refuse = |why: String| Err(job::wrong(&format!("{}: {why}", self.filled.display())));
        match values.get(&format!("set.{NUMBER}")) {
            Some(number) if *number == set.number => {}
            Some(number) => {
                let why = format!("filled on set {number}, this job's is {}", set.number);
                return refuse(why);
            }
            None => return refuse(format!("no field set.{NUMBER}: not a set of sheets --fill")),
        }
        let mut letters = Vec::new();
        for (name, number) in values {
            let letter = name.strip_prefix("sheet ").and_then(|rest| rest.split_once('.'));
            let Some((letter, NUMBER)) = letter else { continue };
            match set.sheet(letter) {
                Some(sheet) if sheet.number == *number => letters.push(letter.to_owned()),
                Some(sheet) => {
                    return refuse(format!(
                        "sheet {letter} is {number} there and {} in this job",
                        sheet.number
                    ));
                }
                None => return refuse(format!("this set has no sheet {letter}")),
            }
        }
        match letters.is_empty() {
            true => refuse("no sheet is named in it".to_owned()),
            false => Ok(letters),
        }
    }

    /// The fields of the file are those of its sheets, on either paper.
    fn fits(
        &self,
        job: &mut job::Job,
        letters: &[String],
        values: &BTreeMap<String, String>,
    ) -> Result<Pages, Outcome> {
        let own = job.set.head.paper;
        let other = if own == Paper::A4 { Paper::Letter } else { Paper::A4 };
        let mut nearest: Option<Vec<String>> = None;
        for paper in [own, other] {
            job.set.head.paper = paper;
            let (document, pages) = job.told(|out| lay_fields(&job.set, Some(letters), out))?;
            let wrong = misfits(&document, values);
            if wrong.is_empty() {
                return Ok(pages);
            }
            if nearest.as_ref().is_none_or(|nearest| wrong.len() < nearest.len()) {
                nearest = Some(wrong);
            }
        }
        let wrong = nearest.unwrap_or_default();
        for why in wrong.iter().take(SOME) {
            complain!("benchleaf: {}: {why}", self.filled.display());
        }
        if wrong.len() > SOME {
            complain!("benchleaf: and {} more", wrong.len() - SOME);
        }
        Err(Outcome::Wrong)
    }
}

/// How many fields are filled in, and how many there are to fill in: the numbers of
/// the sheets are the program's.
fn filled(values: &BTreeMap<String, String>) -> (usize, usize) {
    let own = |name: &str| {
        let above = name.strip_suffix(NUMBER).and_then(|above| above.strip_suffix('.'));
        above.is_some_and(|above| above == "set" || above.starts_with("sheet "))
    };
    let asked = || values.iter().filter(|(name, _)| !own(name));
    (asked().filter(|(_, value)| !value.is_empty()).count(), asked().count())
}

/// What is missing, what nobody asks for, and what has no room in its boxes.
fn misfits(document: &Document, values: &BTreeMap<String, String>) -> Vec<String> {
    let marks = document.pages.iter().flat_map(|page| &page.marks);
    let asked: BTreeMap<&str, &Entry> = marks
        .filter_map(|mark| match mark {
            Mark::Field { field, .. } => Some((field.name.as_str(), &field.entry)),
            _ => None,
        })
        .collect();
    let mut wrong = Vec::new();
    for (name, entry) in &asked {
        let Some(value) = values.get(*name) else {
            wrong.push(format!("the field {name} is missing"));
            continue;
        };
        let long = value.chars().count();
        let (most, digits) = match entry {
            Entry::Cells(most) => (*most, true),
            Entry::Letter => (1, false),
            _ => continue,
        };
        if long > most {
            wrong.push(format!("{name} holds `{value}`, {most} at most"));
        }
        let digit = |c: char| c.is_ascii_digit() || "+-\u{2212}".contains(c);
        if digits && !value.chars().all(digit) {
            wrong.push(format!("{name} holds `{value}`: digits only"));
        }
    }
    let known = |name: &&String| !asked.contains_key(name.as_str());
    wrong.extend(values.keys().filter(known).map(|name| format!("no sheet has a field {name}")));
    wrong
}
