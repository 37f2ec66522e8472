//! Marks to the operators of a content stream (ISO 32000-1, annex A).
//!
//! One unit is a tenth of a millimetre, y up. A length in whole micrometres is
//! then written without rounding, and the lengths of the grid are short whole
//! numbers, which deflate well.

use std::fmt::Write;

use super::glyphs::{GlyphCodes, resource};
use super::operand::{byte, number};
use super::undrawable::Undrawable;
use crate::layout::length::Len;
use crate::layout::mark::{Align, Area, Dash, Face, Mark, Pen, Point, Run, Step};

/// Across the lines of a hatch, 1.0 mm; along an edge of the area, times the
/// square root of two.
const HATCH_STEP: i32 = 1414;
const HATCH_PEN: Pen = Pen { weight: Len::pt(0.5), dash: Dash::Solid };

/// Letters across a page are outlines, so that what lies under them is read.
const OUTLINE_PEN: Pen = Pen { weight: Len::pt(0.7), dash: Dash::Solid };

/// A content stream in the making, with what the reader's machine has in hand
/// at this place of it.
pub struct ContentStream {
    pub out: String,
    /// Where the marks' origin lies, in micrometres from the lower left corner.
    origin: (i32, i32),
    weight: Option<Len>,
    dash: (Dash, Len),
    white: bool,
    open: Open,
    font: Option<(Face, Len)>,
    /// Where the text line in hand begins.
    line: (i32, i32),
}

/// Operators of a kind follow each other in one piece.
#[derive(Clone, Copy, PartialEq)]
enum Open {
    Nothing,
    Text,
    Lines,
    Fills,
}

impl ContentStream {
    /// For a page, or with no height for a stamp, whose origin is its top left
    /// corner.
    pub fn new(height: Len) -> ContentStream {
        ContentStream {
            out: String::new(),
            origin: (0, height.um()),
            weight: None,
            dash: (Dash::Solid, Len::ZERO),
            white: false,
            open: Open::Nothing,
            font: None,
            line: (0, 0),
        }
    }

    /// Draws one mark, whose letters have their codes. A stamp is drawn out in
    /// full: see [`ContentStream::form`].
    pub fn mark(&mut self, mark: &Mark, codes: &GlyphCodes) -> Result<(), Undrawable> {
        match mark {
            Mark::Line { from, to, pen } => self.segment(*from, *to, *pen),
            Mark::Rect { area, pen, fill } => self.rect(*area, *pen, *fill),
            Mark::Hatch { area } => self.hatch(*area),
            Mark::Path { steps, pen, fill } => self.path(steps, *pen, *fill),
            Mark::Run(run) => self.run(run, codes)?,
            Mark::Field { .. } => {}
            Mark::Stamp { at, stamp } => {
                let origin = self.origin;
                self.origin = self.place(*at);
                for inner in &stamp.marks {
                    self.mark(inner, codes)?;
                }
                self.origin = origin;
            }
        }
        Ok(())
    }

    /// Draws the form of a name with its origin at a place. A form begins with
    /// the pen of its page: it counts on a solid line and black.
    pub fn form(&mut self, name: &str, at: Point) {
        self.white(false);
        self.dash(Dash::Solid, Len::ZERO);
        self.open(Open::Nothing);
        self.out.push_str("q 1 0 0 1 ");
        self.point(at);
        let _ = writeln!(self.out, "cm /{name} Do Q");
    }

    /// Ends the stream.
    pub fn finish(mut self) -> String {
        self.open(Open::Nothing);
        self.out
    }

    fn segment(&mut self, from: Point, to: Point, pen: Pen) {
        self.pen(pen, Open::Lines);
        self.point(from);
        self.out.push_str("m ");
        self.point(to);
        self.out.push_str("l\n");
    }

    fn rect(&mut self, area: Area, pen: Option<Pen>, fill: bool) {
        let Some(paint) = self.begin(pen, fill) else {
            return;
        };
        self.box_of(area);
        self.out.push_str(paint);
    }

