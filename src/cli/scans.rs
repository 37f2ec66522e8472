//! `benchleaf compare --scans`: the scans of the filled sheets against what was
//! typed from them.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::{self, line};
use super::typed::typed;
use super::{disk, job};
use crate::bundle::{Comparer, Found, ORIGINALS, matched};
use crate::load;
use crate::model::record::Record;
use crate::pages::differences::lay_differences;
use crate::quantity::count;
use crate::report::compared::{BoxSeen, Compared, Made};
use crate::report::{Originals, compared_json};
use crate::scan::{Looks, Scan};
use clap::Args;
use std::path::{Path, PathBuf};

/// How the scans are told.
#[derive(Args)]
pub struct How {
    /// What --scans finds as JSON, for machines; DEVELOPERS.md describes it.
    #[arg(long)]
    json: bool,
    /// Write what --scans finds different as a PDF, each with a piece of the scan.
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
}

impl How {
    pub fn is_told(&self) -> bool {
        self.json || self.pdf.is_some()
    }
}

/// Compares the scans with the transcription of a job, or says which boxes are
/// empty where there is none.
pub fn compare(dir: &Path, first: &Path, files: &[PathBuf], how: &How) -> Result<Outcome, Outcome> {
    let mut job_files = disk::job(dir).map_err(|error| job::wrong(&error))?;
    job_files.0.remove(load::READINGS_FILE);
    let mut job = job::read(job_files)?;
    let none = first.is_dir() && !first.join(load::READINGS_FILE).exists();
    let record = match none {
        true => Record::blank(&job.set.number),
        false => typed(first, &mut job)?,
    };
    if record.blind {
        return Err(job::wrong(
            &"a blind transcription is of other sheets: name the first readings",
        ));
    }
    let files = read(dir, files)?;
    let mut comparer = job.told(|out| Comparer::new(&job.set, &record, out))?;
    if how.pdf.is_some() {
        comparer = comparer.cutting();
    }
    let (scans, found) = job.told(|out| {
        let (scans, found) = comparer.over(files, &mut Looks::default(), out);
        found.map(|found| (scans, found))
    })?;
    let Found { compared: found, pages, pieces } = found;
    let seen: Vec<_> = scans.iter().flat_map(|scan| scan.pages.iter().cloned()).collect();
    let originals = matched(&seen, &pages, &job.set.number, &record);
    match how.json {
        true => {
            let text = compared_json(&job.set.number, &found, &originals);
            say::json(&text.map_err(|error| job::wrong(&error))?);
        }
        false => tell(&found, &originals, (first, &scans)),
    }
    if let Some(path) = &how.pdf {
        let document = job.told(|out| lay_differences(&job.set, &found, &pieces, out))?;
        job::write(path, &document)?;
        if !how.json {
            line!("{}: {}", path.display(), count(document.pages.len(), "page"));
        }
    }
    let differs = found.open().next().is_some() || !found.refused.is_empty();
    Ok(if differs || !originals.strays.is_empty() { Outcome::Exceptions } else { Outcome::Done })
}

/// The scans by their names: the job's own, or those named.
fn read(dir: &Path, named: &[PathBuf]) -> Result<Vec<disk::Scan>, Outcome> {
    let none = |dir: &Path| job::wrong(&format!("{}: no scan in it", dir.display()));
    if named.is_empty() {
        let own = dir.join(ORIGINALS);
        let files = disk::scans(&own, Named::ByFolder).map_err(|error| job::wrong(&error))?;
        return files.filter(|files| !files.is_empty()).ok_or_else(|| none(&own));
    }
    let mut files = Vec::new();
    for path in named {
        match path.is_dir() {
            true => {
                let found = disk::scans(path, Named::ByHand).map_err(|error| job::wrong(&error))?;
                let found = found.filter(|files| !files.is_empty()).ok_or_else(|| none(path))?;
                files.extend(found);
            }
            false => files.push(disk::scan(path).map_err(|error| job::wrong(&error))?),
        }
    }
    let mut names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    names.sort_unstable();
    if let Some(twice) = names.windows(2).find(|pair| pair[0] == pair[1]) {
        return Err(job::wrong(&format!("two scans are called {}; rename one", twice[0])));
    }
    Ok(files)
}

fn tell(found: &Compared, originals: &Originals, (first, scans): (&Path, &[Scan])) {
    match found.typed {
        true => line!("typed {}", first.display()),
        false => line!("nothing is typed yet: what the boxes hold is not said"),
    }
    let names: Vec<&str> = scans.iter().map(|scan| scan.name.as_str()).collect();
    match names.as_slice() {
        [first, .., last] => line!("scans {first} to {last}, {}", count(names.len(), "file")),
        names => line!("scans {}", names.join("")),
    }
    let mut place = String::new();
    for odd in &found.odd {
        let here = format!("page {} · sheet {} · {}", odd.page, odd.sheet, odd.scan);
        if here != place {
            line!("");
            line!("{here}");
            place = here;
        }
        line!("  {:<16} {}", odd.name, odd.words());
        if let Some(settled) = &odd.settled {
            line!("      settled: {settled}");
        }
    }
    if !found.typed {
        empties(&found.each);
    }
    line!("");
    if found.typed {
        line!("{}", count(found.odd.len(), "difference"));
    }
    found.words().iter().for_each(|words| line!("{words}"));
    for stray in &originals.superseded {
        line!("superseded: {}, {}", stray.scan, stray.why);
    }
    for stray in &originals.strays {
        line!("not matched: {}, {}", stray.scan, stray.why);
    }
}

/// Boxes that are empty, page by page.
fn empties(each: &[BoxSeen]) {
    for page in each.chunk_by(|one, other| one.page == other.page) {
        let empty = page.iter().filter(|one| one.made == Made::Empty);
        let names: Vec<&str> = empty.map(|one| one.name.as_str()).collect();
        if !names.is_empty() {
            line!("");
            line!("page {}: {} empty", page[0].page, count(names.len(), "box"));
            line!("  {}", names.join(", "));
        }
    }
}
