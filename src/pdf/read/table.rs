//! The table of objects and the trailer (ISO 32000-1, 7.5.4 to 7.5.8), of
//! every time that the file was added to.

use std::collections::{HashMap, HashSet};

use super::bounds::{BOUNDS, Refusal};
use super::inflate::{Budget, unpack};
use super::lex::Lexer;
use super::object;
use super::value::{Dict, Value};

/// Where an object lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Bytes from the start, and its generation.
    At(usize, u16),
    /// Number of the stream that holds it, and which one there.
    Packed(u32, usize),
    Free,
}

/// One time that the file was written or added to.
#[derive(Clone, Debug)]
pub struct Section {
    /// Where its table begins.
    pub at: usize,
    /// Just behind its end mark, where it has one of its own.
    pub end: Option<usize>,
    pub trailer: Dict,
    /// Whether the table is a stream.
    pub packed: bool,
}

/// All sections, the newest first, and the places they give together.
pub struct Table {
    pub sections: Vec<Section>,
    pub places: HashMap<u32, Place>,
}

const END: &[u8] = b"%%EOF";

/// Reads the table of a whole file.
pub fn table(bytes: &[u8], budget: &Budget) -> Result<Table, Refusal> {
    let mut table = Table { sections: Vec::new(), places: HashMap::new() };
    let mut seen = HashSet::new();
    let mut next = Some(newest(bytes)?);
    while let Some(at) = next {
        if !seen.insert(at) {
            let what = "the table of objects leads back to itself";
            return Err(Refusal::Broken { what, at });
        }
        if seen.len() > BOUNDS.sections {
            return Err(Refusal::Bound { what: "times it was added to", most: BOUNDS.sections });
        }
        let section = section(bytes, at, &mut table.places, budget)?;
        next = earlier(&section, bytes.len())?;
        table.sections.push(section);
    }
    Ok(table)
}

/// Where the newest table begins, from the end of the file.
fn newest(bytes: &[u8]) -> Result<usize, Refusal> {
    let broken = |what| Refusal::Broken { what, at: bytes.len() };
    let from = bytes.len().saturating_sub(2048);
    let tail = &bytes[from..];
    let mark = b"startxref";
    let found = tail.windows(mark.len()).rposition(|w| w == mark);
    let found = found.ok_or_else(|| broken("its end is missing"))?;
    let mut lexer = Lexer::new(bytes, from + found + mark.len());
    let at = lexer.whole()?;
    let end = end_mark(bytes, lexer.at).ok_or_else(|| broken("its end is missing"))?;
    let rest = &bytes[end..];
    if !rest.iter().all(|b| matches!(b, 0 | 9 | 10 | 13 | 32)) {
        let what = "more bytes stand behind its end";
        return Err(Refusal::Broken { what, at: end });
    }
    let at = usize::try_from(at).ok().filter(|at| *at < bytes.len());
    at.ok_or_else(|| broken("its end leads nowhere"))
}

/// Just behind the end mark that stands here, white space aside.
fn end_mark(bytes: &[u8], from: usize) -> Option<usize> {
    let rest = bytes.get(from..)?;
    let space = rest.iter().take_while(|b| b.is_ascii_whitespace()).count();
    let behind = rest.get(space..)?;
    behind.starts_with(END).then_some(from + space + END.len())
}

fn earlier(section: &Section, length: usize) -> Result<Option<usize>, Refusal> {
    let broken = |what| Refusal::Broken { what, at: section.at };
    if section.trailer.get("Encrypt").is_some() {
        return Err(Refusal::Encrypted);
    }
    if section.trailer.get("XRefStm").is_some() {
        return Err(Refusal::Ambiguous { what: "two tables of objects at once", at: section.at });
    }
    match section.trailer.get("Prev") {
        None => Ok(None),
        Some(Value::Int(at)) => {
            let at = usize::try_from(*at).ok().filter(|at| *at < length);
            at.map(Some).ok_or_else(|| broken("the table before it is missing"))
        }
        Some(_) => Err(broken("the table before it is missing")),
    }
}

fn section(
    bytes: &[u8],
    at: usize,
    places: &mut HashMap<u32, Place>,
    budget: &Budget,
) -> Result<Section, Refusal> {
    let mut lexer = Lexer::new(bytes, at);
    let packed = !lexer.word("xref");
    let trailer = if packed {
        stream_entries(bytes, &mut lexer, places, budget)?
    } else {
        plain_entries(&mut lexer, places)?
    };
    let own = lexer.word("startxref") && lexer.whole().ok() == Some(at as u64);
    let end = own.then(|| end_mark(bytes, lexer.at)).flatten();
    Ok(Section { at, end, trailer, packed })
}