    fn path(&mut self, steps: &[Step], pen: Option<Pen>, fill: bool) {
        let Some(paint) = self.begin(pen, fill) else {
            return;
        };
        // Shapes that overlap and run opposite ways would cut each other out.
        let alone = if fill && pen.is_none() { "f\n" } else { paint };
        if fill {
            self.open(Open::Nothing);
        }
        for step in steps {
            match *step {
                Step::To(p) => self.step(&[p], "m "),
                Step::Line(p) => self.step(&[p], "l "),
                Step::Curve(a, b, p) => self.step(&[a, b, p], "c "),
                Step::Close => self.out.push_str("h "),
            }
        }
        self.out.push_str(alone);
    }

    /// Makes ready for a shape and gives the operator that ends it: none where
    /// it goes on as a part of a longer piece.
    fn begin(&mut self, pen: Option<Pen>, fill: bool) -> Option<&'static str> {
        match (pen, fill) {
            (None, false) => None,
            (None, true) => {
                self.white(false);
                self.open(Open::Fills);
                Some("\n")
            }
            (Some(pen), false) => {
                self.pen(pen, Open::Lines);
                Some("\n")
            }
            (Some(pen), true) => {
                self.white(false);
                self.pen(pen, Open::Nothing);
                Some("B\n")
            }
        }
    }

    fn hatch(&mut self, area: Area) {
        self.pen(HATCH_PEN, Open::Nothing);
        self.out.push_str("q ");
        self.box_of(area);
        self.out.push_str("W n\n");
        let (left, bottom) = self.place(Point { x: area.x, y: area.y + area.h });
        let (wide, high) = (area.w.um(), area.h.um());
        let mut shift = HATCH_STEP / 2 - high;
        while shift < wide {
            self.pair(left + shift, bottom);
            self.out.push_str("m ");
            self.pair(left + shift + high, bottom + high);
            self.out.push_str("l\n");
            shift += HATCH_STEP;
        }
        self.out.push_str("S Q\n");
    }

    fn run(&mut self, run: &Run, codes: &GlyphCodes) -> Result<(), Undrawable> {
        if run.text.is_empty() {
            return Ok(());
        }
        let (shown, width) = shown(run, codes)?;
        self.white(run.white);
        let outline = run.turn % 90 != 0;
        if outline {
            self.pen(OUTLINE_PEN, Open::Nothing);
        }
        self.open(Open::Text);
        if self.font != Some((run.face, run.size)) {
            self.font = Some((run.face, run.size));
            let _ = write!(self.out, "/{} ", resource(run.face));
            self.number(run.size.um());
            self.out.push_str("Tf ");
        }
        let back = match run.align {
            Align::Left => 0,
            Align::Centre => width.um() / 2,
            Align::Right => width.um(),
        };
        let (x, y) = self.place(run.at);
        if run.turn == 0 {
            let x = x - back;
            self.pair(x - self.line.0, y - self.line.1);
            self.line = (x, y);
            self.out.push_str("Td");
        } else {
            self.out.push_str(if outline { "1 Tr " } else { "" });
            self.turned(x, y, back, run.turn);
        }
        self.out.push_str(&shown);
        self.out.push_str(if outline { "0 Tr " } else { "" });
        if run.turn != 0 {
            // The next line would be turned with it.
            self.open(Open::Nothing);
        }
        Ok(())
    }

    fn turned(&mut self, x: i32, y: i32, back: i32, degrees: i16) {
        let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
        let x = x - (f64::from(back) * cos).round() as i32;
        let y = y - (f64::from(back) * sin).round() as i32;
        let _ = write!(self.out, "{cos:.5} {sin:.5} {:.5} {cos:.5} ", -sin);
        self.pair(x, y);
        self.out.push_str("Tm");
    }

    /// Sets a pen, then opens a piece.
    fn pen(&mut self, pen: Pen, kind: Open) {
        if self.weight != Some(pen.weight) {
            self.open(Open::Nothing);
            self.weight = Some(pen.weight);
            self.number(pen.weight.um());
            self.out.push_str("w ");
        }
        match pen.dash {
            Dash::Dotted => self.dash(pen.dash, pen.weight),
            dash => self.dash(dash, Len::ZERO),
        }
        self.open(kind);
    }

    /// Sets a dash; dots are as long as the line is wide.
    fn dash(&mut self, dash: Dash, dot: Len) {
        if self.dash == (dash, dot) {
            return;
        }
        self.open(Open::Nothing);
        self.dash = (dash, dot);
        self.out.push('[');
        match dash {
            Dash::Solid => {}
            Dash::Dashed => self.out.push_str("16 10"),
            Dash::Dotted => self.pair(dot.um(), dot.um() * 2),
        }
        self.out.push_str("] 0 d ");
    }

    fn white(&mut self, white: bool) {
        if self.white != white {
            self.open(Open::Nothing);
            self.white = white;
            self.out.push_str(if white { "1 g " } else { "0 g " });
        }
    }

    /// Ends the piece in hand unless it is of the kind wanted, and begins it.
    fn open(&mut self, kind: Open) {
        if self.open == kind {
            return;
        }
        self.out.push_str(match self.open {
            Open::Nothing => "",
            Open::Text => "ET\n",
            Open::Lines => "S\n",
            Open::Fills => "f\n",
        });
        if kind == Open::Text {
            self.out.push_str("BT ");
            self.line = (0, 0);
        }
        self.open = kind;
    }

    fn step(&mut self, points: &[Point], operator: &str) {
        for point in points {
            self.point(*point);
        }
        self.out.push_str(operator);
    }

    fn box_of(&mut self, area: Area) {
        self.point(Point { x: area.x, y: area.y + area.h });
        self.pair(area.w.um(), area.h.um());
        self.out.push_str("re ");
    }

    fn point(&mut self, at: Point) {
        let (x, y) = self.place(at);
        self.pair(x, y);
    }

    fn place(&self, at: Point) -> (i32, i32) {
        (self.origin.0 + at.x.um(), self.origin.1 - at.y.um())
    }

    fn pair(&mut self, x: i32, y: i32) {
        self.number(x);
        self.number(y);
    }

    /// Micrometres as units, exactly, and a space.
    fn number(&mut self, um: i32) {
        number(&mut self.out, um);
        self.out.push(' ');
    }
}

