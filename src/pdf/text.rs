//! Text strings and dates as PDF writes them.

use lopdf::{Object, StringFormat};

use super::read::value::encoded;

/// A text string, in digits where it is more than seven bits. Control characters
/// become spaces.
pub fn text(text: &str) -> Object {
    let text = plain(text);
    let format = match text.is_ascii() {
        true => StringFormat::Literal,
        false => StringFormat::Hexadecimal,
    };
    Object::String(encoded(&text), format)
}

/// The text with spaces for control characters, which neither XML nor a title
/// bar can show.
pub fn plain(text: &str) -> String {
    let shown = |c: char| if c.is_control() { ' ' } else { c };
    text.chars().map(shown).collect()
}

/// A day, from `YYYY-MM-DD`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day<'a>(&'a str);

impl<'a> Day<'a> {
    /// `None` where the text is not eight figures in the right places.
    pub fn new(text: &'a str) -> Option<Day<'a>> {
        let shape = |(i, b): (usize, u8)| match i {
            4 | 7 => b == b'-',
            _ => b.is_ascii_digit(),
        };
        let right = text.len() == 10 && text.bytes().enumerate().all(shape);
        right.then_some(Day(text))
    }

    /// As a PDF date (ISO 32000-1, 7.9.4), at midnight UTC.
    pub fn pdf(self) -> Object {
        let figures = self.0.replace('-', "");
        Object::string_literal(format!("D:{figures}000000Z"))
    }

    /// As an XMP date (ISO 16684-1, 8.2.1.2), the same moment.
    pub fn xmp(self) -> String {
        format!("{}T00:00:00Z", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_of_seven_bits_stays_and_other_text_is_utf_16() {
        assert_eq!(text("A & B <x>"), Object::string_literal("A & B <x>"));
        let bytes = [0xFE, 0xFF, 0x00, 0xD8, 0x00, b'1'].to_vec();
        assert_eq!(text("Ø1"), Object::String(bytes, StringFormat::Hexadecimal));
        assert_eq!(text("a\u{7}b"), Object::string_literal("a b"));
    }

    #[test]
    fn a_day_has_its_shape() {
        let day = Day::new("2025-03-09").map(Day::pdf);
        assert_eq!(day, Some(Object::string_literal("D:20250309000000Z")));
        assert_eq!(Day::new("2025-3-09"), None);
        assert_eq!(Day::new(""), None);
    }
}
