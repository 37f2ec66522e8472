//! The allowable ranges before anything is measured, and the scales drawn from
//! them. The thresholds do not always fall in one order (a new bore may go
//! beyond what any serviceable mate allows), so bands are drawn by value.

use super::acceptance::{Bound, Bounds, value};
use super::fit_limits::{FitLimits, clipped, minus};
use super::types::{Band, Look, Range, Scale};
use crate::model::job::Scope;
use crate::model::side::Side;
use crate::quantity::{Exact, Window};

pub const NEW: &str = "new";
pub const ANY_SERVICEABLE: &str = "OK with any serviceable mate";
pub const ANY_NEW: &str = "OK with a new mate only";
pub const BEST_NEW: &str = "OK with a selected new mate only";
pub const WEAR: &str = "wear limit";
/// The side that wear cannot reach.
pub const OTHER_NEW: &str = "other side: new";
pub const OTHER_ANY: &str = "other side: with any new mate";
pub const OTHER_BEST: &str = "other side: with the best new mate";

/// The rows of the table for one part: floors for a shaft, ceilings for a
/// bore, then the other side. A renewed part keeps its new limits on both.
pub fn of_part(limits: &FitLimits, side: Side, scope: Scope, renewed: bool) -> Vec<Range> {
    let turned = limits.seen_from(side);
    let sign = |size: Option<Exact>| size.map(|size| side.of([size, -size]));
    let floor = side == Side::Shaft;
    let row = |word, unclipped, at, floor| Range {
        side,
        word,
        unclipped: sign(unclipped),
        at: sign(at),
        floor,
    };
    let clip = keeps(&turned, scope);
    let mut rows: Vec<Range> = floors(&turned, scope)
        .into_iter()
        .map(|(word, threshold)| row(word, threshold, clipped(threshold, clip), floor))
        .collect();
    let wears = !renewed || turned.s1.is_none();
    if scope == Scope::Service && turned.shaft_wear.is_some() && wears {
        rows.push(row(WEAR, turned.shaft_wear, turned.shaft_wear, floor));
    }
    let others = [
        (OTHER_NEW, turned.s2),
        (OTHER_ANY, minus(turned.b1, turned.least)),
        (OTHER_BEST, minus(turned.b2, turned.least)),
    ];
    let kept = |at: Exact| turned.s2.filter(|_| renewed).map_or(at, |s2| at.min(s2));
    rows.extend(others.into_iter().map(|(word, at)| row(word, at, at.map(kept), !floor)));
    rows
}

/// What clips every row: the wear limit; under new scope the new limit, which
/// both parts keep.
fn keeps(turned: &FitLimits, scope: Scope) -> Option<Exact> {
    match scope {
        Scope::New => turned.s1.or(turned.shaft_wear),
        Scope::Service => turned.shaft_wear,
    }
}

/// The thresholds of a shaft, before they are clipped.
fn floors(turned: &FitLimits, scope: Scope) -> Vec<(&'static str, Option<Exact>)> {
    let mut rows = vec![(NEW, turned.s1)];
    if scope == Scope::Service {
        rows.push((ANY_SERVICEABLE, minus(turned.bore_wear, turned.greatest)));
    }
    rows.push((ANY_NEW, minus(turned.b2, turned.greatest)));
    rows.push((BEST_NEW, minus(turned.b1, turned.greatest)));
    rows
}