/// Enters a place, unless a newer section has one.
fn enter(places: &mut HashMap<u32, Place>, number: u64, place: Place) -> Result<(), Refusal> {
    let number = u32::try_from(number).ok().filter(|n| *n < 1 << 28);
    let most = BOUNDS.objects;
    let what = "objects";
    let number = number.ok_or(Refusal::Bound { what, most })?;
    places.entry(number).or_insert(place);
    if places.len() > most {
        return Err(Refusal::Bound { what, most });
    }
    Ok(())
}

fn plain_entries(lexer: &mut Lexer<'_>, places: &mut HashMap<u32, Place>) -> Result<Dict, Refusal> {
    let mut own = HashSet::new();
    while !lexer.word("trailer") {
        let first = lexer.whole()?;
        let count = lexer.whole()?;
        if count > BOUNDS.objects as u64 {
            return Err(lexer.broken("its table of objects is too long"));
        }
        for number in first..first.saturating_add(count) {
            let at = lexer.whole()?;
            let generation = lexer.whole()?;
            let used = lexer.word("n");
            if !used && !lexer.word("f") {
                return Err(lexer.broken("its table of objects is written wrongly"));
            }
            if !own.insert(number) {
                let what = "an object stands twice in one table";
                return Err(Refusal::Ambiguous { what, at: lexer.at });
            }
            let place = match (used, usize::try_from(at), u16::try_from(generation)) {
                (true, Ok(at), Ok(generation)) => Place::At(at, generation),
                (false, ..) => Place::Free,
                _ => return Err(lexer.broken("its table of objects is written wrongly")),
            };
            enter(places, number, place)?;
        }
    }
    match lexer.value()? {
        Value::Dict(trailer) => Ok(trailer),
        _ => Err(lexer.broken("its trailer is missing")),
    }
}

fn stream_entries(
    bytes: &[u8],
    lexer: &mut Lexer<'_>,
    places: &mut HashMap<u32, Place>,
    budget: &Budget,
) -> Result<Dict, Refusal> {
    let at = lexer.at;
    let wrong = || Refusal::Broken { what: "its table of objects is written wrongly", at };
    let object = object::read(bytes, at, &|_| None)?;
    lexer.at = object.end;
    let Value::Stream(dict, range) = object.value else {
        return Err(wrong());
    };
    if dict.name("Type") != Some(b"XRef") {
        return Err(wrong());
    }
    let rows = unpack(&dict, &bytes[range], at, budget)?;
    let widths = widths(&dict).ok_or_else(wrong)?;
    let mut rows = rows.chunks_exact(widths.iter().sum::<usize>().max(1));
    for (first, count) in ranges(&dict).ok_or_else(wrong)? {
        for number in first..first.saturating_add(count) {
            let row = rows.next().ok_or_else(wrong)?;
            let place = place(row, widths).ok_or_else(wrong)?;
            enter(places, number, place)?;
        }
    }
    Ok(dict)
}

fn widths(dict: &Dict) -> Option<[usize; 3]> {
    let [Value::Int(a), Value::Int(b), Value::Int(c)] = dict.get("W")?.list()? else {
        return None;
    };
    let width = |n: i64| usize::try_from(n).ok().filter(|n| *n <= 8);
    Some([width(*a)?, width(*b)?, width(*c)?])
}

fn ranges(dict: &Dict) -> Option<Vec<(u64, u64)>> {
    let whole = |v: &Value| match v {
        Value::Int(n) => u64::try_from(*n).ok().filter(|n| *n < 1 << 28),
        _ => None,
    };
    let Some(index) = dict.get("Index") else {
        return Some(vec![(0, whole(dict.get("Size")?)?)]);
    };
    let pairs = index.list()?.chunks_exact(2);
    pairs.map(|p| Some((whole(&p[0])?, whole(&p[1])?))).collect()
}

fn place(row: &[u8], [a, b, c]: [usize; 3]) -> Option<Place> {
    let field = |bytes: &[u8]| bytes.iter().fold(0_u64, |n, b| n << 8 | u64::from(*b));
    let kind = if a == 0 { 1 } else { field(&row[..a]) };
    let second = usize::try_from(field(&row[a..a + b])).ok()?;
    let third = field(&row[a + b..a + b + c]);
    match kind {
        0 => Some(Place::Free),
        1 => Some(Place::At(second, u16::try_from(third).ok()?)),
        2 => Some(Place::Packed(u32::try_from(second).ok()?, usize::try_from(third).ok()?)),
        // A kind of the future stands for nothing (ISO 32000-1, table 18).
        _ => Some(Place::Free),
    }
}
