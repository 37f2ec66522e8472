//! Second stage: what the mate may be once one side of a fit has been
//! measured, so that no subtraction is done at the bench.

use super::types::PartState;
use crate::model::engine::Side;
use crate::model::job::Scope;
use crate::model::line::{FitLine, Four, PartLimits, Reduction};
use crate::model::typed::Limit;
use crate::quantity::{Exact, Window};

/// The limits of one part: its new band, and how far it may wear.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PartSizes {
    pub new: Window,
    pub wear: Option<Exact>,
}

/// The figures of a fit line for two parts in the states they are in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FitSizes {
    pub shaft: PartSizes,
    pub bore: PartSizes,
    /// As written: an absent limit stays absent.
    pub new: Window,
    pub service: Window,
}

/// The side of a fit that is on record: its governing readings' extremes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    /// Shaft or bore.
    pub side: Side,
    pub smallest: Exact,
    pub largest: Exact,
    pub state: PartState,
}

/// How far limits are drawn in under guarded acceptance; nothing under simple.
/// Both are roots of sums of squares, rounded up at the resolution, which on
/// readings of that resolution is the same as comparing squares.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Guard {
    /// Of the fit: every gauge of both sides.
    pub fit: Exact,
    /// Of the mate's own limits: its gauges.
    pub mate: Exact,
}

/// One place of a second-stage sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    pub sizes: FitSizes,
    pub known: Known,
    /// What the mate is.
    pub mate: PartState,
    pub scope: Scope,
    pub guard: Guard,
}

fn value(limit: &Option<Limit>) -> Option<Exact> {
    limit.as_ref().map(|limit| limit.value)
}

impl PartSizes {
    fn of(limits: &PartLimits) -> PartSizes {
        let new = Window::new(value(&limits.new_min), value(&limits.new_max));
        PartSizes {
            new,
            wear: value(&limits.wear),
        }
    }

    /// Up to its wear limit, on the side that wear reaches.
    fn worn(&self, side: Side) -> Window {
        match side {
            Side::Shaft => Window::new(self.wear, None),
            Side::Bore => Window::new(None, self.wear),
            Side::Plain => Window::default(),
        }
    }
}

impl FitSizes {
    /// The line's own figures, or those of the grade that a part was reworked
    /// to: a grade brings its mate's sizes with it.
    pub fn of(line: &FitLine, shaft: &PartState, bore: &PartState) -> FitSizes {
        let named = [shaft, bore].into_iter().find_map(|state| match state {
            PartState::Reworked { grade: Some(grade) } => Some(grade.as_str()),
            _ => None,
        });
        let grade = named.and_then(|n| line.grades.iter().find(|g| g.name.as_str() == n));
        let shaft = grade
            .and_then(|grade| grade.shaft.as_ref())
            .unwrap_or(&line.shaft);
        let bore = grade
            .and_then(|grade| grade.bore.as_ref())
            .unwrap_or(&line.bore);
        let Four {
            new_min,
            new_max,
            service_min,
            service_max,
        } = &line.fit;
        FitSizes {
            shaft: PartSizes::of(shaft),
            bore: PartSizes::of(bore),
            new: Window::new(value(new_min), value(new_max)),
            service: Window::new(value(service_min), value(service_max)),
        }
    }

    /// Least and greatest fit of a scope. An absent service limit is the new
    /// limit of that side; a side with a service limit alone is held against
    /// it in either scope.
    pub fn fit(&self, scope: Scope) -> Window {
        let (first, second) = match scope {
            Scope::New => (self.new, self.service),
            Scope::Service => (self.service, self.new),
        };
        Window::new(first.low.or(second.low), first.high.or(second.high))
    }

    pub fn part(&self, side: Side) -> PartSizes {
        match side {
            Side::Bore => self.bore,
            _ => self.shaft,
        }
    }

