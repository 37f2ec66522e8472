//! Ladders of the second stage: from a reading of the mate to the clearance
//! and its state, for the tight end and for the loose end.

use super::state::{Beyond, State};
use super::window::SecondStage;
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
    /// Readings were passed over between the rung above and this one.
    pub after_gap: bool,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ladder {
    pub end: End,
    pub rungs: Vec<Rung>,
}

/// Single steps on both sides of an edge, and the stride between.
const NEAR: i64 = 10;
/// The window's ends in steps, where they are judged.
type Edges = (Option<i64>, Option<i64>);

/// How far a ladder runs from its one edge where the other side is not judged.
const OPEN: i64 = 40;

/// Steps of ten; of more where a window is so wide that no page would hold it.
fn stride(span: i64) -> i64 {
    let mut stride = NEAR;
    while span / stride > 100 {
        stride *= 10;
    }
    stride
}

impl SecondStage {
    /// The tight ladder and the loose one, in steps of `10^-places`; `None`
    /// where no mate serves, or where neither side is judged.
    pub fn ladders(&self, places: u8) -> Option<[Ladder; 2]> {
        // Guarded acceptance holds what lies between: those rungs belong too.
        let window = self.accepting()?;
        let low = window.low.and_then(|low| low.ceil(places).in_steps(places));
        let high = window.high.and_then(|high| high.floor(places).in_steps(places));
        let (first, last) = match (low, high) {
            (Some(low), Some(high)) if low > high => return None,
            (Some(low), Some(high)) => (low, high),
            (Some(low), None) => (low, low + OPEN),
            (None, Some(high)) => (high - OPEN, high),
            (None, None) => return None,
        };
        let ladder = |end| self.ladder(end, (first, last), (low, high), places);
        Some([ladder(End::Tight), ladder(End::Loose)])
    }

    fn ladder(&self, end: End, (first, last): (i64, i64), edges: Edges, places: u8) -> Ladder {
        let from = edges.0.map_or(first, |low| low - 1);
        let to = edges.1.map_or(last, |high| high + 1);
        let change = self.change(end, (first, last), places);
        let mut steps: Vec<i64> = Vec::new();
        let stride = stride(last - first);
        steps.extend((0..=(last - first) / stride).map(|n| first + n * stride));
        for edge in [edges.0, edges.1].into_iter().flatten() {
            steps.extend(edge - NEAR..=edge + NEAR);
        }
        steps.extend(change.into_iter().flat_map(|change| [change, change + 1]));
        steps.extend([from, to]);
        steps.retain(|step| (from..=to).contains(step));
        steps.sort_unstable();
        steps.dedup();
        let gaps = steps.iter().zip(steps.iter().skip(1)).map(|(above, step)| step - above > 1);
        let gaps: Vec<bool> = std::iter::once(false).chain(gaps).collect();
        let rungs = steps.iter().zip(gaps).map(|(step, after_gap)| Rung {
            after_gap,
            ..self.rung(end, Exact::steps(*step, places))
        });
        Ladder { end, rungs: rungs.collect() }
    }

    /// The last step before the new band begins or ends, where it does inside
    /// the window: there is one such place at most.
    fn change(&self, end: End, (first, last): (i64, i64), places: u8) -> Option<i64> {
        let new = |step: i64| {
            let reading = Exact::steps(step, places);
            self.end_is_new(end, self.fit_at(end, reading), reading)
        };
        let (mut same, mut other) = (first, last);
        if new(same) == new(other) {
            return None;
        }
        while other - same > 1 {
            let middle = same + (other - same) / 2;
            if new(middle) == new(first) {
                same = middle;
            } else {
                other = middle;
            }
        }
        Some(same)
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
        let not_wear = self.known.half.of([
            new.low.is_some_and(|low| reading < low),
            new.high.is_some_and(|high| reading > high),
        ]);
        Rung { reading, fit: at, state, not_wear, after_gap: false }
    }

    fn fit_at(&self, end: End, mate: Exact) -> Fit {
        let known = &self.known;
        match (known.half, end) {
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
        let part = self.known.half.mate();
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
        let basis = &self.basis;
        let fit_is_new = match end {
            End::Tight => match basis.new_least {
                Some(least) => at.0 >= least + self.guard.tight,
                None => basis.least.is_none(),
            },
            End::Loose => match basis.new_greatest {
                Some(greatest) => at.0 <= greatest - self.guard.loose,
                None => basis.greatest.is_none(),
            },
        };
        let new = self.mate_new();
        let small_side = (end == End::Tight) == (self.known.half == Side::Shaft);
        let own_is_new = match small_side {
            true => new.low.is_none_or(|low| mate >= low + self.guard.mate),
            false => new.high.is_none_or(|high| mate <= high - self.guard.mate),
        };
        fit_is_new && own_is_new
    }
}
