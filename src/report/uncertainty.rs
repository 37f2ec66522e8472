//! The uncertainty budget of a row: every gauge behind its readings, in the
//! row's unit.

use super::bench::Bench;
use super::judged::{Contribution, TypedSide};
use crate::judge::Group;
use crate::judge::slips::GaugeRange;
use crate::model::job::Gauge;
use crate::model::typed::Word;
use crate::quantity::{Exact, Length, Unit, root_sum_square};

/// The range of a gauge, where it states one.
pub fn range<'b>(bench: &'b Bench, gauge: &'b Gauge) -> Option<GaugeRange<'b>> {
    let (low, high) = gauge.range.as_ref()?;
    Some(GaugeRange {
        name: gauge.id.as_str(),
        low: low.value,
        high: high.value,
        unit: gauge.unit.as_ref().unwrap_or(&bench.unit),
        transfer: gauge.transfer,
    })
}

/// The expanded uncertainties behind one reading, by gauge. A gauge of another
/// unit or range than the reading was named for something else on the sheet.
pub fn of(bench: &Bench, gauges: &[Word], unit: &Unit, reading: Exact) -> Vec<(String, Exact)> {
    let known = gauges.iter().filter_map(|id| bench.case.job.gauge(id.as_str()));
    let behind = known.filter(|gauge| range(bench, gauge).is_none_or(|r| r.covers(reading, unit)));
    behind
        .filter_map(|gauge| {
            let stated = gauge.uncertainty.as_ref()?.value;
            let own = gauge.unit.as_ref().unwrap_or(&bench.unit);
            let expanded = match (own, unit) {
                (Unit::Length(own), Unit::Length(to)) => in_unit(stated, *own, *to)?,
                _ if own == unit => stated,
                _ => return None,
            };
            Some((gauge.id.to_string(), expanded))
        })
        .collect()
}

/// The part of a side in the budget: its least certain reading's.
pub fn of_side(bench: &Bench, group: &Group, side: &TypedSide) -> Vec<Contribution> {
    let each = side.taken().filter_map(|(n, source)| {
        let reading = side.boxes[n].as_ref()?.value;
        Some(of(bench, &source.gauges, &group.unit, reading))
    });
    let worst = each.max_by_key(|all| {
        let parts: Vec<Exact> = all.iter().map(|(_, expanded)| *expanded).collect();
        root_sum_square(&parts, 7)
    });
    let contribution = |(gauge, expanded)| Contribution { side: group.key, gauge, expanded };
    worst.unwrap_or_default().into_iter().map(contribution).collect()
}

/// Of the difference of two readings by the same gauges: each reading counts
/// (JCGM 100:2008, 5.1.2, equation 10, sensitivities 1 and -1).
pub fn of_difference(one: &[Contribution]) -> Vec<Contribution> {
    [one, one].concat()
}

/// The parts of a budget in the unit that the row is held in.
pub fn in_unit_of(budget: &[Contribution], from: &Unit, to: &Unit) -> Vec<Contribution> {
    let turned = |part: &Contribution| {
        let expanded = from.exactly(part.expanded, to).unwrap_or(part.expanded);
        Contribution { expanded, ..part.clone() }
    };
    budget.iter().map(turned).collect()
}

/// The root of the sum of squares, rounded up one decimal beyond the readings.
pub fn together(budget: &[Contribution], places: u8) -> Exact {
    let parts: Vec<Exact> = budget.iter().map(|part| part.expanded).collect();
    root_sum_square(&parts, places + 1)
}

/// `uncertainty (k = 2) shaft MIC-2 0.0001, bore TEL-1 0.0003: root of squares
/// 0.00032`.
pub fn in_words(budget: &[Contribution], places: u8) -> Option<String> {
    if budget.is_empty() {
        return None;
    }
    let mut words: Vec<String> = Vec::new();
    let mut side = "";
    for part in budget {
        let of = if part.side == side { String::new() } else { format!("{} ", part.side) };
        words.push(format!("{of}{} {}", part.gauge, part.expanded));
        side = part.side;
    }
    let words = format!("uncertainty (k = 2) {}", words.join(", "));
    Some(match budget {
        [_] => words,
        _ => format!("{words}: root of squares {}", together(budget, places)),
    })
}

/// An uncertainty in another unit of length, never smaller than it is.
fn in_unit(stated: Exact, from: Length, to: Length) -> Option<Exact> {
    match (from, to) {
        (Length::Inch, Length::Millimetre) => Some(stated.inches_to_mm()),
        (Length::Millimetre, Length::Inch) => {
            // The least whole number of millionths of an inch that covers it.
            let step = Exact::steps(1, 6);
            let mut count = stated.in_steps(6)? / 26;
            while step.times(count).inches_to_mm() < stated {
                count += 1;
            }
            Some(step.times(count))
        }
        _ => Some(stated),
    }
}
