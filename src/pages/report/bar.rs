//! The bar of a fit: its bands, where a fit lies, and the sizes above it.

use std::sync::Arc;

use crate::layout::at;
use crate::layout::canvas::{Canvas, mm, solid};
use crate::layout::length::Len;
use crate::layout::mark::{Area, Mark, Pen, Point, Stamp, Step};
use crate::report::{FitGroup, Marker};

pub const LENGTH: Len = mm(57.0);
pub const HEIGHT: Len = mm(4.4);
pub const NEW: Pen = solid(1.6);
pub const SERVICE: Pen = solid(0.7);
const MARKER_HEIGHT: Len = mm(2.8);
const LEAST_MARKER: Len = mm(1.0);
const HOLLOW: Pen = solid(1.0);
/// White around a marker in the hatching.
const HALO: Len = mm(0.5);

/// The end of the bar, in millionths of it.
const END: i64 = 1_000_000;

/// Where a share of the bar lies.
pub fn along(share: i64) -> Len {
    LENGTH.scale(share.clamp(0, END) as f64 / END as f64)
}

/// The bar of a group, drawn once and used in all its rows.
pub struct Bar {
    frame: Arc<Stamp>,
    /// With the hatching, for markers that keep clear of it.
    whole: Arc<Stamp>,
    /// From, to.
    hatched: Vec<(Len, Len)>,
    limits: Vec<Limit>,
}

/// A limit, and whether what lies above it is outside.
struct Limit {
    at: Len,
    upper: bool,
}

impl Bar {
    pub fn new(group: &FitGroup) -> Bar {
        let (low, high) = group.service;
        let (low_at, high_at) = (along(low), along(high));
        let ends = [(Len::ZERO, low_at), (high_at, LENGTH)];
        let hatched: Vec<_> = ends.into_iter().filter(|(a, b)| *b - *a > mm(0.3)).collect();
        let mut marks = vec![outline(low_at, high_at, SERVICE)];
        let mut limits = limits(low_at, high_at);
        if let Some((from, to)) = group.new {
            marks.push(outline(along(from), along(to), NEW));
            limits.extend(self::limits(along(from), along(to)));
        }
        let name = format!("{low} {high} {:?}", group.new.unwrap_or((-1, -1)));
        let stamp = |kind: &str, marks: Vec<Mark>| {
            let (name, size) = (format!("{kind} {name}"), (LENGTH, HEIGHT));
            Arc::new(Stamp { name, size, marks })
        };
        let hatching = hatched.iter().map(|(from, to)| hatch(*from, *to));
        Bar {
            whole: stamp("bar", hatching.chain(marks.iter().cloned()).collect()),
            frame: stamp("bands", marks),
            hatched,
            limits,
        }
    }

    /// Draws the bar with its top left corner at a place, and the marker.
    pub fn draw(&self, canvas: &mut Canvas<'_>, corner: Point, marker: Option<Marker>) {
        let span = marker.map(|marker| (marker, self.span(marker)));
        let free = span.map(|(_, (from, to))| (from - HALO, to + HALO));
        match free.filter(|(a, b)| self.hatched.iter().any(|(from, to)| a < to && b > from)) {
            None => canvas.stamped(corner, &self.whole),
            Some((left, right)) => {
                for (from, to) in &self.hatched {
                    for (a, b) in [(*from, (*to).min(left)), ((*from).max(right), *to)] {
                        if b - a > mm(0.3) {
                            canvas.put([hatch(a, b)], corner);
                        }
                    }
                }
                canvas.stamped(corner, &self.frame);
            }
        }
        if let Some((marker, span)) = span {
            draw_marker(canvas, corner, marker, span);
        }
    }

