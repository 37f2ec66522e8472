//! The normal distribution, in decimals.

use super::exact::Exact;
use rust_decimal::Decimal;

/// Terms of the series before it is given up; 6 standard deviations need 70.
const TERMS: i64 = 120;

/// The chance that a figure is inside a limit, one-sided, normal: `margin` is
/// its distance to the limit, above zero inside, and `expanded` the expanded
/// uncertainties that make it up (k = 2, so u = U / 2; JCGM 106:2012, from
/// memory). Worked to 20 decimals and rounded once, to the nearest at four
/// places, halves away from zero. `None` where no uncertainty is stated.
pub fn chance_inside(margin: Exact, expanded: &[Exact]) -> Option<Exact> {
    let square: Decimal = expanded.iter().map(|part| part.decimal() * part.decimal()).sum();
    if square.is_zero() {
        return None;
    }
    let margin = margin.decimal();
    let deviation = (margin * margin).checked_mul(Decimal::from(4))?.checked_div(square);
    let tail = match deviation {
        Some(square) if square < Decimal::from(36) => half_width(square),
        // Beyond six deviations the tail is under 0.000000001.
        _ => Decimal::new(5, 1),
    };
    let half = Decimal::new(5, 1);
    let chance = if margin.is_sign_negative() { half - tail } else { half + tail };
    Some(Exact::from_decimal(chance).nearest(4))
}

/// The share of a normal distribution between its middle and the square root
/// of `square` deviations: the alternating series of the error function.
fn half_width(square: Decimal) -> Decimal {
    let mut term = square_root(square);
    let mut sum = term;
    for n in 1..TERMS {
        term = -term * square / Decimal::from(2 * n);
        sum += term / Decimal::from(2 * n + 1);
    }
    // One over the square root of two pi.
    sum * Decimal::from_parts(2_880_526_071, 2_378_455_365, 216_267_043, false, 28)
}

/// Newton's rule; the start is above every root asked for.
fn square_root(square: Decimal) -> Decimal {
    if square.is_zero() {
        return Decimal::ZERO;
    }
    let mut root = square.max(Decimal::ONE);
    for _ in 0..100 {
        let next = (root + square / root) / Decimal::from(2);
        if next >= root {
            break;
        }
        root = next;
    }
    root
}
