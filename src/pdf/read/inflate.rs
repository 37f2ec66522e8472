//! Packed bytes, within bounds (ISO 32000-1, 7.4.4).

use std::cell::Cell;
use std::io::Read;

use flate2::read::ZlibDecoder;

use super::bounds::{BOUNDS, Refusal};
use super::value::{Dict, Value};

/// What one file may still cost.
pub struct Budget {
    inflated: Cell<usize>,
    reading: Cell<usize>,
}

impl Budget {
    /// For a file of some bytes.
    pub fn new(bytes: usize) -> Budget {
        let (each, any) = BOUNDS.rereading;
        Budget {
            inflated: Cell::new(BOUNDS.inflated),
            reading: Cell::new(bytes.saturating_mul(each).saturating_add(any)),
        }
    }

    /// For the samples of one picture.
    pub fn for_picture() -> Budget {
        Budget { inflated: Cell::new(BOUNDS.picture + (1 << 20)), reading: Cell::new(0) }
    }

    /// Takes off bytes that were read as objects.
    pub fn read(&self, bytes: usize) -> Result<(), Refusal> {
        let what = "times that a byte is read";
        let most = BOUNDS.rereading.0;
        let left = self.reading.get().checked_sub(bytes);
        self.reading.set(left.ok_or(Refusal::Bound { what, most })?);
        Ok(())
    }

    fn spend(&self, bytes: usize) -> Result<(), Refusal> {
        let left = self.inflated.get().checked_sub(bytes);
        self.inflated.set(left.ok_or(TOO_MUCH)?);
        Ok(())
    }
}

const TOO_MUCH: Refusal = Refusal::Bound { what: "bytes when inflated", most: BOUNDS.inflated };

/// The bytes of a stream, unpacked. `at` is where they lie, for messages.
pub fn unpack(dict: &Dict, packed: &[u8], at: usize, budget: &Budget) -> Result<Vec<u8>, Refusal> {
    if dict.get("F").is_some() {
        let what = "a stream whose bytes are in another file";
        return Err(Refusal::Broken { what, at });
    }
    let Some(filter) = filter(dict, at)? else {
        budget.spend(packed.len())?;
        return Ok(packed.to_vec());
    };
    if filter != b"FlateDecode" {
        let name = String::from_utf8_lossy(filter).chars().take(40).collect();
        return Err(Refusal::Filter { name });
    }
    let plain = inflate(packed, at, budget)?;
    match parameters(dict) {
        Some(parameters) => predicted(plain, parameters, at),
        None => Ok(plain),
    }
}

fn filter(dict: &Dict, at: usize) -> Result<Option<&[u8]>, Refusal> {
    match dict.get("Filter") {
        None | Some(Value::Null) => Ok(None),
        Some(Value::Name(name)) => Ok(Some(name)),
        Some(Value::List(list)) => match list.as_slice() {
            [] => Ok(None),
            [Value::Name(name)] => Ok(Some(name)),
            _ => Err(Refusal::Filter { name: "several filters".to_string() }),
        },
        Some(_) => Err(Refusal::Broken { what: "a filter is not a name", at }),
    }
}

fn parameters(dict: &Dict) -> Option<&Dict> {
    match dict.get("DecodeParms")? {
        Value::List(list) => list.first()?.dict(),
        other => other.dict(),
    }
}

fn inflate(packed: &[u8], at: usize, budget: &Budget) -> Result<Vec<u8>, Refusal> {
    let most = budget.inflated.get();
    let mut plain = Vec::new();
    let mut decoder = ZlibDecoder::new(packed).take(most as u64 + 1);
    let read = decoder.read_to_end(&mut plain);
    if plain.len() > most {
        return Err(TOO_MUCH);
    }
    budget.spend(plain.len())?;
    let what = "packed bytes cannot be inflated";
    read.map_err(|_| Refusal::Broken { what, at })?;
    Ok(plain)
}

/// Undoes the prediction by rows (ISO 32000-1, 7.4.4.4, and PNG, 9).
fn predicted(plain: Vec<u8>, parameters: &Dict, at: usize) -> Result<Vec<u8>, Refusal> {
    match parameters.int("Predictor") {
        None | Some(1) => return Ok(plain),
        Some(10..=15) => {}
        _ => {
            let name = "a predictor".to_string();
            return Err(Refusal::Filter { name });
        }
    }
    let wrong = |what| Refusal::Broken { what, at };
    let bits = usize::try_from(parameters.int("BitsPerComponent").unwrap_or(8)).unwrap_or(0);
    let colours = usize::try_from(parameters.int("Colors").unwrap_or(1)).unwrap_or(0);
    let columns = usize::try_from(parameters.int("Columns").unwrap_or(1)).unwrap_or(0);
    let sound = [1, 2, 4, 8, 16].contains(&bits) && (1..=4).contains(&colours);
    if !sound || columns == 0 || columns > 1 << 16 {
        return Err(wrong("a prediction that is not read here"));
    }
    // What lies left of a byte is the same byte of the dot before.
    let dot = (bits * colours).div_ceil(8);
    let width = (columns * bits * colours).div_ceil(8);
    let mut out: Vec<u8> = Vec::with_capacity(plain.len());
    let mut above = vec![0_u8; width];
    let mut here = vec![0_u8; width];
    for row in plain.chunks(width + 1) {
        for (i, byte) in row[1..].iter().enumerate() {
            let up = above[i];
            let before = i.checked_sub(dot);
            let (left, corner) = before.map_or((0, 0), |before| (here[before], above[before]));
            let guess = match row[0] {
                0 => 0,
                1 => left,
                2 => up,
                3 => ((u16::from(left) + u16::from(up)) / 2) as u8,
                4 => paeth(left, up, corner),
                _ => return Err(wrong("a prediction is written wrongly")),
            };
            here[i] = byte.wrapping_add(guess);
        }
        out.extend(&here[..row.len() - 1]);
        std::mem::swap(&mut above, &mut here);
    }
    Ok(out)
}

fn paeth(left: u8, up: u8, corner: u8) -> u8 {
    let [a, b, c] = [left, up, corner].map(i16::from);
    let near = |x: i16| (a + b - c - x).abs();
    if near(a) <= near(b) && near(a) <= near(c) {
        left
    } else if near(b) <= near(c) {
        up
    } else {
        corner
    }
}
