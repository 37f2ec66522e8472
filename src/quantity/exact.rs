//! A decimal held exactly, with a grammar of its own.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::cmp::Ordering;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Neg, Sub};

/// An exact decimal: |x| < 10 000 000 and seven places at most when read.
///
/// Only sums, differences and multiples by whole numbers or by 25.4 are
/// offered, none of which can round within these bounds.
#[derive(Clone, Copy, Debug, Default)]
pub struct Exact(Decimal);

/// Why a text is not a plain decimal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unread {
    Empty,
    /// A comma stands where the point belongs.
    Comma,
    /// Nothing stands before the point.
    NoWhole,
    /// Nothing stands after the point.
    NoDecimals,
    Exponent,
    /// Letters or signs among the digits.
    NotDigits,
    Space,
    TooLong,
}

/// The most digits before the point, and after it.
const WHOLE: usize = 7;
const PLACES: usize = 7;

impl Exact {
    /// Millimetres in an inch (international yard and pound agreement, 1959).
    pub(super) fn inch_in_mm() -> Exact {
        Exact(Decimal::new(254, 1))
    }

    pub(super) fn decimal(self) -> Decimal {
        self.0
    }

    pub(super) fn from_decimal(value: Decimal) -> Exact {
        Exact(value)
    }

    pub const ZERO: Exact = Exact(Decimal::ZERO);

    /// Reads `-?digits(.digits)?`, keeping every trailing zero.
    pub fn read(text: &str) -> Result<Exact, Unread> {
        let digits = text.strip_prefix('-').unwrap_or(text);
        if digits.is_empty() {
            return Err(Unread::Empty);
        }
        if digits.contains(',') {
            return Err(Unread::Comma);
        }
        if digits.contains(char::is_whitespace) {
            return Err(Unread::Space);
        }
        let (whole, places) = match digits.split_once('.') {
            Some((whole, places)) => (whole, Some(places)),
            None => (digits, None),
        };
        let numeric = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
        if !numeric(whole) || !places.is_none_or(numeric) {
            let starts = whole.starts_with(|c: char| c.is_ascii_digit());
            let exponent = starts && digits.contains(['e', 'E']) && !digits.starts_with("0x");
            return Err(if exponent { Unread::Exponent } else { Unread::NotDigits });
        }
        if whole.is_empty() {
            return Err(Unread::NoWhole);
        }
        if places.is_some_and(str::is_empty) {
            return Err(Unread::NoDecimals);
        }
        if whole.len() > WHOLE || places.is_some_and(|p| p.len() > PLACES) {
            return Err(Unread::TooLong);
        }
        Decimal::from_str_exact(text).map(Exact).map_err(|_| Unread::NotDigits)
    }

    /// A whole number of steps of `10^-places`: `Exact::steps(5, 4)` is 0.0005.
    pub fn steps(count: i64, places: u8) -> Exact {
        Exact(Decimal::new(count, u32::from(places)))
    }

    pub fn whole(count: i64) -> Exact {
        Exact(Decimal::new(count, 0))
    }

    /// How many decimals it carries, trailing zeros included.
    pub fn places(self) -> u8 {
        u8::try_from(self.0.scale()).unwrap_or(u8::MAX)
    }

    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    pub fn is_negative(self) -> bool {
        self.0.is_sign_negative() && !self.0.is_zero()
    }

    pub fn is_positive(self) -> bool {
        self.0.is_sign_positive() && !self.0.is_zero()
    }

    pub fn abs(self) -> Exact {
        Exact(self.0.abs())
    }

    pub fn times(self, count: i64) -> Exact {
        Exact(self.0 * Decimal::new(count, 0))
    }

    /// Product of two exact figures; exact while both keep within seven places.
    pub fn product(self, other: Exact) -> Exact {
        Exact(self.0 * other.0)
    }

    /// Inches to millimetres, exactly (25.4 mm: international yard and pound
    /// agreement, 1959).
    pub fn inches_to_mm(self) -> Exact {
        self.product(Exact::inch_in_mm())
    }

    /// The largest figure of `places` decimals that is not above this one.
    pub fn floor(self, places: u8) -> Exact {
        self.rounded(places, rust_decimal::RoundingStrategy::ToNegativeInfinity)
    }

