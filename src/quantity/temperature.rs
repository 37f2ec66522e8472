//! Sizes brought to 20 °C (the reference temperature of ISO 1; from memory).

use super::exact::Exact;
use rust_decimal::{Decimal, RoundingStrategy};

/// How warm a thing was, and how much it grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Warmth {
    /// Millionths of a length per degree Celsius.
    pub expansion: Exact,
    /// Degrees Celsius.
    pub at: Exact,
}

impl Warmth {
    /// One and the growth from 20 °C: `1 + α (t - 20)`, exactly.
    fn growth(self) -> Option<Decimal> {
        let warmer = self.at.decimal().checked_sub(Decimal::new(20, 0))?;
        let millionths = self.expansion.decimal().checked_mul(warmer)?;
        let growth = millionths.checked_mul(Decimal::new(1, 6))?;
        Decimal::ONE.checked_add(growth)
    }
}

/// What a reading would be with part and gauge at 20 °C:
/// `L20 = L · [1 + αg (tg - 20)] / [1 + αp (tp - 20)]`.
///
/// The product and the quotient carry 28 digits; the one rounding that counts
/// is at the end, to the nearest at `places`, halves away from zero. Ask for
/// more places than the reading has: the figure is judged. `None` where a
/// temperature is past all sense (the part would have no length left) or the
/// digits do not fit.
pub fn at_twenty(size: Exact, gauge: Warmth, part: Warmth, places: u8) -> Option<Exact> {
    let (gauge, part) = (gauge.growth()?, part.growth()?);
    if gauge <= Decimal::ZERO || part <= Decimal::ZERO {
        return None;
    }
    let quotient = size.decimal().checked_mul(gauge)?.checked_div(part)?;
    let how = RoundingStrategy::MidpointAwayFromZero;
    let mut rounded = quotient.round_dp_with_strategy(u32::from(places), how);
    rounded.rescale(u32::from(places));
    Some(Exact::from_decimal(rounded))
}
