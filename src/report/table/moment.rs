//! A row as it was found and as it was left: the figures that it is judged by,
//! its limits and its readings, all in one unit.

use super::cells::{Cell, figure, joined, text};
use super::columns::SIDE;
use crate::analysis::wear::as_found;
use crate::judge::{SideReadings, held_in, limits_held};
use crate::model::Case;
use crate::model::record::Mark;
use crate::model::side::{Group, Side};
use crate::model::text::{Limit, Text};
use crate::quantity::{Exact, Unit};
use crate::record::{RowHistory, Step};

/// Both ends of a row's history.
pub struct Ends<'a> {
    /// Of every figure here.
    pub unit: Unit,
    /// New least and greatest, service least and greatest.
    pub limits: [Option<Exact>; 4],
    pub found: Option<Moment<'a>>,
    pub left: Option<Moment<'a>>,
}

/// A row at one time.
#[derive(Clone, Copy)]
pub struct Moment<'a> {
    pub step: &'a Step,
    /// Least and greatest of the figures that it is judged by.
    pub ends: Option<(Exact, Exact)>,
    pub margin: Option<Exact>,
}

/// A row as it was found, and as it was left.
pub fn ends<'a>(case: &'a Case, (at, row): RowHistory<'a>) -> Ends<'a> {
    let line = &case.limits.lines[at.line.line];
    let (found, left) = (as_found(row), row.last());
    let held = |step: &Step| held_in(line, &step.sides);
    let steps = [found, left].into_iter().flatten();
    let unit = steps.fold(line.unit.clone(), |unit, step| unit.common(&held(step)).unwrap_or(unit));
    let limits = limits_held(line, left.map_or(&[], |step| step.sides.as_slice()));
    let limits = limits.map_or([None; 4], |limits| {
        let four = [&limits.new_min, &limits.new_max, &limits.service_min, &limits.service_max];
        let turned = |limit: &Limit| Some(limit.in_unit(&unit)?.value);
        four.map(|limit| limit.as_ref().and_then(turned))
    });
    let moment = |step: &'a Step| {
        let own = held(step);
        let turned = |figure: Exact| own.exactly(figure, &unit);
        let ends = step.verdict.ends();
        let ends = ends.and_then(|(least, most)| turned(least).zip(turned(most)));
        Moment { step, ends, margin: step.verdict.margin.and_then(turned) }
    };
    let (found, left) = (found.map(moment), left.map(moment));
    Ends { unit, limits, found, left }
}

/// The cells of one side of a step; go, no-go and further leaves stand with
/// what has no mate.
pub(super) fn side(step: &Step, side: Side, unit: &Unit) -> [Cell; SIDE.len()] {
    let own: Vec<&SideReadings> =
        step.sides.iter().filter(|read| read.key.side() == side && read.is_written()).collect();
    let readings = own.iter().find(|read| matches!(read.key, Group::Read(_)));
    let boxes = readings.map(|read| read.readings.in_unit(unit)).unwrap_or_default();
    let values = || boxes.iter().flatten().copied();
    let each: Vec<String> =
        boxes.iter().map(|figure| figure.map_or("-".to_owned(), |it| it.to_string())).collect();
    let sources = || own.iter().flat_map(|read| read.taken().map(|(_, source)| source));
    let mut by: Vec<&str> = Vec::new();
    let mut gauges: Vec<&str> = Vec::new();
    for source in sources() {
        let named = source.gauges.iter().map(Text::as_str);
        named.for_each(|gauge| once(&mut gauges, gauge));
        once(&mut by, source.by.as_str());
    }
    let last = sources().filter_map(|source| source.on.as_ref()).map(|(day, _)| *day).max();
    let blank = values().next().is_none();
    [
        if blank { None } else { text(&each.join(" ")) },
        joined(own.iter().filter_map(|read| typed(read, own.len() > 1))),
        figure(values().min()),
        figure(values().max()),
        joined(by),
        last.map(|day| day.to_string()),
        joined(gauges),
    ]
}

fn once<'a>(known: &mut Vec<&'a str>, one: &'a str) {
    if !one.is_empty() && !known.contains(&one) {
        known.push(one);
    }
}

/// What stands in the boxes, after their key where there are several groups.
fn typed(read: &SideReadings, named: bool) -> Option<String> {
    let boxes = read.boxes.iter().map(|typed| match typed {
        Some(typed) => typed.text.to_string(),
        None => "-".to_owned(),
    });
    let marks = read.marks.iter().map(|mark| {
        let letter = match mark {
            Mark::Ok => "v",
            Mark::Found => "x",
            Mark::NotApplicable => "n",
            Mark::Blank => "-",
        };
        letter.to_owned()
    });
    let leaves = read.leaves.iter().map(|(tooth, leaf, entered)| {
        format!("{tooth}: {leaf} {}", if *entered { "entered" } else { "refused" })
    });
    let each: Vec<String> = if read.marks.is_empty() { boxes.collect() } else { marks.collect() };
    let words = each.into_iter().chain(leaves).collect::<Vec<_>>().join(" ");
    match named {
        true => Some(format!("{} {words}", read.key)),
        false => text(&words),
    }
}
