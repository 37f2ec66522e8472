//! The pictures on the pages of a scan (ISO 32000-1, 8.9), still packed where
//! their packing is a picture's own.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::ops::Range;

use super::File;
use super::bounds::{BOUNDS, Refusal};
use super::pages::{inherited, pages};
use super::value::{Dict, Value};

/// A picture of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Picture {
    /// A JPEG file.
    Jpeg(Vec<u8>),
    Samples(Samples),
    /// Group 4 fax (ITU-T T.6).
    Fax {
        width: u32,
        height: u32,
        inverted: bool,
        packed: Vec<u8>,
    },
    /// One that was handed over before; which, counted from 0.
    Again(usize),
    /// Packed or made in a way that is not read; which.
    NotRead(String),
}

/// Rows of samples, each row from a whole byte.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Samples {
    pub width: u32,
    pub height: u32,
    /// Of one sample: 1, 2, 4, 8 or 16.
    pub bits: u32,
    /// Samples a dot: 1 grey or an entry of the palette, 3 red, green and
    /// blue, 4 inks.
    pub colours: u32,
    /// The highest sample is black.
    pub inverted: bool,
    /// Red, green and blue of each entry.
    pub palette: Option<Vec<[u8; 3]>>,
    pub bytes: Vec<u8>,
}

/// Forms within each other that are looked into.
const DEPTH: usize = 4;
/// Pictures of one page that are looked at: a scanner may cut a page into
/// strips.
const A_PAGE: usize = 64;

/// Bytes of samples that are unpacked of one file: a thousand pages of A4 in
/// grey at 200 dots an inch.
const UNPACKED: usize = 4 << 30;

/// The way through a file's pictures.
struct Walk<'a> {
    /// Where each picture lies that was handed over.
    seen: HashMap<usize, usize>,
    /// Pictures that may still be on the page.
    left: usize,
    /// Bytes that may still be unpacked of the page.
    on_page: usize,
    in_all: usize,
    take: &'a mut dyn FnMut(usize, Picture) -> bool,
}

/// Hands over each picture with its page, counted from 0, one at a time, until
/// `take` says that it has enough; gives the number of pages.
///
/// # Errors
/// [`Refusal`] where the file is damaged or beyond [`BOUNDS`].
pub fn pictures(
    pdf: &[u8],
    take: &mut dyn FnMut(usize, Picture) -> bool,
) -> Result<usize, Refusal> {
    let file = File::open(pdf)?;
    let pages = pages(&file)?;
    if pages.len() > BOUNDS.carried {
        return Err(Refusal::Bound { what: "pages of a scan", most: BOUNDS.carried });
    }
    let mut walk = Walk { seen: HashMap::new(), left: 0, on_page: 0, in_all: UNPACKED, take };
    for (at, (_, _, page)) in pages.iter().enumerate() {
        let resources = match inherited(&file, page, "Resources")? {
            Value::Dict(resources) => resources,
            _ => continue,
        };
        (walk.left, walk.on_page) = (A_PAGE, BOUNDS.picture);
        if !each(&file, &resources, 0, at, &mut walk)? {
            break;
        }
    }
    Ok(pages.len())
}

/// The pictures that some resources name; whether more are wanted.
fn each(
    file: &File<'_>,
    resources: &Dict,
    depth: usize,
    page: usize,
    walk: &mut Walk<'_>,
) -> Result<bool, Refusal> {
    let Some(objects) = file.dict(resources.get("XObject"))? else {
        return Ok(true);
    };
    for (_, object) in &objects.0 {
        let Value::Stream(dict, range) = file.resolve(object)? else {
            continue;
        };
        match dict.name("Subtype") {
            Some(b"Image") if walk.left > 0 => {
                walk.left -= 1;
                let nth = walk.seen.len();
                let picture = match walk.seen.entry(range.start) {
                    Entry::Occupied(before) => Ok(Picture::Again(*before.get())),
                    Entry::Vacant(place) => {
                        place.insert(nth);
                        picture(file, &dict, &range, (&mut walk.on_page, &mut walk.in_all))
                    }
                };
                // One damaged picture does not hide the others.
                let damaged = |refusal| Picture::NotRead(format!("damaged ({refusal})"));
                if !(walk.take)(page, picture.unwrap_or_else(damaged)) {
                    return Ok(false);
                }
            }
            Some(b"Form") if depth < DEPTH => {
                let inner = file.dict(dict.get("Resources"))?.unwrap_or_default();
                if !each(file, &inner, depth + 1, page, walk)? {
                    return Ok(false);
                }
            }
            _ => {}
        }
    }
    Ok(true)
}