/// The rows of a line with four limits: floors and ceilings.
pub(super) fn of_limits(limits: &Bounds, scope: Scope) -> Vec<Range> {
    let row = |word, at: Option<Exact>, floor| {
        at.map(|at| Range { side: Side::Only, word, unclipped: Some(at), at: Some(at), floor })
    };
    let service = |at: Option<Exact>, new: Option<Exact>| {
        at.filter(|_| scope == Scope::Service || new.is_none())
    };
    let (least, greatest) = (Bound::least(limits), Bound::greatest(limits));
    [
        row(NEW, value(&limits.new_min), true),
        row(NEW, value(&limits.new_max), false),
        row("service", service(least.service, least.new), true),
        row("service", service(greatest.service, greatest.new), false),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The scale over one part's boxes: out at the left for a shaft, at the right
/// for a bore, and a dotted stretch where wear cannot have led.
pub fn scale(limits: &FitLimits, side: Side, scope: Scope) -> Option<Scale> {
    let turned = limits.seen_from(side);
    let clip = keeps(&turned, scope);
    let steps = Steps {
        new: Window::new(turned.s1, turned.s2),
        serviceable: clipped(minus(turned.bore_wear, turned.greatest), clip),
        any_new: clipped(minus(turned.b2, turned.greatest), clip),
        last: turned.last_row().or(turned.shaft_wear).max(clip),
        by_mate: scope == Scope::Service && turned.greatest.is_some(),
        scope,
    };
    let mut cuts: Vec<Exact> = steps.cuts();
    cuts.sort();
    cuts.dedup();
    if cuts.is_empty() {
        return None;
    }
    let mut bands: Vec<Band> = Vec::new();
    for n in 0..=cuts.len() {
        let from = n.checked_sub(1).and_then(|n| cuts.get(n)).copied();
        let to = cuts.get(n).copied();
        let (word, look) = steps.between(from, to);
        match bands.last_mut().filter(|last| last.word == word && last.look == look) {
            Some(last) => last.to = to,
            None => bands.push(Band { from, to, word: word.to_owned(), look }),
        }
    }
    if side == Side::Bore {
        bands.reverse();
        for band in &mut bands {
            let (from, to) = (band.from, band.to);
            (band.from, band.to) = (to.map(|size| -size), from.map(|size| -size));
        }
    }
    let note = (scope == Scope::Service && steps.serviceable.is_none()).then(|| {
        let mate = side.mate();
        format!("{ANY_SERVICEABLE}: cannot be stated, the {mate} has no wear limit")
    });
    Some(Scale { over: Some(side.into()), bands, fits: false, note })
}

/// The thresholds of one part, turned to a shaft and clipped.
struct Steps {
    new: Window,
    serviceable: Option<Exact>,
    any_new: Option<Exact>,
    last: Option<Exact>,
    /// Where no last row can be stated, the fit with its mate decides.
    by_mate: bool,
    scope: Scope,
}

impl Steps {
    fn cuts(&self) -> Vec<Exact> {
        let serviceable = match self.scope {
            Scope::Service => self.serviceable,
            Scope::New => None,
        };
        let all = [self.new.low, self.new.high, serviceable, self.any_new, self.last];
        let least = self.last;
        all.into_iter().flatten().filter(|cut| least.is_none_or(|least| *cut >= least)).collect()
    }

    /// What a size between two neighbouring cuts is good for.
    fn between(&self, from: Option<Exact>, to: Option<Exact>) -> (&'static str, Look) {
        let reaches = |floor: Option<Exact>| {
            floor.is_some_and(|floor| from.is_some_and(|from| from >= floor))
        };
        let (Some(from_size), above) = (from, self.new.high) else {
            return match (self.last.or(self.new.low), self.by_mate) {
                (Some(_), true) if self.last.is_none() => ("selected mate only", Look::Dashed),
                (Some(_), _) => ("out", Look::Hatched),
                (None, _) => ("new", Look::Heavy),
            };
        };
        if above.is_some_and(|above| from_size >= above) {
            return ("beyond new size", Look::Dotted);
        }
        let new = self.new.low.is_none_or(|low| from_size >= low)
            && to.is_none_or(|to| above.is_none_or(|above| to <= above));
        let unknown = self.serviceable.is_none();
        let mate = match self.scope {
            Scope::Service if reaches(self.serviceable) => Mate::Any,
            _ if reaches(self.any_new) => Mate::AnyNew,
            _ => Mate::Depends,
        };
        match (new, mate) {
            (true, Mate::Any) => ("new", Look::Heavy),
            (true, Mate::AnyNew) if unknown || self.scope == Scope::New => ("new", Look::Heavy),
            (true, Mate::AnyNew) => ("new; new mate only", Look::Heavy),
            (true, Mate::Depends) if self.any_new.is_none() => ("new", Look::Heavy),
            (true, Mate::Depends) => ("new; selected mate only", Look::Heavy),
            (false, Mate::Any) => ("any mate", Look::Plain),
            (false, Mate::AnyNew) => ("new mate only", Look::Plain),
            (false, Mate::Depends) => ("selected mate only", Look::Dashed),
        }
    }
}

/// Which mates a size is good with.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mate {
    Any,
    AnyNew,
    Depends,
}
