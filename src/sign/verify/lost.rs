//! Signatures that the form no longer leads to: somebody altered the file, and
//! a reader that goes by the form would say that nobody has signed.

use std::collections::HashSet;
use std::ops::Range;

use crate::pdf::read::Field;
use crate::pdf::read::value::{Dict, Value};
use crate::pdf::{BOUNDS, File, Refusal};

/// What every signature has and nothing else (ISO 32000-1, 12.8.1).
const MARK: &[u8] = b"/ByteRange";

/// Those that stand in the file and are named by no field.
pub fn lost(file: &File<'_>, named: &[Field]) -> Result<Vec<(Dict, Range<usize>)>, Refusal> {
    let mut known: HashSet<Range<usize>> = places(named).collect();
    let mut found = marked(file)?;
    found.retain(|(_, place)| known.insert(place.clone()));
    match found.len() > BOUNDS.signatures {
        true => Err(Refusal::Bound { what: "signatures", most: BOUNDS.signatures }),
        false => Ok(found),
    }
}

fn places(fields: &[Field]) -> impl Iterator<Item = Range<usize>> + '_ {
    fields.iter().filter_map(|field| field.signature.as_ref().map(|(_, place)| place.clone()))
}

/// The objects that a signature's mark is written in and that are signatures,
/// with their places.
fn marked(file: &File<'_>) -> Result<Vec<(Dict, Range<usize>)>, Refusal> {
    let starts = file.starts();
    let slashes = file.bytes.iter().enumerate().filter(|(_, byte)| **byte == MARK[0]);
    let marks = slashes.map(|(at, _)| at).filter(|at| file.bytes[*at..].starts_with(MARK));
    // Each object once, however many marks are written in it.
    let mut behind: Vec<usize> =
        marks.map(|mark| starts.partition_point(|(start, _)| *start <= mark)).collect();
    behind.dedup();
    let mut found = Vec::new();
    for (_, number) in behind.into_iter().filter_map(|n| starts.get(n.checked_sub(1)?)) {
        let (place, value) = match (file.extent(*number), file.object(*number, 0)) {
            (Err(why @ Refusal::Bound { .. }), _) | (_, Err(why @ Refusal::Bound { .. })) => {
                return Err(why);
            }
            (Ok(Some(place)), Ok(value)) => (place, value),
            _ => continue,
        };
        if let Value::Dict(dict) = value
            && dict.get("ByteRange").is_some()
            && dict.get("Contents").is_some()
        {
            found.push((dict, place));
        }
    }
    Ok(found)
}
