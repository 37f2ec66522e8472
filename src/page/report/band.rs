//! Strips of marks across the page, and what the flow must know of each.

use std::sync::Arc;

use crate::page::length::Len;
use crate::page::mark::{Area, Dash, Mark, Pen, Point, Step};

/// Weights of lines, in points: none is under half a point, which a photocopy
/// loses.
pub const THIN: Pen = solid(0.5);
pub const PLAIN: Pen = solid(0.7);

/// A solid line of a weight in points.
pub const fn solid(points: f64) -> Pen {
    Pen { weight: Len::pt(points), dash: Dash::Solid }
}

/// Marks with their origin at the left edge of the text and the top of the
/// strip.
#[derive(Clone, Debug, Default)]
pub struct Strip {
    pub height: Len,
    pub marks: Vec<Mark>,
}

/// A strip that the flow never splits.
#[derive(Clone, Debug, Default)]
pub struct Band {
    pub strip: Strip,
    /// White before it, left out at the top of a page.
    pub gap: Len,
    /// Stays on one page with the next band.
    pub keep: bool,
    /// Repeated heads, drawn before it where it begins a page.
    pub heads: Option<Arc<Vec<Strip>>>,
    /// Drawn in its place where it begins a page.
    pub at_top: Option<Strip>,
    /// Drawn after it where a page ends there.
    pub foot: Option<Arc<Strip>>,
    /// Level and title.
    pub bookmark: Option<(u8, String)>,
    /// Room for the visible signature of a person, inside the strip.
    pub sign: Option<(String, Area)>,
}

impl Strip {
    /// A line from the left edge `from` to `to`, at a height.
    pub fn rule(&mut self, from: Len, to: Len, y: Len, pen: Pen) {
        let (from, to) = (Point { x: from, y }, Point { x: to, y });
        self.marks.push(Mark::Line { from, to, pen });
    }
}

impl Band {
    pub fn new(strip: Strip, gap: Len) -> Band {
        Band { strip, gap, ..Band::default() }
    }
}

/// Moves a mark.
pub fn moved(mut mark: Mark, by: Point) -> Mark {
    let go = |at: &mut Point| {
        at.x += by.x;
        at.y += by.y;
    };
    match &mut mark {
        Mark::Line { from, to, .. } => {
            go(from);
            go(to);
        }
        Mark::Rect { area, .. } | Mark::Hatch { area } => {
            area.x += by.x;
            area.y += by.y;
        }
        Mark::Path { steps, .. } => steps.iter_mut().for_each(|step| match step {
            Step::To(at) | Step::Line(at) => go(at),
            Step::Curve(a, b, at) => [a, b, at].into_iter().for_each(go),
            Step::Close => {}
        }),
        Mark::Run(run) => go(&mut run.at),
        Mark::Stamp { at, .. } => go(at),
    }
    mark
}
