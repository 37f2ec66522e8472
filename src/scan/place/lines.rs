//! The printed lines of a page, in pieces, and where a picture shows them.

use crate::layout::length::Len;
use crate::layout::mark::{Area, Dash, Mark, Page, Pen, Point};
use crate::scan::Grey;

use super::map::{Map, Sight, length};
use super::squares::Squares;

/// A line is looked for in pieces of this length, in millimetres.
const PIECE: f64 = 3.0;
/// What is shorter is no line to go by.
const LEAST: f64 = 2.4;
/// Steps along a piece on either side of its middle.
const ALONG: i32 = 3;
/// From the middle of a line to the paper beside it, half its weight aside.
const BESIDE: f64 = 0.5;
/// A line is darker than the paper on both of its sides by this much of 255, in
/// the mean along a piece: faint pencil and dirt are not, a photocopied line is.
const DARKER: f64 = 14.0;
/// Pieces of one page at the most: what a page of combs has.
const MOST: usize = 2_600;

/// A piece of a level or upright line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Its middle, in millimetres.
    pub x: f64,
    pub y: f64,
    pub level: bool,
    /// Half of the pen's weight.
    half: f64,
}

/// What is printed on a page to place it by.
#[derive(Clone, Debug)]
pub struct Printed {
    pub size: (f64, f64),
    pub code: Squares,
    pub pieces: Vec<Piece>,
}

impl Printed {
    /// `None` where the page has no code.
    pub fn of(page: &Page) -> Option<Printed> {
        let code = Squares::of(&page.marks)?;
        let mut pieces = Vec::new();
        lines(&page.marks, Point::default(), &mut pieces);
        // The same line drawn twice is one.
        pieces.sort_by(|a, b| {
            a.level.cmp(&b.level).then(a.y.total_cmp(&b.y)).then(a.x.total_cmp(&b.x))
        });
        pieces.dedup_by(|a, b| {
            a.level == b.level && (a.x - b.x).abs() < 0.05 && (a.y - b.y).abs() < 0.05
        });
        let every = pieces.len().div_ceil(MOST).max(1);
        let pieces = pieces.into_iter().step_by(every).collect();
        Some(Printed { size: (page.width.to_mm(), page.height.to_mm()), code, pieces })
    }
}

fn lines(marks: &[Mark], by: Point, out: &mut Vec<Piece>) {
    for mark in marks {
        match mark {
            Mark::Line { from, to, pen } if pen.dash == Dash::Solid => {
                line((from, to), by, *pen, out);
            }
            Mark::Rect { area, pen: Some(pen), fill: false } if pen.dash == Dash::Solid => {
                edges(*area, by, *pen, out);
            }
            Mark::Stamp { at, stamp } => {
                lines(&stamp.marks, Point { x: by.x + at.x, y: by.y + at.y }, out);
            }
            _ => {}
        }
    }
}

fn edges(area: Area, by: Point, pen: Pen, out: &mut Vec<Piece>) {
    let to = |x: Len, y: Len| Point { x, y };
    let (right, low) = (area.x + area.w, area.y + area.h);
    let corners = [to(area.x, area.y), to(right, area.y), to(right, low), to(area.x, low)];
    for n in 0..4 {
        line((&corners[n], &corners[(n + 1) % 4]), by, pen, out);
    }
}

fn line((from, to): (&Point, &Point), by: Point, pen: Pen, out: &mut Vec<Piece>) {
    let (level, upright) = (from.y == to.y, from.x == to.x);
    if level == upright {
        return;
    }
    let start = (from.x.min(to.x) + by.x, from.y.min(to.y) + by.y);
    let long = ((to.x - from.x).to_mm() + (to.y - from.y).to_mm()).abs();
    if long < LEAST {
        return;
    }
    let count = (long / PIECE).round().max(1.0) as usize;
    let half = pen.weight.to_mm() / 2.0;
    for n in 0..count {
        let along = long * (n as f64 + 0.5) / count as f64;
        let (x, y) = (start.0.to_mm(), start.1.to_mm());
        let (x, y) = if level { (x + along, y) } else { (x, y + along) };
        out.push(Piece { x, y, level, half });
    }
}

/// What a picture shows of a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Look {
    /// It would lie outside the picture.
    Outside,
    Nothing,
    /// So many millimetres from where it should be.
    At(f64),
}

impl Piece {
    /// Looks for a line within so many millimetres on either side.
    pub fn look(&self, picture: &Grey, map: &Map, within: f64) -> Look {
        let beside = BESIDE + self.half;
        let step = (0.5 / map.scale(self.x, self.y)).clamp(0.02, 0.2);
        let reach = ((within + beside) / step).ceil() as i32;
        let mut dark = Vec::with_capacity(reach as usize * 2 + 1);
        for n in -reach..=reach {
            match self.mean(picture, map, f64::from(n) * step) {
                Some(mean) => dark.push(mean),
                None => return Look::Outside,
            }
        }
        let (side, most) = ((beside / step).round() as usize, (within / step).floor() as usize);
        let middle = reach as usize;
        let mut best: Option<(f64, usize)> = None;
        for at in middle - most..=middle + most {
            let (Some(before), Some(after)) = (at.checked_sub(side), dark.get(at + side)) else {
                continue;
            };
            let darker = dark[before].min(*after) - dark[at];
            if darker >= DARKER && best.is_none_or(|(known, _)| darker > known) {
                best = Some((darker, at));
            }
        }
        match best {
            Some((_, at)) => Look::At((middled(&dark, at, side) - middle as f64) * step),
            None => Look::Nothing,
        }
    }

    /// Brightness along the piece, so many millimetres beside it.
    fn mean(&self, picture: &Grey, map: &Map, off: f64) -> Option<f64> {
        let mut sum = 0.0;
        for n in -ALONG..=ALONG {
            let along = f64::from(n) * PIECE / f64::from(ALONG * 2 + 1);
            let (x, y) = match self.level {
                true => (self.x + along, self.y + off),
                false => (self.x + off, self.y + along),
            };
            let (x, y) = map.at(x, y);
            sum += picture.within(x, y)?;
        }
        Some(sum / f64::from(ALONG * 2 + 1))
    }

    /// A line that was seen so many millimetres beside its place.
    pub fn sight(&self, map: &Map, off: f64, weight: f64) -> Sight {
        let (ahead, seen) = match self.level {
            true => ((self.x + 1.0, self.y), (self.x, self.y + off)),
            false => ((self.x, self.y + 1.0), (self.x + off, self.y)),
        };
        let (here, ahead) = (map.at(self.x, self.y), map.at(ahead.0, ahead.1));
        let (dx, dy) = (ahead.0 - here.0, ahead.1 - here.1);
        let long = length(dx, dy).max(1e-9);
        let across = (-dy / long, dx / long);
        let (x, y) = map.at(seen.0, seen.1);
        Sight { x: self.x, y: self.y, across, seen: across.0 * x + across.1 * y, weight }
    }
}

/// Where the middle of what is dark about a step lies.
fn middled(dark: &[f64], at: usize, side: usize) -> f64 {
    let (low, high) = (at.saturating_sub(side), (at + side).min(dark.len() - 1));
    let paper = dark[low].min(dark[high]);
    let (mut sum, mut moment) = (0.0, 0.0);
    for (n, value) in dark.iter().enumerate().take(high + 1).skip(low) {
        let ink = (paper - value).max(0.0);
        sum += ink;
        moment += ink * n as f64;
    }
    if sum > 0.0 { moment / sum } else { at as f64 }
}
