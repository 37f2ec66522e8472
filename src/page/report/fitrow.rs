//! One row of a fit: the upper line subtracts to the tightest, the lower to
//! the loosest.

use super::band::Strip;
use super::bar::Bar;
use super::fits::{BAR_TOP, Lane, Lanes, PAD};
use super::text::{BODY, BOLD, CODE, ITALIC, Setter, Style, line_at};
use crate::page::length::Len;
use crate::page::mark::{Align, Pen, Point};
use crate::report::FitLine;

/// Between a place and what was done there, on one line.
const APART: Len = Len::mm(1.6);

/// The rule under the row begins at a place and has a pen. `named`: with the
/// code and the place of the row.
pub fn row(
    set: &Setter,
    lanes: &Lanes,
    bar: &Bar,
    line: &FitLine,
    named: bool,
    rule: (Len, Pen),
) -> Strip {
    let mut strip = Strip::default();
    let mut depth = place(set, &mut strip, lanes, line, named);
    let figures = [
        (lanes.shaft, BODY, &line.shaft.0, &line.shaft.1),
        (lanes.bore, BODY, &line.bore.0, &line.bore.1),
        (lanes.fit, BOLD, &line.tightest, &line.loosest),
    ];
    for (lane, style, upper, lower) in figures {
        let broken = figure(set, &mut strip, lane, style, PAD, upper);
        let lower_top = PAD + style.lead * broken;
        let more = figure(set, &mut strip, lane, style, lower_top, lower);
        depth = depth.max(broken + more);
    }
    let at = Point { x: lanes.bar, y: BAR_TOP };
    bar.draw(&mut strip, at, line.marker);
    let margin = beside_bar(set, &mut strip, lanes.margin, BODY, &line.margin);
    let style = if line.bold { BOLD } else { BODY };
    let state = beside_bar(set, &mut strip, lanes.state, style, &line.state);
    depth = depth.max(margin).max(state).max(2);
    strip.height = PAD * 2 + BODY.lead * depth;
    strip.rule(rule.0, set.width, strip.height, rule.1);
    strip
}

/// Sets a figure on the point of its column; gives how many lines it takes.
fn figure(set: &Setter, strip: &mut Strip, lane: Lane, style: Style, top: Len, text: &str) -> i32 {
    let lines = set.lines(style, text, lane.width);
    let count = lines.len() as i32;
    for (n, line) in lines.into_iter().enumerate() {
        let indent = lane.points.map(|points| points.indent(set, style, &line));
        let x = lane.x + indent.unwrap_or_default();
        let y = top + style.lead * n as i32;
        strip.marks.push(line_at(style, x, y, line, Align::Left));
    }
    count
}

/// Text at the height of the bar: one line stands in its middle.
fn beside_bar(set: &Setter, strip: &mut Strip, lane: Lane, style: Style, text: &str) -> i32 {
    let lines = set.lines(style, text, lane.width).len();
    let top = if lines == 1 { PAD + style.lead / 2 } else { PAD };
    figure(set, strip, lane, style, top, text)
}

/// Code and place at the left, what was done at the right in italics: on the
/// same lines where both have room, else one after the other.
fn place(set: &Setter, strip: &mut Strip, lanes: &Lanes, line: &FitLine, named: bool) -> i32 {
    let width = lanes.place - Len::mm(0.6);
    let mut left: Vec<(Style, String)> = Vec::new();
    if named {
        let code = set.lines(CODE, &line.code, width);
        left.extend(code.into_iter().map(|text| (CODE, text)));
        if !line.place.is_empty() {
            let place = set.lines(BODY, &line.place, width);
            left.extend(place.into_iter().map(|text| (BODY, text)));
        }
    }
    let mut right: Vec<String> = Vec::new();
    for text in [&line.label, &line.why] {
        if !text.is_empty() {
            right.extend(set.lines(ITALIC, text, width));
        }
    }
    let start = shift(set, &left, &right, width);
    let deepest = left.len().max(start + right.len());
    for (n, (style, text)) in left.into_iter().enumerate() {
        let y = PAD + BODY.lead * n as i32;
        strip.marks.push(line_at(style, Len::ZERO, y, text, Align::Left));
    }
    for (n, text) in right.into_iter().enumerate() {
        let y = PAD + BODY.lead * (start + n) as i32;
        strip.marks.push(line_at(ITALIC, width, y, text, Align::Right));
    }
    deepest as i32
}

/// The first line on which all of the right side has room beside the left.
fn shift(set: &Setter, left: &[(Style, String)], right: &[String], width: Len) -> usize {
    let clear = |start: &usize| {
        let beside = left.iter().skip(*start).zip(right);
        beside.into_iter().all(|((style, l), r)| {
            set.width_of(*style, l) + APART + set.width_of(ITALIC, r) <= width
        })
    };
    (0..left.len()).find(clear).unwrap_or(left.len())
}
