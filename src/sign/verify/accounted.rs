//! Whether this program would have written a file, byte for byte: the report is
//! made anew from what it carries, each signature behind it from what it
//! declares, and all is compared. Nothing is looked for, so nothing is missed.

use super::range::trimmed;
use super::types::Unaccounted;
use crate::pdf::read::value::{Dict, shown};
use crate::pdf::read::{Alike, Differs, alike, first_difference};
use crate::pdf::{File, value_at};
use crate::sign::cms::{sealed_again, unwrapped};
use crate::sign::moment::Moment;
use crate::sign::signed_again;
use crate::sign::types::Signing;

/// Finds the report at the beginning of a file, `made` being the same made anew.
///
/// # Errors
/// [`Unaccounted`], the first byte that `report` would not have written.
pub fn report_within(file: &[u8], made: &[u8]) -> Result<Alike, Unaccounted> {
    let first = |at, object, why| Unaccounted { revision: 1, at, object, why };
    let found = alike(file, made).map_err(|why| first(0, None, why.to_string()))?;
    found.map_err(|Differs { at, object }| {
        first(at, object, "not what the carried files give".to_owned())
    })
}

/// How many signatures stand behind the report, which ends at `end` and is
/// accounted for; `signings` has one for each person who may sign it.
///
/// # Errors
/// [`Unaccounted`], the first byte up to the end of the file that neither `sign`
/// nor `stamp` would have written.
pub fn signatures_behind(
    file: &[u8],
    mut end: usize,
    signings: &[Signing<'_>],
) -> Result<usize, Unaccounted> {
    let mut signatures = 0;
    while end < file.len() {
        let revision = signatures + 2;
        let again = signed(file, end, signings);
        let again = again.map_err(|why| Unaccounted { revision, at: end, object: None, why })?;
        if let Some(at) = first_difference(&file[end..], &again[end..]) {
            return Err(Unaccounted {
                revision,
                at: end + at,
                object: object_at(&again, end + at),
                why: "not what `sign` writes for the signature declared there".to_owned(),
            });
        }
        signatures += 1;
        end = again.len();
    }
    Ok(signatures)
}

/// How a signature's dictionary begins, as `sign` writes it.
const DICTIONARY: &[u8] = b"<</Type /Sig/Filter ";

/// The file as it ended at `end`, which is accounted for, signed as what stands
/// behind says.
fn signed(file: &[u8], end: usize, signings: &[Signing<'_>]) -> Result<Vec<u8>, String> {
    let none = || "no signature stands behind, and nothing else is added to a report".to_owned();
    let place = file[end..].windows(DICTIONARY.len()).position(|part| part == DICTIONARY);
    let value = value_at(file, end + place.ok_or_else(none)?).map_err(|why| why.to_string())?;
    let dict = value.dict().ok_or_else(none)?;
    let name = said(dict, "Name").unwrap_or_default();
    let signing = signings.iter().find(|signing| signing.signer.name == name);
    let mut signing = *signing.ok_or_else(|| format!("{name} has no place to sign"))?;
    let claimed = said(dict, "M").and_then(|written| Moment::from_pdf(&written));
    signing.signer.claimed = claimed.ok_or("the signature claims no time")?;
    let contents = dict.get("Contents").and_then(|contents| contents.text());
    let seal = contents.and_then(trimmed).and_then(unwrapped);
    let seal = seal.as_ref().and_then(sealed_again);
    let (seal, room) = seal.ok_or("the seal is not written as `sign` and `stamp` write it")?;
    let before = File::open(&file[..end]).map_err(|why| why.to_string())?;
    let again = signed_again(&before, &signing, (&seal, room), file);
    again.map_err(|why| format!("`sign` writes no such signature: {why}"))
}

fn said(dict: &Dict, key: &str) -> Option<String> {
    dict.get(key)?.text().map(shown)
}

/// The object that stands at a place of a file that was made here.
fn object_at(made: &[u8], at: usize) -> Option<u32> {
    let file = File::open(made).ok()?;
    if at >= file.sections[0].at {
        return None;
    }
    let starts = file.starts();
    let behind = starts.partition_point(|(start, _)| *start <= at);
    starts.get(behind.checked_sub(1)?).map(|(_, number)| *number)
}