/// Bytes of samples that may still be unpacked: of the page, and in all.
type Room<'a> = (&'a mut usize, &'a mut usize);

fn picture(
    file: &File<'_>,
    dict: &Dict,
    range: &Range<usize>,
    room: Room<'_>,
) -> Result<Picture, Refusal> {
    let not_read = |why: &str| Ok(Picture::NotRead(why.to_owned()));
    let filters = names(file, dict)?;
    let (last, before) = match filters.split_last() {
        Some((last, before)) => (last.as_slice(), before),
        None => (b"".as_slice(), [].as_slice()),
    };
    if before.iter().any(|name| name != b"FlateDecode") || before.len() > 1 {
        return not_read("packed several times over");
    }
    let packed = file.bytes.get(range.clone()).unwrap_or_default();
    let (width, height) = (side(file, dict, "Width")?, side(file, dict, "Height")?);
    let (Some(width), Some(height)) = (width, height) else {
        return not_read("without a width and a height");
    };
    match last {
        b"DCTDecode" => Ok(Picture::Jpeg(match before {
            [] => packed.to_vec(),
            _ => file.inflated(packed, range.start)?,
        })),
        b"CCITTFaxDecode" if before.is_empty() => fax(file, dict, packed, (width, height)),
        b"" | b"FlateDecode" => samples(file, dict, range, (width, height), room),
        other => {
            let letters = other.iter().filter(|byte| byte.is_ascii_alphanumeric()).take(30);
            let name: String = letters.map(|byte| char::from(*byte)).collect();
            Ok(Picture::NotRead(format!("packed with {name}")))
        }
    }
}

fn names(file: &File<'_>, dict: &Dict) -> Result<Vec<Vec<u8>>, Refusal> {
    let list = match file.entry(dict, "Filter")? {
        Value::Name(name) => return Ok(vec![name]),
        Value::List(list) => list,
        _ => Vec::new(),
    };
    let mut names = Vec::new();
    for value in &list {
        if let Value::Name(name) = file.resolve(value)? {
            names.push(name);
        }
    }
    Ok(names)
}

fn side(file: &File<'_>, dict: &Dict, key: &str) -> Result<Option<u32>, Refusal> {
    match file.entry(dict, key)? {
        Value::Int(n) => Ok(u32::try_from(n).ok().filter(|n| (1..=65_535).contains(n))),
        _ => Ok(None),
    }
}

/// Whether the picture's own note turns black and white about.
fn turned(file: &File<'_>, dict: &Dict) -> Result<bool, Refusal> {
    let decode = file.list(dict, "Decode")?;
    Ok(matches!(decode.first().and_then(Value::number), Some(first) if first > 0.5))
}

fn fax(
    file: &File<'_>,
    dict: &Dict,
    packed: &[u8],
    (width, height): (u32, u32),
) -> Result<Picture, Refusal> {
    let first = match file.entry(dict, "DecodeParms")? {
        Value::List(list) => list.first().cloned(),
        other => Some(other),
    };
    let parameters = file.dict(first.as_ref())?.unwrap_or_default();
    if parameters.int("K").unwrap_or(0) >= 0 {
        return Ok(Picture::NotRead("packed as a group 3 fax".to_owned()));
    }
    if parameters.get("EncodedByteAlign") == Some(&Value::Bool(true)) {
        return Ok(Picture::NotRead("packed as a fax with padded rows".to_owned()));
    }
    let columns = parameters.int("Columns").unwrap_or(1728);
    if columns != i64::from(width) {
        return Ok(Picture::NotRead("packed as a fax of another width".to_owned()));
    }
    // By itself a black dot is the sample 0, and 0 is shown black.
    let black_is_1 = parameters.get("BlackIs1") == Some(&Value::Bool(true));
    let inverted = turned(file, dict)? != black_is_1;
    Ok(Picture::Fax { width, height, inverted, packed: packed.to_vec() })
}

