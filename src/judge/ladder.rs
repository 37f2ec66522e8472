//! Rungs of the second stage: from a reading of the mate to the clearance and
//! its state, for the tight end and for the loose end.

use super::mate::SecondStage;
use super::state::{Beyond, State};
use crate::model::side::Side;
use crate::quantity::{Exact, Fit, fit};

/// Which end of the fit a ladder shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The smallest bore less the largest shaft.
    Tight,
    /// The largest bore less the smallest shaft.
    Loose,
}

/// One line of a ladder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rung {
    /// Of the mate.
    pub reading: Exact,
    pub fit: Fit,
    /// Of this end and of the mate's own limit on this side; the part on
    /// record has a state of its own.
    pub state: State,
    /// The mate would be past its new limit where wear cannot reach.
    pub not_wear: bool,
}

/// How far a ladder runs from its one edge where the other side is not judged.
const OPEN: i64 = 40;

impl SecondStage {
    /// The first and the last size of a mate that serves, in steps of
    /// `10^-places`; `None` where no mate does, or where neither side is judged.
    pub fn span(&self, places: u8) -> Option<(i64, i64)> {
        // Guarded acceptance holds what lies between: those sizes belong too.
        let window = self.accepting()?;
        let low = window.low.and_then(|low| low.ceil(places).in_steps(places));
        let high = window.high.and_then(|high| high.floor(places).in_steps(places));
        match (low, high) {
            (Some(low), Some(high)) => (low <= high).then_some((low, high)),
            (Some(low), None) => Some((low, low + OPEN)),
            (None, Some(high)) => Some((high - OPEN, high)),
            (None, None) => None,
        }
    }

    /// The rung for one reading of the mate: for the tight end its smallest
    /// bore or largest shaft, for the loose end the other.
    pub fn rung(&self, end: End, reading: Exact) -> Rung {
        let at = self.fit_at(end, reading);
        let state = match self.beyond(reading) {
            Some(beyond) => State::Out(vec![beyond]),
            None if !self.window().is_some_and(|window| window.holds(reading)) => State::Hold,
            None if self.end_is_new(end, at, reading) => State::New,
            None => State::Service,
        };
        let new = self.mate_new();
        let not_wear = self.known.side.of([
            new.low.is_some_and(|low| reading < low),
            new.high.is_some_and(|high| reading > high),
        ]);
        Rung { reading, fit: at, state, not_wear }
    }

    fn fit_at(&self, end: End, mate: Exact) -> Fit {
        let known = &self.known;
        match (known.side, end) {
            (Side::Bore, End::Tight) => fit(known.smallest, mate),
            (Side::Bore, End::Loose) => fit(known.largest, mate),
            (_, End::Tight) => fit(mate, known.largest),
            (_, End::Loose) => fit(mate, known.smallest),
        }
    }

    /// What is out if the mate has this reading anywhere, the fit first.
    fn beyond(&self, mate: Exact) -> Option<Beyond> {
        let limits = self.fit();
        let tight = self.fit_at(End::Tight, mate).0;
        let loose = self.fit_at(End::Loose, mate).0;
        let own = self.mate_alone();
        let part = self.known.side.mate();
        let under = |limit: Option<Exact>, figure| limit.map(|limit: Exact| limit - figure);
        let over = |limit: Option<Exact>, figure: Exact| limit.map(|limit| figure - limit);
        [
            ("tight".to_owned(), under(limits.low, tight)),
            ("loose".to_owned(), over(limits.high, loose)),
            (format!("{part} small"), under(own.low, mate)),
            (format!("{part} large"), over(own.high, mate)),
        ]
        .into_iter()
        .find(|(_, by)| by.is_some_and(|by| by > Exact::ZERO))
        .map(|(side, by)| Beyond { side, by })
    }

    /// Whether this end meets the new fit, and the mate its new limit on this
    /// side. A side with a service limit alone is never better than service.
    fn end_is_new(&self, end: End, at: Fit, mate: Exact) -> bool {
        let limits = &self.limits;
        let fit_is_new = match end {
            End::Tight => match limits.new_least {
                Some(least) => at.0 >= least + self.guard.tight,
                None => limits.least.is_none(),
            },
            End::Loose => match limits.new_greatest {
                Some(greatest) => at.0 <= greatest - self.guard.loose,
                None => limits.greatest.is_none(),
            },
        };
        let new = self.mate_new();
        let small_side = (end == End::Tight) == (self.known.side == Side::Shaft);
        let own_is_new = match small_side {
            true => new.low.is_none_or(|low| mate >= low + self.guard.mate),
            false => new.high.is_none_or(|high| mate <= high - self.guard.mate),
        };
        fit_is_new && own_is_new
    }
}