    /// Where the marker is drawn: wide enough to be seen, but never across a
    /// limit that the fit does not pass.
    fn span(&self, marker: Marker) -> (Len, Len) {
        let (from, to) = (along(marker.from), along(marker.to));
        let more = (LEAST_MARKER - (to - from)).max(Len::ZERO);
        let (mut left, mut right) = (from - more / 2, to + more - more / 2);
        for limit in &self.limits {
            let inside_below = if limit.upper { to <= limit.at } else { to < limit.at };
            let inside_above = if limit.upper { from > limit.at } else { from >= limit.at };
            let by = if inside_below && right > limit.at {
                limit.at - right
            } else if inside_above && left < limit.at {
                limit.at - left
            } else {
                Len::ZERO
            };
            left += by;
            right += by;
        }
        let by = (-left).max(Len::ZERO) - (right - LENGTH).max(Len::ZERO);
        (left + by, right + by)
    }
}

fn limits(low: Len, high: Len) -> Vec<Limit> {
    let all = [(low, false), (high, true)];
    let inside = all.into_iter().filter(|(at, _)| *at > Len::ZERO && *at < LENGTH);
    inside.map(|(at, upper)| Limit { at, upper }).collect()
}

fn area(from: Len, to: Len) -> Area {
    Area { x: from, y: Len::ZERO, w: to - from, h: HEIGHT }
}

pub fn hatch(from: Len, to: Len) -> Mark {
    Mark::Hatch { area: area(from, to) }
}

pub fn outline(from: Len, to: Len, pen: Pen) -> Mark {
    Mark::Rect { area: area(from, to), pen: Some(pen), fill: false }
}

/// The marker on a bar at a place; an arrow where the fit lies beyond the end
/// of the bar.
pub fn draw_marker(canvas: &mut Canvas<'_>, corner: Point, marker: Marker, (from, to): (Len, Len)) {
    // The line of a hollow marker stays inside its width.
    let inset = if marker.solid { Len::ZERO } else { HOLLOW.weight / 2 };
    let area = Area {
        x: corner.x + from + inset,
        y: corner.y + (HEIGHT - MARKER_HEIGHT) / 2 + inset,
        w: (to - from - inset * 2).max(mm(0.2)),
        h: MARKER_HEIGHT - inset * 2,
    };
    canvas.marks.push(Mark::Rect {
        area,
        pen: (!marker.solid).then_some(HOLLOW),
        fill: marker.solid,
    });
    let gap = mm(0.7);
    if marker.from < 0 {
        arrow(canvas, corner, -gap, -mm(1.8), marker.solid);
    }
    if marker.to > END {
        arrow(canvas, corner, LENGTH + gap, mm(1.8), marker.solid);
    }
}

pub fn arrow(canvas: &mut Canvas<'_>, corner: Point, x: Len, reach: Len, solid: bool) {
    let y = HEIGHT / 2;
    let point = |x: Len, y: Len| at(corner.x + x, corner.y + y);
    canvas.marks.push(Mark::Path {
        steps: vec![
            Step::To(point(x, y - mm(1.2))),
            Step::Line(point(x + reach, y)),
            Step::Line(point(x, y + mm(1.2))),
            Step::Close,
        ],
        pen: (!solid).then_some(SERVICE),
        fill: solid,
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar() -> Bar {
        Bar::new(&FitGroup {
            title: String::new(),
            note: None,
            ticks: Vec::new(),
            new: Some((200_000, 600_000)),
            service: (200_000, 800_000),
            rows: Vec::new(),
        })
    }

    fn span(from: i64, to: i64) -> (Len, Len) {
        let marker = Marker { from, to, solid: true };
        bar().span(marker)
    }

    #[test]
    fn a_marker_on_a_limit_stays_on_the_side_of_its_fit() {
        // Inclusive: on the new limit is inside it, one step over is not.
        assert_eq!(span(600_000, 600_000).1, along(600_000));
        assert_eq!(span(601_000, 601_000).0, along(600_000));
        assert_eq!(span(200_000, 200_000).0, along(200_000));
        assert_eq!(span(199_000, 199_000).1, along(200_000));
        assert_eq!(span(790_000, 800_000).1, along(800_000));
    }

    #[test]
    fn a_marker_off_the_scale_stays_on_the_bar() {
        assert_eq!(span(1_300_000, 1_400_000).1, LENGTH);
        assert_eq!(span(-9_000_000, -8_000_000).0, Len::ZERO);
        assert_eq!(span(300_000, 500_000), (along(300_000), along(500_000)));
    }
}
