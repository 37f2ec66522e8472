//! Limits across a stretch of the plot, hatched beyond, with white around what
//! stands in the hatching.

use super::plot::Plot;
use crate::layout::canvas::{Canvas, mm, solid};
use crate::layout::length::Len;
use crate::layout::mark::{Area, Mark, Pen, area};
use crate::report::history::Bands;

const NEW: Pen = solid(1.6);
const ACCEPTED: Pen = solid(0.7);
/// White around a marker in the hatching.
const HALO: Len = mm(0.6);
/// No narrower stretch is hatched.
const LEAST: Len = mm(0.3);

/// Draws the limits from `left` to `right`, keeping clear of the markers.
pub fn draw(
    canvas: &mut Canvas<'_>,
    plot: &Plot,
    bands: &Bands,
    (left, right): (Len, Len),
    markers: &[Area],
) {
    let whole = plot.area();
    let [least, most] = bands.accepted.map(|limit| limit.map(|limit| plot.y(limit)));
    let mut beyond = Vec::new();
    if let Some(most) = most {
        beyond.push(area(left, whole.y, right - left, most - whole.y));
    }
    if let Some(least) = least {
        beyond.push(area(left, least, right - left, whole.y + whole.h - least));
    }
    for marker in markers {
        beyond = beyond.into_iter().flat_map(|piece| without(piece, wider(*marker))).collect();
    }
    let seen = beyond.into_iter().filter(|piece| piece.w > LEAST && piece.h > LEAST);
    canvas.marks.extend(seen.map(|area| Mark::Hatch { area }));
    for limit in bands.accepted.into_iter().flatten() {
        canvas.rule(left, plot.y(limit), right - left, ACCEPTED);
    }
    for limit in bands.new.into_iter().flatten() {
        canvas.rule(left, plot.y(limit), right - left, NEW);
    }
}

fn wider(marker: Area) -> Area {
    area(marker.x - HALO, marker.y - HALO, marker.w + HALO * 2, marker.h + HALO * 2)
}

/// What is left of a piece with a hole cut out.
fn without(piece: Area, hole: Area) -> Vec<Area> {
    let (right, foot) = (piece.x + piece.w, piece.y + piece.h);
    let (hole_right, hole_foot) = (hole.x + hole.w, hole.y + hole.h);
    if hole.x >= right || hole_right <= piece.x || hole.y >= foot || hole_foot <= piece.y {
        return vec![piece];
    }
    let (from, to) = (hole.x.max(piece.x), hole_right.min(right));
    vec![
        area(piece.x, piece.y, from - piece.x, piece.h),
        area(to, piece.y, right - to, piece.h),
        area(from, piece.y, to - from, (hole.y - piece.y).max(Len::ZERO)),
        area(from, hole_foot, to - from, (foot - hole_foot).max(Len::ZERO)),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, w: f64, h: f64) -> Area {
        area(mm(x), mm(y), mm(w), mm(h))
    }

    #[test]
    fn what_is_left_covers_all_but_the_hole() {
        let piece = square(0.0, 0.0, 10.0, 10.0);
        let size = |areas: &[Area]| -> i64 {
            areas.iter().map(|a| i64::from(a.w.um()) * i64::from(a.h.um())).sum()
        };
        // Inside, over an edge, over a corner, all of it, beside it.
        for (hole, covered) in [
            (square(4.0, 4.0, 2.0, 2.0), 4),
            (square(8.0, 4.0, 4.0, 2.0), 4),
            (square(-1.0, -1.0, 3.0, 3.0), 4),
            (square(-1.0, -1.0, 20.0, 20.0), 100),
            (square(20.0, 4.0, 2.0, 2.0), 0),
        ] {
            let left = without(piece, hole);
            assert_eq!(size(&left), (100 - covered) * 1_000_000, "{hole:?}");
        }
    }
}
