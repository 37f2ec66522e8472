//! The limits of a fit as the ranges and verdicts need them: both parts, the
//! clearance, the wear limits, under one scope and grade.

use super::acceptance::{Bound, End, value};
use crate::model::job::Scope;
use crate::model::limits::{FitLine, Grade};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit, Window};

/// New shaft s1..s2, new bore b1..b2, least fit c1, greatest fit C, wear limits
/// Sw and Bw, any of them absent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FitLimits {
    pub s1: Option<Exact>,
    pub s2: Option<Exact>,
    pub b1: Option<Exact>,
    pub b2: Option<Exact>,
    /// Least fit: the service one where there is one, else the new one.
    pub least: Option<Exact>,
    /// Greatest serviceable fit; under new scope the new maximum.
    pub greatest: Option<Exact>,
    pub new_least: Option<Exact>,
    pub new_greatest: Option<Exact>,
    pub shaft_wear: Option<Exact>,
    pub bore_wear: Option<Exact>,
}

impl FitLimits {
    /// The line's own limits, or a grade's where it names them, in `unit`.
    /// `None` where one of them cannot be stated in it.
    pub fn of(
        fit: &FitLine,
        unit: &Unit,
        scope: Scope,
        grade: Option<&Grade>,
    ) -> Option<FitLimits> {
        let shaft = grade.and_then(|grade| grade.shaft.as_ref()).unwrap_or(&fit.shaft);
        let bore = grade.and_then(|grade| grade.bore.as_ref()).unwrap_or(&fit.bore);
        let (shaft, bore) = (shaft.in_unit(unit)?, bore.in_unit(unit)?);
        let fit = fit.fit.in_unit(unit)?;
        Some(FitLimits {
            s1: value(&shaft.new_min),
            s2: value(&shaft.new_max),
            b1: value(&bore.new_min),
            b2: value(&bore.new_max),
            least: Bound::least(&fit).accepting(scope),
            greatest: Bound::greatest(&fit).accepting(scope),
            new_least: value(&fit.new_min),
            new_greatest: value(&fit.new_max),
            shaft_wear: value(&shaft.wear),
            bore_wear: value(&bore.wear),
        })
    }

    /// Before anything is measured: a part that is always renewed never wears,
    /// so its new limit stands where its wear limit would.
    pub(super) fn renewing(self, side: Side, renewed: bool) -> FitLimits {
        if !renewed {
            return self;
        }
        side.of([
            FitLimits { shaft_wear: self.s1.or(self.shaft_wear), ..self },
            FitLimits { bore_wear: self.b2.or(self.bore_wear), ..self },
        ])
    }

    /// The same fit seen from the other part: a bore turned into a shaft by
    /// changing every sign. The fit, bore less shaft, stays as it is, so one
    /// set of rules serves both parts.
    pub fn mirrored(&self) -> FitLimits {
        let turn = |size: Option<Exact>| size.map(|size| -size);
        FitLimits {
            s1: turn(self.b2),
            s2: turn(self.b1),
            b1: turn(self.s2),
            b2: turn(self.s1),
            shaft_wear: turn(self.bore_wear),
            bore_wear: turn(self.shaft_wear),
            ..*self
        }
    }

    /// Turned so that `side` is the shaft.
    pub fn seen_from(&self, side: Side) -> FitLimits {
        side.of([*self, self.mirrored()])
    }

    /// The size beyond which a part is out whatever its mate, turned to a
    /// shaft: b1 - C, clipped by the wear limit.
    pub(super) fn last_row(&self) -> Option<Exact> {
        clipped(minus(self.b1, self.greatest), self.shaft_wear)
    }

    /// New limits of one part.
    pub fn own_new(&self, side: Side) -> Window {
        side.of([Window::new(self.s1, self.s2), Window::new(self.b1, self.b2)])
    }

    /// The limits of one part on the side that wears, turned to a shaft.
    pub(super) fn wearing(&self) -> Bound {
        Bound { end: End::Least, new: self.s1, service: self.shaft_wear }
    }
}

/// `a - b` where both can be stated.
pub(super) fn minus(a: Option<Exact>, b: Option<Exact>) -> Option<Exact> {
    Some(a? - b?)
}

/// The threshold, or the wear limit where that comes first.
pub(super) fn clipped(threshold: Option<Exact>, wear: Option<Exact>) -> Option<Exact> {
    threshold.map(|threshold| wear.map_or(threshold, |wear| threshold.max(wear)))
}
