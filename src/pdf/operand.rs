//! Numbers and strings as a content stream writes them.

use std::fmt::Write;

/// Micrometres in tenths of a millimetre with as many places as it takes.
pub fn number(out: &mut String, um: i32) {
    let (whole, part) = (um.unsigned_abs() / 100, um.unsigned_abs() % 100);
    if um < 0 {
        out.push('-');
    }
    let mut digits = [0_u8; 10];
    let mut at = digits.len();
    let mut left = whole;
    loop {
        at -= 1;
        digits[at] = b'0' + (left % 10) as u8;
        left /= 10;
        if left == 0 {
            break;
        }
    }
    out.extend(digits[at..].iter().map(|d| char::from(*d)));
    if part != 0 {
        out.push('.');
        out.push(char::from(b'0' + (part / 10) as u8));
        if part % 10 != 0 {
            out.push(char::from(b'0' + (part % 10) as u8));
        }
    }
}

/// A byte of a literal string (ISO 32000-1, 7.3.4.2). The stream stays text of
/// seven bits; few documents use more than 127 letters of a face.
pub fn byte(out: &mut String, byte: u8) {
    match byte {
        b'(' | b')' | b'\\' => {
            out.push('\\');
            out.push(char::from(byte));
        }
        b'\r' => out.push_str("\\r"),
        b'\n' => out.push_str("\\n"),
        0..=0x7F => out.push(char::from(byte)),
        _ => {
            let _ = write!(out, "\\{byte:03o}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_without_rounding() {
        let written = |um| {
            let mut out = String::new();
            number(&mut out, um);
            out
        };
        assert_eq!(written(72_600), "726");
        assert_eq!(written(-1_414), "-14.14");
        assert_eq!(written(2_805), "28.05");
        assert_eq!(written(50), "0.5");
        assert_eq!(written(0), "0");
    }

    #[test]
    fn bytes_that_would_end_or_change_a_string_are_escaped() {
        let mut out = String::new();
        for b in *b"(\\)\r\nA\x80" {
            byte(&mut out, b);
        }
        assert_eq!(out, r"\(\\\)\r\nA\200");
    }
}
