//! Second stage: what the mate may be once one side of a fit has been
//! measured, so that no subtraction is done at the bench.

use super::budget::expanded;
use super::fit_limits::{FitLimits, minus};
use super::side::SideReadings;
use super::types::{Context, Contribution, PartState};
use crate::model::job::{Rule, Scope};
use crate::model::limits::{FitLine, Line, Reduction};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit, Window, root_sum_square};

/// The side of a fit that is on record: the extremes of the readings that
/// govern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    pub side: Side,
    pub smallest: Exact,
    pub largest: Exact,
    pub state: PartState,
}

/// How far limits are drawn in under guarded acceptance; nothing under simple.
/// All are roots of sums of squares, rounded up at the resolution, which on
/// readings and limits of that resolution is the same as comparing squares.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Guard {
    /// Of the tight end of the fit: the gauges of the largest shaft and of the
    /// smallest bore.
    pub tight: Exact,
    /// Of the loose end.
    pub loose: Exact,
    /// Of the mate's own limits: its gauges.
    pub mate: Exact,
}

/// One place of a second-stage sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SecondStage {
    /// Of the scope: see [`fit_limits_for`].
    pub limits: FitLimits,
    pub known: Known,
    /// What the mate is.
    pub mate: PartState,
    pub scope: Scope,
    pub guard: Guard,
    /// Shaft and bore: see [`replaced`].
    pub replaced: [bool; 2],
}

/// Shaft and bore in these states: whether the document says only `replace`, so
/// that nothing but a new part serves.
pub fn replaced(fit: &FitLine, shaft: &PartState, bore: &PartState) -> [bool; 2] {
    let grade = grade_named(shaft, bore).and_then(|(side, name)| fit.grade(side, name));
    fit.replaced(grade)
}

/// The limits of a fit for two parts in the states they are in: the line's own
/// or those of the grade that either was reworked to, since a grade brings its
/// mate's sizes with it.
/// In `unit`; `None` where one of them cannot be stated in it.
pub fn fit_limits_for(
    (fit, unit): (&FitLine, &Unit),
    shaft: &PartState,
    bore: &PartState,
    scope: Scope,
) -> Option<FitLimits> {
    let grade = grade_named(shaft, bore).and_then(|(side, name)| fit.grade(side, name));
    FitLimits::of(fit, unit, scope, grade)
}

/// The grade that a fit of these two parts is judged to, and the side that was
/// brought to it: the shaft's before the bore's.
pub(super) fn grade_named<'a>(
    shaft: &'a PartState,
    bore: &'a PartState,
) -> Option<(Side, &'a str)> {
    let mut states = [(Side::Shaft, shaft), (Side::Bore, bore)].into_iter();
    states.find_map(|(side, state)| Some((side, state.grade()?)))
}

impl Guard {
    /// With a side on record and the gauges named for its mate.
    pub fn of(
        (side, read): (Side, &SideReadings),
        mate: &[Contribution],
        (line, fit): (&Line, &FitLine),
        cx: &Context,
    ) -> Guard {
        if cx.rule == Rule::Simple {
            return Guard::default();
        }
        let feature = cx.engine.features.get(fit.part(side).feature.0);
        let counts = |n: usize| feature.is_none_or(|feature| feature.governs(n));
        let (unit, places) = (&line.unit, line.places);
        let read = &read.in_unit(unit);
        let governing = || read.budgets(unit).filter(|(n, ..)| counts(*n)).map(|(_, own, _)| own);
        let behind = |end: Option<Exact>| match fit.reduction {
            Reduction::Worst => read.behind(end, unit, cx.rule, counts),
            Reduction::Average => read.least_certain(),
        };
        let with_mate =
            |own: &[Contribution]| root_sum_square(&expanded(&[own, mate].concat()), places);
        let (smallest, largest) = (governing().min(), governing().max());
        let (tight, loose) = side.of([(largest, smallest), (smallest, largest)]);
        Guard {
            tight: with_mate(behind(tight)),
            loose: with_mate(behind(loose)),
            mate: root_sum_square(&expanded(mate), places),
        }
    }
}

impl Known {
    /// From the readings that govern, in `places` decimals. An average is
    /// taken outward at both ends, which draws the mate's window inward.
    /// `None` where a reading is missing or none is there.
    pub fn of(
        side: Side,
        readings: &[Option<Exact>],
        reduction: Reduction,
        places: u8,
        state: PartState,
    ) -> Option<Known> {
        let all: Vec<Exact> = readings.iter().copied().collect::<Option<_>>()?;
        let (smallest, largest) = match reduction {
            Reduction::Worst => (*all.iter().min()?, *all.iter().max()?),
            Reduction::Average => {
                let count = i64::try_from(all.len()).ok().filter(|n| *n > 0)?;
                let sum = all.iter().copied().sum::<Exact>().in_steps(places)?;
                let floor = sum.div_euclid(count);
                let ceiling = if sum.rem_euclid(count) == 0 { floor } else { floor + 1 };
                (Exact::steps(floor, places), Exact::steps(ceiling, places))
            }
        };
        Some(Known { side, smallest, largest, state })
    }
}

