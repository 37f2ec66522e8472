//! Boxes to write in: combs with a cell a digit, ticks, initials, dates.

use crate::layout::canvas::{BOX, Canvas, HAIR, HEAVY, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Entry, Face, Pen, Point, Step};
use crate::layout::style::{CAPTION, TextStyle};
use crate::layout::{area, at};
use crate::sheet::fields::{DAY, DECIMALS, WHOLE};

/// A cell of a comb takes one handwritten digit.
pub const CELL_W: Len = mm(5.6);
pub const CELL_H: Len = mm(8.6);
/// Room for the printed point.
pub const POINT: Len = mm(1.6);
/// Before the cell for L or T, which is no digit.
pub const SIDE: Len = mm(1.2);
/// Side of a box for a tick.
pub const TICK: Len = mm(4.2);
/// Of a box for initials.
pub const INITIALS: Len = mm(13.0);

/// As written by hand.
pub const HAND: TextStyle = TextStyle::new(Face::Italic, 16.0);

/// How many cells a comb has, and where its point stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Comb {
    pub whole: u8,
    pub places: u8,
    /// A first cell for plus or minus.
    pub signed: bool,
    /// A last cell for L or T.
    pub side: bool,
    /// The outline of the box that governs.
    pub heavy: bool,
}

impl Comb {
    /// Cells before and after the point.
    fn cells(self) -> (i32, i32) {
        let before = i32::from(self.whole) + i32::from(self.signed);
        (before, i32::from(self.places) + i32::from(self.side))
    }

    pub fn width(self) -> Len {
        let (before, after) = self.cells();
        let point = if self.places > 0 { POINT } else { Len::ZERO };
        let side = if self.side { SIDE } else { Len::ZERO };
        CELL_W * (before + after) + point + side
    }

    /// Where the first cell stands: behind the point where it has no whole.
    pub fn first(self) -> Len {
        match self.cells() {
            (0, _) => POINT,
            _ => Len::ZERO,
        }
    }

    fn name(self) -> String {
        let Comb { whole, places, signed, side, heavy } = self;
        let flag = |on: bool, letter: &'static str| if on { letter } else { "" };
        let (sign, side, heavy) = (flag(signed, "s"), flag(side, "l"), flag(heavy, "h"));
        format!("comb-{whole}.{places}{sign}{side}{heavy}")
    }
}

