//! The bytes that a signature covers (ISO 32000-1, 12.8.1): all of the file as
//! it stood, but for the signature itself.

use std::ops::Range;

use super::types::Integrity;
use crate::pdf::read::value::{Dict, Value};
use crate::pdf::{BOUNDS, File};

/// Places of a signature that fits its file.
pub struct Covered {
    /// The signature with its brackets.
    pub gap: Range<usize>,
    /// Where the file ended when it was signed.
    pub end: usize,
    /// The signature's bytes, with the zeros behind it.
    pub contents: Vec<u8>,
}

/// Checks a signature's range against the place of its object.
pub fn covered(file: &File<'_>, dict: &Dict, place: &Range<usize>) -> Result<Covered, Integrity> {
    let malformed = |why| Integrity::Malformed { why };
    let contents = match dict.get("Contents") {
        Some(Value::Text(bytes)) if bytes.len() <= BOUNDS.contents => bytes.clone(),
        _ => return Err(malformed("it has no contents, or too many")),
    };
    let [0, from, to, behind] = numbers(dict).ok_or(malformed("its byte range is missing"))? else {
        return Err(malformed("its byte range does not begin with the file"));
    };
    let end = to.checked_add(behind).filter(|end| *end <= file.bytes.len());
    let Some(end) = end.filter(|_| from < to) else {
        return Err(Integrity::Foreign);
    };
    // Only the signature's own contents may be left out: not what stands in
    // another place with the same bytes.
    let within = place.start < from && to <= place.end;
    if !within || written(&file.bytes[from..to]).as_deref() != Some(&contents) {
        return Err(Integrity::Foreign);
    }
    if !file.sections.iter().any(|s| s.end == Some(end)) {
        return Err(malformed("its byte range ends within the file as it stood"));
    }
    Ok(Covered { gap: from..to, end, contents })
}

fn numbers(dict: &Dict) -> Option<[usize; 4]> {
    let list = dict.get("ByteRange")?.list()?;
    let numbers = list.iter().map(|v| match v {
        Value::Int(n) => usize::try_from(*n).ok(),
        _ => None,
    });
    numbers.collect::<Option<Vec<_>>>()?.try_into().ok()
}

/// The bytes of a text in hexadecimal that is written in one way: digits of
/// one case and nothing else. Nobody writes both, so both mean a change.
fn written(text: &[u8]) -> Option<Vec<u8>> {
    let digits = text.strip_prefix(b"<")?.strip_suffix(b">")?;
    let upper = digits.iter().any(u8::is_ascii_uppercase);
    let lower = digits.iter().any(u8::is_ascii_lowercase);
    if digits.len() % 2 != 0 || upper && lower {
        return None;
    }
    let digit = |b: &u8| char::from(*b).to_digit(16).map(|d| d as u8);
    let pairs = digits.chunks_exact(2);
    pairs.map(|p| Some(digit(&p[0])? << 4 | digit(&p[1])?)).collect()
}

/// The signature without the zeros behind it; `None` where anything else
/// stands there.
pub fn trimmed(contents: &[u8]) -> Option<&[u8]> {
    let (sealed, rest) = contents.split_at_checked(length(contents)?)?;
    rest.iter().all(|b| *b == 0).then_some(sealed)
}

/// How long a sequence of DER is, by its head.
fn length(bytes: &[u8]) -> Option<usize> {
    let [0x30, first, rest @ ..] = bytes else {
        return None;
    };
    match *first {
        short @ 0..=0x7F => Some(2 + usize::from(short)),
        long @ 0x81..=0x84 => {
            let digits = rest.get(..usize::from(long - 0x80))?;
            let length = digits.iter().fold(0, |n, b| n << 8 | usize::from(*b));
            Some(2 + digits.len() + length)
        }
        _ => None,
    }
}
