//! One part of a fit against its own limits: its wear, and the side that wear
//! cannot reach. Written for a shaft; a bore is turned into one by its signs.

use crate::judge::acceptance::{Acceptance, Assessment, Bound, End, Ends, Mean, accept, shown};
use crate::judge::budget::least_certain;
use crate::judge::fit_limits::FitLimits;
use crate::judge::measure::Measure;
use crate::judge::state::{Flag, State};
use crate::judge::types::{Contribution, PartState, Verdict};
use crate::model::job::Scope;
use crate::model::side::Side;
use crate::quantity::Exact;
use std::fmt::Display;

/// What is known of the part besides its readings.
#[derive(Clone, Copy, Debug)]
pub(super) struct Own<'a> {
    pub side: Side,
    pub state: &'a PartState,
    /// Of every reading of the part, those that do not govern the fit too.
    pub every: Option<&'a Ends>,
    /// Both parts are measured whole: the fit can decide.
    pub fit_decides: bool,
    /// Every box that counts is filled in.
    pub whole: bool,
    /// An average says nothing while a box is blank.
    pub average: bool,
}

/// The gauges behind one part's readings: the smallest and the largest of those
/// that govern the fit, and of all.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Behind<'a> {
    pub governing: [&'a [Contribution]; 2],
    pub every: [&'a [Contribution]; 2],
}

impl Behind<'_> {
    pub fn is_empty(&self) -> bool {
        self.governing.iter().chain(&self.every).all(|budget| budget.is_empty())
    }
}

/// Judges one part and adds it to the row. `ends` are those of the readings
/// that govern the fit, absent while none of them is there.
pub(super) fn judge(
    verdict: &mut Verdict,
    own: &Own,
    ends: Option<&Ends>,
    limits: &FitLimits,
    acceptance: &Acceptance,
    behind: &Behind,
) {
    if own.average && !own.whole {
        verdict.part(Some(own.side), State::Open);
        return;
    }
    let turned = limits.seen_from(own.side);
    let [smallest, largest] = behind.governing;
    let under = |uncertainty| Acceptance { uncertainty, ..*acceptance };
    let everywhere = under(own.side.of(behind.every));
    let Some(ends) = ends else {
        let state = metal_left(verdict, own, None, &turned, &everywhere);
        verdict.part(Some(own.side), state.worse(State::Open));
        return;
    };
    let (low, high, of_low, of_high) = own.side.of([
        (ends.smallest, ends.largest, under(smallest), under(largest)),
        (ends.largest.mirrored(), ends.smallest.mirrored(), under(largest), under(smallest)),
    ]);
    let words = own.side.of([
        [
            ("shaft small", Measure::Smallest(Side::Shaft)),
            ("shaft large", Measure::Largest(Side::Shaft)),
        ],
        [
            ("bore large", Measure::Largest(Side::Bore)),
            ("bore small", Measure::Smallest(Side::Bore)),
        ],
    ]);
    let worn = wear_side(own, low, &turned, &of_low, words[0].0);
    let mut state = add(verdict, own, low, &worn, words[0].1, acceptance);
    state = state.worse(metal_left(verdict, own, Some((low, &of_low)), &turned, &everywhere));
    let other = other_side(own, high, &turned, &of_high, words[1].0);
    state = state.worse(add(verdict, own, high, &other, words[1].1, acceptance));
    if turned.s2.is_some_and(|s2| (Bound::over(s2)).beyond(high)) {
        verdict.flag(Flag::NotWear(own.side));
    }
    if !own.whole {
        state = state.worse(State::Open);
    }
    verdict.part(Some(own.side), state);
}

/// Why a size inside service limits is out.
pub(super) fn renewed(what: impl Display) -> String {
    format!("{what}: the part is renewed: new limits")
}

