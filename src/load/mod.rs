//! TOML text to the model, every fault of a file.

mod chunk;
mod engine;
mod fields;
mod figure;
mod limit;
mod limits;
mod mistake;
mod nearest;
pub mod shape;
pub mod tree;

pub use engine::{ENGINE, engine};
pub use limits::{LIMITS, limits};

use crate::diag::{Diags, Sources};
use fields::Fields;
use shape::Shape;

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
        out.fault_nowhere(format!("{name} is missing"), format!("{} belongs beside the others", shape.name));
        return None;
    };
    let before = out.faults();
    let tree = tree::read(name, text, out)?;
    let fields = Fields::open(&tree, shape, out)?;
    let read = reader(fields, out);
    if read.is_none() && out.faults() == before {
        out.fault(fields.at, format!("this cannot be read as {}", shape.name), "compare it with a file that can");
    }
    read.filter(|_| out.faults() == before)
}
