//! Windows: what a figure may be, from a floor to a ceiling, both inclusive.

use super::exact::{Exact, ceil_quotient, floor_quotient};
use super::unit::Length;

/// Either end may be absent: that side is not judged. Absent is never zero.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Window {
    pub low: Option<Exact>,
    pub high: Option<Exact>,
}

impl Window {
    pub fn new(low: Option<Exact>, high: Option<Exact>) -> Window {
        Window { low, high }
    }

    pub fn of(low: Exact, high: Exact) -> Window {
        Window { low: Some(low), high: Some(high) }
    }

    pub fn holds(&self, size: Exact) -> bool {
        self.low.is_none_or(|low| size >= low) && self.high.is_none_or(|high| size <= high)
    }

    /// Both ends present and crossed: nothing can be inside.
    pub fn is_empty(&self) -> bool {
        matches!((self.low, self.high), (Some(low), Some(high)) if low > high)
    }

    /// What is inside both.
    pub fn within(&self, other: &Window) -> Window {
        let low = self.low.into_iter().chain(other.low).max();
        let high = self.high.into_iter().chain(other.high).min();
        Window { low, high }
    }
}

/// A window brought to another unit and rounded inward, signs included: the
/// floor toward plus infinity, the ceiling toward minus infinity, so that a
/// figure inside the printed window is inside the true one. From millimetres
/// to inches the steps are counted whose size times 25.4 is on the right side,
/// so that nothing is divided and rounded. `None` where nothing is left inside.
pub fn inward(window: &Window, from: Length, to: Length, places: u8) -> Option<Window> {
    let inch = Exact::inch_in_mm();
    let raise = |size: Exact| match (from, to) {
        (Length::Inch, Length::Millimetre) => Some(size.inches_to_mm().ceil(places)),
        (Length::Millimetre, Length::Inch) => ceil_quotient(size, inch, places),
        _ => Some(size.ceil(places)),
    };
    let lower = |size: Exact| match (from, to) {
        (Length::Inch, Length::Millimetre) => Some(size.inches_to_mm().floor(places)),
        (Length::Millimetre, Length::Inch) => floor_quotient(size, inch, places),
        _ => Some(size.floor(places)),
    };
    let low = match window.low {
        Some(low) => Some(raise(low)?),
        None => None,
    };
    let high = match window.high {
        Some(high) => Some(lower(high)?),
        None => None,
    };
    let rounded = Window { low, high };
    (!rounded.is_empty()).then_some(rounded)
}
