//! Fits: both ends of each, and a bar that shows where it lies.

use std::sync::Arc;

use super::band::{Band, PLAIN, Strip, THIN};
use super::bar::{self, Bar};
use super::figures::Points;
use super::fitrow;
use super::text::{BODY, BOLD, HEADING, ITALIC, Setter, Style, line_at};
use super::ticks::Ticks;
use crate::model::side::Side;
use crate::page::length::Len;
use crate::page::mark::{Align, Point};
use crate::report::{FitGroup, FitLine, Marker};

/// White above and below the two lines of a row.
pub const PAD: Len = Len::mm(0.7);
/// From the top of a row to its bar.
pub const BAR_TOP: Len = Len::mm(1.9);

/// How far the sizes over a bar may stand out past its ends.
const OUT: Len = Len::mm(5.0);

/// A column of figures.
#[derive(Clone, Copy, Debug, Default)]
pub struct Lane {
    pub x: Len,
    pub width: Len,
    /// Of its figures, where they stand in one line each.
    pub points: Option<Points>,
}

/// Where the columns stand.
#[derive(Clone, Copy, Debug)]
pub struct Lanes {
    /// Row code, place, and what was done: from the left edge.
    pub place: Len,
    pub shaft: Lane,
    pub bore: Lane,
    pub fit: Lane,
    pub bar: Len,
    pub margin: Lane,
    pub state: Lane,
}

pub fn fits(set: &Setter, groups: &[FitGroup]) -> Vec<Band> {
    let lanes = lanes(set, groups);
    let head = columns_head(set, &lanes);
    let mut bands = vec![Band { keep: true, ..Band::new(head.clone(), Len::mm(2.6)) }];
    for group in groups {
        fit_group(set, &lanes, &head, group, &mut bands);
    }
    if let Some(last) = bands.last_mut() {
        last.keep = true;
    }
    bands.push(legend(set, groups));
    bands
}

fn lines(groups: &[FitGroup]) -> impl Iterator<Item = &FitLine> {
    groups.iter().flat_map(|group| &group.rows)
}

/// Figures get the room they need; the place gets what they leave over.
fn lanes(set: &Setter, groups: &[FitGroup]) -> Lanes {
    let mut points = [Points::default(); 4];
    for line in lines(groups) {
        let columns: [(Style, &[&String]); 4] = [
            (BODY, &[&line.shaft.0, &line.shaft.1]),
            (BODY, &[&line.bore.0, &line.bore.1]),
            (BOLD, &[&line.tightest, &line.loosest]),
            (BODY, &[&line.margin]),
        ];
        for (points, (style, texts)) in points.iter_mut().zip(columns) {
            texts.iter().for_each(|text| points.take(set, style, text));
        }
    }
    let mm = Len::mm;
    let widths = [(11.8, 15.0), (11.8, 15.0), (12.0, 17.0), (10.8, 14.0)];
    let width = |n: usize| points[n].width().clamp(mm(widths[n].0), mm(widths[n].1));
    let [shaft, bore, fit, margin] = [0, 1, 2, 3].map(width);
    let gap = mm(3.0);
    let before_bar = mm(6.0);
    // What the state needs for its longest word, and no less than for four.
    let words = lines(groups).map(|line| set.longest_word(BOLD, &line.state));
    let state = words.max().unwrap_or(Len::ZERO).clamp(mm(22.0), mm(30.0));
    let taken = shaft + bore + fit + margin + state + gap * 3 + before_bar + bar::LENGTH + mm(4.6);
    let spare = set.width - taken;
    let place = spare.max(mm(18.0));
    let lane = |x: Len, width: Len, points: Points| Lane {
        x,
        width,
        points: (points.width() <= width).then_some(points),
    };
    let shaft = lane(place + gap / 2, shaft, points[0]);
    let bore = lane(shaft.x + shaft.width + gap, bore, points[1]);
    let fit = lane(bore.x + bore.width + gap, fit, points[2]);
    let bar = fit.x + fit.width + before_bar;
    let margin = lane(bar + bar::LENGTH + mm(3.6), margin, points[3]);
    let state_at = margin.x + margin.width + gap;
    Lanes {
        place,
        shaft,
        bore,
        fit,
        bar,
        margin,
        state: Lane { x: state_at, width: set.width - state_at, points: None },
    }
}

fn columns_head(set: &Setter, lanes: &Lanes) -> Strip {
    let mut strip = Strip::default();
    strip.rule(Len::ZERO, set.width, Len::ZERO, PLAIN);
    let heads = [
        (Len::ZERO, "row", "place"),
        (lanes.shaft.x, Side::Shaft.word(), "max, min"),
        (lanes.bore.x, Side::Bore.word(), "min, max"),
        (lanes.fit.x, "tightest", "loosest"),
        (lanes.bar, "where the fit lies", "each group on a scale of its own"),
        (lanes.margin.x, "margin", "to loosest"),
        (lanes.state.x, "state", ""),
    ];
    for (x, upper, lower) in heads {
        let lower_style = if lower == "loosest" { BOLD } else { BODY };
        strip.marks.push(line_at(BOLD, x, PAD, upper, Align::Left));
        if !lower.is_empty() {
            let y = PAD + BODY.lead;
            strip.marks.push(line_at(lower_style, x, y, lower, Align::Left));
        }
    }
    strip.height = PAD * 2 + BODY.lead * 2;
    strip.rule(Len::ZERO, set.width, strip.height, PLAIN);
    strip
}

