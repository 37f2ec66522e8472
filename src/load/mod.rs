//! TOML text to the model, every fault of a file.

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
use crate::model::Case;
use fields::Fields;
use shape::Shape;

/// The names of a job's files in its folder; the forms lie in `forms/`.
pub const ENGINE_FILE: &str = "engine.toml";
pub const LIMITS_FILE: &str = "limits.toml";
pub const JOB_FILE: &str = "job.toml";
pub const READINGS_FILE: &str = "readings.toml";

/// Reads a whole job: `engine.toml`, `limits.toml`, `job.toml`, `forms/*.toml`
/// and, where it is there, `readings.toml`. Every fault of every file is
/// reported; `None` where there is one.
pub fn case(files: &Sources, out: &mut Diags) -> Option<Case> {
    let engine = engine(files, ENGINE_FILE, out);
    let limits = limits(files, LIMITS_FILE, engine.as_ref(), out);
    let job = job(files, JOB_FILE, out);
    let unit = limits.as_ref().map(|limits| limits.document.unit);
    let job = job.filter(|job| unit.is_none_or(|unit| job::leaves_fit(job, unit, out)));
    let forms = forms(files, out);
    let typed = files.get(READINGS_FILE).is_some();
    let read =
        |out: &mut Diags| readings(files, READINGS_FILE, engine.as_ref(), limits.as_ref(), out);
    let record = if typed { Some(read(out)) } else { None };
    let record = match record {
        Some(record) => Some(record?),
        None => None,
    };
    Some(Case { engine: engine?, limits: limits?, forms: forms?, job: job?, record })
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
    let fields = Fields::open(&tree, shape, out)?;
    let read = reader(fields, out);
    if read.is_none() && out.faults() == before {
        let wrong = format!("this cannot be read as {}", shape.name);
        out.fault(fields.at, wrong, "compare it with a file that can");
    }
    read.filter(|_| out.faults() == before)
}