impl Canvas<'_> {
    /// A comb with its top left corner at the point.
    pub fn comb(&mut self, point: Point, comb: Comb) {
        let size = (comb.width(), CELL_H);
        self.stamp(&comb.name(), point, size, |canvas| draw_comb(canvas, comb));
    }

    /// A reading written into a comb of that place, a digit a cell.
    pub fn hand(&mut self, point: Point, comb: Comb, text: &str) {
        let (before, _) = comb.cells();
        let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
        let gap = if comb.places > 0 { POINT } else { Len::ZERO };
        let base = point.y + CELL_H - mm(2.2);
        let first = before - i32::try_from(whole.chars().count()).unwrap_or(before);
        for (n, digit) in (first..).zip(whole.chars()) {
            let x = point.x + CELL_W * n + CELL_W / 2;
            self.word_centre(x, base, HAND, &digit.to_string());
        }
        for (n, digit) in (before..).zip(decimals.chars()) {
            let x = point.x + CELL_W * n + gap + CELL_W / 2;
            self.word_centre(x, base, HAND, &digit.to_string());
        }
    }

    /// The fields of a comb: what stands before the point, and what stands behind.
    pub fn comb_fields(
        &mut self,
        point: Point,
        comb: Comb,
        named: impl Fn(&str) -> (String, String),
    ) {
        let (before, _) = comb.cells();
        let after = i32::from(comb.places);
        let point_w = if comb.places > 0 { POINT } else { Len::ZERO };
        let parts = [(WHOLE, Len::ZERO, before), (DECIMALS, CELL_W * before + point_w, after)];
        for (part, x, cells) in parts.into_iter().filter(|(.., cells)| *cells > 0) {
            let entry = Entry::Cells(usize::try_from(cells).unwrap_or(1));
            let over = area(point.x + x, point.y, CELL_W * cells, CELL_H);
            self.field(over, entry, || named(part));
        }
    }

    /// The three fields of a day.
    pub fn date_fields(&mut self, point: Point, named: impl Fn(&str) -> (String, String)) {
        for (n, part) in DAY.into_iter().enumerate() {
            let x = point.x + (CELL_W * 2 + DASH).times(n);
            let over = area(x, point.y, CELL_W * 2, CELL_H);
            self.field(over, Entry::Cells(2), || named(part));
        }
    }

    /// A field for words on a line whose left end is at the point.
    pub fn words_field(
        &mut self,
        line: Point,
        width: Len,
        named: impl FnOnce() -> (String, String),
    ) {
        let over = area(line.x, line.y - mm(4.8), width, mm(4.8));
        self.field(over, Entry::Words, named);
    }

    /// A box for a tick, top left corner at the point.
    pub fn tick_box(&mut self, point: Point) {
        self.square("tick-box", point, TICK);
    }

    /// A box for a written mark: a tick, a cross or a letter.
    pub fn mark_box(&mut self, point: Point, side: Len) {
        self.square(&format!("mark-box-{}", side.um()), point, side);
    }

    fn square(&mut self, name: &str, point: Point, side: Len) {
        self.stamp(name, point, (side, side), |canvas| {
            canvas.rect(area(Len::ZERO, Len::ZERO, side, side), BOX);
        });
    }

    /// An open box, such as for initials.
    pub fn blank_box(&mut self, point: Point, width: Len, height: Len) {
        let name = format!("box-{}-{}", width.um(), height.um());
        self.stamp(&name, point, (width, height), |canvas| {
            canvas.rect(area(Len::ZERO, Len::ZERO, width, height), BOX);
        });
    }

    /// Cells for a date, year-month-day, with captions under them.
    pub fn date(&mut self, point: Point) {
        self.stamp("date", point, (DATE, CELL_H), |canvas| draw_date(canvas, true));
    }

    /// The same under others that have the captions.
    pub fn bare_date(&mut self, point: Point) {
        self.stamp("date-bare", point, (DATE, CELL_H), |canvas| draw_date(canvas, false));
    }

    /// A day in its cells, given as year-month-day.
    pub fn day(&mut self, point: Point, day: &str) {
        let base = point.y + CELL_H - mm(2.2);
        let parts = day.split('-').map(|part| &part[part.len().saturating_sub(2)..]);
        for (n, part) in (0..).zip(parts) {
            let x = point.x + (CELL_W * 2 + DASH) * n + CELL_W / 2;
            for (m, digit) in (0..).zip(part.chars()) {
                self.word_centre(x + CELL_W * m, base, HAND, &digit.to_string());
            }
        }
    }

    /// A handwritten tick, its box `side` wide with the corner at the point.
    pub fn tick(&mut self, point: Point, side: Len) {
        let to = |x: f64, y: f64| at(point.x + side.scale(x), point.y + side.scale(y));
        let steps =
            vec![Step::To(to(0.12, 0.55)), Step::Line(to(0.38, 0.88)), Step::Line(to(0.9, 0.1))];
        self.path(steps, Some(STROKE), false);
    }

    /// A handwritten cross, its box `side` wide with the corner at the point.
    pub fn cross(&mut self, point: Point, side: Len) {
        let to = |x: f64, y: f64| at(point.x + side.scale(x), point.y + side.scale(y));
        self.line(to(0.14, 0.12), to(0.86, 0.88), STROKE);
        self.line(to(0.86, 0.12), to(0.14, 0.88), STROKE);
    }
}

const STROKE: Pen = Pen { weight: Len::pt(1.0), ..BOX };

/// Width of the cells of a date.
pub const DATE: Len = mm(36.8);
/// Between the cells of year, month and day.
const DASH: Len = mm(1.6);

fn draw_date(canvas: &mut Canvas<'_>, captioned: bool) {
    let pair = CELL_W * 2;
    for (n, caption) in ["year", "month", "day"].into_iter().enumerate() {
        let x = (pair + DASH).times(n);
        cells(canvas, x, 2, BOX);
        if n > 0 {
            let y = CELL_H / 2;
            canvas.rule(x - DASH + mm(0.4), y, mm(0.8), HAIR);
        }
        if captioned {
            canvas.word(x, CELL_H + mm(3.0), CAPTION, caption);
        }
    }
}

fn draw_comb(canvas: &mut Canvas<'_>, comb: Comb) {
    let (before, after) = comb.cells();
    let pen = if comb.heavy { HEAVY } else { BOX };
    if before > 0 {
        cells(canvas, Len::ZERO, before, pen);
    }
    let mut x = CELL_W * before;
    if comb.places > 0 {
        let centre = at(x + POINT / 2, CELL_H - mm(0.6));
        canvas.circle(centre, mm(0.5), None, true);
        x += POINT;
    }
    let digits = i32::from(comb.places);
    if digits > 0 {
        cells(canvas, x, digits, pen);
    }
    if comb.side {
        cells(canvas, x + CELL_W * digits + SIDE, after - digits, pen);
    }
    if comb.signed {
        canvas.run(at(CELL_W / 2, mm(2.6)), CAPTION, Align::Centre, "+ −");
    }
}

fn cells(canvas: &mut Canvas<'_>, x: Len, count: i32, pen: Pen) {
    for n in 1..count {
        canvas.post(x + CELL_W * n, Len::ZERO, CELL_H, HAIR);
    }
    canvas.rect(area(x, Len::ZERO, CELL_W * count, CELL_H), pen);
}