    /// The smallest figure of `places` decimals that is not below this one.
    pub fn ceil(self, places: u8) -> Exact {
        self.rounded(places, rust_decimal::RoundingStrategy::ToPositiveInfinity)
    }

    /// To the nearest, halves away from zero: for figures that are shown and
    /// never judged.
    pub fn nearest(self, places: u8) -> Exact {
        self.rounded(places, rust_decimal::RoundingStrategy::MidpointAwayFromZero)
    }

    fn rounded(self, places: u8, how: rust_decimal::RoundingStrategy) -> Exact {
        let mut value = self.0.round_dp_with_strategy(u32::from(places), how);
        value.rescale(u32::from(places));
        Exact(value)
    }

    /// The same figure shown with at least `places` decimals; never fewer than
    /// it needs.
    pub fn padded(self, places: u8) -> Exact {
        let mut value = self.0.normalize();
        if value.scale() < u32::from(places) {
            value.rescale(u32::from(places));
        }
        Exact(value)
    }

    /// The figure as a whole number of steps of `10^-places`, where it is one.
    pub fn in_steps(self, places: u8) -> Option<i64> {
        let mut value = self.0.normalize();
        if value.scale() > u32::from(places) {
            return None;
        }
        value.rescale(u32::from(places));
        i64::try_from(value.mantissa()).ok()
    }

    /// For placing a mark on paper only: a share of a span, from 0 to 1 000 000.
    pub fn share(self, low: Exact, high: Exact) -> i64 {
        let span = high.0 - low.0;
        if span.is_zero() {
            return 0;
        }
        let share = Exact((self.0 - low.0) * Decimal::new(1_000_000, 0) / span);
        share.nearest(0).0.to_i64().unwrap_or(0)
    }
}

impl PartialEq for Exact {
    fn eq(&self, other: &Exact) -> bool {
        self.0 == other.0
    }
}

impl Eq for Exact {}

impl std::hash::Hash for Exact {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.0.normalize().hash(state);
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        self.0.cmp(&other.0)
    }
}

impl Add for Exact {
    type Output = Exact;
    fn add(self, other: Exact) -> Exact {
        Exact(self.0 + other.0)
    }
}

impl Sub for Exact {
    type Output = Exact;
    fn sub(self, other: Exact) -> Exact {
        Exact(self.0 - other.0)
    }
}

impl Neg for Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        Exact(-self.0)
    }
}

impl Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(iter: I) -> Exact {
        iter.fold(Exact::ZERO, Add::add)
    }
}

impl fmt::Display for Exact {
    /// The digits as they stand, a minus sign only before a figure that is not
    /// zero. A precision pads with zeros and never cuts a digit.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(places) = out.precision() else {
            return if self.is_negative() { self.0 } else { self.0.abs() }.fmt(out);
        };
        let shown = self.padded(u8::try_from(places).unwrap_or(u8::MAX));
        // `pad` would take the precision for a width and cut digits off.
        out.pad_integral(!self.is_negative(), "", &shown.0.abs().to_string())
    }
}

/// The mean of some readings, for showing: rounded to the nearest at `places`,
/// halves away from zero. Judging compares sums instead and rounds nothing.
pub fn average(readings: &[Exact], places: u8) -> Option<Exact> {
    let count = i64::try_from(readings.len()).ok().filter(|n| *n > 0)?;
    let total: Exact = readings.iter().copied().sum();
    Some(Exact(total.0 / Decimal::new(count, 0)).nearest(places))
}

/// The root of the sum of squares, rounded up at `places`: an uncertainty is
/// never shown smaller than it is (GUM, JCGM 100:2008, 5.1.2, for independent
/// parts; from memory).
pub fn root_sum_square(parts: &[Exact], places: u8) -> Exact {
    if let [one] = parts {
        return one.abs().ceil(places);
    }
    let square = sum_of_squares(parts);
    let count = square.mantissa().unsigned_abs();
    let (have, wanted) = (square.scale(), 2 * u32::from(places));
    let whole = match wanted.checked_sub(have) {
        Some(more) => count * 10u128.pow(more),
        None => count.div_ceil(10u128.pow(have - wanted)),
    };
    let under = whole.isqrt();
    let root = if under * under < whole { under + 1 } else { under };
    Exact(Decimal::from_i128_with_scale(root.cast_signed(), u32::from(places)))
}

