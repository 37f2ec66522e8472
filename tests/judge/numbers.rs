//! Exact numbers. Figures from the rules of measuring unless a source is named.

use super::bench::exact;
use benchleaf::quantity::*;
use std::cmp::Ordering;

#[test]
fn digits_stay_as_typed() {
    for text in ["2.29", "0.125", "0.999", "1.3730", "-0.0005", "9999999.9999999"] {
        assert_eq!(exact(text).to_string(), text);
    }
    // 1.373 and 1.3730 are one size and two records.
    assert_eq!(exact("1.373"), exact("1.3730"));
    assert_ne!(exact("1.373").to_string(), exact("1.3730").to_string());
    // A precision pads and never cuts: 2.29 at one place keeps its 9.
    assert_eq!(format!("{:.1}", exact("2.29")), "2.29");
    assert_eq!(format!("{:.4}", exact("0.125")), "0.1250");
}

#[test]
fn zero_has_no_sign() {
    assert_eq!(exact("-0.0000").to_string(), "0.0000");
    assert_eq!(format!("{:.4}", exact("1.3730") - exact("1.3730")), "0.0000");
    assert_eq!(Fit(exact("-0.0000")).to_string(), "0.0000");
    assert!(!exact("-0.0").is_negative());
}

#[test]
fn what_is_not_a_plain_decimal_is_refused() {
    let refused = [
        ("", Unread::Empty),
        ("1,3731", Unread::Comma),
        (".8736", Unread::NoWhole),
        ("8736.", Unread::NoDecimals),
        ("1.3730e0", Unread::Exponent),
        ("nan", Unread::NotDigits),
        ("0x1F", Unread::NotDigits),
        ("1_3.7", Unread::NotDigits),
        ("1.37 30", Unread::Space),
        ("12345678", Unread::TooLong),
        // 29 digits, which a decimal of 28 would round without a word.
        ("1.3731000000000000000000000001", Unread::TooLong),
        ("79228162514264337593543950336", Unread::TooLong),
    ];
    for (text, why) in refused {
        assert_eq!(Exact::read(text), Err(why), "{text}");
    }
}

#[test]
fn subtraction_does_not_drift() {
    // In binary floats 0.8768 - 0.8728 exceeds 0.0040.
    let [bore, shaft, limit] = std::hint::black_box([0.8768_f64, 0.8728, 0.0040]);
    assert!(bore - shaft > limit);
    assert_eq!(exact("0.8768") - exact("0.8728"), exact("0.0040"));
}

#[test]
fn a_fit_names_its_side() {
    assert_eq!(fit(exact("1.3740"), exact("1.3718")).show(4), "0.0022 L");
    assert_eq!(fit(exact("0.9995"), exact("1.0007")).show(4), "0.0012 T");
    assert_eq!(fit(exact("1.0000"), exact("1.0000")).show(4), "0.0000");
    assert_eq!(Fit::read("0.0003T"), Ok(Fit(exact("-0.0003"))));
    assert_eq!(Fit::read("0.0010"), Err(Unsigned::NoSide));
    assert_eq!(Fit::read("0.0000"), Ok(Fit(Exact::ZERO)));
}

#[test]
fn windows_round_inward() {
    let (inch, mm) = (Length::Inch, Length::Millimetre);
    let window = Window::of(exact("1.3728"), exact("1.3766"));
    let turned = inward(&window, inch, mm, 3);
    assert_eq!(turned, Some(Window::of(exact("34.870"), exact("34.965"))));
    // Tight fits too: 0.0020 T to 0.0003 T is 0.050 T to 0.008 T.
    let tight = Window::of(exact("-0.0020"), exact("-0.0003"));
    let turned = inward(&tight, inch, mm, 3);
    assert_eq!(turned, Some(Window::of(exact("-0.050"), exact("-0.008"))));
    // One side only.
    let one = inward(&Window::new(None, Some(exact("1.3766"))), inch, mm, 3);
    assert_eq!(one, Some(Window::new(None, Some(exact("34.965")))));
}

#[test]
fn millimetres_become_inches_without_dividing() {
    let (inch, mm) = (Length::Inch, Length::Millimetre);
    let bring = |low: &str, high: &str| inward(&Window::of(exact(low), exact(high)), mm, inch, 4);
    // 34.870 mm is 1.37283... in, 34.965 mm is 1.37657... in (25.4 mm, 1959).
    assert_eq!(bring("34.870", "34.965"), Some(Window::of(exact("1.3729"), exact("1.3765"))));
    // On the step itself nothing moves: 25.4 mm is 1 in.
    assert_eq!(bring("25.4", "50.8"), Some(Window::of(exact("1.0000"), exact("2.0000"))));
    assert_eq!(bring("-0.050", "-0.008"), Some(Window::of(exact("-0.0019"), exact("-0.0004"))));
    // Nothing is left between two steps.
    assert_eq!(bring("0.0001", "0.0002"), None);
    for window in [("34.870", "34.965"), ("0.013", "12.7"), ("-1.111", "1.111")] {
        let turned = bring(window.0, window.1).expect("not empty");
        let back = |size: Option<Exact>| size.expect("both ends").inches_to_mm();
        assert!(back(turned.low) >= exact(window.0) && back(turned.high) <= exact(window.1));
        let step = Exact::steps(1, 4).inches_to_mm();
        assert!(back(turned.low) - step < exact(window.0));
        assert!(back(turned.high) + step > exact(window.1));
    }
}