fn fit_group(set: &Setter, lanes: &Lanes, head: &Strip, group: &FitGroup, bands: &mut Vec<Band>) {
    let title = group_title(set, lanes, group, false);
    let again = group_title(set, lanes, group, true);
    let heads = Arc::new(vec![head.clone(), again]);
    let first = bands.len() == 1;
    bands.push(Band {
        keep: true,
        heads: Some(Arc::new(vec![head.clone()])),
        bookmark: Some((1, group.title.clone())),
        ..Band::new(title, Len::mm(if first { 0.0 } else { 1.0 }))
    });
    let bar = Bar::new(group);
    for (n, line) in group.rows.iter().enumerate() {
        let same = |other: Option<&FitLine>| other.is_some_and(|other| other.code == line.code);
        let follows = n > 0 && same(group.rows.get(n - 1));
        let goes_on = same(group.rows.get(n + 1));
        let last = n + 1 == group.rows.len();
        let rule = match (last, goes_on) {
            (true, _) => (Len::ZERO, PLAIN),
            (_, true) => (lanes.shaft.x, THIN),
            _ => (Len::ZERO, THIN),
        };
        let row = |named: bool| fitrow::row(set, lanes, &bar, line, named, rule);
        bands.push(Band {
            at_top: follows.then(|| row(true)),
            heads: Some(heads.clone()),
            keep: goes_on,
            ..Band::new(row(!follows), Len::ZERO)
        });
    }
}

/// Title and note at the left, the sizes over the bar at the right.
fn group_title(set: &Setter, lanes: &Lanes, group: &FitGroup, again: bool) -> Strip {
    let mut strip = Strip::default();
    let width = lanes.bar - OUT - Len::mm(2.0);
    let top = Len::mm(1.8);
    let at = |y: Len| Point { x: Len::ZERO, y };
    let title = match again {
        true => format!("{}, continued", group.title),
        false => group.title.clone(),
    };
    let mut y = top + set.block(&mut strip, HEADING, &title, at(top), width);
    if let Some(note) = group.note.as_ref().filter(|_| !again) {
        y += set.block(&mut strip, ITALIC, note, at(y), width);
    }
    let ticks = Ticks::new(set, group, OUT, OUT);
    strip.height = (y + Len::mm(0.8)).max(top + ticks.height());
    let at = Point { x: lanes.bar, y: strip.height - ticks.height() };
    ticks.draw(&mut strip, at, BAR_TOP);
    strip
}

/// What the shapes mean, and how the figures belong together.
fn legend(set: &Setter, groups: &[FitGroup]) -> Band {
    let mut strip = Strip::default();
    let beyond = |marker: &Marker| marker.from < 0 || marker.to > 1_000_000;
    let arrows = lines(groups).any(|line| line.marker.as_ref().is_some_and(beyond));
    let names = [
        "new limits",
        "service limits",
        "beyond",
        "as found, superseded",
        "as left, or unchanged",
        "off the scale",
    ];
    let count = if arrows { names.len() } else { names.len() - 1 };
    let mut at = Point::default();
    for (kind, name) in names.into_iter().take(count).enumerate() {
        let width = sample_width(kind);
        let whole = width + Len::mm(1.6) + set.width_of(BODY, name);
        if at.x + whole > set.width {
            at.x = Len::ZERO;
            at.y += bar::HEIGHT + Len::mm(1.6);
        }
        sample(&mut strip, kind, at);
        let top = at.y + (bar::HEIGHT - BODY.lead) / 2;
        strip.marks.push(line_at(BODY, at.x + width + Len::mm(1.6), top, name, Align::Left));
        at.x += whole + Len::mm(5.0);
    }
    let text = "The upper line of a row is smallest bore less largest shaft, the tightest; the \
                lower is largest bore less smallest shaft, the loosest. L is loose, T is tight. A \
                size equal to its limit is inside it. The state of a row is the worst of its fit, \
                its shaft and its bore.";
    let y = at.y + bar::HEIGHT + Len::mm(1.4);
    let height = set.block(&mut strip, BODY, text, Point { x: Len::ZERO, y }, set.width);
    strip.height = y + height;
    Band::new(strip, Len::mm(3.0))
}

fn sample_width(kind: usize) -> Len {
    Len::mm(match kind {
        0..=2 => 8.0,
        5 => 2.0,
        _ => 5.0,
    })
}

fn sample(strip: &mut Strip, kind: usize, at: Point) {
    let width = sample_width(kind);
    let mark = match kind {
        0 => bar::outline(Len::ZERO, width, bar::NEW),
        1 => bar::outline(Len::ZERO, width, bar::SERVICE),
        2 => bar::hatch(Len::ZERO, width),
        5 => {
            bar::arrow(strip, at, Len::ZERO, Len::mm(1.8), true);
            return;
        }
        _ => {
            let solid = kind == 4;
            let marker = Marker { from: 0, to: 0, solid };
            bar::draw_marker(strip, at, marker, (Len::ZERO, width));
            return;
        }
    };
    strip.marks.push(super::band::moved(mark, at));
}
