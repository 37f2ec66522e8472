//! Values in each other's boxes: within a row, shaft and bore.

use super::judge::{Judge, as_typed};
use super::pair::with_reading;
use super::side::{Filled, Measured};
use super::signature::{Question, Slip, near};
use crate::judge::mate::fit_limits_for;
use crate::judge::side::SideReadings;
use crate::judge::state::State;
use crate::model::job::Scope;
use crate::model::limits::Line;
use crate::model::side::Side;
use crate::quantity::Exact;

/// Asks about a shaft and a bore exchanged, one box with one box or all.
pub(super) fn within(
    line: &Line,
    row: &[SideReadings],
    sides: &[Measured],
    judge: &Judge,
    asked: &mut Vec<Question>,
) {
    let (Some(_), [shaft, bore]) = (line.fit(), sides) else {
        return;
    };
    for (a, b) in exchanged_boxes(shaft, bore) {
        asked.push(ask_boxes(a, b, ""));
    }
    let whole = whole_exchanged(shaft, bore) || tight_exchanged(line, row, shaft, bore, judge);
    if whole && !shaft.confirmed() && !bore.confirmed() {
        asked.push(Question {
            slip: Slip::Exchanged,
            cause: format!(
                "shaft reads {} and bore {}: in each other's boxes",
                shaft.texts(),
                bore.texts()
            ),
            boxes: [shaft.boxes(), bore.boxes()].concat(),
            likely: Some(format!("shaft {}, bore {}", bore.texts(), shaft.texts())),
            hold: false,
        });
    }
}

/// Pairs of boxes that both stand out and that both fit once exchanged. One
/// measured again is out of the question.
pub(super) fn exchanged_boxes<'p, 'a>(
    one: &'p Measured<'a>,
    other: &'p Measured<'a>,
) -> Vec<(&'p Filled<'a>, &'p Filled<'a>)> {
    let odd = |part: &'p Measured<'a>| {
        part.filled.iter().filter(move |filled| !filled.confirmed && part.stands_out(filled))
    };
    // Beside its pair as near as readings of one part lie. A reading that is far
    // from its pair fits where that lies, which may be a worn part's. One that
    // agrees with a worn pair is worn: were the nearness of the pair enough, two
    // worn neighbours would hide each other.
    let fits = |part: &Measured, at: &Filled, value: Exact| {
        let apart = !part.lands(at.at.index, at.value, part.round);
        let inside = part.own.holds(value)
            || apart && part.pair(at.at.index).any(|other| !part.own.holds(other.value));
        inside && part.lands(at.at.index, value, near(part.unit).max(part.round))
    };
    let alone = |part: &Measured, filled: &Filled| part.pair(filled.at.index).next().is_none();
    let mut found = Vec::new();
    for a in odd(one) {
        for b in odd(other) {
            // Single readings are whole parts, and asked about as such.
            let whole = alone(one, a) && alone(other, b);
            if !whole && a.value != b.value && fits(one, a, b.value) && fits(other, b, a.value) {
                found.push((a, b));
            }
        }
    }
    found
}

/// Both parts lie wholly past their widest limits, and inside once exchanged.
pub(super) fn whole_exchanged(one: &Measured, other: &Measured) -> bool {
    let out = |part: &Measured| part.wholly(|value| !part.own.holds(value));
    out(one)
        && out(other)
        && one.wholly(|value| other.own.holds(value))
        && other.wholly(|value| one.own.holds(value))
}

/// A fit out tight that passes with shaft and bore exchanged. Where a shaft may
/// rightly be the larger, its being so says nothing: there the parts must stand
/// each in the other's new limits, as worn ones do not.
fn tight_exchanged(
    line: &Line,
    row: &[SideReadings],
    shaft: &Measured,
    bore: &Measured,
    judge: &Judge,
) -> bool {
    let Some(fit) = line.fit() else {
        return false;
    };
    let state = |of: Side| {
        let side = row.iter().find(|side| side.key == of.into());
        side.map(|side| side.state.clone()).unwrap_or_default()
    };
    let smallest = bore.governing().map(|filled| filled.value).min();
    let largest = shaft.governing().map(|filled| filled.value).max();
    let (Some(smallest), Some(largest)) = (smallest, largest) else {
        return false;
    };
    // The stricter of the two scopes' limits: the judge has the last word.
    let states = Side::FIT.map(state);
    let limits = fit_limits_for((fit, &line.unit), &states[0], &states[1], Scope::Service);
    let Some(least) = limits.and_then(|limits| limits.least.max(limits.new_least)) else {
        return false;
    };
    let astray = || each_in_the_others(shaft, bore);
    if smallest - largest >= least || least.is_negative() && !astray() {
        return false;
    }
    let typed = as_typed(row, line);
    let tight = match judge.own(&typed).state {
        State::Out(beyond) => beyond.iter().any(|beyond| beyond.side.contains("tight")),
        _ => false,
    };
    tight && exchange_all(&typed, shaft, bore).is_some_and(|other| judge.own(&other).state.passes())
}

/// Each part wholly in the other's new limits, and one of them not in its own.
fn each_in_the_others(shaft: &Measured, bore: &Measured) -> bool {
    let known = |part: &Measured| part.new.low.is_some() && part.new.high.is_some();
    let within = |part: &Measured, of: &Measured| part.wholly(|value| of.new.holds(value));
    let own = within(shaft, shaft) && within(bore, bore);
    known(shaft) && known(bore) && within(shaft, bore) && within(bore, shaft) && !own
}

/// The row with all readings of shaft and bore exchanged. Where one side has
/// fewer boxes its extremes stand for it, which is all that a fit sees.
fn exchange_all(
    typed: &[SideReadings],
    shaft: &Measured,
    bore: &Measured,
) -> Option<Vec<SideReadings>> {
    let mut other = typed.to_vec();
    for (to, from) in [(shaft, bore), (bore, shaft)] {
        let values: Vec<Exact> = from.governing().map(|filled| filled.value).collect();
        let extremes = [*values.iter().min()?, *values.iter().max()?];
        let boxes: Vec<usize> = to.governing().map(|filled| filled.at.index).collect();
        if boxes.len() < extremes.len() && extremes[0] != extremes[1] {
            return None;
        }
        for (n, index) in boxes.iter().enumerate() {
            let same = boxes.len() == values.len();
            let value = if same { values[n] } else { extremes[n % 2] };
            other = with_reading(&other, to, *index, value);
        }
    }
    Some(other)
}

/// The question about two boxes; `where_other` names the other box's row where
/// it is not the same one.
pub(super) fn ask_boxes(a: &Filled, b: &Filled, where_other: &str) -> Question {
    let other_row = if where_other.is_empty() { String::new() } else { format!(" {where_other}") };
    let cause = format!(
        "{} reads {} and{other_row} {} reads {}: in each other's boxes",
        a.at, a.text, b.at, b.text
    );
    let mut boxes = vec![a.at];
    if where_other.is_empty() {
        boxes.push(b.at);
    }
    Question { slip: Slip::Exchanged, cause, boxes, likely: Some(b.text.to_owned()), hold: false }
}

/// Whether two parts of one row or of two can be taken for one another.
pub(super) fn like(one: &Measured, other: &Measured) -> bool {
    one.unit == other.unit && one.side == other.side && one.side != Side::Only
}
