//! TOML text to the model, every fault of a file.

mod arrived;
mod astray;
mod by_place;
mod check;
mod engine;
mod engine_keys;
mod events;
mod fields;
mod forms;
mod groups;
mod job;
pub mod keys;
mod kinds;
mod limit;
mod limits;
mod lines;
mod meant;
mod places;
mod published;
mod readings;
mod references;
mod rows;
pub(crate) mod schema;
mod select;
mod short;
mod spares;
pub mod spreadsheet;
mod suggest;
mod tables;
pub mod toml;
mod typed_keys;
mod unmet;

pub use engine::engine;
pub use engine_keys::ENGINE;
pub use fields::figure;
pub use forms::{FORM, KINDS_FILE, REPORT};
pub use job::{JOB, job};
pub use kinds::KINDS;
pub use limits::{LIMITS, limits};
pub use lines::LINE;
pub use readings::{READINGS, readings};
pub use rows::ROW;
pub use spares::{SPARE, spares};

use crate::diag::{Diags, Sources};
use crate::model::Case;
use crate::model::engine::Engine;
use crate::model::form::FormSet;
use crate::model::limits::Limits;
use astray::Sheets;
use forms::asked;
use kinds::kinds;
use select::Selector;

/// The names of a job's files in its folder; the forms lie in `forms/`.
pub const ENGINE_FILE: &str = "engine.toml";
pub const LIMITS_FILE: &str = "limits.toml";
pub const JOB_FILE: &str = "job.toml";
pub const READINGS_FILE: &str = "readings.toml";

/// All texts of a job together, in bytes.
pub const LARGEST_JOB: usize = 64 << 20;

/// Reads a whole job: `engine.toml`, `limits.toml`, `job.toml`, `forms/*.toml`
/// and, where it is there, `readings.toml`. Every fault of every file is
/// reported; `None` where there is one.
pub fn case(files: &Sources, out: &mut Diags) -> Option<Case> {
    blank(files, out).typed(files, out)
}

/// A job of which nothing is typed yet: the case, or, where a file is at fault,
/// what there is that tells how a transcription is to be read.
pub struct Blank(Result<Case, Box<Known>>);

struct Known {
    engine: Option<Engine>,
    limits: Option<Limits>,
}

/// Reads all files of a job but its transcription.
pub fn blank(files: &Sources, out: &mut Diags) -> Blank {
    let engine = engine(files, ENGINE_FILE, out);
    let limits = limits(files, LIMITS_FILE, engine.as_ref(), out);
    let job = job(files, JOB_FILE, out);
    let unit = limits.as_ref().map(|limits| limits.document.unit);
    let job = job.filter(|job| unit.is_none_or(|unit| job::leaves_fit(job, unit, out)));
    let job = job.filter(|job| match (&engine, &limits) {
        (Some(engine), Some(limits)) => arrived::fits(job, engine, limits, out),
        _ => true,
    });
    let forms = match (&engine, &limits) {
        (Some(engine), Some(limits)) => forms(files, engine, limits, out),
        _ => {
            // Their faults are told all the same.
            asked(files, out);
            kinds(files, out);
            None
        }
    };
    Blank(match (engine, limits, forms, job) {
        (Some(engine), Some(limits), Some(forms), Some(job)) => {
            unmet::notes(&engine, &limits, &forms, out);
            Ok(Case { engine, limits, forms, job, record: None })
        }
        (engine, limits, ..) => Err(Box::new(Known { engine, limits })),
    })
}

/// The forms of an engine: those of the folder, with what they ask for, and
/// those that its groups make.
pub fn forms(
    files: &Sources,
    engine: &Engine,
    limits: &Limits,
    out: &mut Diags,
) -> Option<FormSet> {
    let (asked, kinds) = (asked(files, out), kinds(files, out));
    let (asked, kinds) = asked.zip(kinds)?;
    let forms = Selector { engine, limits, kinds: &kinds }.forms(asked, out)?;
    Sheets { engine, limits, kinds: &kinds, forms: &forms }.notes(out);
    Some(forms)
}

impl Blank {
    /// The job without its transcription; `None` where one of its files is at
    /// fault.
    pub fn case(&self) -> Option<&Case> {
        self.0.as_ref().ok()
    }

    /// Engine and limits, where both could be read, whatever else is at fault.
    pub fn table(&self) -> Option<(&Engine, &Limits)> {
        match &self.0 {
            Ok(case) => Some((&case.engine, &case.limits)),
            Err(known) => Some((known.engine.as_ref()?, known.limits.as_ref()?)),
        }
    }

    /// Reads the transcription too, where there is one: its faults are told
    /// beside those of the other files.
    pub fn typed(self, files: &Sources, out: &mut Diags) -> Option<Case> {
        let (engine, limits) = match &self.0 {
            Ok(case) => (Some(&case.engine), Some(&case.limits)),
            Err(known) => (known.engine.as_ref(), known.limits.as_ref()),
        };
        let record = match files.get(READINGS_FILE) {
            Some(_) => Some(readings(files, READINGS_FILE, engine, limits, out)?),
            None => None,
        };
        Some(Case { record, ..self.0.ok()? })
    }
}
