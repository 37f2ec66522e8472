//! TOML text to the model, every fault of a file.

mod arrived;
mod bare;
mod check;
mod chunk;
mod document;
mod engine;
mod engine_keys;
mod events;
mod fields;
mod figure;
mod forms;
mod job;
mod limit;
mod limits;
mod mistake;
mod nearest;
mod readings;
mod references;
mod rows;
pub mod schema;
pub mod shape;
mod spares;
pub mod tree;
mod typed_keys;
mod unmet;
mod value;

pub use document::{LIMITS, limits};
pub use engine::engine;
pub use engine_keys::ENGINE;
pub use forms::{BLOCK, FORM, REPORT, form, forms};
pub use job::{JOB, job};
pub use limits::LINE;
pub use readings::{READINGS, SHEET, readings};
pub use rows::ROW;
pub use spares::{SPARE, SPARES, spares};

use crate::diag::{Diags, Sources};
use crate::hands;
use crate::model::Case;
use crate::model::engine::Engine;
use crate::model::line::Limits;
use fields::Fields;
use shape::Shape;
use tree::Tree;

/// The names of a job's files in its folder; the forms lie in `forms/`.
pub const ENGINE_FILE: &str = "engine.toml";
pub const LIMITS_FILE: &str = "limits.toml";
pub const JOB_FILE: &str = "job.toml";
pub const READINGS_FILE: &str = "readings.toml";

/// A transcription of so many bytes is read by both hands.
const LONG: usize = 16 << 10;

/// Reads a whole job: `engine.toml`, `limits.toml`, `job.toml`, `forms/*.toml`
/// and, where it is there, `readings.toml`. Every fault of every file is
/// reported; `None` where there is one.
pub fn case(files: &Sources, out: &mut Diags) -> Option<Case> {
    case_and(files, out, |_, _| Some(())).map(|(case, ())| case)
}

/// The same, and what `make` makes of the job without its transcription, which
/// is taken apart meanwhile: it is the longest of the files.
pub fn case_and<R: Send>(
    files: &Sources,
    out: &mut Diags,
    make: impl FnOnce(&Case, &mut Diags) -> Option<R> + Send,
) -> Option<(Case, R)> {
    let typed = files.0.get_key_value(READINGS_FILE);
    let long = typed.is_some_and(|(_, text)| text.len() >= LONG);
    let mut of_typed = Diags::new();
    let (begun, tree) = hands::both(
        long,
        || {
            let case = blank(files, out);
            let made = case.as_ref().ok().map(|case| make(case, out));
            (case, made.flatten())
        },
        || typed.map(|(name, text)| tree::read(name, text, &mut of_typed)),
    );
    let (case, made) = begun;
    let before = out.faults();
    out.append(of_typed);
    let (engine, limits) = match &case {
        Ok(case) => (Some(&case.engine), Some(&case.limits)),
        Err(known) => (known.engine.as_ref(), known.limits.as_ref()),
    };
    let record = tree.map(|tree| readings::of_tree(&tree?, before, (engine, limits), out));
    let record = match record {
        Some(record) => Some(record?),
        None => None,
    };
    Some((Case { record, ..case.ok()? }, made?))
}

/// What there is of a job at fault that tells how a transcription is to be read.
struct Known {
    engine: Option<Engine>,
    limits: Option<Limits>,
}

/// A job of which nothing is typed yet.
fn blank(files: &Sources, out: &mut Diags) -> Result<Case, Box<Known>> {
    let engine = engine(files, ENGINE_FILE, out);
    let limits = limits(files, LIMITS_FILE, engine.as_ref(), out);
    let job = job(files, JOB_FILE, out);
    let unit = limits.as_ref().map(|limits| limits.document.unit);
    let job = job.filter(|job| unit.is_none_or(|unit| job::leaves_fit(job, unit, out)));
    let job = job.filter(|job| match (&engine, &limits) {
        (Some(engine), Some(limits)) => arrived::fits(job, engine, limits, out),
        _ => true,
    });
    let forms = forms(files, out);
    match (engine, limits, forms, job) {
        (Some(engine), Some(limits), Some(forms), Some(job)) => {
            unmet::notes(&engine, &limits, &forms, out);
            Ok(Case { engine, limits, forms, job, record: None })
        }
        (engine, limits, ..) => Err(Box::new(Known { engine, limits })),
    }
}

/// Reads one file: its text to a tree, the tree against its shape, then what
/// `reader` makes of it. `None` where anything of the file is at fault.
fn file<T>(
    files: &Sources,
    name: &str,
    shape: &Shape,
    out: &mut Diags,
    reader: impl FnOnce(Fields<'_>, &mut Diags) -> Option<T>,
) -> Option<T> {
    let Some((name, text)) = files.0.get_key_value(name) else {
        let right = format!("{} belongs beside the others", shape.name);
        out.fault_nowhere(format!("{name} is missing"), right);
        return None;
    };
    let before = out.faults();
    let tree = tree::read(name, text, out)?;
    of_tree(&tree, shape, before, out, reader)
}

/// Of a file that had no fault told of when there were `before`.
fn of_tree<T>(
    tree: &Tree,
    shape: &Shape,
    before: usize,
    out: &mut Diags,
    reader: impl FnOnce(Fields<'_>, &mut Diags) -> Option<T>,
) -> Option<T> {
    let fields = Fields::open(tree, shape, out)?;
    let read = reader(fields, out);
    if read.is_none() && out.faults() == before {
        let wrong = format!("this cannot be read as {}", shape.name);
        out.fault(fields.at, wrong, "compare it with a file that can");
    }
    read.filter(|_| out.faults() == before)
}