/// What a shaft may be by itself, whatever its mate: its wear limit, and its
/// new limits where it must meet them or where no fit would decide. Given for
/// a shaft; a bore is turned into one by its signs.
fn shaft_alone(turned: &FitLimits, state: &PartState, scope: Scope) -> Window {
    let strict = scope == Scope::New;
    let meets_new = strict || state.meets_new();
    let wear = match meets_new {
        true => turned.s1.max(turned.shaft_wear),
        false if turned.greatest.is_none() => turned.shaft_wear.or(turned.s1),
        false => turned.shaft_wear,
    };
    let not_wear = strict || !state.is_reused() || turned.least.is_none();
    Window::new(wear, turned.s2.filter(|_| not_wear))
}

/// The widest that a part can be and still serve: its wear limit, else what
/// the best new mate allows; on the other side what the roomiest new mate does.
pub fn widest(limits: &FitLimits, side: Side) -> Window {
    let turned = limits.seen_from(side);
    let low = turned.shaft_wear.or(minus(turned.b1, turned.greatest));
    let window = Window::new(low, minus(turned.b2, turned.least));
    if side == Side::Bore { negated(window) } else { window }
}

/// A window with its ends moved inward.
fn drawn_in(window: Window, low_by: Exact, high_by: Exact) -> Window {
    Window::new(window.low.map(|low| low + low_by), window.high.map(|high| high - high_by))
}

fn negated(window: Window) -> Window {
    Window::new(window.high.map(|high| -high), window.low.map(|low| -low))
}

/// What a part may be by itself.
fn alone(limits: &FitLimits, side: Side, state: &PartState, scope: Scope) -> Window {
    let window = shaft_alone(&limits.seen_from(side), state, scope);
    if side == Side::Bore { negated(window) } else { window }
}

impl SecondStage {
    /// With a mate in the state `mate`, by the limits of both parts' states in
    /// `unit`; `None` where one of them cannot be stated in it.
    pub fn of(
        (fit, unit): (&FitLine, &Unit),
        known: Known,
        mate: PartState,
        guard: Guard,
        scope: Scope,
    ) -> Option<SecondStage> {
        let (shaft, bore) = known.side.of([(&known.state, &mate), (&mate, &known.state)]);
        let limits = fit_limits_for((fit, unit), shaft, bore, scope)?;
        let replaced = replaced(fit, shaft, bore);
        Some(SecondStage { limits, known, mate, scope, guard, replaced })
    }

    /// Least and greatest fit that these two parts must meet: the new fit
    /// where both are new or reworked to a grade.
    pub fn fit(&self) -> Window {
        let limits = &self.limits;
        if self.known.state.meets_new() && self.mate.meets_new() {
            let low = limits.new_least.or(limits.least);
            return Window::new(low, limits.new_greatest.or(limits.greatest));
        }
        Window::new(limits.least, limits.greatest)
    }

    /// What the mate may be by itself.
    pub fn mate_alone(&self) -> Window {
        alone(&self.limits, self.known.side.mate(), &self.mate, self.scope)
    }

    /// Whether the part on record is used where nothing but a new one serves.
    pub fn known_must_be_new(&self) -> bool {
        self.must_be_new(self.known.side, &self.known.state)
    }

    /// The same of the mate.
    pub fn mate_must_be_new(&self) -> bool {
        self.must_be_new(self.known.side.mate(), &self.mate)
    }

    fn must_be_new(&self, side: Side, state: &PartState) -> bool {
        side.of(self.replaced) && !state.is_new()
    }

    /// Whether the part on record passes by itself; where it does not, no mate
    /// serves.
    pub fn known_serves(&self) -> bool {
        if self.known_must_be_new() {
            return false;
        }
        let Known { side, smallest, largest, state } = &self.known;
        let own = alone(&self.limits, *side, state, self.scope);
        own.holds(*smallest) && own.holds(*largest)
    }

    /// The window for every reading of the mate, drawn in where acceptance is
    /// guarded. `None`: no mate serves.
    pub fn window(&self) -> Option<Window> {
        self.window_by(self.guard)
    }

    /// The window by the accepting limits, before anything is drawn in.
    pub fn accepting(&self) -> Option<Window> {
        self.window_by(Guard::default())
    }

    fn window_by(&self, guard: Guard) -> Option<Window> {
        let window = self.by_fit(guard).within(&self.by_own(guard));
        let serves = self.known_serves() && !self.mate_must_be_new() && !window.is_empty();
        serves.then_some(window)
    }

    /// Mate sizes that keep both ends of the fit inside its limits: the largest
    /// reading on record holds one end and the smallest the other.
    pub fn by_fit(&self, guard: Guard) -> Window {
        let fit = drawn_in(self.fit(), guard.tight, guard.loose);
        let Known { smallest, largest, .. } = self.known;
        self.known.side.of([
            Window::new(
                fit.low.map(|tightest| largest + tightest),
                fit.high.map(|loosest| smallest + loosest),
            ),
            Window::new(
                fit.high.map(|loosest| largest - loosest),
                fit.low.map(|tightest| smallest - tightest),
            ),
        ])
    }

    /// Mate sizes inside the mate's own limits.
    pub fn by_own(&self, guard: Guard) -> Window {
        drawn_in(self.mate_alone(), guard.mate, guard.mate)
    }

    /// What is printed in place of an empty window.
    pub fn none_serves(&self) -> String {
        format!("no {} serves", self.known.side.mate())
    }

    /// New limits of the mate.
    pub fn mate_new(&self) -> Window {
        self.limits.own_new(self.known.side.mate())
    }
}