fn samples(
    file: &File<'_>,
    dict: &Dict,
    range: &Range<usize>,
    (width, height): (u32, u32),
    (on_page, in_all): Room<'_>,
) -> Result<Picture, Refusal> {
    let mask = dict.get("ImageMask") == Some(&Value::Bool(true));
    let bits = match file.entry(dict, "BitsPerComponent")? {
        Value::Int(bits @ (1 | 2 | 4 | 8 | 16)) => bits as u32,
        _ if mask => 1,
        _ => return Ok(Picture::NotRead("of an unusual depth".to_owned())),
    };
    let space = file.entry(dict, "ColorSpace")?;
    let Some((colours, palette)) = (if mask { Some((1, None)) } else { colours(file, &space)? })
    else {
        return Ok(Picture::NotRead("of an unusual kind of colour".to_owned()));
    };
    let row = (width as usize * (bits * colours) as usize).div_ceil(8);
    let whole = row * height as usize;
    if whole > BOUNDS.picture {
        return Ok(Picture::NotRead("too large".to_owned()));
    }
    // Taken off before it is unpacked: a damaged picture costs as much.
    let (Some(page), Some(all)) = (on_page.checked_sub(whole), in_all.checked_sub(whole)) else {
        return Ok(Picture::NotRead("behind too many others".to_owned()));
    };
    (*on_page, *in_all) = (page, all);
    let bytes = file.picture(dict, range)?;
    if bytes.len() < whole {
        return Ok(Picture::NotRead("cut short".to_owned()));
    }
    let inverted = turned(file, dict)? && palette.is_none();
    Ok(Picture::Samples(Samples { width, height, bits, colours, inverted, palette, bytes }))
}

type Colours = (u32, Option<Vec<[u8; 3]>>);

fn colours(file: &File<'_>, space: &Value) -> Result<Option<Colours>, Refusal> {
    let (name, list) = match space {
        Value::Name(name) => (name.clone(), [].as_slice()),
        Value::List(list) => match list.first().map(|first| file.resolve(first)).transpose()? {
            Some(Value::Name(name)) => (name, list.as_slice()),
            _ => return Ok(None),
        },
        _ => return Ok(None),
    };
    match (name.as_slice(), list) {
        (b"Indexed", [_, base, _, table]) => {
            Ok(palette(file, base, table)?.map(|table| (1, Some(table))))
        }
        _ => Ok(count(file, &name, list)?.map(|count| (count, None))),
    }
}

fn count(file: &File<'_>, name: &[u8], list: &[Value]) -> Result<Option<u32>, Refusal> {
    Ok(match (name, list) {
        (b"DeviceGray" | b"CalGray", _) => Some(1),
        (b"DeviceRGB" | b"CalRGB", _) => Some(3),
        (b"DeviceCMYK", _) => Some(4),
        (b"ICCBased", [_, profile]) => match file.dict(Some(profile))?.and_then(|p| p.int("N")) {
            Some(n @ (1 | 3 | 4)) => Some(n as u32),
            _ => None,
        },
        _ => None,
    })
}

fn palette(file: &File<'_>, base: &Value, table: &Value) -> Result<Option<Vec<[u8; 3]>>, Refusal> {
    let count = match file.resolve(base)? {
        Value::Name(name) => count(file, &name, &[])?,
        Value::List(list) => match list.first() {
            Some(Value::Name(name)) => count(file, name, &list)?,
            _ => None,
        },
        _ => None,
    };
    let table = match file.resolve(table)? {
        Value::Text(bytes) => bytes,
        Value::Stream(dict, range) => file.unpacked(&dict, &range)?,
        _ => return Ok(None),
    };
    Ok(match count {
        Some(1) => Some(table.iter().take(256).map(|grey| [*grey; 3]).collect()),
        Some(3) => Some(table.chunks_exact(3).take(256).map(|c| [c[0], c[1], c[2]]).collect()),
        _ => None,
    })
}
