//! The code of squares at the head of a page, for a phone or a scanner.

use std::fmt;

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

use super::length::Len;
use super::mark::{Area, Mark, Point};

/// Side of one module: 0.8 mm is still read after a photocopy (tried on scans
/// of 150 dots an inch: more than four dots a module).
pub const MODULE: Len = Len::mm(0.8);

/// The same on a page of many codes: five dots of a scan at 150 dots an inch,
/// ten at 300. Where a module is no whole number of dots some of many codes
/// are missed.
const MODULE_AMONG_OTHERS: Len = Len::mm(25.4 / 30.0);

/// Clear border on each side, in modules (ISO/IEC 18004, quiet zone).
pub const QUIET: i32 = 4;

/// A drawn code. Its border is not part of it: keep [`QUIET`] modules clear.
#[derive(Clone, Debug, PartialEq)]
pub struct Qr {
    /// Black rectangles, one for each unbroken stretch of a row.
    pub marks: Vec<Mark>,
    /// Width and height without the border.
    pub side: Len,
}

/// A text too long for a code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLong {
    /// Bytes in the text.
    pub bytes: usize,
}

impl fmt::Display for TooLong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} bytes do not fit a QR code: shorten the text", self.bytes)
    }
}

impl std::error::Error for TooLong {}

/// Draws a text as a QR code with its top left module at `at`. Capitals,
/// figures and `$%*+-./:` and space make a smaller code than other letters.
/// Error correction is level M, or better where that costs no size.
///
/// # Errors
/// [`TooLong`] above about 2300 bytes.
pub fn qr(text: &str, at: Point) -> Result<Qr, TooLong> {
    let code =
        QrCode::encode_text(text, QrCodeEcc::Medium).map_err(|_| TooLong { bytes: text.len() })?;
    Ok(drawn(&code, MODULE, at))
}

/// The same for a page of many codes: never the smallest size, which alone has
/// no alignment pattern, and of whole dots. Of nine to a page zbar 0.23.92
/// missed at 150 dots an inch 12 in 107 of the smallest size and 0.8 mm, 3 in
/// 642 of the next size in whole dots, none in 1070 where the code's corner
/// stands on a whole dot too.
///
/// # Errors
/// As [`qr`].
pub fn qr_among_others(text: &str, at: Point) -> Result<Qr, TooLong> {
    let parts = QrSegment::make_segments(text);
    let (least, most) = (Version::new(2), Version::MAX);
    let medium = QrCodeEcc::Medium;
    let code = QrCode::encode_segments_advanced(&parts, medium, least, most, None, false);
    let code = code.map_err(|_| TooLong { bytes: text.len() })?;
    Ok(drawn(&code, MODULE_AMONG_OTHERS, at))
}

fn drawn(code: &QrCode, module: Len, at: Point) -> Qr {
    let marks = (0..code.size()).flat_map(|row| stretches(code, row, module, at)).collect();
    Qr { marks, side: module * code.size() }
}

fn stretches(code: &QrCode, row: i32, module: Len, at: Point) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut start = None;
    for column in 0..=code.size() {
        // Past the edge every module is light, which ends the last stretch.
        match (code.get_module(column, row), start) {
            (true, None) => start = Some(column),
            (false, Some(from)) => {
                marks.push(bar(from, column, row, module, at));
                start = None;
            }
            _ => {}
        }
    }
    marks
}

fn bar(from: i32, to: i32, row: i32, module: Len, at: Point) -> Mark {
    Mark::Rect {
        area: Area {
            x: at.x + module * from,
            y: at.y + module * row,
            w: module * (to - from),
            h: module,
        },
        pen: None,
        fill: true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_reference_makes_a_small_code_of_whole_modules() {
        let at = Point { x: Len::mm(10.0), y: Len::mm(20.0) };
        let qr = qr("7K3M-9QXA/GN/12/4T7X", at).expect("short");
        // ISO/IEC 18004 table 7: version 1-M holds 20 alphanumeric characters,
        // and version 1 is 21 modules wide.
        assert_eq!(qr.side, MODULE * 21);
        // The finder at the top left: a stretch of seven modules.
        assert_eq!(qr.marks[0], bar(0, 7, 0, MODULE, at));
    }

    #[test]
    fn a_code_among_others_has_an_alignment_pattern() {
        let at = Point::default();
        // Version 2 is 25 modules wide (ISO/IEC 18004 table 1).
        assert_eq!(
            qr_among_others("7K3M-9QXA/C", at).expect("short").side,
            MODULE_AMONG_OTHERS * 25
        );
        assert_eq!(qr_among_others(&"x".repeat(3000), at), Err(TooLong { bytes: 3000 }));
    }

    #[test]
    fn a_text_past_the_limit_is_refused() {
        let found = qr(&"x".repeat(3000), Point::default());
        assert_eq!(found, Err(TooLong { bytes: 3000 }));
    }
}
