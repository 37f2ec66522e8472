//! One report against another that was made anew, byte for byte. Another
//! release of the compressor may have packed it, and nothing else may differ.

use std::collections::HashMap;

use flate2::{Decompress, FlushDecompress, Status};

use super::File;
use super::bounds::Refusal;
use super::value::{Dict, Value};

/// How far the report goes in a file, as it was made anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Alike {
    pub end: usize,
    /// Its streams are packed otherwise than here.
    pub packed: bool,
}

/// Where a file first differs from what was made anew, in bytes from its start,
/// and in which object of that.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Differs {
    pub at: usize,
    pub object: Option<u32>,
}

/// Finds the report at the beginning of a file: each byte as it was made anew,
/// in the same order and with nothing between. A stream may be packed in
/// another way where it inflates to the same; its length and all places that
/// follow from it are worked out anew and compared too.
///
/// # Errors
/// [`Refusal`] where `made` cannot be read, which only a wrong build does; the
/// first difference in the inner result.
pub fn alike(file: &[u8], made: &[u8]) -> Result<Result<Alike, Differs>, Refusal> {
    if file.starts_with(made) {
        return Ok(Ok(Alike { end: made.len(), packed: false }));
    }
    let known = File::open(made)?;
    let table = known.sections[0].at;
    let starts = known.starts();
    let ends = starts.iter().skip(1).map(|(at, _)| *at).chain([table]);
    let mut other = Other { file, at: 0, moved: HashMap::new() };
    let head = starts.first().map_or(table, |(at, _)| *at);
    if let Err(at) = other.same(&made[..head]) {
        return Ok(Err(Differs { at, object: None }));
    }
    for ((start, number), end) in starts.iter().zip(ends) {
        other.moved.insert(*start, other.at);
        let whole = &made[*start..end];
        if other.file[other.at..].starts_with(whole) {
            other.at += whole.len();
            continue;
        }
        let same = match known.object(*number, 0)? {
            Value::Stream(dict, range) if dict.get("Filter").is_some() => {
                let plain = known.unpacked(&dict, &range)?;
                let rest = &made[range.end..end];
                let head = &made[*start..range.start];
                let own = &made[range.clone()];
                other.stream(head, own, &plain).and_then(|()| other.same(rest))
            }
            _ => other.same(whole),
        };
        if let Err(at) = same {
            return Ok(Err(Differs { at, object: Some(*number) }));
        }
    }
    other.moved.insert(table, other.at);
    let rest = other.table(&made[table..]);
    Ok(match other.same(&rest) {
        Ok(()) => Ok(Alike { end: other.at, packed: true }),
        Err(at) => Err(Differs { at, object: None }),
    })
}

/// A file as it is compared, from its start on.
struct Other<'a> {
    file: &'a [u8],
    at: usize,
    /// Where that which was made anew stands in the file.
    moved: HashMap<usize, usize>,
}

impl Other<'_> {
    /// Goes on behind some bytes, which must stand here.
    fn same(&mut self, bytes: &[u8]) -> Result<(), usize> {
        match first_difference(&self.file[self.at..], bytes) {
            None => self.at += bytes.len(),
            Some(at) => return Err(self.at + at),
        }
        Ok(())
    }

    /// A stream with its dictionary, `own` being how it is packed here.
    fn stream(&mut self, head: &[u8], own: &[u8], plain: &[u8]) -> Result<(), usize> {
        let written = format!("/Length {}", own.len());
        let place = head.windows(written.len()).rposition(|part| part == written.as_bytes());
        let place = place.ok_or(self.at)?;
        self.same(&head[..place + b"/Length ".len()])?;
        let length = figure(&self.file[self.at..]).ok_or(self.at)?;
        self.same(length.to_string().as_bytes())?;
        self.same(&head[place + written.len()..])?;
        let packed = self.file.get(self.at..self.at.saturating_add(length)).ok_or(self.at)?;
        if packed != own && !inflates_to(packed, plain) {
            let at = first_difference(packed, own);
            return Err(self.at + at.unwrap_or_default());
        }
        self.at += length;
        Ok(())
    }

    /// The table and the trailer with places as they are in the file.
    fn table(&self, made: &[u8]) -> Vec<u8> {
        let mut out = Vec::with_capacity(made.len());
        let mut last: &[u8] = b"";
        for line in made.split_inclusive(|byte| *byte == b'\n') {
            let place = figure(line).and_then(|at| self.moved.get(&at));
            match place {
                Some(at) if line.len() == ROW && line[ROW - 3] == b'n' => {
                    out.extend(format!("{at:010}").bytes());
                    out.extend(&line[10..]);
                }
                Some(at) if last == b"startxref\n" => out.extend(format!("{at}\n").bytes()),
                _ => out.extend(line),
            }
            last = line;
        }
        out
    }
}

/// Bytes of a row of the table (ISO 32000-1, 7.5.4).
const ROW: usize = 20;

/// The number whose digits stand at the beginning.
pub fn figure(bytes: &[u8]) -> Option<usize> {
    let digits = bytes.iter().take(11).take_while(|byte| byte.is_ascii_digit()).count();
    std::str::from_utf8(&bytes[..digits]).ok()?.parse().ok()
}

/// Where bytes first are not those expected, or end before them.
pub fn first_difference(bytes: &[u8], expected: &[u8]) -> Option<usize> {
    if bytes.starts_with(expected) {
        return None;
    }
    let pairs = bytes.iter().zip(expected);
    Some(pairs.take_while(|(a, b)| a == b).count())
}

/// Whether packed bytes, all of them, are one deflated stream of the content.
pub fn inflates_to(packed: &[u8], content: &[u8]) -> bool {
    let mut plain = Vec::with_capacity(content.len() + 1);
    let mut inflater = Decompress::new(true);
    let status = inflater.decompress_vec(packed, &mut plain, FlushDecompress::Finish);
    matches!(status, Ok(Status::StreamEnd))
        && inflater.total_in() == packed.len() as u64
        && plain == content
}

/// A stream as it is packed at a place of a file, where its dictionary is
/// written as here and it inflates to the content.
pub fn packed_there<'a>(
    file: &'a [u8],
    at: usize,
    dict: &Dict,
    content: &[u8],
) -> Option<&'a [u8]> {
    let mut head = Vec::new();
    Value::Dict(dict.clone().with("Filter", "FlateDecode")).write(&mut head);
    head.truncate(head.len() - b">>".len());
    head.extend(b"/Length ");
    let rest = file.get(at..)?.strip_prefix(head.as_slice())?;
    let length = figure(rest)?;
    let rest = rest.strip_prefix(format!("{length}>>\nstream\n").as_bytes())?;
    let packed = rest.get(..length)?;
    (length < content.len() && inflates_to(packed, content)).then_some(packed)
}
