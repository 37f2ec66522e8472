//! What would bring a fit in: the mate that would do with each part as it
//! stands, reused or new.

use super::acceptance::{Ends, Mean, shown};
use super::fit_limits::FitLimits;
use super::mate::{Guard, Known, SecondStage};
use super::state::Beyond;
use super::types::PartState;
use crate::model::job::Scope;
use crate::model::side::Side;
use crate::quantity::{Exact, Window, ceil_quotient, floor_quotient};

/// The fit that is out.
pub(super) struct Remedy<'a> {
    pub limits: &'a FitLimits,
    /// The shaft's figures, and whether it must meet new limits.
    pub shaft: (&'a Ends, bool),
    pub bore: (&'a Ends, bool),
    /// Shaft and bore: a mate that is always renewed is never looked for reused.
    pub renewed: [bool; 2],
    /// Shaft and bore: used where nothing but a new one serves, so that no mate
    /// helps it.
    pub to_replace: [bool; 2],
    pub scope: Scope,
    pub places: u8,
}

/// One line a remedy, the parts as they stand first.
pub(super) fn of_fit(remedy: &Remedy, beyond: &[Beyond]) -> Vec<String> {
    let is_out = |word: &str| beyond.iter().any(|beyond| beyond.side.starts_with(word));
    let (loose, tight) = (is_out("loose"), is_out("tight"));
    let mut lines = Vec::new();
    for (kept, (ends, new)) in [(Side::Shaft, remedy.shaft), (Side::Bore, remedy.bore)] {
        if is_out(kept.word()) || kept.of(remedy.to_replace) {
            continue;
        }
        let Some((small, large)) = inward(ends, remedy.places) else {
            continue;
        };
        let mate = kept.mate();
        let state = if new { PartState::New } else { PartState::Reused };
        let window = |mate: PartState| {
            SecondStage {
                limits: *remedy.limits,
                known: Known { side: kept, smallest: small, largest: large, state: state.clone() },
                mate,
                scope: remedy.scope,
                guard: Guard::default(),
                replaced: [false; 2],
            }
            .accepting()
        };
        let renewed = mate.of(remedy.renewed);
        if (loose || tight) && !renewed {
            lines.push(reused(remedy, kept, mate, window(PartState::Reused), (loose, tight)));
        }
        lines.extend(fresh(remedy, kept, mate, window(PartState::New)));
    }
    if is_out(Side::Shaft.word()) && is_out(Side::Bore.word()) {
        lines.push(each_alone(remedy));
    }
    lines
}

/// Said where both parts are out of their own limits, and no mate helps either.
pub const EACH_ALONE: &str = "shaft and bore are out by themselves, each has to be brought in";

fn each_alone(remedy: &Remedy) -> String {
    let show = |size| shown(size, remedy.places, false);
    let new = |side: Side| {
        let own = remedy.limits.own_new(side);
        let span = own.low.zip(own.high);
        let span = span.map(|(low, high)| format!(" from {} to {}", show(low), show(high)));
        format!("a new {}{}", side, span.unwrap_or_default())
    };
    let (shaft, bore) = (new(Side::Shaft), new(Side::Bore));
    format!("{EACH_ALONE}: {shaft} and {bore}")
}

/// The figures of one part, an average widened to the next figure that can be
/// written: a mate that serves these serves the average.
fn inward(ends: &Ends, places: u8) -> Option<(Exact, Exact)> {
    let count = |mean: &Mean| Exact::whole(mean.count);
    match ends.smallest.count {
        1 => Some((ends.smallest.sum, ends.largest.sum)),
        _ => Some((
            floor_quotient(ends.smallest.sum, count(&ends.smallest), places)?,
            ceil_quotient(ends.largest.sum, count(&ends.largest), places)?,
        )),
    }
}

/// `largest bore that would bring it in with this shaft: 1.3766`.
fn reused(
    remedy: &Remedy,
    kept: Side,
    mate: Side,
    window: Option<Window>,
    (loose, tight): (bool, bool),
) -> String {
    let Some(window) = window else {
        return format!("no {mate} serves with this {kept}");
    };
    let wants_smaller = (mate == Side::Bore) == loose;
    let show = |size| shown(size, remedy.places, false);
    let with = format!("that would bring it in with this {kept}");
    match (window.low, window.high) {
        (Some(low), Some(high)) if loose && tight => {
            format!("{mate} {with}: {} to {}", show(low), show(high))
        }
        (_, Some(high)) if wants_smaller => format!("largest {mate} {with}: {}", show(high)),
        (Some(low), _) if !wants_smaller => format!("smallest {mate} {with}: {}", show(low)),
        _ => format!("no {mate} can be stated for this {kept}"),
    }
}

/// `a new shaft would do: 1.3725 to 1.3735`, or the part of its range that
/// would; nothing where none would.
fn fresh(remedy: &Remedy, kept: Side, mate: Side, window: Option<Window>) -> Option<String> {
    let whole = remedy.limits.own_new(mate);
    whole.low.and(whole.high)?;
    let show = |size| shown(size, remedy.places, false);
    let Some(window) = window else {
        return Some(format!("no new {mate} serves with this {kept}"));
    };
    let (low, high) = window.low.zip(window.high)?;
    let span = format!("{} to {}", show(low), show(high));
    Some(match window == whole {
        true => format!("a new {mate} would do with this {kept}: {span}"),
        false => format!("a new {mate} would do with this {kept} from {span} only"),
    })
}
