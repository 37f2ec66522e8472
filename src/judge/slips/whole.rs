//! Whole parts that no wear explains: the same slip in every box.

use super::side::{Filled, Measured};
use super::signature::{Question, Slip, far, offsets, other_unit};
use crate::model::side::Side;
use crate::quantity::{Exact, Window};

/// Asks about a part that lies wholly past its widest limits, where one gross
/// slip in every box explains it or where it is too far off for wear. A
/// thimble line or a digit is never thought of: that would hide a worn part.
pub(super) fn beyond(sides: &[Measured], asked: &mut Vec<Question>) {
    for part in sides {
        let wholly = part.wholly(|value| !part.widest.holds(value));
        if !wholly || part.confirmed() {
            continue;
        }
        let before = asked.len();
        let gross = |slip: &Slip| matches!(slip, Slip::SleeveTurn | Slip::WholeInch | Slip::Tenth);
        for (slip, by) in offsets(part.unit).into_iter().filter(|(slip, _)| gross(slip)) {
            for by in [by, -by] {
                let undone = |filled: &Filled| Some(filled.value + by);
                asked.extend(brings(part, slip, part.widest, undone));
            }
        }
        let undone = |filled: &Filled| {
            other_unit(filled.value, part.unit, part.places).map(|undone| undone.value)
        };
        asked.extend(brings(part, Slip::OtherUnit, part.widest, undone));
        if asked.len() == before && part.wholly(|value| past(part.widest, value) > far(part.unit)) {
            asked.push(far_off(part));
        }
    }
}

/// Asks about a reused part that lies wholly where wear cannot bring it, where
/// one thimble line in every box explains it.
pub(super) fn not_wear(sides: &[Measured], asked: &mut Vec<Question>) {
    for part in sides.iter().filter(|part| part.reused && !part.confirmed()) {
        let (edge, inward) = match part.side {
            Side::Shaft => (part.new.high, -1),
            Side::Bore => (part.new.low, 1),
            Side::Only => continue,
        };
        let Some(edge) = edge else {
            continue;
        };
        if !part.wholly(|value| (value - edge).times(inward).is_negative()) {
            continue;
        }
        let thimble = offsets(part.unit).into_iter().find(|(slip, _)| *slip == Slip::ThimbleLine);
        if let Some((slip, line)) = thimble {
            let undone = |filled: &Filled| Some(filled.value + line.times(inward));
            asked.extend(brings(part, slip, part.new, undone));
        }
    }
}

/// The question, where the slip undone in every box brings all of them inside.
fn brings(
    part: &Measured,
    slip: Slip,
    inside: Window,
    undone: impl Fn(&Filled) -> Option<Exact>,
) -> Option<Question> {
    let values: Vec<Exact> = part.governing().map(undone).collect::<Option<_>>()?;
    if !values.iter().all(|value| inside.holds(*value)) {
        return None;
    }
    let places = usize::from(part.places);
    let likely: Vec<String> = values.iter().map(|value| format!("{value:.places$}")).collect();
    let likely = likely.join(", ");
    let cause = format!(
        "{} reads {}: {} in every box would make it {likely}",
        part.key,
        part.texts(),
        slip.in_words(part.unit)
    );
    Some(Question { slip, cause, boxes: part.boxes(), likely: Some(likely), hold: false })
}

fn far_off(part: &Measured) -> Question {
    let clearance = part.wholly(|value| part.is_clearance(value));
    let slip = if clearance { Slip::Clearance } else { Slip::FarOff };
    let why = if clearance {
        "a clearance written in a diameter's box"
    } else {
        "further from its limits than wear can bring it, no likely cause, measure again"
    };
    let cause = format!("{} reads {}: {why}", part.key, part.texts());
    Question { slip, cause, boxes: part.boxes(), likely: None, hold: false }
}

/// How far past a window; zero inside.
fn past(window: Window, value: Exact) -> Exact {
    let under = window.low.map(|low| low - value);
    let over = window.high.map(|high| value - high);
    under.into_iter().chain(over).fold(Exact::ZERO, Exact::max)
}
