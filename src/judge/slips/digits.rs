//! A row's own rules: as many decimals as the line is read to, and within the
//! range of the gauge named. A breach is in question whatever the verdict.

use super::side::Measured;
use super::signature::{Question, Slip, other_unit, point, undo};
use crate::judge::side::SideReadings;
use crate::judge::types::Context;
use crate::model::job::Gauge;
use crate::model::limits::{Gauges, Line};
use crate::model::side::BoxId;
use crate::model::text::{Number, Text};
use crate::quantity::{Exact, Length, Unit};

/// Asks about every box that breaks a rule of its row.
pub(super) fn breaches(
    line: &Line,
    row: &[SideReadings],
    sides: &[Measured],
    cx: &Context,
    asked: &mut Vec<Question>,
) {
    if !matches!(line.gauges(), Gauges::Needed(_)) {
        return;
    }
    for side in row {
        let part = sides.iter().find(|part| part.key == side.key);
        for (index, typed) in side.boxes.iter().enumerate() {
            let Some(typed) = typed else {
                continue;
            };
            let at = BoxId { group: side.key, index };
            if typed.places() != line.places {
                asked.push(wrong_digits(at, typed, line.places));
                asked.extend(part.into_iter().flat_map(|part| meant(part, at, typed)));
            }
            let gauges = side.sources.get(index).map_or(&[][..], |source| &source.gauges);
            asked.extend(out_of_range(at, (typed, gauges), &line.unit, part, cx));
        }
    }
}

fn wrong_digits(at: BoxId, typed: &Number, places: u8) -> Question {
    let (text, has) = (&typed.text, typed.places());
    let what = if has < places { "a digit is lost" } else { "a digit too many" };
    let cause = format!("{at} reads {text}: {has} decimals where {places} are asked, {what}");
    Question { slip: Slip::Digits, cause, boxes: vec![at], likely: None, hold: false }
}

/// What a reading of the wrong number of decimals can mean without adding a
/// digit to it: the other unit, or the point out of place.
fn meant(part: &Measured, at: BoxId, typed: &Number) -> Vec<Question> {
    let text = &*typed.text;
    let inside = |value: &Exact| part.widest.holds(*value);
    let other = match part.unit {
        Length::Inch => "millimetres",
        Length::Millimetre => "inches",
    };
    let places = usize::from(part.places);
    let unit = other_unit(typed.value, part.unit, part.places).map(|undone| {
        let cause = format!(
            "{at} reads {text}: read in {other} it would be {:.places$} {}, with digits lost or added",
            undone.value, part.unit
        );
        (undone, cause)
    });
    let moved = point(text, part.places).map(|undone| {
        let cause = format!(
            "{at} reads {text}: with the point in its place it would be {:.places$}",
            undone.value
        );
        (undone, cause)
    });
    let ask = |(undone, cause): (super::signature::Correction, String)| Question {
        slip: undone.slip,
        cause,
        boxes: vec![at],
        likely: Some(format!("{:.places$}", undone.value)),
        hold: false,
    };
    [unit, moved]
        .into_iter()
        .flatten()
        .filter(|(undone, _)| inside(&undone.value))
        .map(ask)
        .collect()
}

/// A reading that no gauge named could have shown. A transfer gauge has no say;
/// nor has one that reads another unit; one gauge of several that covers the
/// reading is enough.
fn out_of_range(
    at: BoxId,
    (typed, gauges): (&Number, &[Text]),
    unit: &Unit,
    part: Option<&Measured>,
    cx: &Context,
) -> Vec<Question> {
    let reads = |own: Unit| own == *unit || own.length().is_some() && unit.length().is_some();
    let has_say =
        |gauge: &&Gauge| !gauge.transfer && gauge.range.is_some() && reads(cx.unit_of(gauge));
    let named = |id: &Text| cx.gauges.iter().find(|gauge| gauge.id.text == id.text);
    let judged: Vec<&Gauge> = gauges.iter().filter_map(named).filter(has_say).collect();
    let covers = |gauge: &&Gauge, value| cx.covers(gauge, value, unit);
    let covered = |value| judged.iter().any(|gauge| covers(gauge, value) == Some(true));
    let value = typed.value;
    if judged.is_empty() || covered(value) {
        return Vec::new();
    }
    let range = |gauge: &&Gauge| {
        let (low, high) = gauge.range.as_ref()?;
        let unit = cx.unit_of(gauge);
        Some(format!("{} ({} to {} {unit})", gauge.id, low.value, high.value))
    };
    let ranges: Vec<String> = judged.iter().filter_map(range).collect();
    let text = &typed.text;
    let cause = format!("{at} reads {text}, outside the range of {}", ranges.join(", "));
    let mut asked = vec![Question {
        slip: Slip::GaugeRange,
        cause,
        boxes: vec![at],
        likely: None,
        hold: false,
    }];
    let (Some(part), Some(unit)) = (part, unit.length()) else {
        return asked;
    };
    let near = super::signature::near(unit);
    for undone in undo(value, text, unit, part.places) {
        let fits = part.widest.holds(undone.value) && part.lands(at.index, undone.value, near);
        if fits && covered(undone.value) {
            let likely = format!("{:.*}", usize::from(part.places), undone.value);
            let slip = undone.slip;
            let cause =
                format!("{at} reads {text}: {} would make it {likely}", slip.in_words(unit));
            asked.push(Question {
                slip,
                cause,
                boxes: vec![at],
                likely: Some(likely),
                hold: false,
            });
        }
    }
    asked
}
