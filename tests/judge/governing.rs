//! Governing directions choose the fit; a wear limit is held against every
//! reading of the part. The limits are the demonstration's skirt in its barrel.

use super::bench::*;
use benchleaf::judge::{Flag, Measure, State, check};
use benchleaf::model::limits::{FitLine, Kind, Line, Reduction};
use benchleaf::model::side::Side;

/// Boxes: top along, top across, skirt along, skirt across; the last governs.
fn skirt(reduction: Reduction) -> Line {
    line(Kind::Fit(FitLine {
        shaft: part(SKIRT, "4.3610 4.3620 4.3590"),
        bore: part(BORE, "4.3740 4.3755 4.3790"),
        fit: four("0.0120L 0.0145L - 0.0180L"),
        reduction,
        grades: Vec::new(),
    }))
}

const BARREL_READ: &str = "4.3745 4.3746";

#[test]
fn the_fit_sees_what_governs_and_the_wear_limit_sees_all() {
    let (line, bench) = (skirt(Reduction::Worst), Bench::new());
    // Ground oval: beyond new along the pin, and not worn.
    let verdict = bench.judge(&line, "4.3600 4.3605 4.3595 4.3616", BARREL_READ);
    assert_eq!(verdict.state, State::New, "{verdict:?}");
    assert_eq!(verdict.figure(Measure::Loosest), Some(exact("0.0130")));
    // At its wear limit along the pin, then beyond it.
    let verdict = bench.judge(&line, "4.3600 4.3605 4.3590 4.3616", BARREL_READ);
    assert_eq!(verdict.state, State::New, "{verdict:?}");
    assert!(verdict.flags.contains(&Flag::AtLimit(Measure::Part(Side::Shaft))), "{verdict:?}");
    let verdict = bench.judge(&line, "4.3600 4.3605 4.3589 4.3616", BARREL_READ);
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
    assert_eq!(verdict.figure(Measure::Loosest), Some(exact("0.0130")));
    let step = "smallest shaft anywhere 4.3589, limit 4.3590: out by 0.0001";
    assert!(verdict.steps.iter().any(|said| said == step), "{:?}", verdict.steps);
    // In either scope, and whatever the mate.
    let new = Bench::new().under_new();
    let verdict = new.judge(&line, "4.3600 4.3605 4.3589 4.3616", BARREL_READ);
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
    assert_eq!(new.judge(&line, "4.3600 4.3605 4.3590 4.3616", BARREL_READ).state, State::New);
    let alone = bench.judge(&line, "4.3600 4.3605 4.3589 4.3616", "");
    assert_eq!(alone.state.to_string(), "out, shaft small by 0.0001");
    assert_eq!(bench.judge(&line, "4.3600 4.3605 4.3590 4.3616", "").state, State::Open);
}

/// Where the box that governs and another read alike, the part is out once and
/// by one figure; where the gauge of the other is less sure, its figure is held
/// as well: 4.3592 is 0.0002 inside the wear limit 4.3590, more than the 0.0001
/// of the one and less than the 0.0005 of the other.
#[test]
fn a_wear_limit_is_held_once_against_readings_that_are_alike() {
    let line = skirt(Reduction::Worst);
    let verdict = Bench::new().judge(&line, "4.3600 4.3605 4.3589 4.3589", "4.3715 4.3716");
    let said = |words: &str| verdict.steps.iter().filter(|step| step.contains(words)).count();
    assert!(verdict.state.to_string().contains("shaft small by 0.0001"), "{}", verdict.state);
    let State::Out(beyond) = &verdict.state else { panic!("{verdict:?}") };
    let small = beyond.iter().filter(|beyond| beyond.side == "shaft small").count();
    assert_eq!((small, said("smallest shaft 4.3589"), said("anywhere")), (1, 1, 0), "{verdict:?}");
    // The least sure box reads as the one that governs does.
    let close = |other: &str| {
        let bench = Bench::new().gauges("0.0001", "0.0001");
        let sure = by_gauges(Side::Shaft, &[exact("0.0001")]);
        let unsure = by_gauges(Side::Shaft, &[exact("0.0005")]);
        let mut read = bench.read(&line, &format!("4.3600 4.3605 {other} 4.3592"), "4.3720 4.3720");
        read[0].uncertainty = vec![sure.clone(), sure.clone(), unsure, sure];
        let verdict = check(&line).judge(&read, &bench.setting());
        verdict.flags.contains(&Flag::Close)
    };
    assert!(close("4.3592"));
    // Alike and as sure, or larger: the one that governs decides alone.
    assert!(!close("4.3598"));
}

/// A blank that governs hides no wear elsewhere.
#[test]
fn the_box_that_governs_is_blank() {
    let (line, bench) = (skirt(Reduction::Worst), Bench::new());
    assert_eq!(bench.judge(&line, "4.3600 4.3605 4.3595 -", BARREL_READ).state, State::Open);
    let verdict = bench.judge(&line, "4.3589 - - -", "");
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
}

#[test]
fn a_bore_is_the_mirror_image() {
    let mut bench = Bench::new();
    bench.engine.features[BARREL.0].governing_plane = Some(1);
    let line = line(Kind::Fit(FitLine {
        shaft: part(SHAFT, "4.3610 4.3620 4.3590"),
        bore: part(BARREL, "4.3740 4.3755 4.3790"),
        fit: four("0.0120L 0.0145L - 0.0180L"),
        reduction: Reduction::Worst,
        grades: Vec::new(),
    }));
    let state = |bore: &str| bench.judge(&line, "4.3615 4.3616", bore).state.to_string();
    assert_eq!(state("4.3790 4.3746 4.3745 4.3746"), "within new limits");
    assert_eq!(state("4.3791 4.3746 4.3745 4.3746"), "out, bore large by 0.0001");
    // Small there is what the maker ground: only wear is looked for.
    assert_eq!(state("4.3700 4.3746 4.3745 4.3746"), "within new limits");
}

/// An average is of what governs for the fit, and of all for the metal left.
#[test]
fn averages_of_a_part_with_a_governing_box() {
    let (line, bench) = (skirt(Reduction::Average), Bench::new());
    let state = |shaft: &str| bench.judge(&line, shaft, BARREL_READ).state.to_string();
    assert_eq!(state("4.3585 4.3590 4.3585 4.3616"), "within new limits");
    // The sum is short of four times the limit by 0.0001: by a quarter of it.
    assert_eq!(state("4.3580 4.3582 4.3581 4.3616"), "out, shaft small by 0.000025");
}
