//! The typeface in which a form shows what is typed: a simple one in the standard
//! Latin encoding, which every reader can write in. Its table of characters is
//! written here, since the subset comes without one (ISO 32000-1, 9.6.6.4;
//! OpenType 1.9, `cmap`, format 4).

use lopdf::{Dictionary, Document as Objects, Object, ObjectId, Stream, dictionary};
use subsetter::GlyphRemapper;

use super::undrawable::Undrawable;
use crate::layout::font::fonts;
use crate::layout::mark::Face;

/// Code and character of the standard Latin encoding from 0x80 to 0x9F
/// (ISO 32000-1, annex D.2, WinAnsiEncoding).
const UPPER: [(u8, char); 27] = [
    (0x80, '€'),
    (0x82, '‚'),
    (0x83, 'ƒ'),
    (0x84, '„'),
    (0x85, '…'),
    (0x86, '†'),
    (0x87, '‡'),
    (0x88, 'ˆ'),
    (0x89, '‰'),
    (0x8A, 'Š'),
    (0x8B, '‹'),
    (0x8C, 'Œ'),
    (0x8E, 'Ž'),
    (0x91, '‘'),
    (0x92, '’'),
    (0x93, '“'),
    (0x94, '”'),
    (0x95, '•'),
    (0x96, '–'),
    (0x97, '—'),
    (0x98, '˜'),
    (0x99, '™'),
    (0x9A, 'š'),
    (0x9B, '›'),
    (0x9C, 'œ'),
    (0x9E, 'ž'),
    (0x9F, 'Ÿ'),
];

fn letters() -> impl Iterator<Item = (u8, char)> {
    let latin = (0x20..=0x7E).chain(0xA1..=0xFF).map(|code: u8| (code, char::from(code)));
    latin.chain(UPPER)
}

/// Embeds the typeface.
///
/// # Errors
/// [`Undrawable`] where its file cannot be cut down.
pub fn embed(objects: &mut Objects, face: Face) -> Result<ObjectId, Undrawable> {
    let (name, file) = fonts().file(face);
    let metrics = fonts().metrics(face);
    let mut mapper = GlyphRemapper::new();
    let mut codes: Vec<(u16, u16)> = Vec::new();
    let mut widths = vec![0; 256 - 32];
    for (code, letter) in letters() {
        let Some(glyph) = fonts().glyph(face, letter) else { continue };
        let unit = u32::from(letter) as u16;
        codes.push((unit, mapper.remap(glyph.id)));
        widths[usize::from(code) - 32] = i64::from(glyph.advance);
    }
    codes.sort_unstable();
    let wrong = || Undrawable::Face { name };
    let subset = subsetter::subset(file, 0, &mapper).map_err(|_| wrong())?;
    let bytes = with_table(&subset, b"cmap", &cmap(&codes)).ok_or_else(wrong)?;
    let name = format!("{}+{name}", super::glyphs::tag(&bytes));
    let length = bytes.len() as i64;
    let file = objects.add_object(Stream::new(dictionary! { "Length1" => length }, bytes));
    let bounds: Vec<Object> = metrics.bounds.iter().map(|edge| i64::from(*edge).into()).collect();
    let descriptor = dictionary! {
        "Type" => "FontDescriptor",
        "FontName" => name.as_str(),
        // 32: its letters are those of the standard Latin set.
        "Flags" => 32,
        "FontBBox" => bounds,
        "ItalicAngle" => i64::from(metrics.slant),
        "Ascent" => i64::from(metrics.ascent),
        "Descent" => i64::from(metrics.descent),
        "CapHeight" => i64::from(metrics.cap_height),
        "StemV" => i64::from(metrics.weight) / 5,
        "FontFile2" => file,
    };
    let descriptor = objects.add_object(descriptor);
    let widths: Vec<Object> = widths.into_iter().map(Object::Integer).collect();
    let font: Dictionary = dictionary! {
        "Type" => "Font",
        "Subtype" => "TrueType",
        "BaseFont" => name.as_str(),
        "Encoding" => "WinAnsiEncoding",
        "FirstChar" => 32,
        "LastChar" => 255,
        "Widths" => widths,
        "FontDescriptor" => descriptor,
    };
    Ok(objects.add_object(font))
}

/// A segment for each character, and the one that ends them.
fn cmap(codes: &[(u16, u16)]) -> Vec<u8> {
    let count = codes.len() as u16 + 1;
    let log = 15 - count.leading_zeros() as u16;
    let search = 2 << log;
    let ends = codes.iter().map(|(unit, _)| *unit).chain([0xFFFF]);
    let deltas = codes.iter().map(|(unit, glyph)| glyph.wrapping_sub(*unit)).chain([1]);
    let mut words = vec![4, 16 + 8 * count, 0, count * 2, search, log, count * 2 - search];
    words.extend(ends.clone());
    words.push(0);
    words.extend(ends);
    words.extend(deltas);
    words.extend(std::iter::repeat_n(0, usize::from(count)));
    // One subtable, for Unicode on Windows.
    let head = [0, 1, 3, 1, 0, 12];
    head.into_iter().chain(words).flat_map(u16::to_be_bytes).collect()
}

/// A typeface's file with one more table. `None` where the file is no such one.
fn with_table(file: &[u8], tag: &[u8; 4], table: &[u8]) -> Option<Vec<u8>> {
    let count = u16::from_be_bytes(file.get(4..6)?.try_into().ok()?);
    let mut tables = vec![(*tag, table)];
    for n in 0..usize::from(count) {
        let record = file.get(12 + n * 16..28 + n * 16)?;
        let word = |at: usize| -> Option<usize> {
            let word = u32::from_be_bytes(record.get(at..at + 4)?.try_into().ok()?);
            usize::try_from(word).ok()
        };
        let (from, length) = (word(8)?, word(12)?);
        let name: [u8; 4] = record.get(..4)?.try_into().ok()?;
        if name != *tag {
            tables.push((name, file.get(from..from.checked_add(length)?)?));
        }
    }
    tables.sort_by_key(|(name, _)| *name);
    let count = u16::try_from(tables.len()).ok()?;
    let log = 15 - count.leading_zeros() as u16;
    let search = 16 << log;
    let mut bytes = file.get(..4)?.to_vec();
    for word in [count, search, log, count * 16 - search] {
        bytes.extend(word.to_be_bytes());
    }
    let mut at = 12 + tables.len() * 16;
    for (name, content) in &tables {
        bytes.extend(name);
        for word in [checksum(content), u32::try_from(at).ok()?, content.len() as u32] {
            bytes.extend(word.to_be_bytes());
        }
        at += content.len().next_multiple_of(4);
    }
    for (_, content) in &tables {
        bytes.extend(*content);
        bytes.resize(bytes.len().next_multiple_of(4), 0);
    }
    Some(bytes)
}

fn checksum(bytes: &[u8]) -> u32 {
    let words = bytes.chunks(4).map(|chunk| {
        let mut word = [0; 4];
        word[..chunk.len()].copy_from_slice(chunk);
        u32::from_be_bytes(word)
    });
    words.fold(0, u32::wrapping_add)
}
