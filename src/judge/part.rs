//! One part of a fit against its own limits: its wear, and the side that wear
//! cannot reach. Written for a shaft; a bore is turned into one by its signs.

use super::basis::{Basis, Half};
use super::held::{Bound, End, Mean, Standing, Terms, hold, shown};
use super::state::{Flag, State};
use super::types::{PartState, Verdict};
use crate::model::job::Scope;
use crate::quantity::Exact;

/// One part's readings brought to the figures that are judged.
#[derive(Clone, Debug)]
pub(super) struct Ends {
    pub smallest: Mean,
    pub largest: Mean,
}

/// What is known of the part besides its readings.
#[derive(Clone, Copy, Debug)]
pub(super) struct Own<'a> {
    pub half: Half,
    pub state: &'a PartState,
    /// Both parts are measured whole: the fit can decide.
    pub fit_decides: bool,
    /// Every box that counts is filled in.
    pub whole: bool,
    /// An average says nothing while a box is blank.
    pub average: bool,
}

impl PartState {
    /// The grade of the limits that it is held against.
    pub fn grade(&self) -> Option<&str> {
        match self {
            PartState::Reworked { grade } => grade.as_deref(),
            PartState::Arrived { grade } => Some(grade),
            PartState::Reused | PartState::New => None,
        }
    }

    /// Worn as it came, not renewed or worked on in this job.
    pub fn is_reused(&self) -> bool {
        matches!(self, PartState::Reused | PartState::Arrived { .. })
    }

    /// New, or reworked to a grade: it must meet its own new limits.
    pub fn meets_new(&self) -> bool {
        matches!(self, PartState::New | PartState::Reworked { grade: Some(_) })
    }
}

/// Judges one part and adds it to the row.
pub(super) fn judge(verdict: &mut Verdict, own: &Own, ends: &Ends, basis: &Basis, terms: &Terms) {
    if own.average && !own.whole {
        verdict.part(own.half.key(), State::Open);
        return;
    }
    let turned = basis.seen_from(own.half);
    let (low, high) = match own.half {
        Half::Shaft => (ends.smallest, ends.largest),
        Half::Bore => (ends.largest.mirrored(), ends.smallest.mirrored()),
    };
    let words = match own.half {
        Half::Shaft => [("shaft small", "smallest shaft"), ("shaft large", "largest shaft")],
        Half::Bore => [("bore large", "largest bore"), ("bore small", "smallest bore")],
    };
    let worn = wear_side(own, low, &turned, terms, words[0].0);
    let mut state = add(verdict, own, low, &worn, words[0].1, terms);
    let other = other_side(own, high, &turned, terms, words[1].0);
    state = state.worse(add(verdict, own, high, &other, words[1].1, terms));
    if turned.s2.is_some_and(|s2| (Bound::over(s2)).beyond(high)) {
        verdict.flag(Flag::NotWear(own.half.key().to_owned()));
    }
    if !own.whole {
        state = state.worse(State::Open);
    }
    verdict.part(own.half.key(), state);
}

/// Why a size inside service limits is out.
pub(super) fn renewed(key: &str) -> String {
    format!("{key}: the part is renewed: new limits")
}

/// The side that wears: the new limit, then the wear limit; without one, the
/// fit decides and the part is never better than service.
fn wear_side(own: &Own, low: Mean, turned: &Basis, terms: &Terms, side: &str) -> Standing {
    let bound = turned.wearing();
    if own.state.meets_new() || terms.scope == Scope::New {
        return hold(low, &bound, &Terms { scope: Scope::New, ..*terms }, side);
    }
    let terms = Terms { scope: Scope::Service, ..*terms };
    let service = match own.fit_decides {
        true => bound.service,
        // While the mate is blank, nothing beyond the last row can serve.
        false => turned.last_row().or(bound.service),
    };
    if service.is_some() || turned.greatest.is_none() {
        return hold(low, &Bound { service, ..bound }, &terms, side);
    }
    by_fit(low, &bound, &terms)
}

/// The side that wear cannot reach. Reused, it is judged by the fit and never
/// better than service; new, reworked or under new scope it must be inside.
fn other_side(own: &Own, high: Mean, turned: &Basis, terms: &Terms, side: &str) -> Standing {
    let bound = Bound { end: End::Greatest, new: turned.s2, service: None };
    let reused = own.state.is_reused() && terms.scope == Scope::Service;
    if !reused || turned.least.is_none() {
        return hold(high, &bound, &Terms { scope: Scope::New, ..*terms }, side);
    }
    by_fit(high, &bound, &Terms { scope: Scope::Service, ..*terms })
}

/// Inside its new limit or never better than service: the fit decides.
fn by_fit(mean: Mean, bound: &Bound, terms: &Terms) -> Standing {
    let standing = hold(mean, bound, terms, "");
    match standing.state {
        State::Recorded => standing,
        State::New => Standing { margin: None, close: false, chance: None, ..standing },
        _ => Standing { at_limit: standing.at_limit, ..Standing::of(State::Service) },
    }
}

fn add(
    verdict: &mut Verdict,
    own: &Own,
    mean: Mean,
    standing: &Standing,
    name: &str,
    terms: &Terms,
) -> State {
    let back = |size: Exact| if own.half == Half::Bore { -size } else { size };
    let show = |size: Exact| shown(back(size), terms.places, false);
    let value = show(mean.shown(terms.places));
    let words = match (&standing.state, standing.limit) {
        (State::Service, None) => ": outside new limits, judged by its fit".to_owned(),
        _ => standing.words(show),
    };
    if standing.state != State::Recorded {
        verdict.steps.push(format!("{name} {value}{words}"));
    }
    let key = own.half.key();
    verdict.take(key, standing, show);
    standing.state.clone()
}

impl Bound {
    /// A greatest size by itself.
    pub(super) fn over(limit: Exact) -> Bound {
        Bound { end: End::Greatest, new: Some(limit), service: None }
    }

    /// Truly beyond, whatever the decision rule.
    pub(super) fn beyond(&self, mean: Mean) -> bool {
        self.new.is_some_and(|limit| match self.end {
            End::Least => mean.sum < limit.times(mean.count),
            End::Greatest => mean.sum > limit.times(mean.count),
        })
    }
}
