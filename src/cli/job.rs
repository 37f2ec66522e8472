//! From a job folder to what every command works on.

use super::disk;
use super::lock::Lock;
use super::outcome::Outcome;
use super::say::{complain, diagnostics};
use crate::bundle::{Built, How, build, judged, printed};
use crate::diag::{Diags, Severity, Sources};
use crate::judge::proof;
use crate::layout::mark::Document;
use crate::load;
use crate::model::Case;
use crate::model::engine::Engine;
use crate::model::limits::Limits;
use crate::model::record::Record;
use crate::pages::worksheet::lay_sheets;
use crate::pdf::conform;
use crate::pdf::document::draw;
use crate::record::{Judged, judge};
use crate::sheet::{Pages, SheetSet, expand};
use std::path::Path;

/// A job read, with its sheets expanded.
pub struct Job {
    pub files: Sources,
    pub case: Case,
    pub set: SheetSet,
}

/// Reads a job folder. Every fault found is printed.
pub fn open(dir: &Path) -> Result<Job, Outcome> {
    let files = disk::job(dir).map_err(|error| wrong(&error))?;
    read(files)
}

/// The same from files already in memory.
pub fn read(files: Sources) -> Result<Job, Outcome> {
    let mut out = Diags::new();
    let blank = load::blank(&files, &mut out);
    if let Some((engine, limits)) = blank.table() {
        sound(engine, limits, &mut out);
    }
    let set = blank.case().and_then(|case| expand(case, &mut out));
    let read = blank.typed(&files, &mut out).zip(set);
    show(&out, &files);
    match read {
        Some((case, set)) if out.faults() == 0 => Ok(Job { files, case, set }),
        _ => Err(Outcome::Wrong),
    }
}

/// A table with a mistake is not worked with; what is only worth a note stays
/// with `benchleaf limits`.
fn sound(engine: &Engine, limits: &Limits, out: &mut Diags) {
    let read = proof(limits, engine);
    read.iter()
        .filter(|diag| diag.severity == Severity::Fault)
        .for_each(|diag| out.push(diag.clone()));
}

impl Job {
    /// All sheets laid out, and where everything is printed.
    pub fn lay(&self, only: Option<&[String]>) -> Result<(Document, Pages), Outcome> {
        self.told(|out| lay_sheets(&self.set, only, out))
    }

    /// Where everything is printed that a transcription was typed from.
    pub fn pages(&self, record: &Record) -> Result<Pages, Outcome> {
        self.told(|out| printed(&self.set, record, &[], out))
    }

    /// The record held against the sheets, and where everything is printed.
    pub fn judge_on_pages(&self) -> Result<(Judged, Pages), Outcome> {
        self.told(|out| judged(&self.case, &self.set, &[], out))
    }

    /// The record held against the sheets.
    pub fn judge(&self) -> Result<Judged, Outcome> {
        self.told(|out| judge(&self.case, &self.set, out))
    }

    /// The report.
    pub fn build(&self, how: How<'_>) -> Result<Built, Outcome> {
        self.told(|out| build(&self.files, (&self.case, &self.set), how, out))
    }

    /// What some work gives, with its faults and notes printed.
    pub fn told<T>(&self, work: impl FnOnce(&mut Diags) -> Option<T>) -> Result<T, Outcome> {
        let mut out = Diags::new();
        let done = work(&mut out);
        show(&out, &self.files);
        done.filter(|_| out.faults() == 0).ok_or(Outcome::Wrong)
    }
}

/// Prints diagnostics to standard error.
pub fn show(out: &Diags, files: &Sources) {
    diagnostics(out, files);
}

/// Prints one line of what is wrong.
pub fn wrong(error: &dyn std::fmt::Display) -> Outcome {
    complain!("benchleaf: {error}");
    Outcome::Wrong
}

/// A laid-out document to its file.
pub fn write(path: &Path, document: &Document) -> Result<(), Outcome> {
    let lock = Lock::beside(path).map_err(|error| wrong(&error))?;
    write_locked(&lock, path, document)
}

/// The same where the folder is locked already.
pub fn write_locked(lock: &Lock, path: &Path, document: &Document) -> Result<(), Outcome> {
    let pdf = draw(document).map_err(|error| wrong(&error))?;
    let bytes = conform(pdf, document, Vec::new()).map_err(|error| wrong(&error))?;
    disk::replace_pdf(lock, path, &bytes).map_err(|error| wrong(&error))
}
