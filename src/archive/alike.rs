//! Two files that hold the same, whoever packed them.

use super::read::File;
use super::read::value::{Dict, Value};
use super::refusal::Refusal;

/// Whether two reports, each as it was first written, hold the same objects with
/// the same content: another release of the compressor gives other bytes.
///
/// # Errors
/// [`Refusal`] where one of them cannot be read within bounds.
pub fn same_content(one: &[u8], other: &[u8]) -> Result<bool, Refusal> {
    let (one, other) = (File::open(one)?, File::open(other)?);
    let written_once = one.sections.len() == 1 && other.sections.len() == 1;
    let numbers = numbers(&one);
    if !written_once || one.trailer() != other.trailer() || numbers != self::numbers(&other) {
        return Ok(false);
    }
    for number in numbers {
        match (one.object(number, 0)?, other.object(number, 0)?) {
            (Value::Stream(a, at), Value::Stream(b, place)) => {
                let alike = unpacked(&a) == unpacked(&b);
                if !alike || one.unpacked(&a, &at)? != other.unpacked(&b, &place)? {
                    return Ok(false);
                }
            }
            (a, b) if a != b => return Ok(false),
            _ => {}
        }
    }
    Ok(true)
}

fn numbers(file: &File<'_>) -> Vec<u32> {
    let mut numbers: Vec<u32> = file.starts().into_iter().map(|(_, number)| number).collect();
    numbers.sort_unstable();
    numbers
}

/// A stream's dictionary without what depends on how it is packed.
fn unpacked(dict: &Dict) -> Vec<&(Vec<u8>, Value)> {
    let packing = [b"Filter".as_slice(), b"Length"];
    let mut entries: Vec<_> =
        dict.0.iter().filter(|(key, _)| !packing.contains(&key.as_slice())).collect();
    entries.sort_by(|(a, _), (b, _)| a.cmp(b));
    entries
}
