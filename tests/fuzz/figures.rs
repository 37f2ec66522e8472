//! Readings as they are typed: a row of boxes. What is stored must stand in
//! what was typed, digit for digit: nothing is rounded, completed or made up.
#![no_main]

use benchleaf::diag::{Diags, Sources};
use benchleaf::load::readings;
use benchleaf::model::record::Boxes;
use benchleaf::quantity::{Exact, Fit};
use libfuzzer_sys::fuzz_target;

fn plain(text: &str) -> bool {
    let text = text.strip_prefix('-').unwrap_or(text);
    let (whole, places) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    digits(whole) && digits(places)
}

fuzz_target!(|text: &str| {
    if let Ok(figure) = Exact::read(text) {
        assert!(plain(text), "{text:?} is read as {figure}");
        // Noughts in front are not kept, and a zero has no sign.
        let (said, size) = (figure.to_string(), text.trim_start_matches('-'));
        let bare = size.trim_start_matches('0');
        let bare = if bare.is_empty() || bare.starts_with('.') { format!("0{bare}") } else { bare.into() };
        assert_eq!(said.trim_start_matches('-'), bare, "{text:?}");
        assert!(figure.is_zero() || said.starts_with('-') == text.starts_with('-'), "{text:?}");
    }
    if let Ok(fit) = Fit::read(text) {
        assert_eq!(Fit::read(&fit.to_string()), Ok(fit));
    }
    let mut files = Sources::default();
    files.put("readings.toml", format!("sheet-set = \"7F3K-92QD\"\n[C]\nC1.shaft = {text}\n"));
    let mut out = Diags::new();
    let Some(record) = readings(&files, "readings.toml", None, None, &mut out) else { return };
    if out.faults() > 0 {
        return;
    }
    let rows = record.sheets.iter().flat_map(|sheet| &sheet.rows);
    for group in rows.flat_map(|row| &row.groups) {
        let Boxes::Readings(boxes) = &group.boxes else { continue };
        for typed in boxes.iter().flatten() {
            assert!(text.contains(&*typed.text) && plain(&typed.text), "{text:?}: {typed:?}");
            assert_eq!(Exact::read(&typed.text), Ok(typed.value));
        }
    }
});
