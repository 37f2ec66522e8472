//! Signatures that the form no longer leads to: somebody altered the file, and
//! a reader that goes by the form would say that nobody has signed.

use std::collections::HashSet;
use std::ops::Range;

use super::{Anchor, Change, SignatureReport, report};
use crate::archive::open::{Field, fields};
use crate::archive::read::File;
use crate::archive::read::value::Value;
use crate::archive::refusal::{BOUNDS, Refusal};

/// What every signature has and nothing else (ISO 32000-1, 12.8.1).
const MARK: &[u8] = b"/ByteRange";

/// Those that an earlier state's form named, and those that stand in the file
/// and are named by none.
pub fn lost(
    file: &File<'_>,
    named: &[Field],
    anchors: &[Anchor],
) -> Result<Vec<SignatureReport>, Refusal> {
    let mut known: Vec<Range<usize>> = places(named).collect();
    let mut reports = taken_out(file, named, anchors, &mut known)?;
    for number in marked(file) {
        let place = match file.extent(number) {
            Err(why @ Refusal::Bound { .. }) => return Err(why),
            Ok(Some(place)) if !known.contains(&place) => place,
            _ => continue,
        };
        let Ok(Value::Dict(dict)) = file.object(number, 0) else { continue };
        if dict.get("ByteRange").is_none() || dict.get("Contents").is_none() {
            continue;
        }
        let signature = Some((dict, place));
        let field = Field { name: String::new(), object: None, signature };
        reports.extend(without_field(file, &field, anchors)?);
        if reports.len() > BOUNDS.signatures {
            return Err(Refusal::Bound { what: "signatures", most: BOUNDS.signatures });
        }
    }
    Ok(reports)
}

fn places(fields: &[Field]) -> impl Iterator<Item = Range<usize>> + '_ {
    fields.iter().filter_map(|field| field.signature.as_ref().map(|(_, place)| place.clone()))
}

/// The objects that a signature's mark is written in or behind, each once.
fn marked(file: &File<'_>) -> Vec<u32> {
    let starts = file.starts();
    let slashes = file.bytes.iter().enumerate().filter(|(_, byte)| **byte == MARK[0]);
    let marks = slashes.map(|(at, _)| at).filter(|at| file.bytes[*at..].starts_with(MARK));
    let mut nth: Vec<usize> =
        marks.map(|mark| starts.partition_point(|(start, _)| *start <= mark)).collect();
    nth.dedup();
    nth.into_iter().filter_map(|nth| starts.get(nth.checked_sub(1)?)).map(|(_, n)| *n).collect()
}

fn taken_out(
    file: &File<'_>,
    named: &[Field],
    anchors: &[Anchor],
    places_known: &mut Vec<Range<usize>>,
) -> Result<Vec<SignatureReport>, Refusal> {
    let signed = named.iter().filter(|field| field.signature.is_some());
    let mut known: HashSet<Option<u32>> = signed.map(|field| field.object).collect();
    let mut reports = Vec::new();
    for end in file.sections.iter().skip(1).filter_map(|s| s.end) {
        let Ok(earlier) = file.earlier(end) else {
            continue;
        };
        let fields = fields(&earlier)?;
        places_known.extend(places(&fields));
        for field in fields {
            if field.signature.is_some() && known.insert(field.object) {
                reports.extend(without_field(&earlier, &field, anchors)?);
            }
        }
    }
    Ok(reports)
}

fn without_field(
    file: &File<'_>,
    field: &Field,
    anchors: &[Anchor],
) -> Result<Option<SignatureReport>, Refusal> {
    let Some((dict, place)) = &field.signature else { return Ok(None) };
    let mut report = report(file, field, dict, place, anchors)?;
    report.whole = false;
    report.changes.push(Change::TakenOut);
    Ok(Some(report))
}
