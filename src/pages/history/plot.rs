//! Where the figures and the jobs of a row lie on paper.

use crate::layout::canvas::mm;
use crate::layout::length::Len;
use crate::layout::mark::Area;
use crate::quantity::{Exact, quotient};
use crate::report::history::{Course, Point, Reading};

/// From the first and the last job to the ends of the plot.
const INSET: Len = mm(5.0);

/// Where figures and jobs lie on paper.
pub struct Plot {
    area: Area,
    low: Exact,
    high: Exact,
}

impl Plot {
    pub fn area(&self) -> Area {
        self.area
    }

    /// How far down a figure lies.
    pub fn y(&self, figure: Exact) -> Len {
        let share = figure.share(self.low, self.high).clamp(0, 1_000_000);
        self.area.y + self.area.h - self.area.h.scale(share as f64 / 1e6)
    }
}

fn readings(point: &Point) -> impl Iterator<Item = &Reading> {
    [&point.found, &point.left].into_iter().flatten().filter(|reading| reading.is_sure())
}

/// All limits and figures, with an eighth of their span above and below.
pub fn plot(course: &Course, area: Area) -> Plot {
    let limits = course.points.iter().flat_map(|point| {
        [point.limits.new, point.limits.accepted].into_iter().flatten().flatten()
    });
    let figures = course.points.iter().flat_map(readings).flat_map(|one| [one.least, one.most]);
    let all: Vec<Exact> = limits.chain(figures).collect();
    let low = all.iter().min().copied().unwrap_or(Exact::ZERO);
    let high = all.iter().max().copied().unwrap_or(Exact::ZERO);
    // Eight times as large, so that an eighth is exact.
    let step = Exact::steps(1, course.places);
    let span = if low == high { step.times(8) } else { high - low };
    let (low, high) = (low - span, high + span);
    let middle = |edge: Exact, end: Exact| {
        let found = quotient(edge.times(7) + end, 8, course.places + 2);
        found.nearest(course.places + 2)
    };
    let (own_low, own_high) = (low + span, high - span);
    Plot { area, low: middle(own_low, low), high: middle(own_high, high) }
}

/// Where each job stands: by its hours, or one after another.
pub fn places(course: &Course, plot: &Plot) -> Vec<Len> {
    let (from, room) = (plot.area.x + INSET, plot.area.w - INSET * 2);
    let hours: Vec<Exact> = course.points.iter().filter_map(|point| point.hours).collect();
    let ends = hours.first().zip(hours.last()).filter(|(first, last)| first != last);
    let last = course.points.len().saturating_sub(1).max(1);
    let each = course.points.iter().enumerate().map(|(n, point)| match (ends, point.hours) {
        (Some((first, last)), Some(own)) if course.by_hours() => {
            room.scale(own.share(*first, *last) as f64 / 1e6)
        }
        _ if course.points.len() == 1 => room / 2,
        _ => room.scale(n as f64 / last as f64),
    });
    each.map(|along| from + along).collect()
}
