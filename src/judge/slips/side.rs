//! One part of a row made ready for questioning: its readings, its pairs and
//! the limits that a slip is held against.

use super::signature::round;
use crate::judge::acceptance::{Bounds, value};
use crate::judge::fit_limits::FitLimits;
use crate::judge::kinds::size::of_grade;
use crate::judge::mate::{fit_limits_for, widest};
use crate::judge::side::SideReadings;
use crate::judge::types::Context;
use crate::model::engine::Feature;
use crate::model::id::FeatureId;
use crate::model::job::Scope;
use crate::model::limits::{FitLine, Line};
use crate::model::side::{BoxId, Group, Side};
use crate::model::text::Number;
use crate::quantity::{Exact, Length, Window, inward};

/// A box that holds a reading.
#[derive(Clone, Copy, Debug)]
pub(super) struct Filled<'a> {
    pub at: BoxId,
    pub plane: usize,
    pub governs: bool,
    pub value: Exact,
    pub text: &'a str,
    pub confirmed: bool,
}

/// A part as measured.
#[derive(Clone, Debug)]
pub(super) struct Measured<'a> {
    pub key: Group,
    pub side: Side,
    pub unit: Length,
    pub places: u8,
    pub reused: bool,
    pub filled: Vec<Filled<'a>>,
    /// Readings of one plane are of one diameter: not so on an oval skirt.
    pub paired: bool,
    pub new: Window,
    /// The widest that the part can be and still serve.
    pub widest: Window,
    /// The same by the document's sizes alone, and not by its mate: exchanged, the
    /// two would be held against one another.
    pub own: Window,
    /// The new roundness limit of the feature, where there is none the service
    /// one.
    pub round: Exact,
}

impl<'a> Measured<'a> {
    /// The parts of a row that have diameters; none for direct readings.
    pub fn of_row(line: &Line, row: &'a [SideReadings], cx: &Context) -> Vec<Measured<'a>> {
        let Some(unit) = line.unit.length() else {
            return Vec::new();
        };
        let state = |of: Side| {
            let side = row.iter().find(|side| side.key == of.into());
            side.map(|side| side.state.clone()).unwrap_or_default()
        };
        let limits = match (line.fit(), line.size()) {
            (Some(fit), _) => {
                // By the service limits always: a worn part is worn in any scope.
                let (shaft, bore) = (&state(Side::Shaft), &state(Side::Bore));
                let limits = fit_limits_for((fit, &line.unit), shaft, bore, Scope::Service);
                let limits = limits.unwrap_or_default();
                let shaft = Window::new(limits.s1, limits.s2);
                let bore = Window::new(limits.b1, limits.b2);
                let both = |side| [widest(&limits, side), by_mate(&limits, (fit, side), row, cx)];
                vec![
                    (Side::Shaft, fit.shaft.feature, (shaft, both(Side::Shaft))),
                    (Side::Bore, fit.bore.feature, (bore, both(Side::Bore))),
                ]
            }
            (None, Some(size)) => {
                let limits = of_grade(size, &state(Side::Only)).unwrap_or(&size.limits);
                let limits = limits.in_unit(&line.unit).unwrap_or_default();
                let (new, widest) = size_windows(&limits);
                vec![(Side::Only, size.feature, (new, [widest; 2]))]
            }
            (None, None) => Vec::new(),
        };
        let measured =
            |(side, feature, (new, [own, widest])): (Side, FeatureId, (Window, [Window; 2]))| {
                let key = Group::from(side);
                let side = row.iter().find(|side| side.key == key)?;
                let place = cx.engine.features.get(feature.0)?;
                Some(Measured {
                    key,
                    side: place.side,
                    unit,
                    places: line.places,
                    reused: side.state.is_reused(),
                    filled: filled(side, place),
                    paired: place.governing_direction.is_none(),
                    new,
                    widest,
                    own,
                    round: roundness(cx, feature, unit).unwrap_or(round(unit)),
                })
            };
        limits.into_iter().filter_map(measured).collect()
    }

    /// The readings that count for the part.
    pub fn governing(&self) -> impl Iterator<Item = &Filled<'a>> {
        self.filled.iter().filter(|filled| filled.governs)
    }

    /// Readings present, and every one of them such.
    pub fn wholly(&self, such: impl Fn(Exact) -> bool) -> bool {
        let mut governing = self.governing().peekable();
        governing.peek().is_some() && governing.all(|filled| such(filled.value))
    }

