//! `benchleaf table`: every row of every report below a folder, in one table.

use super::aside::Aside;
use super::lock::Lock;
use super::outcome::Outcome;
use super::plain::{self, Named};
use super::proven::{Read, read};
use super::say::{complain, line};
use super::unusable::{Unusable, unusable};
use super::{disk, job, jobs, verify};
use crate::pdf::sha256;
use crate::quantity::count;
use crate::report::table::{self, Form, Proven, Verified};
use crate::sign::verify::Anchor;
use clap::Args;
use std::collections::HashSet;
use std::io::{self, BufRead, BufReader};
use std::path::{Path, PathBuf};

/// Write every row of every report below a folder into one table, a line each,
/// for a spreadsheet or a database.
///
/// Every report is proved and judged anew from its own files; a line says
/// whether it was good. Reports that a table holds already are not read again.
/// Exit status 1 where a report could not be read or is not good.
#[derive(Args)]
pub struct Table {
    dir: PathBuf,
    /// The table: `.csv`, or `.jsonl` for JSON Lines. New reports are added to
    /// one that is there.
    #[arg(long, short, value_name = "FILE")]
    out: PathBuf,
    /// Certificates whose word you take, PEM or DER.
    #[arg(long = "anchor", value_name = "FILE")]
    anchors: Vec<PathBuf>,
}

/// What came of a report that the table does not hold yet.
enum Found {
    /// Its lines.
    Lines(String, Verified, Option<String>),
    /// No report of this program.
    Other,
    Unreadable(String),
}

/// What is in the folder, counted.
#[derive(Default)]
struct Counts {
    added: usize,
    copies: usize,
    known: usize,
    other: usize,
    unreadable: usize,
    unsigned: usize,
    not_good: usize,
}

impl Table {
    pub fn run(&self) -> Outcome {
        self.write().unwrap_or_else(|outcome| outcome)
    }

    fn write(&self) -> Result<Outcome, Outcome> {
        let ending = self.out.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        let form = Form::of_ending(ending).ok_or_else(|| {
            job::wrong(&Unusable::new(&self.out, "is no table by its name: .csv or .jsonl"))
        })?;
        let anchors = verify::anchors(&self.anchors)?;
        let paths = disk::pdfs(&self.dir).map_err(|error| job::wrong(&error))?;
        let lock = Lock::beside(&self.out).map_err(|error| job::wrong(&error))?;
        let held = digests(&self.out, form).map_err(|error| job::wrong(&error))?;
        let mut counts = Counts::default();
        let new = new(&paths, held, &mut counts);
        let mut appended = Appended::new(&self.out, form, &lock);
        let one = |path: &Path| self.one(path, form, &anchors);
        jobs::streamed(&new, one, |path, found| {
            let fell = || Found::Unreadable("the search of it stopped".to_owned());
            match found.unwrap_or_else(fell) {
                Found::Lines(text, verified, fault) => {
                    appended.add(&text);
                    counts.added += 1;
                    counts.unsigned += usize::from(verified == Verified::Unsigned);
                    if let (Verified::NotGood, Some(why)) = (verified, fault) {
                        counts.not_good += 1;
                        complain!("benchleaf: {}: NOT GOOD: {why}", path.display());
                    }
                }
                Found::Other => counts.other += 1,
                Found::Unreadable(why) => counts.unreadable(path, &why),
            }
        });
        appended.becomes().map_err(|error| job::wrong(&error))?;
        line!("{}: {counts}", self.out.display());
        let sound = counts.unreadable == 0 && counts.not_good == 0;
        Ok(if sound { Outcome::Done } else { Outcome::Exceptions })
    }

    fn one(&self, path: &Path, form: Form, anchors: &[Anchor]) -> Found {
        let report = match read(&self.dir, path, anchors, |_| true) {
            Read::Other => return Found::Other,
            Read::Unreadable(why) => return Found::Unreadable(why),
            Read::Report(report) => report,
        };
        let Some(worked) = report.worked() else {
            return Found::Unreadable("its files are faulty".to_owned());
        };
        let Proven { verified, fault, .. } = &report.proven;
        Found::Lines(table::table(form, worked, &report.proven), *verified, fault.clone())
    }
}