/// The side that wears: the new limit, then the wear limit; without one, the
/// fit decides and the part is never better than service.
fn wear_side<'a>(
    own: &Own,
    low: Mean,
    turned: &FitLimits,
    acceptance: &Acceptance<'a>,
    side: &'static str,
) -> Assessment<'a> {
    let bound = turned.wearing();
    if own.state.meets_new() || acceptance.scope == Scope::New {
        return accept(low, &bound, &Acceptance { scope: Scope::New, ..*acceptance }, side);
    }
    let acceptance = Acceptance { scope: Scope::Service, ..*acceptance };
    let service = match own.fit_decides {
        true => bound.service,
        // While the mate is blank, nothing beyond the last row can serve.
        false => turned.last_row().or(bound.service),
    };
    if service.is_some() || turned.greatest.is_none() {
        return accept(low, &Bound { service, ..bound }, &acceptance, side);
    }
    by_fit(low, &bound, &acceptance, side)
}

/// A wear limit is held against every reading of the part: what governs is the
/// fit, not the metal that is left. Readings that govern are held already.
fn metal_left(
    verdict: &mut Verdict,
    own: &Own,
    governing: Option<(Mean, &Acceptance)>,
    turned: &FitLimits,
    acceptance: &Acceptance,
) -> State {
    let Some(every) = own.every else { return State::Recorded };
    let (least, side, name) = own.side.of([
        (every.smallest, "shaft small", "smallest shaft anywhere"),
        (every.largest.mirrored(), "bore large", "largest bore anywhere"),
    ]);
    // The same figure, held already under gauges at least as uncertain.
    let held = |(mean, under): (Mean, &Acceptance)| {
        let most = least_certain([acceptance.uncertainty, under.uncertainty].into_iter());
        !mean.less(least).sum.is_positive() && most == Some(under.uncertainty)
    };
    if governing.is_some_and(held) {
        return State::Recorded;
    }
    let bound = Bound { end: End::Least, new: None, service: turned.shaft_wear };
    let mut assessment = accept(least, &bound, acceptance, side);
    if assessment.state.passes() {
        // It keeps its wear limit, and is never asked for more.
        assessment.state = State::Recorded;
    }
    add(verdict, own, least, &assessment, name, acceptance)
}

/// The side that wear cannot reach. Reused, it is judged by the fit and never
/// better than service; new, reworked or under new scope it must be inside.
fn other_side<'a>(
    own: &Own,
    high: Mean,
    turned: &FitLimits,
    acceptance: &Acceptance<'a>,
    side: &'static str,
) -> Assessment<'a> {
    let bound = Bound { end: End::Greatest, new: turned.s2, service: None };
    let reused = own.state.is_reused() && acceptance.scope == Scope::Service;
    if !reused || turned.least.is_none() {
        return accept(high, &bound, &Acceptance { scope: Scope::New, ..*acceptance }, side);
    }
    by_fit(high, &bound, &Acceptance { scope: Scope::Service, ..*acceptance }, side)
}

/// Inside its new limit or never better than service: the fit decides.
fn by_fit<'a>(
    mean: Mean,
    bound: &Bound,
    acceptance: &Acceptance<'a>,
    side: &'static str,
) -> Assessment<'a> {
    let held = Assessment {
        margin: None,
        close: false,
        chance: None,
        ..accept(mean, bound, acceptance, side)
    };
    match held.state {
        State::Recorded | State::New => held,
        _ => Assessment { state: State::Service, limit: None, ..held },
    }
}

fn add(
    verdict: &mut Verdict,
    own: &Own,
    mean: Mean,
    assessment: &Assessment,
    name: impl Display,
    acceptance: &Acceptance,
) -> State {
    let back = |size: Exact| if own.side == Side::Bore { -size } else { size };
    let show = |size: Exact| shown(back(size), acceptance.places, false);
    let value = show(mean.shown(acceptance.places));
    let words = match (&assessment.state, assessment.limit) {
        (State::Service, None) => ": outside new limits, judged by its fit".to_owned(),
        _ => assessment.words(show),
    };
    if assessment.state != State::Recorded {
        verdict.steps.push(format!("{name} {value}{words}"));
    }
    verdict.take(Measure::Part(own.side), assessment, show);
    assessment.state.clone()
}