/// Whether `|difference|` is beyond the root of the sum of squares of `parts`,
/// compared as squares so that nothing is rounded.
pub fn squared_exceeds(difference: Exact, parts: &[Exact]) -> bool {
    squared_against(difference, parts) == Ordering::Greater
}

/// How the square of `difference` stands to the sum of the squares of `parts`.
/// Compared as whole numbers, exactly; beyond any size that can be typed the
/// decimals decide.
pub fn squared_against(difference: Exact, parts: &[Exact]) -> Ordering {
    let all = parts.iter().chain([&difference]);
    let scale = all.map(|part| part.0.scale()).max().unwrap_or(0);
    let square = |part: &Exact| -> Option<i128> {
        let step = 10i128.checked_pow(scale - part.0.scale())?;
        let count = part.0.mantissa().checked_mul(step)?;
        count.checked_mul(count)
    };
    let sum = parts.iter().try_fold(0i128, |sum, part| sum.checked_add(square(part)?));
    match (square(&difference), sum) {
        (Some(square), Some(sum)) => square.cmp(&sum),
        _ => (difference.0 * difference.0).cmp(&sum_of_squares(parts)),
    }
}

fn sum_of_squares(parts: &[Exact]) -> Decimal {
    parts.iter().map(|part| part.0 * part.0).sum()
}

/// `sum / count` for showing: as it is where seven places hold it, else to the
/// nearest at `places`, halves away from zero. Zero where `count` is.
pub fn quotient(sum: Exact, count: i64, places: u8) -> Exact {
    let Some(share) = sum.0.checked_div(Decimal::new(count, 0)) else {
        return Exact::ZERO;
    };
    let short = Exact(share.normalize());
    if usize::from(short.places()) <= PLACES && short.times(count) == sum {
        return short.padded(sum.places());
    }
    Exact(share).nearest(places)
}

/// The whole number at or under `sum * 10^places / divisor`, exactly.
/// `None` beyond any size that can be typed.
pub(super) fn steps_under(sum: Exact, divisor: Exact, places: u8) -> Option<i128> {
    let (over, under) = (sum.0, divisor.0);
    let shift = i64::from(places) + i64::from(under.scale()) - i64::from(over.scale());
    let power = 10i128.checked_pow(u32::try_from(shift.abs()).ok()?)?;
    let (above, below) = match shift >= 0 {
        true => (over.mantissa().checked_mul(power)?, under.mantissa()),
        false => (over.mantissa(), under.mantissa().checked_mul(power)?),
    };
    (below > 0).then(|| above.div_euclid(below))
}

/// The largest figure of `places` decimals not above `sum / divisor`, for a
/// divisor above zero. Worked in whole numbers: nothing is rounded twice.
pub fn floor_quotient(sum: Exact, divisor: Exact, places: u8) -> Option<Exact> {
    let count = i64::try_from(steps_under(sum, divisor, places)?).ok()?;
    Some(Exact::steps(count, places))
}

/// The smallest figure of `places` decimals not below `sum / divisor`.
pub fn ceil_quotient(sum: Exact, divisor: Exact, places: u8) -> Option<Exact> {
    floor_quotient(-sum, divisor, places).map(|floor| -floor)
}

/// Millimetres as inches, to the nearest at `places`, halves upward; worked in
/// whole numbers. For messages: inches are never judged from millimetres.
pub fn nearest_inches(mm: Exact, places: u8) -> Option<Exact> {
    let halves = steps_under(mm.times(2), Exact::inch_in_mm(), places)?;
    let count = i64::try_from((halves + 1).div_euclid(2)).ok()?;
    Some(Exact::steps(count, places))
}

/// Whether two printed figures are the same value in two units: `first` times
/// `factor` and `second` differ by no more than half a last place of either,
/// so that one is the other rounded, whichever way the document went and
/// whichever way it rounded halves.
pub fn agree_as_printed(first: Exact, second: Exact, factor: Exact) -> bool {
    let off = (first.product(factor) - second).abs().times(2);
    let last = |figure: Exact| Exact::steps(1, figure.places());
    off <= last(second).max(last(first).product(factor))
}
