//! A transcription that a person names, wherever it lies.

use super::outcome::Outcome;
use super::plain::Named;
use super::{disk, job};
use crate::diag::{Diags, Sources};
use crate::load;
use crate::model::record::Record;
use std::path::Path;
use std::sync::Arc;

/// A transcription by its path, its faults printed.
pub fn typed(path: &Path, job: &mut job::Job) -> Result<Record, Outcome> {
    let (path, named) = match path.is_dir() {
        true => (path.join(load::READINGS_FILE), Named::ByFolder),
        false => (path.to_owned(), Named::ByHand),
    };
    let text = disk::text(&path, named).map_err(|error| job::wrong(&error))?;
    let name: Arc<str> = path.display().to_string().into();
    let mut files = Sources::default();
    files.put(name.clone(), text.clone());
    job.files.put(name.clone(), text);
    let mut out = Diags::new();
    let (engine, limits) = (&job.case.engine, &job.case.limits);
    let record = load::readings(&files, &name, Some(engine), Some(limits), &mut out);
    job::show(&out, &files);
    record.ok_or(Outcome::Wrong)
}
