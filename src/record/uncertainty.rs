//! The uncertainty budget of a row: every gauge behind its readings, in the
//! row's unit.

use super::index::RecordIndex;
use crate::judge::budget::expanded;
use crate::judge::{BoxGroup, Contribution, Measurand, Measure, SideReadings, Verdict};
use crate::model::job::Gauge;
use crate::model::side::Group;
use crate::model::text::Text;
use crate::quantity::{Exact, Length, Unit, root_sum_square};

/// The gauges behind one reading and their expanded uncertainties in its unit.
/// A gauge of another unit or range than the reading was named for something
/// else on the sheet.
pub fn of(
    index: &RecordIndex,
    gauges: &[Text],
    unit: &Unit,
    group: Group,
    reading: Exact,
) -> Vec<Contribution> {
    stated(index, gauges, unit, group, |gauge| {
        index.cx.covers(gauge, reading, unit).unwrap_or(true)
    })
}

/// The gauges that will be behind a reading between two sizes.
pub fn before_reading(
    index: &RecordIndex,
    gauges: &[Text],
    unit: &Unit,
    group: Group,
    sizes: [Option<Exact>; 2],
) -> Vec<Contribution> {
    stated(index, gauges, unit, group, |gauge| {
        let mut known = sizes.into_iter().flatten().peekable();
        known.peek().is_none()
            || known.any(|size| index.cx.covers(gauge, size, unit).unwrap_or(true))
    })
}

fn stated(
    index: &RecordIndex,
    gauges: &[Text],
    unit: &Unit,
    group: Group,
    serves: impl Fn(&Gauge) -> bool,
) -> Vec<Contribution> {
    let all = &index.case.job.gauges;
    let place = |id: &Text| all.iter().position(|gauge| gauge.id.as_str() == id.as_str());
    let behind = gauges.iter().filter_map(place).filter(|n| serves(&all[*n]));
    let contribution = |gauge: usize| {
        let stated = all[gauge].uncertainty.as_ref()?.value;
        let own = index.cx.unit_of(&all[gauge]);
        let expanded = match (&own, unit) {
            (Unit::Length(own), Unit::Length(to)) => in_unit(stated, *own, *to)?,
            _ if own == *unit => stated,
            _ => return None,
        };
        Some(Contribution { group, gauge, expanded })
    };
    behind.filter_map(contribution).collect()
}

/// The gauges behind every box of a side.
pub fn of_boxes(
    index: &RecordIndex,
    group: &BoxGroup,
    side: &SideReadings,
) -> Vec<Vec<Contribution>> {
    let each = side.boxes.iter().zip(&side.sources).map(|(typed, source)| {
        let reading = typed.as_ref().map(|typed| typed.value);
        reading.map(|reading| of(index, &source.gauges, &group.unit, group.key, reading))
    });
    each.map(Option::unwrap_or_default).collect()
}

/// The root of the sum of squares, rounded up one decimal beyond the readings.
pub fn together(budget: &[Contribution], places: u8) -> Exact {
    root_sum_square(&expanded(budget), places + 1)
}

/// What the figures of a verdict were held under: `uncertainty (k = 2) shaft
/// MIC-2 0.0001, bore TEL-1 0.0003: root of squares 0.00032`; figure by figure
/// where those differ. The line's own figures, or its parts' where the line's
/// own are not judged yet; and the part that the margin is of.
pub fn in_words(index: &RecordIndex, verdict: &Verdict, places: u8) -> Vec<String> {
    let (parts, own): (Vec<&Measurand>, Vec<&Measurand>) =
        verdict.held.iter().partition(|held| matches!(held.name, Measure::Part(_)));
    let told = if own.is_empty() { parts } else { own };
    let told: Vec<&Measurand> = told.into_iter().filter(|held| !held.budget.is_empty()).collect();
    let alike = told.iter().all(|held| held.budget == told[0].budget);
    let words = |held: &Measurand| budget_in_words(index, &held.budget, places);
    let named = |held: &Measurand| format!("{}: {}", held.name, words(held));
    let mut said: Vec<String> = match alike {
        true => told.first().map(|held| words(held)).into_iter().collect(),
        false => told.iter().map(|held| named(held)).collect(),
    };
    let decisive = verdict.decisive.and_then(|n| verdict.held.get(n));
    let decisive = decisive.filter(|held| !held.budget.is_empty());
    let untold = |held: &&Measurand| told.iter().all(|other| other.budget != held.budget);
    said.extend(decisive.filter(untold).map(named));
    said
}

fn budget_in_words(index: &RecordIndex, budget: &[Contribution], places: u8) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut group = None;
    for part in budget {
        let of = if Some(part.group) == group { String::new() } else { format!("{} ", part.group) };
        words.push(format!("{of}{} {}", index.case.job.gauges[part.gauge].id, part.expanded));
        group = Some(part.group);
    }
    let words = format!("uncertainty (k = 2) {}", words.join(", "));
    match budget {
        [_] => words,
        _ => format!("{words}: root of squares {}", together(budget, places)),
    }
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
