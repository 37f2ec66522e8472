//! Sizes at 20 °C against figures worked out elsewhere.

use super::bench::exact;
use benchleaf::quantity::{Exact, Warmth, at_twenty};

/// Aluminium 23.1 and steel 11.5 millionths per °C: Swyt, NIST, 1994.
const ALUMINIUM: &str = "23.1";
const STEEL: &str = "11.5";

fn warm(expansion: &str, at: &str) -> Warmth {
    Warmth { expansion: exact(expansion), at: exact(at) }
}

fn brought(size: &str, gauge: Warmth, part: Warmth, places: u8) -> Exact {
    at_twenty(exact(size), gauge, part, places).expect("a sensible temperature")
}

/// Differences computed from Swyt's coefficients, as the sources state them.
#[test]
fn stated_figures() {
    let (steel_30, steel_20) = (warm(STEEL, "30"), warm(STEEL, "20"));
    assert_eq!(brought("2.5000", steel_30, steel_30, 7).to_string(), "2.5000000");
    let cold_gauge = brought("2.5000", steel_20, steel_30, 5);
    assert_eq!((exact("2.5") - cold_gauge).to_string(), "0.00029");
    let bore = brought("5.0000", steel_30, warm(ALUMINIUM, "30"), 5);
    assert_eq!((exact("5") - bore).to_string(), "0.00058");
    // A 2.5 in aluminium bore on a steel shaft opens 0.00029 in for 10 °C.
    let shaft = brought("2.5000", steel_30, steel_30, 5);
    let opened = shaft - brought("2.5000", steel_30, warm(ALUMINIUM, "30"), 5);
    assert_eq!(opened.to_string(), "0.00029");
}

/// Python's decimal at 60 digits, quantised with ROUND_HALF_UP:
/// `(L*(1+ag*(tg-20)/10**6)/(1+ap*(tp-20)/10**6)).quantize(...)`.
#[test]
fn python_decimal() {
    let rows = include_str!("temperature.csv");
    let mut count = 0;
    for row in rows.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let [size, gauge, tg, part, tp, places, wanted] = cells[..] else {
            panic!("{row}");
        };
        let places: u8 = places.parse().unwrap();
        assert_eq!(brought(size, warm(gauge, tg), warm(part, tp), places).to_string(), wanted);
        count += 1;
    }
    assert_eq!(count, 200);
}

#[test]
fn past_all_sense() {
    let steel = warm(STEEL, "20");
    assert_eq!(at_twenty(exact("1.0"), steel, warm("23.1", "-99999"), 4), None);
    assert_eq!(at_twenty(exact("1.0"), warm("23.1", "-99999"), steel, 4), None);
}
