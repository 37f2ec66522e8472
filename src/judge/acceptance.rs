//! Holding a figure against the limits of one side: new, service, drawn in by
//! the uncertainty or not, inclusive. Every kind that has limits uses this.

use super::measure::Measure;
use super::state::{Beyond, Flag, State};
use super::types::{Context, Contribution, Measurand, Verdict};
use crate::model::job::{Rule, Scope};
use crate::model::limits::Tolerance;
use crate::model::side::Side;
use crate::model::text::Stated;
use crate::quantity::{Exact, Fit, chance_inside, quotient, squared_against};
use std::cmp::Ordering;

/// A reading, or the mean of several kept as their sum and count, so that
/// nothing is rounded before it is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Mean {
    pub sum: Exact,
    pub count: i64,
}

/// One part's readings brought to the figures that are judged.
#[derive(Clone, Debug)]
pub(super) struct Ends {
    pub smallest: Mean,
    pub largest: Mean,
}

/// The limits of a line in the one unit that it is held in.
pub(super) type Bounds<'a> = Tolerance<Stated<'a>>;

/// On which side of a figure a limit lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Least,
    Greatest,
}

/// The limits of one side. Absent is never zero.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bound {
    pub end: End,
    pub new: Option<Exact>,
    pub service: Option<Exact>,
}

/// What a figure is held under.
#[derive(Clone, Copy, Debug)]
pub(super) struct Acceptance<'a> {
    pub scope: Scope,
    pub rule: Rule,
    /// Every gauge behind the figure.
    pub uncertainty: &'a [Contribution],
    /// Decimals that a rounded figure is shown with.
    pub places: u8,
}

/// How a figure stands to the limits of one side.
#[derive(Clone, Debug)]
pub(super) struct Assessment<'a> {
    /// `Recorded` where the side has no limit.
    pub state: State,
    /// The word for beyond the limit.
    pub beyond: &'static str,
    /// What it was held under.
    pub budget: &'a [Contribution],
    /// What was held, and the limit that decided.
    pub figure: Exact,
    pub limit: Option<Exact>,
    /// To the limit of the scope, negative beyond it.
    pub margin: Option<Exact>,
    pub at_limit: bool,
    pub close: bool,
    /// Of being inside the limit of the scope, where close.
    pub chance: Option<Exact>,
}

impl Mean {
    pub fn one(reading: Exact) -> Mean {
        Mean { sum: reading, count: 1 }
    }

    pub fn of(readings: &[Exact]) -> Option<Mean> {
        let count = i64::try_from(readings.len()).ok().filter(|count| *count > 0)?;
        Some(Mean { sum: readings.iter().copied().sum(), count })
    }

    pub fn less(self, other: Mean) -> Mean {
        if self.count == other.count {
            return Mean { sum: self.sum - other.sum, count: self.count };
        }
        let sum = self.sum.times(other.count) - other.sum.times(self.count);
        Mean { sum, count: self.count * other.count }
    }

    pub fn mirrored(self) -> Mean {
        Mean { sum: -self.sum, count: self.count }
    }

    /// As it is where that can be written, else rounded two places further
    /// than the readings.
    pub fn shown(self, places: u8) -> Exact {
        match self.count {
            1 => self.sum,
            count => quotient(self.sum, count, places + 2),
        }
    }
}

impl Bound {
    pub fn least(limits: &Bounds) -> Bound {
        Bound { end: End::Least, new: value(&limits.new_min), service: value(&limits.service_min) }
    }

    pub fn greatest(limits: &Bounds) -> Bound {
        Bound {
            end: End::Greatest,
            new: value(&limits.new_max),
            service: value(&limits.service_max),
        }
    }

    /// The limit of the scope: an absent service limit is the new one, and a
    /// side with only a service limit is held against it in either scope.
    pub fn accepting(&self, scope: Scope) -> Option<Exact> {
        match scope {
            Scope::New => self.new.or(self.service),
            Scope::Service => self.service.or(self.new),
        }
    }

    /// What is inside is never better than service.
    pub fn is_service_only(&self) -> bool {
        self.new.is_none() && self.service.is_some()
    }

    /// Times the mean's count, above zero inside.
    fn room(&self, mean: Mean, limit: Exact) -> Exact {
        match self.end {
            End::Least => mean.sum - limit.times(mean.count),
            End::Greatest => limit.times(mean.count) - mean.sum,
        }
    }

    /// A greatest size by itself.
    pub fn over(limit: Exact) -> Bound {
        Bound { end: End::Greatest, new: Some(limit), service: None }
    }

    /// Truly beyond, whatever the decision rule.
    pub fn beyond(&self, mean: Mean) -> bool {
        self.new.is_some_and(|limit| match self.end {
            End::Least => mean.sum < limit.times(mean.count),
            End::Greatest => mean.sum > limit.times(mean.count),
        })
    }
}

pub(super) fn value(limit: &Option<Stated>) -> Option<Exact> {
    limit.map(|limit| limit.value)
}