/// scipy.stats.norm.cdf(margin / (sqrt(sum of U squared) / 2)), scipy 1.
#[test]
fn the_chance_of_being_inside() {
    let gauges = [exact("0.0001"), exact("0.0003")];
    let chance = |margin: &str, gauges: &[Exact]| {
        chance_inside(exact(margin), gauges).map(|chance| chance.to_string())
    };
    assert_eq!(chance("0.0003", &gauges).as_deref(), Some("0.9711"));
    assert_eq!(chance("0.0000", &gauges).as_deref(), Some("0.5000"));
    assert_eq!(chance("-0.0002", &gauges).as_deref(), Some("0.1030"));
    assert_eq!(chance("0.0003", &[]), None);
    assert_eq!(chance("0.0003", &[Exact::ZERO]), None);
    for row in super::table::rows("normal.csv") {
        let (margin, chances) = (&row["margin"], &row["chance"]);
        assert_eq!(chance(margin, &[exact("0.0002")]).as_ref(), Some(chances), "{margin}");
    }
}

#[test]
fn squares_are_compared_exactly() {
    let (a, b) = (exact("0.0003"), exact("0.0003"));
    // The rules: 0.0003 twice, a difference of 0.0004 stands, 0.0005 holds.
    assert!(!squared_exceeds(exact("0.0004"), &[a, b]));
    assert!(squared_exceeds(exact("0.0005"), &[a, b]));
    // 3-4-5: equal is not beyond.
    let parts = [exact("0.0003"), exact("0.0004")];
    assert!(!squared_exceeds(exact("0.0005"), &parts));
    assert!(squared_exceeds(exact("-0.0005001"), &parts));
    // As large as can be typed, where 28 digits would round the squares alike.
    let (large, larger) = (exact("9999999.9999998"), exact("9999999.9999999"));
    assert!(squared_exceeds(larger, &[large]) && !squared_exceeds(large, &[larger]));
}

/// JCGM 100:2008, 5.1.2, from memory: of one part alone the root is the part;
/// never shown smaller than it is, as of several parts.
#[test]
fn one_uncertainty_alone_is_rounded_up_too() {
    let shown = |part: &str, places| root_sum_square(&[exact(part)], places).to_string();
    assert_eq!(shown("0.00021", 4), "0.0003");
    assert_eq!(shown("-0.00021", 4), "0.0003");
    assert_eq!(shown("0.0002", 5), "0.00020");
    let beside_none = root_sum_square(&[exact("0.00021"), Exact::whole(0)], 4);
    assert_eq!(beside_none.to_string(), "0.0003");
}

/// JCGM 100:2008, 5.1.2, from memory: the root is the smallest figure of its
/// places whose square reaches the sum of the squares.
#[test]
fn the_root_of_a_sum_of_squares_is_the_smallest_that_reaches_it() {
    let part = |n: i64| Exact::steps(n, 7);
    for seed in 1..2_000i64 {
        // Strides that share no factor, from a ten-millionth to some hundreds.
        let parts = [part(seed), part(seed * 7_919 % 104_729), part(seed.pow(3) % 1_299_709)];
        for places in 0..=7 {
            let root = root_sum_square(&parts, places);
            assert_eq!(root.places(), places);
            assert_ne!(squared_against(root, &parts), Ordering::Less, "{parts:?}");
            let below = root - Exact::steps(1, places);
            assert_eq!(squared_against(below, &parts), Ordering::Less, "{parts:?}");
        }
    }
}

#[test]
fn quotients_say_how_they_round() {
    assert_eq!(quotient(exact("4.1311"), 3, 6).to_string(), "1.377033");
    assert_eq!(quotient(exact("4.1310"), 3, 6).to_string(), "1.3770");
    assert_eq!(floor_quotient(exact("4.1311"), Exact::whole(3), 4), Some(exact("1.3770")));
    assert_eq!(ceil_quotient(exact("4.1311"), Exact::whole(3), 4), Some(exact("1.3771")));
    assert_eq!(ceil_quotient(exact("-4.1311"), Exact::whole(3), 4), Some(exact("-1.3770")));
    assert_eq!(floor_quotient(exact("4.1311"), Exact::whole(0), 4), None);
}
