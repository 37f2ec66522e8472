//! Words on a page, in the sizes that stay readable on a photocopy.

use super::canvas::Canvas;
use super::font::fonts;
use super::length::Len;
use super::mark::{Align, Face, Mark, Point, Run, at};

/// A face at a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TextStyle {
    pub face: Face,
    pub size: Len,
    /// From one baseline to the next.
    pub leading: Len,
    /// From the top of a line to its baseline.
    pub ascent: Len,
}

pub const TITLE: TextStyle = TextStyle::new(Face::Bold, 19.0);
pub const SECTION: TextStyle = TextStyle::new(Face::Bold, 10.0);
pub const TEXT: TextStyle = TextStyle::new(Face::Regular, 8.2);
pub const STRONG: TextStyle = TextStyle::new(Face::Bold, 8.2);
pub const ASIDE: TextStyle = TextStyle::new(Face::Italic, 7.6);
pub const CAPTION: TextStyle = TextStyle::new(Face::Regular, 7.0);
pub const LABEL: TextStyle = TextStyle::new(Face::Bold, 7.0);
pub const NUMBER: TextStyle = TextStyle::new(Face::Code, 8.0);

impl TextStyle {
    /// Leading and ascent are on the grid. The size is in points.
    pub const fn new(face: Face, points: f64) -> TextStyle {
        let size = Len::pt(points);
        let (leading, ascent) = (size.scale(1.16).on_grid(), size.scale(0.86).on_grid());
        TextStyle { face, size, leading, ascent }
    }

    /// Capitals and figures in the middle of lines so far apart.
    pub const fn led(face: Face, size: Len, leading: Len) -> TextStyle {
        let ascent = Len::mm((leading.um() / 2 + size.scale(0.33).um()) as f64 / 1000.0);
        TextStyle { face, size, leading, ascent }
    }

    pub const fn sized(self, points: f64) -> TextStyle {
        TextStyle::new(self.face, points)
    }

    pub const fn with(self, face: Face) -> TextStyle {
        TextStyle { face, ..self }
    }

    /// Of one line.
    pub fn width(self, text: &str) -> Len {
        fonts().width(self.face, self.size, text)
    }

    /// The widest unbroken word.
    pub fn longest_word(self, text: &str) -> Len {
        let widths = text.split([' ', '\n']).map(|word| self.width(word));
        widths.max().unwrap_or_default()
    }

    /// Breaks a text into lines; an empty one is one empty line.
    pub fn lines(self, text: &str, width: Len) -> Vec<String> {
        fonts().wrap(self.face, self.size, text, width)
    }

    /// The same, but an empty text has no lines.
    pub fn para(self, text: &str, width: Len) -> Para {
        let blank = text.trim().is_empty();
        let lines = if blank { Vec::new() } else { self.lines(text, width) };
        Para { style: self, lines }
    }

    /// The first of the sizes (pt) at which a text is one line of the width,
    /// or the last of them broken into as many lines as it takes.
    pub fn fitted(self, sizes: &[f64], text: &str, width: Len) -> Para {
        let mut fitted = self.para(text, width);
        for size in sizes {
            fitted = self.sized(*size).para(text, width);
            if fitted.lines.len() <= 1 {
                break;
            }
        }
        fitted
    }
}

/// A text broken into lines for a width.
#[derive(Clone, Debug, PartialEq)]
pub struct Para {
    pub style: TextStyle,
    pub lines: Vec<String>,
}

impl Para {
    pub fn height(&self) -> Len {
        self.style.leading.times(self.lines.len())
    }

    /// Of the longest line.
    pub fn width(&self) -> Len {
        self.lines.iter().map(|line| self.style.width(line)).max().unwrap_or_default()
    }
}

impl Canvas<'_> {
    /// One line with its point on the baseline.
    pub fn run(&mut self, point: Point, style: TextStyle, align: Align, text: &str) {
        if text.is_empty() {
            return;
        }
        self.marks.push(Mark::Run(Run {
            at: point,
            text: text.into(),
            face: style.face,
            size: style.size,
            align,
            white: false,
            turn: 0,
        }));
    }

    /// One line from the left; gives back where it ends.
    pub fn word(&mut self, x: Len, baseline: Len, style: TextStyle, text: &str) -> Len {
        self.run(at(x, baseline), style, Align::Left, text);
        x + style.width(text)
    }

    pub fn word_centre(&mut self, x: Len, baseline: Len, style: TextStyle, text: &str) {
        self.run(at(x, baseline), style, Align::Centre, text);
    }

    pub fn word_right(&mut self, x: Len, baseline: Len, style: TextStyle, text: &str) {
        self.run(at(x, baseline), style, Align::Right, text);
    }

    /// One line with the top of its line at the point.
    pub fn set(&mut self, point: Point, style: TextStyle, align: Align, text: &str) {
        self.run(at(point.x, point.y + style.ascent), style, align, text);
    }

    /// Writes a paragraph with its top left corner at the point; gives back
    /// its height.
    pub fn write(&mut self, point: Point, para: &Para) -> Len {
        self.write_aligned(point, para, Align::Left)
    }

    pub fn write_aligned(&mut self, point: Point, para: &Para, align: Align) -> Len {
        let mut y = point.y;
        for line in &para.lines {
            self.set(at(point.x, y), para.style, align, line);
            y += para.style.leading;
        }
        para.height()
    }

    /// Breaks and writes in one; gives back the height.
    pub fn tell(&mut self, point: Point, style: TextStyle, text: &str, width: Len) -> Len {
        self.write(point, &style.para(text, width))
    }
}
