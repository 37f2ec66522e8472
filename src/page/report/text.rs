//! Setting text: sizes of type, lines, and characters that no face has.

use std::collections::BTreeSet;
use std::sync::{Mutex, PoisonError};

use super::band::Strip;
use crate::page::font::fonts;
use crate::page::length::Len;
use crate::page::mark::{Align, Face, Mark, Point, Run};

/// A face at a size, and how far its lines are apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    pub face: Face,
    pub size: Len,
    pub lead: Len,
}

/// Size in points, lead in millimetres.
const fn style(face: Face, size: f64, lead: f64) -> Style {
    Style { face, size: Len::pt(size), lead: Len::mm(lead) }
}

pub const TITLE: Style = style(Face::Bold, 19.0, 7.4);
pub const LARGE: Style = style(Face::Bold, 14.0, 5.8);
/// For titles that take more than two lines in the size of a title.
pub const LONG_TITLE: Style = style(Face::Bold, 11.0, 4.6);
pub const SECTION: Style = style(Face::Bold, 14.0, 5.8);
pub const HEADING: Style = style(Face::Bold, 10.4, 4.2);
pub const LEAD: Style = style(Face::Regular, 9.4, 4.2);
pub const PROSE: Style = style(Face::Regular, 8.6, 3.8);
pub const BODY: Style = style(Face::Regular, 8.0, 3.4);
pub const BOLD: Style = style(Face::Bold, 8.0, 3.4);
pub const ITALIC: Style = style(Face::Italic, 8.0, 3.4);
pub const CODE: Style = style(Face::Bold, 9.4, 3.4);
pub const CAPTION: Style = style(Face::Regular, 7.2, 3.2);
pub const TICK: Style = style(Face::Bold, 7.6, 3.2);
pub const VALUE: Style = style(Face::Bold, 9.0, 3.8);
pub const UNDER: Style = style(Face::Regular, 8.6, 3.8);
pub const NUMBER: Style = style(Face::Code, 9.4, 3.8);

/// No type is smaller, by the rules for photocopies.
const LEAST: Len = Len::pt(7.0);

impl Style {
    pub const fn with(self, face: Face) -> Style {
        Style { face, ..self }
    }

    /// Where the baseline lies under the top of a line: capitals and figures
    /// stand in the middle of it.
    pub fn baseline(self) -> Len {
        self.lead / 2 + self.size.scale(0.33)
    }
}

/// Sets the text of one section after another, and keeps what cannot be set.
pub struct Setter {
    /// Of the text on the page.
    pub width: Len,
    /// From head to foot of an empty page of this section.
    pub room: Len,
    /// Smaller and closer, so that the exceptions stay on one page.
    pub snug: bool,
    /// Of the section in hand, for messages.
    pub place: String,
    lacking: Mutex<BTreeSet<(String, char)>>,
}

impl Setter {
    pub fn new(width: Len) -> Setter {
        Setter {
            width,
            room: Len::ZERO,
            snug: false,
            place: String::new(),
            lacking: Mutex::default(),
        }
    }

    /// The style as it is set in this section.
    pub fn fit(&self, style: Style) -> Style {
        if !self.snug {
            return style;
        }
        Style {
            size: style.size.scale(0.9).max(LEAST),
            lead: style.lead.scale(0.85).max(Len::mm(2.8)),
            ..style
        }
    }

    /// Characters that a face lacks, each behind the section it stands in.
    pub fn lacking(self) -> BTreeSet<(String, char)> {
        self.lacking.into_inner().unwrap_or_else(PoisonError::into_inner)
    }

    pub fn width_of(&self, style: Style, text: &str) -> Len {
        fonts().width(style.face, style.size, text)
    }

    /// The widest unbroken word.
    pub fn longest_word(&self, style: Style, text: &str) -> Len {
        let words = text.split([' ', '\n']);
        let widths = words.map(|word| self.width_of(style, word));
        widths.max().unwrap_or(Len::ZERO)
    }

    /// Breaks a text into lines, and notes what cannot be set.
    pub fn lines(&self, style: Style, text: &str, width: Len) -> Vec<String> {
        self.check(style.face, text);
        if !text.contains('\n') && self.width_of(style, text) <= width {
            return vec![text.to_string()];
        }
        let tied = tied(text);
        let lines = fonts().wrap(style.face, style.size, &tied, width);
        let untied = lines.into_iter().map(|line| line.replace(TIE, " "));
        untied.collect()
    }

    pub fn check(&self, face: Face, text: &str) {
        if fonts().missing(face, text).is_none() {
            return;
        }
        for letter in text.chars().filter(|letter| *letter != '\n') {
            let mut code = [0; 4];
            let alone = letter.encode_utf8(&mut code);
            if fonts().missing(face, alone).is_some() {
                let mut lacking = self.lacking.lock().unwrap_or_else(PoisonError::into_inner);
                lacking.insert((self.place.clone(), letter));
            }
        }
    }

    /// Sets a text as wrapped lines with their top left corner at a place of
    /// the strip; gives the height that they take.
    pub fn block(&self, strip: &mut Strip, style: Style, text: &str, at: Point, width: Len) -> Len {
        let lines = self.lines(style, text, width);
        let count = lines.len();
        set_lines(strip, style, lines, at);
        style.lead * count as i32
    }
}

/// As wide as a space; no line breaks at it.
const TIE: &str = "\u{a0}";

/// A figure and its letter or unit stay on one line.
fn tied(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut words = text.split(' ').peekable();
    while let Some(word) = words.next() {
        out.push_str(word);
        let next = words.peek().map(|next| next.trim_end_matches([',', ';', '.', ')']));
        let unit = next.is_some_and(|next| ["L", "T", "in", "mm", "lbf"].contains(&next));
        match words.peek() {
            Some(_) if unit && word.ends_with(|c: char| c.is_ascii_digit()) => out.push_str(TIE),
            Some(_) => out.push(' '),
            None => {}
        }
    }
    out
}

/// Sets lines one under the other, the top left corner of the first given.
pub fn set_lines(strip: &mut Strip, style: Style, lines: Vec<String>, at: Point) {
    let mut y = at.y;
    for line in lines {
        strip.marks.push(line_at(style, at.x, y, line, Align::Left));
        y += style.lead;
    }
}

/// One line with the top of its line at `top`.
pub fn line_at(style: Style, x: Len, top: Len, text: impl Into<Box<str>>, align: Align) -> Mark {
    Mark::Run(Run {
        at: Point { x, y: top + style.baseline() },
        text: text.into(),
        face: style.face,
        size: style.size,
        align,
        white: false,
        turn: 0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_tied_to_its_letter_only() {
        let text = "as left 0.0036 L, then 0.0012 T; 9 places in all ";
        let expected = "as left 0.0036\u{a0}L, then 0.0012\u{a0}T; 9 places in all ";
        assert_eq!(tied(text), expected);
    }

    #[test]
    fn the_tie_is_as_wide_as_a_space() {
        for face in [Face::Regular, Face::Bold, Face::Italic, Face::Code] {
            let advance = |c: char| fonts().glyph(face, c).map(|glyph| glyph.advance);
            assert_eq!(advance('\u{a0}'), advance(' '));
        }
    }
}