/// The string operand and operator of a run, and its width.
fn shown(run: &Run, codes: &GlyphCodes) -> Result<(String, Len), Undrawable> {
    let mut out = String::with_capacity(run.text.len() * 2 + 8);
    let mut units = 0_i64;
    out.push('(');
    for letter in run.text.chars() {
        let Some((code, advance)) = codes.code(run.face, letter) else {
            return Err(Undrawable::Letter { letter, text: run.text.to_string() });
        };
        units += i64::from(advance);
        byte(&mut out, (code >> 8) as u8);
        byte(&mut out, code as u8);
    }
    out.push_str(")Tj\n");
    let width = Len::mm(i64::from(run.size.um()) as f64 * units as f64 / 1_000_000.0);
    Ok((out, width))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64) -> Point {
        Point { x: Len::mm(x), y: Len::mm(y) }
    }

    fn drawn(marks: &[Mark]) -> String {
        let mut codes = GlyphCodes::default();
        let mut stream = ContentStream::new(Len::mm(100.0));
        for mark in marks {
            codes.assign(mark).expect("letters of the typeface");
            stream.mark(mark, &codes).expect("letters of the typeface");
        }
        stream.finish()
    }

    #[test]
    fn lines_of_one_pen_are_one_piece_and_a_dash_is_taken_back() {
        let line = |dash| Mark::Line {
            from: at(10.0, 10.0),
            to: at(20.0, 10.0),
            pen: Pen { weight: Len::mm(0.2), dash },
        };
        let marks = [Dash::Solid, Dash::Solid, Dash::Dashed, Dash::Solid].map(line);
        let path = "100 900 m 200 900 l\n";
        let wanted = format!("2 w {path}{path}S\n[16 10] 0 d {path}S\n[] 0 d {path}S\n");
        assert_eq!(drawn(&marks), wanted);
    }

    #[test]
    fn text_is_shown_in_the_order_of_the_marks() {
        let run = |text: &str, y, align| {
            Mark::Run(Run {
                at: at(50.0, y),
                text: text.into(),
                face: Face::Code,
                size: Len::mm(5.0),
                align,
                white: false,
                turn: 0,
            })
        };
        // Code is 600 of 1000 units wide: 3 mm a letter at 5 mm.
        let found = drawn(&[run("AB", 10.0, Align::Right), run("A", 20.0, Align::Left)]);
        let wanted = "BT /C 50 Tf 440 900 Td(\0\u{1}\0\u{2})Tj\n60 -100 Td(\0\u{1})Tj\nET\n";
        assert_eq!(found, wanted);
    }
}
