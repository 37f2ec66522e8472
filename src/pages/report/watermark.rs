//! DRAFT or INCOMPLETE across a page: letters in outline, behind the text and
//! clear of its figures, so that no stroke is taken for a part of a figure, not even in
//! a photocopy.

use ttf_parser::{GlyphId, OutlineBuilder};

use super::clearance::{PointMm, Taken};
use crate::layout::canvas::{mm, solid};
use crate::layout::font::fonts;
use crate::layout::length::Len;
use crate::layout::mark::{Face, Mark, Point, Step};

/// Type size: no capital is taller than about 45 mm.
const LARGEST: f64 = 66.0;
/// More white between the letters, in thousandths of the type size.
const APART: u16 = 60;
/// Straight pieces to a curve.
const PIECES: i32 = 10;

/// The outlines of a word along the diagonal of a page.
pub struct Across {
    contours: Vec<Vec<PointMm>>,
}

impl Across {
    pub fn new(word: &str, width: Len, height: Len) -> Across {
        let (w, h) = (width.to_mm() - 45.0, height.to_mm() - 90.0);
        let turn = h.atan2(w);
        let gaps = f64::from(APART) * word.chars().count() as f64 / 1000.0;
        let advance = fonts().width(Face::Bold, mm(100.0), word).to_mm() / 100.0 + gaps;
        let size = (w.hypot(h) * 0.96 / advance).min(LARGEST);
        let mut pencil = Pencil {
            centre: (width.to_mm() / 2.0 + 7.5, height.to_mm() / 2.0 + 6.0),
            turn: turn.sin_cos(),
            em: size / 1000.0,
            origin: (-advance * 500.0, -330.0),
            last: (0.0, 0.0),
            contours: Vec::new(),
        };
        let (_, file) = fonts().file(Face::Bold);
        if let Ok(face) = ttf_parser::Face::parse(file, 0) {
            for glyph in word.chars().filter_map(|c| fonts().glyph(Face::Bold, c)) {
                face.outline_glyph(GlyphId(glyph.id), &mut pencil);
                pencil.origin.0 += f64::from(glyph.advance + APART);
            }
        }
        Across { contours: pencil.contours }
    }

    /// What of the outlines keeps clear of the figures of a page.
    pub fn around(&self, text: &[Mark]) -> Vec<Mark> {
        let taken = Taken::new(text);
        let pieces = self.contours.iter().flat_map(|line| taken.clear(line));
        pieces.map(|piece| path(&piece)).collect()
    }
}

fn path(piece: &[PointMm]) -> Mark {
    let point = |(x, y): &PointMm| Point { x: mm(*x), y: mm(*y) };
    let step = |(n, spot): (usize, &PointMm)| match n {
        0 => Step::To(point(spot)),
        _ => Step::Line(point(spot)),
    };
    Mark::Path {
        steps: piece.iter().enumerate().map(step).collect(),
        pen: Some(solid(0.6)),
        fill: false,
    }
}

/// Turns outlines in thousandths of the type size into lines on the page.
struct Pencil {
    centre: PointMm,
    /// Sine and cosine of the turn.
    turn: (f64, f64),
    em: f64,
    /// Of the glyph in hand, from the middle of the word.
    origin: (f64, f64),
    last: (f64, f64),
    contours: Vec<Vec<PointMm>>,
}

impl Pencil {
    fn go(&mut self, to: (f64, f64)) {
        let (x, y) = (to.0 + self.origin.0, to.1 + self.origin.1);
        let (sin, cos) = self.turn;
        let (right, up) = (x * cos - y * sin, x * sin + y * cos);
        let spot = (self.centre.0 + right * self.em, self.centre.1 - up * self.em);
        if let Some(contour) = self.contours.last_mut() {
            contour.push(spot);
        }
        self.last = to;
    }

    /// A cubic curve in straight pieces.
    fn bend(&mut self, a: (f64, f64), b: (f64, f64), to: (f64, f64)) {
        let from = self.last;
        for n in 1..=PIECES {
            let t = f64::from(n) / f64::from(PIECES);
            let s = 1.0 - t;
            let at = |p: f64, q: f64, r: f64, e: f64| {
                s * s * s * p + 3.0 * s * s * t * q + 3.0 * s * t * t * r + t * t * t * e
            };
            self.go((at(from.0, a.0, b.0, to.0), at(from.1, a.1, b.1, to.1)));
        }
    }
}

impl OutlineBuilder for Pencil {
    fn move_to(&mut self, x: f32, y: f32) {
        self.contours.push(Vec::new());
        self.go((x.into(), y.into()));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.go((x.into(), y.into()));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        // The same curve as a cubic: its controls lie two thirds of the way.
        let part = |from: f64, to: f32| from + (f64::from(to) - from) * 2.0 / 3.0;
        let a = (part(self.last.0, x1), part(self.last.1, y1));
        let b = (part(x.into(), x1), part(y.into(), y1));
        self.bend(a, b, (x.into(), y.into()));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let (a, b) = ((x1.into(), y1.into()), (x2.into(), y2.into()));
        self.bend(a, b, (x.into(), y.into()));
    }

    fn close(&mut self) {
        if let Some(contour) = self.contours.last_mut() {
            contour.extend(contour.first().copied());
        }
    }
}
