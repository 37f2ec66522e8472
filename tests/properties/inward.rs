//! Rounding never widens: what is inside the printed window is inside the true
//! one, in either unit and at any number of decimals. 25.4 mm is an inch
//! exactly (international yard and pound agreement, 1959; from memory), and the
//! comparison here is of whole numbers.

use super::cases;
use benchleaf::quantity::{Exact, Length, Window, inward};
use proptest::prelude::*;

/// Hundred-millionths of a millimetre: a whole number for every figure of
/// up to seven decimals in either unit.
fn fine(size: Exact, unit: Length) -> i128 {
    let steps = i128::from(size.in_steps(7).expect("seven decimals"));
    if unit == Length::Inch { steps * 254 } else { steps * 10 }
}

/// Whether each end lies inside, and less than one step from the true one.
fn holds(window: &Window, from: Length, printed: &Window, to: Length, places: u8) -> bool {
    let step = fine(Exact::steps(1, places), to);
    let low = match (window.low, printed.low) {
        (Some(low), Some(seen)) => (0..step).contains(&(fine(seen, to) - fine(low, from))),
        (low, seen) => low.is_none() && seen.is_none(),
    };
    let high = match (window.high, printed.high) {
        (Some(high), Some(seen)) => (0..step).contains(&(fine(high, from) - fine(seen, to))),
        (high, seen) => high.is_none() && seen.is_none(),
    };
    low && high
}

fn unit() -> impl Strategy<Value = Length> {
    prop_oneof![Just(Length::Inch), Just(Length::Millimetre)]
}

proptest! {
    #![proptest_config(cases(100_000))]

    #[test]
    fn rounding_never_widens(
        low in -9_999_999i64..9_999_999,
        wide in 0i64..100_000,
        ends in 0..4u8,
        decimals in 1..6u8,
        places in 1..6u8,
        from in unit(),
        to in unit(),
    ) {
        let end = |there: bool, steps: i64| there.then(|| Exact::steps(steps, decimals));
        let window = Window::new(end(ends & 1 == 0, low), end(ends & 2 == 0, low + wide));
        match inward(&window, from, to, places) {
            Some(printed) => {
                prop_assert!(holds(&window, from, &printed, to, places), "{:?}", printed);
                // Planted: an end moved outward by one step, as rounding to the
                // nearest would half the time, is seen.
                let step = Exact::steps(1, places);
                if let Some(low) = printed.low {
                    let wider = Window { low: Some(low - step), ..printed };
                    prop_assert!(!holds(&window, from, &wider, to, places));
                }
                if let Some(high) = printed.high {
                    let wider = Window { high: Some(high + step), ..printed };
                    prop_assert!(!holds(&window, from, &wider, to, places));
                }
            }
            // Nothing left: no step lies between the ends.
            None => {
                let (Some(low), Some(high)) = (window.low, window.high) else {
                    return Err(TestCaseError::fail("an open window lost"));
                };
                let step = fine(Exact::steps(1, places), to);
                let (low, high) = (fine(low, from), fine(high, from));
                prop_assert!(low.div_euclid(step) == high.div_euclid(step) && low.rem_euclid(step) != 0);
            }
        }
    }
}