/// Those that a table does not hold yet, of several alike the first. What cannot
/// be read at all is among them, to be told in its turn.
fn new(paths: &[PathBuf], held: HashSet<String>, counts: &mut Counts) -> Vec<PathBuf> {
    let digest = |path: &PathBuf| disk::report(path, Named::ByFolder).ok().map(|it| sha256(&it));
    let digests = jobs::shared(paths, digest);
    let (mut new, mut seen) = (Vec::new(), HashSet::new());
    for (path, digest) in paths.iter().zip(digests) {
        let digest = digest.flatten();
        if digest.as_ref().is_some_and(|digest| held.contains(digest)) {
            counts.known += 1;
        } else if digest.is_some_and(|digest| !seen.insert(digest)) {
            counts.copies += 1;
        } else {
            new.push(path.clone());
        }
    }
    new
}

/// The digests of the reports whose lines a table holds; none where it is not
/// there. A table that is not whole is not added to.
fn digests(path: &Path, form: Form) -> Result<HashSet<String>, Unusable> {
    let mut held = HashSet::new();
    if !plain::is_there(path)? {
        return Ok(held);
    }
    plain::writable(path)?;
    let mut lines = BufReader::with_capacity(1 << 16, plain::streamed(path, Named::ByHand)?);
    let mut text = Vec::new();
    for n in 0.. {
        text.clear();
        if lines.read_until(b'\n', &mut text).map_err(unusable(path))? == 0 {
            break;
        }
        let line = std::str::from_utf8(&text).unwrap_or_default();
        match table::known(form, n, line) {
            Ok(Some(digest)) if !held.contains(digest) => {
                held.insert(digest.to_owned());
            }
            Ok(_) => {}
            Err(why) => {
                let why = format!("line {}: {why}; give another name, or move it away", n + 1);
                return Err(Unusable::new(path, why));
            }
        }
    }
    Ok(held)
}

/// A table and what is added to it, written aside.
struct Appended<'a> {
    path: &'a Path,
    form: Form,
    /// No other command writes there meanwhile.
    _lock: &'a Lock,
    /// From the first new line on.
    aside: Option<Aside>,
    fault: Option<Unusable>,
}

impl<'a> Appended<'a> {
    fn new(path: &'a Path, form: Form, lock: &'a Lock) -> Appended<'a> {
        Appended { path, form, _lock: lock, aside: None, fault: None }
    }

    fn add(&mut self, text: &str) {
        if self.fault.is_none() {
            self.fault = self.try_add(text).err();
        }
    }

    fn try_add(&mut self, text: &str) -> Result<(), Unusable> {
        let aside = match &mut self.aside {
            Some(aside) => aside,
            None => self.aside.insert(begun(self.path, self.form)?),
        };
        aside.add(text.as_bytes()).map_err(unusable(self.path))
    }

    /// Puts it in its place: the old table or the new one, never half. A folder
    /// without any report gives a table without lines.
    fn becomes(mut self) -> Result<(), Unusable> {
        if let Some(fault) = self.fault.take() {
            return Err(fault);
        }
        if self.aside.is_none() && !plain::is_there(self.path)? {
            self.aside = Some(begun(self.path, self.form)?);
        }
        let Some(aside) = self.aside.take() else { return Ok(()) };
        let moved = |aside: Aside| -> io::Result<()> {
            aside.on_disk()?;
            aside.replace(self.path)
        };
        moved(aside).map_err(unusable(self.path))
    }
}

/// Begins with all that stands there.
fn begun(path: &Path, form: Form) -> Result<Aside, Unusable> {
    let mut aside = Aside::begin(path)?;
    if plain::is_there(path)? {
        let mut old = plain::streamed(path, Named::ByHand)?;
        aside.add_all_of(&mut old).map_err(unusable(path))?;
    } else {
        aside.add(table::head(form).as_bytes()).map_err(unusable(path))?;
    }
    Ok(aside)
}

impl Counts {
    fn unreadable(&mut self, path: &Path, why: &str) {
        self.unreadable += 1;
        complain!("benchleaf: {}: cannot be read: {why}", path.display());
    }
}

impl std::fmt::Display for Counts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} added, {} there already", count(self.added, "report"), self.known)?;
        let others = [
            (self.unsigned, "nobody has signed"),
            (self.not_good, "not good"),
            (self.copies, "the same as another"),
            (self.unreadable, "could not be read"),
            (self.other, "no report"),
        ];
        for (number, what) in others.into_iter().filter(|(number, _)| *number > 0) {
            write!(f, "; {number} {what}")?;
        }
        Ok(())
    }
}
