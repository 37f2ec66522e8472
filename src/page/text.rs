//! Type on the page: the few styles that every document uses, single lines
//! and paragraphs.

use super::length::Len;
use super::mark::{Align, Face, Mark, Point, Run};
use super::pen::{Canvas, at, grid};
use crate::page::font::fonts;

/// A face at a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Type {
    pub face: Face,
    pub size: Len,
}

pub const TITLE: Type = of(Face::Bold, 19.0);
pub const SECTION: Type = of(Face::Bold, 10.0);
pub const TEXT: Type = of(Face::Regular, 8.2);
pub const STRONG: Type = of(Face::Bold, 8.2);
pub const ASIDE: Type = of(Face::Italic, 7.6);
pub const CAPTION: Type = of(Face::Regular, 7.0);
pub const LABEL: Type = of(Face::Bold, 7.0);
pub const NUMBER: Type = of(Face::Code, 8.0);

pub const fn of(face: Face, points: f64) -> Type {
    Type { face, size: Len::pt(points) }
}

impl Type {
    pub const fn sized(self, points: f64) -> Type {
        of(self.face, points)
    }

    /// From one baseline to the next.
    pub fn lead(self) -> Len {
        grid(self.size.scale(1.16))
    }

    /// From the top of a line to its baseline.
    pub fn drop(self) -> Len {
        grid(self.size.scale(0.86))
    }
}

/// A text broken into lines for a width.
#[derive(Clone, Debug, PartialEq)]
pub struct Para {
    pub style: Type,
    pub lines: Vec<String>,
}

impl Para {
    pub fn height(&self) -> Len {
        self.style.lead() * i32::try_from(self.lines.len()).unwrap_or(i32::MAX)
    }
}

impl Canvas<'_> {
    pub fn width(&self, style: Type, text: &str) -> Len {
        fonts().width(style.face, style.size, text)
    }

    /// One line with its point on the baseline.
    pub fn run(&mut self, point: Point, style: Type, align: Align, text: &str) {
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
    pub fn word(&mut self, x: Len, baseline: Len, style: Type, text: &str) -> Len {
        self.run(at(x, baseline), style, Align::Left, text);
        x + self.width(style, text)
    }

    pub fn word_centre(&mut self, x: Len, baseline: Len, style: Type, text: &str) {
        self.run(at(x, baseline), style, Align::Centre, text);
    }

    pub fn word_right(&mut self, x: Len, baseline: Len, style: Type, text: &str) {
        self.run(at(x, baseline), style, Align::Right, text);
    }

    /// Breaks a text; an empty one has no lines.
    pub fn para(&self, style: Type, text: &str, width: Len) -> Para {
        let lines = if text.trim().is_empty() {
            Vec::new()
        } else {
            fonts().wrap(style.face, style.size, text, width)
        };
        Para { style, lines }
    }

    /// The first of the sizes (pt) at which a text is one line of the width,
    /// or the last of them broken into as many lines as it takes.
    pub fn fitted(&self, style: Type, sizes: &[f64], text: &str, width: Len) -> Para {
        let mut fitted = self.para(style, text, width);
        for size in sizes {
            fitted = self.para(style.sized(*size), text, width);
            if fitted.lines.len() <= 1 {
                break;
            }
        }
        fitted
    }

    /// Writes a paragraph with its top left corner at the point; gives back
    /// its height.
    pub fn write(&mut self, point: Point, para: &Para) -> Len {
        self.write_aligned(point, para, Align::Left)
    }

    pub fn write_aligned(&mut self, point: Point, para: &Para, align: Align) -> Len {
        let mut baseline = point.y + para.style.drop();
        for line in &para.lines {
            self.run(at(point.x, baseline), para.style, align, line);
            baseline += para.style.lead();
        }
        para.height()
    }

    /// Breaks and writes in one; gives back the height.
    pub fn tell(&mut self, point: Point, style: Type, text: &str, width: Len) -> Len {
        let para = self.para(style, text, width);
        self.write(point, &para)
    }
}
