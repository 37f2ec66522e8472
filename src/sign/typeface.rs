//! A subset typeface embedded by hand, so that a signature's block keeps the
//! page as PDF/A and can be searched (ISO 32000-1, 9.7; ISO 19005-3, 6.2.11).

use std::fmt::Write;

use super::increment::Increment;
use crate::layout::font::Metrics;
use crate::pdf::Subset;
use crate::pdf::read::value::{Dict, Value};

/// Adds the typeface and its parts.
pub fn embed(increment: &mut Increment<'_>, subset: &Subset, metrics: Metrics) -> Value {
    let name = subset.name.as_str();
    let length = Dict::default().with("Length1", subset.bytes.len() as i64);
    let file = increment.add_stream(length, &subset.bytes);
    let bounds = metrics.bounds.map(|edge| Value::Int(i64::from(edge)));
    // 4: its letters are not those of the standard Latin set.
    let flags = if metrics.slant == 0 { 4 } else { 4 | 64 };
    let descriptor = Dict::default()
        .with("Type", "FontDescriptor")
        .with("FontName", name)
        .with("Flags", flags)
        .with("FontBBox", bounds.to_vec())
        .with("ItalicAngle", i64::from(metrics.slant))
        .with("Ascent", i64::from(metrics.ascent))
        .with("Descent", i64::from(metrics.descent))
        .with("CapHeight", i64::from(metrics.cap_height))
        .with("StemV", i64::from(metrics.weight) / 5)
        .with("FontFile2", file);
    let descriptor = increment.add(descriptor);
    let system = Dict::default()
        .with("Registry", Value::Text(b"Adobe".to_vec()))
        .with("Ordering", Value::Text(b"Identity".to_vec()))
        .with("Supplement", 0);
    let descendant = Dict::default()
        .with("Type", "Font")
        .with("Subtype", "CIDFontType2")
        .with("BaseFont", name)
        .with("CIDSystemInfo", system)
        .with("FontDescriptor", descriptor)
        .with("W", widths(subset))
        .with("CIDToGIDMap", "Identity");
    let descendant = increment.add(descendant);
    let letters = increment.add_stream(Dict::default(), letters(subset).as_bytes());
    increment.add(
        Dict::default()
            .with("Type", "Font")
            .with("Subtype", "Type0")
            .with("BaseFont", name)
            .with("Encoding", "Identity-H")
            .with("DescendantFonts", vec![descendant])
            .with("ToUnicode", letters),
    )
}

fn widths(subset: &Subset) -> Vec<Value> {
    let each = subset.advances.iter().flat_map(|(code, advance)| {
        let width = vec![Value::Int(i64::from(*advance))];
        [Value::Int(i64::from(*code)), Value::List(width)]
    });
    each.collect()
}

/// What each code is when the text is copied (ISO 32000-1, 9.10.3).
fn letters(subset: &Subset) -> String {
    let mut map = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n\
         /CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n\
         /CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
         1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n",
    );
    let codes: Vec<(u16, u32)> = subset.codes.iter().map(|(l, c)| (*c, *l)).collect();
    for some in codes.chunks(100) {
        let _ = writeln!(map, "{} beginbfchar", some.len());
        for (code, letter) in some {
            let mut units = [0; 2];
            let letter = char::from_u32(*letter).unwrap_or('\u{FFFD}');
            let _ = write!(map, "<{code:04X}> <");
            for unit in letter.encode_utf16(&mut units) {
                let _ = write!(map, "{unit:04X}");
            }
            map.push_str(">\n");
        }
        map.push_str("endbfchar\n");
    }
    map.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    map
}