    /// The widest that a part can be and still serve: its wear limit, else
    /// what the best new mate allows; on the other side what the best new mate
    /// allows. Always by the service limits: a worn part is worn in any scope.
    pub fn widest(&self, side: Side) -> Window {
        let fit = self.fit(Scope::Service);
        let sum = |a: Option<Exact>, b: Option<Exact>| Some(a? + b?);
        let less = |a: Option<Exact>, b: Option<Exact>| Some(a? - b?);
        match side {
            Side::Bore => Window::new(
                sum(self.shaft.new.low, fit.low),
                self.bore.wear.or(sum(self.shaft.new.high, fit.high)),
            ),
            _ => Window::new(
                self.shaft.wear.or(less(self.bore.new.low, fit.high)),
                less(self.bore.new.high, fit.low),
            ),
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
                let ceiling = if sum.rem_euclid(count) == 0 {
                    floor
                } else {
                    floor + 1
                };
                (Exact::steps(floor, places), Exact::steps(ceiling, places))
            }
        };
        Some(Known {
            side,
            smallest,
            largest,
            state,
        })
    }
}

/// Whether a part must meet its own new limits.
fn as_new(state: &PartState, scope: Scope) -> bool {
    scope == Scope::New
        || matches!(
            state,
            PartState::New | PartState::Reworked { grade: Some(_) }
        )
}

/// Whether a part past the side that wear cannot reach is out by itself.
fn not_worn(state: &PartState, scope: Scope) -> bool {
    scope == Scope::New || *state != PartState::Reused
}

/// What a part may be by itself, whatever its mate.
fn alone(sizes: &PartSizes, side: Side, state: &PartState, scope: Scope) -> Window {
    let mut own = sizes.worn(side);
    if as_new(state, scope) {
        own = own.within(&sizes.new);
    } else if not_worn(state, scope) {
        own = own.within(&match side {
            Side::Bore => Window::new(sizes.new.low, None),
            _ => Window::new(None, sizes.new.high),
        });
    }
    own
}

/// A window with both ends moved inward.
fn drawn_in(window: Window, by: Exact) -> Window {
    Window::new(
        window.low.map(|low| low + by),
        window.high.map(|high| high - by),
    )
}

impl Stage {
    pub fn mate_side(&self) -> Side {
        match self.known.side {
            Side::Bore => Side::Shaft,
            _ => Side::Bore,
        }
    }

    /// Least and greatest fit that these two parts must meet: the new fit
    /// where both are new or reworked to a grade.
    pub fn fit(&self) -> Window {
        let both = as_new(&self.known.state, self.scope) && as_new(&self.mate, self.scope);
        self.sizes.fit(if both { Scope::New } else { self.scope })
    }

    /// What the mate may be by itself.
    pub fn mate_alone(&self) -> Window {
        let side = self.mate_side();
        alone(&self.sizes.part(side), side, &self.mate, self.scope)
    }

    /// Whether the part on record passes by itself; where it does not, no mate
    /// serves.
    pub fn known_serves(&self) -> bool {
        let Known {
            side,
            smallest,
            largest,
            state,
        } = &self.known;
        let own = alone(&self.sizes.part(*side), *side, state, self.scope);
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
        let fit = self.mate_by(drawn_in(self.fit(), guard.fit));
        let window = fit.within(&drawn_in(self.mate_alone(), guard.mate));
        (self.known_serves() && !window.is_empty()).then_some(window)
    }

    /// Mate sizes that keep both ends of the fit inside `fit`: the largest
    /// reading on record holds one end and the smallest the other.
    pub(super) fn mate_by(&self, fit: Window) -> Window {
        let Known {
            smallest, largest, ..
        } = self.known;
        match self.known.side {
            Side::Bore => Window::new(
                fit.high.map(|loosest| largest - loosest),
                fit.low.map(|tightest| smallest - tightest),
            ),
            _ => Window::new(
                fit.low.map(|tightest| largest + tightest),
                fit.high.map(|loosest| smallest + loosest),
            ),
        }
    }

    /// What is printed in place of an empty window.
    pub fn none_serves(&self) -> &'static str {
        match self.mate_side() {
            Side::Bore => "no bore serves",
            _ => "no shaft serves",
        }
    }
}
