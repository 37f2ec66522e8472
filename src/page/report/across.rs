//! DRAFT or INCOMPLETE across a page: letters in outline, so that the text
//! stays legible in a photocopy.

use std::sync::Arc;

use ttf_parser::{GlyphId, OutlineBuilder};

use super::band::THIN;
use crate::page::font::Fonts;
use crate::page::length::Len;
use crate::page::mark::{Face, Mark, Point, Stamp, Step};

/// No capital is taller than about 45 mm.
const LARGEST: f64 = 66.0;

/// More white between the letters, in thousandths of the type size.
const APART: u16 = 60;

/// The word along the diagonal of a page of this size, drawn in lines.
pub fn across(word: &str, fonts: &Fonts, width: Len, height: Len) -> Arc<Stamp> {
    let (w, h) = (width.to_mm() - 45.0, height.to_mm() - 90.0);
    let turn = h.atan2(w);
    let gaps = f64::from(APART) * word.chars().count() as f64 / 1000.0;
    let advance = fonts.width(Face::Bold, Len::mm(100.0), word).to_mm() / 100.0 + gaps;
    let size = (w.hypot(h) / advance).min(LARGEST);
    let mut pencil = Pencil {
        centre: (width.to_mm() / 2.0 + 7.5, height.to_mm() / 2.0 + 6.0),
        turn: turn.sin_cos(),
        em: size / 1000.0,
        origin: (-advance * 500.0, -330.0),
        steps: Vec::new(),
        last: (0.0, 0.0),
    };
    let (_, file) = fonts.file(Face::Bold);
    if let Ok(face) = ttf_parser::Face::parse(file, 0) {
        for glyph in word.chars().filter_map(|c| fonts.glyph(Face::Bold, c)) {
            face.outline_glyph(GlyphId(glyph.id), &mut pencil);
            pencil.origin.0 += f64::from(glyph.advance + APART);
        }
    }
    Arc::new(Stamp {
        name: format!("across-{word}"),
        size: (width, height),
        marks: vec![Mark::Path {
            steps: pencil.steps,
            pen: Some(THIN),
            fill: false,
        }],
    })
}

/// Turns outlines in thousandths of the type size into steps on the page.
struct Pencil {
    centre: (f64, f64),
    /// Sine and cosine of the turn.
    turn: (f64, f64),
    em: f64,
    /// Of the glyph in hand, from the middle of the word.
    origin: (f64, f64),
    steps: Vec<Step>,
    last: (f64, f64),
}

impl Pencil {
    fn point(&self, (x, y): (f64, f64)) -> Point {
        let (x, y) = (x + self.origin.0, y + self.origin.1);
        let (sin, cos) = self.turn;
        let (right, up) = (x * cos - y * sin, x * sin + y * cos);
        Point {
            x: Len::mm(self.centre.0 + right * self.em),
            y: Len::mm(self.centre.1 - up * self.em),
        }
    }

    fn curve(&mut self, a: (f64, f64), b: (f64, f64), to: (f64, f64)) {
        let step = Step::Curve(self.point(a), self.point(b), self.point(to));
        self.steps.push(step);
        self.last = to;
    }
}

impl OutlineBuilder for Pencil {
    fn move_to(&mut self, x: f32, y: f32) {
        self.last = (x.into(), y.into());
        self.steps.push(Step::To(self.point(self.last)));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.last = (x.into(), y.into());
        self.steps.push(Step::Line(self.point(self.last)));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        // The same curve as a cubic: its controls lie two thirds of the way.
        let (control, to): ((f64, f64), (f64, f64)) =
            ((x1.into(), y1.into()), (x.into(), y.into()));
        let two_thirds = |from: (f64, f64)| {
            let part = |a: f64, b: f64| a + (b - a) * 2.0 / 3.0;
            (part(from.0, control.0), part(from.1, control.1))
        };
        self.curve(two_thirds(self.last), two_thirds(to), to);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.curve(
            (x1.into(), y1.into()),
            (x2.into(), y2.into()),
            (x.into(), y.into()),
        );
    }

    fn close(&mut self) {
        self.steps.push(Step::Close);
    }
}