    /// The other readings of the same diameter.
    pub fn pair(&self, of: usize) -> impl Iterator<Item = &Filled<'a>> {
        let plane = self.filled.iter().find(|filled| filled.at.index == of).map(|f| f.plane);
        let paired = self.paired;
        self.filled
            .iter()
            .filter(move |other| paired && other.at.index != of && Some(other.plane) == plane)
    }

    /// Whether a reading in box `of` would lie within `by` of all its pair.
    pub fn lands(&self, of: usize, value: Exact, by: Exact) -> bool {
        self.pair(of).all(|other| (other.value - value).abs() <= by)
    }

    /// Whether box `of` stands out: from its pair, or past the widest limits.
    pub fn stands_out(&self, of: &Filled) -> bool {
        !self.own.holds(of.value) || !self.lands(of.at.index, of.value, self.round)
    }

    /// Less than a tenth of the part's smallest limit.
    pub fn is_clearance(&self, value: Exact) -> bool {
        let smallest = self.new.low.into_iter().chain(self.widest.low).min();
        smallest.is_some_and(|smallest| value.times(10) < smallest)
    }

    pub fn boxes(&self) -> Vec<BoxId> {
        self.governing().map(|filled| filled.at).collect()
    }

    /// The readings that count, as typed: `1.3725, 1.3724`.
    pub fn texts(&self) -> String {
        self.governing().map(|filled| filled.text).collect::<Vec<_>>().join(", ")
    }

    /// A box that was asked about has been measured again.
    pub fn confirmed(&self) -> bool {
        self.governing().any(|filled| filled.confirmed)
    }
}

fn filled<'a>(side: &'a SideReadings, feature: &Feature) -> Vec<Filled<'a>> {
    let fill = |(index, typed): (usize, &'a Option<Number>)| {
        let typed = typed.as_ref()?;
        let directions = feature.directions.len().max(1);
        Some(Filled {
            at: BoxId { group: side.key, index },
            plane: index / directions,
            governs: feature.directions.is_empty() || feature.governs(index),
            value: typed.value,
            text: &typed.text,
            confirmed: side.is_confirmed(index),
        })
    };
    side.boxes.iter().enumerate().filter_map(fill).collect()
}

/// The widest that a part can be. Where the document gives no sizes to tell it by,
/// what its mate is tells: no fit of the two lies outside its limits by a gross
/// slip, whichever of them it is in.
fn by_mate(
    limits: &FitLimits,
    (fit, side): (&FitLine, Side),
    row: &[SideReadings],
    cx: &Context,
) -> Window {
    let own = widest(limits, side);
    if own.low.is_some() && own.high.is_some() {
        return own;
    }
    let feature = cx.engine.features.get(fit.part(side.mate()).feature.0);
    let mate = row.iter().find(|read| read.key == side.mate().into());
    let Some((feature, mate)) = feature.zip(mate) else { return own };
    let mate_own = widest(limits, side.mate());
    let values = mate.values();
    let counting = values.iter().enumerate().filter(|(n, _)| feature.governs(*n));
    let counting: Vec<Exact> = counting.filter_map(|(_, value)| *value).collect();
    let ends = counting.iter().copied().min().zip(counting.iter().copied().max());
    // A mate that is itself past what it can be tells nothing.
    let Some((least, greatest)) =
        ends.filter(|(least, greatest)| mate_own.holds(*least) && mate_own.holds(*greatest))
    else {
        return own;
    };
    let (tightest, loosest) = (limits.least, limits.greatest);
    let (low, high) = side.of([
        (loosest.map(|most| least - most), tightest.map(|least| greatest - least)),
        (tightest.map(|tight| least + tight), loosest.map(|most| greatest + most)),
    ]);
    Window::new(own.low.or(low), own.high.or(high))
}

/// New limits of a size line, and its widest.
fn size_windows(limits: &Bounds) -> (Window, Window) {
    let new = Window::new(value(&limits.new_min), value(&limits.new_max));
    let low = value(&limits.service_min).or(new.low);
    let high = value(&limits.service_max).or(new.high);
    (new, Window::new(low, high))
}

/// Decimals of a limit brought to the other unit: finer than any reading.
const FINE: u8 = 6;

/// The new roundness limit of a feature, where there is none the service one,
/// in the unit asked for.
fn roundness(cx: &Context, feature: FeatureId, unit: Length) -> Option<Exact> {
    cx.limits.lines.iter().find_map(|line| {
        let round = line.roundness().filter(|round| round.feature == feature)?;
        let limits = Some(&round.limits).filter(|_| line.holds_at(cx.place))?;
        let limits = limits.in_unit(&line.unit)?;
        let limit = Window::new(None, Some(limits.new_max.or(limits.service_max)?.value));
        inward(&limit, line.unit.length()?, unit, FINE)?.high
    })
}