/// Holds `mean` against `bound`. `side` is the word for beyond it: `loose`.
///
/// Guarded acceptance draws the limits in by the root of the sum of squares
/// (guard band w = U, ILAC-G8:09/2019, from memory): on the drawn-in limit
/// passes, between it and the accepting limit is hold, and missing only the
/// drawn-in new limit makes service.
pub(super) fn accept<'a>(
    mean: Mean,
    bound: &Bound,
    acceptance: &Acceptance<'a>,
    side: &'static str,
) -> Assessment<'a> {
    let held = Assessment {
        beyond: side,
        figure: mean.shown(acceptance.places),
        budget: acceptance.uncertainty,
        ..Assessment::free()
    };
    let Some(accepting) = bound.accepting(acceptance.scope) else {
        return held;
    };
    let expanded = acceptance.uncertainty.iter().map(|part| part.expanded);
    let spread: Vec<Exact> = expanded.map(|u| u.times(mean.count)).collect();
    let near = |room: Exact| squared_against(room, &spread) == Ordering::Less;
    let passes = |limit: Exact| {
        let room = bound.room(mean, limit);
        !room.is_negative() && (acceptance.rule == Rule::Simple || !near(room))
    };
    let room = bound.room(mean, accepting);
    let margin = quotient(room, mean.count, acceptance.places + 2);
    let new = bound.new.filter(|new| passes(*new) && passes(accepting));
    let state = if new.is_some() {
        State::New
    } else if passes(accepting) {
        State::Service
    } else if !room.is_negative() {
        State::Hold
    } else {
        State::Out(vec![Beyond { side: side.to_owned(), by: Some(-margin) }])
    };
    let held_new = bound.new.filter(|_| acceptance.scope == Scope::Service);
    Assessment {
        limit: new.or(Some(accepting)),
        at_limit: room.is_zero() || held_new.is_some_and(|new| bound.room(mean, new).is_zero()),
        close: near(room),
        chance: if near(room) { chance_inside(room, &spread) } else { None },
        margin: Some(margin),
        state,
        ..held
    }
}

impl<'a> Assessment<'a> {
    /// Nothing to hold against.
    pub fn free() -> Assessment<'a> {
        Assessment {
            state: State::Recorded,
            beyond: "",
            figure: Exact::ZERO,
            budget: &[],
            limit: None,
            margin: None,
            at_limit: false,
            close: false,
            chance: None,
        }
    }

    /// What the step says after the figure: `, limit 0.0050 L: out by 0.0002`.
    pub fn words(&self, show: impl Fn(Exact) -> String) -> String {
        let outcome = match &self.state {
            State::Recorded => return ", no limit".to_owned(),
            State::Out(beyond) => match beyond.first().and_then(|beyond| beyond.by) {
                Some(by) => format!("out by {by}"),
                None => "out".to_owned(),
            },
            State::Hold => "inside by less than the uncertainty, hold".to_owned(),
            state => state.to_string(),
        };
        match self.limit {
            Some(limit) => format!(", limit {}: {outcome}", show(limit)),
            None => format!(": {outcome}"),
        }
    }
}

impl Verdict {
    /// Adds how one end stands: flags, its uncertainty, the least margin and the
    /// least chance.
    pub(super) fn take(
        &mut self,
        what: Measure,
        assessment: &Assessment,
        show: impl Fn(Exact) -> String,
    ) {
        if let Some(limit) = assessment.limit {
            self.held.push(Measurand {
                name: what,
                beyond: assessment.beyond,
                shown: [show(assessment.figure), show(limit)],
                margin: assessment.margin,
                at_limit: assessment.at_limit,
                close: assessment.close,
                chance: assessment.chance,
                budget: assessment.budget.to_vec(),
            });
        }
        self.out(&assessment.state);
        let against = || assessment.limit.map(|limit| format!("{what} {}", show(limit)));
        if assessment.at_limit {
            self.flag(Flag::AtLimit(what));
        }
        if assessment.close {
            self.flag(Flag::Close);
        }
        if let Some(chance) = assessment.chance
            && self.chance.is_none_or(|least| chance < least)
        {
            self.chance = Some(chance);
            self.close_to = against();
        }
        if let Some(margin) = assessment.margin
            && self.margin.is_none_or(|least| margin < least)
        {
            self.margin = Some(margin);
            self.against = against();
            self.decisive = self.held.len().checked_sub(1);
        }
    }

    pub(super) fn flag(&mut self, flag: Flag) {
        if !self.flags.contains(&flag) {
            self.flags.push(flag);
        }
    }

    pub(super) fn worsen(&mut self, state: State) {
        self.out(&state);
        let mine = std::mem::replace(&mut self.state, State::Recorded);
        self.state = mine.worse(state);
    }

    /// Keeps what is out: a hold beside it takes its place in the state.
    fn out(&mut self, state: &State) {
        let State::Out(beyonds) = state else { return };
        for beyond in beyonds {
            if !self.beyond.contains(beyond) {
                self.beyond.push(beyond.clone());
            }
        }
    }

    pub(super) fn part(&mut self, side: Option<Side>, state: State) {
        self.worsen(state.clone());
        self.parts.push(super::types::Part { side, state });
    }

    pub(super) fn show_figure(&mut self, name: Measure, value: Exact) {
        self.figures.push(super::types::Figure { name, value });
    }
}

/// Under new scope an out is looked at once more: `inside service` is printed
/// where the service limits would have held it.
pub(super) fn note_inside_service(
    verdict: &mut Verdict,
    cx: &Context,
    again: impl FnOnce(&Context) -> Verdict,
) {
    if cx.scope == Scope::New && matches!(verdict.state, State::Out(_)) {
        let service = again(&Context { scope: Scope::Service, ..*cx });
        if service.state.passes() {
            verdict.flag(Flag::InsideService);
        }
    }
}

/// `0.0050 L` or `0.0050`, with the line's decimals at least.
pub(super) fn shown(value: Exact, places: u8, fit: bool) -> String {
    match fit {
        true => Fit(value).show(places),
        false => format!("{value:.*}", usize::from(places)),
    }
}
