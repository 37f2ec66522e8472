//! Allowable ranges before anything is measured: every row of the table of
//! check values, and the scales drawn from them.

use super::bench::*;
use benchleaf::judge::{Look, PartState, Range, Scale, check};
use benchleaf::model::id::PartId;
use benchleaf::model::limits::{Kind, Line};
use benchleaf::model::side::{Group, Side};

/// Threshold before and after clipping; `-` where it cannot be stated.
fn threshold(ranges: &[Range], key: &str, word: &str, floor: bool) -> String {
    let row =
        ranges.iter().find(|row| row.side.word() == key && row.word == word && row.floor == floor);
    let row = row.unwrap_or_else(|| panic!("no row {word} of {key}"));
    match (row.unclipped, row.at) {
        (Some(before), Some(after)) if before != after => format!("{before:.4}>{after:.4}"),
        (_, Some(after)) => format!("{after:.4}"),
        _ => "-".to_owned(),
    }
}

fn three(line: &Line, key: &str, floor: bool) -> [String; 3] {
    let bench = Bench::new();
    let ranges = check(line).limits(&bench.setting()).ranges;
    ["OK with any serviceable mate", "OK with a new mate only", "OK with a selected new mate only"]
        .map(|word| threshold(&ranges, key, word, floor))
}

#[test]
fn the_table_of_check_values() {
    let rows = [
        (
            camshaft(),
            ["1.3720", "1.3710>1.3715", "1.3695>1.3715"],
            ["1.3765", "1.3775>1.3770", "1.3785>1.3770"],
        ),
        (tappet(), ["0.8730", "0.8720", "0.8710"], ["-", "0.8772>0.8770", "0.8780>0.8770"]),
        (pump(), ["-", "0.4970", "0.4960"], ["-", "0.5025", "0.5030"]),
        (housing(), ["-", "1.0001", "0.9993"], ["-", "1.0002", "1.0007"]),
    ];
    for (line, floors, ceilings) in rows {
        assert_eq!(three(&line, "shaft", true), floors);
        assert_eq!(three(&line, "bore", false), ceilings);
    }
}

#[test]
fn the_other_side() {
    let bench = Bench::new();
    let ranges = check(&camshaft()).limits(&bench.setting()).ranges;
    let at = |key, word, floor| threshold(&ranges, key, word, floor);
    // Shaft ceiling b1 - c1 with any new bore, b2 - c1 at best; bore floor
    // s2 + c1 with any new shaft, s1 + c1 at best.
    assert_eq!(at("shaft", "other side: with any new mate", false), "1.3735");
    assert_eq!(at("shaft", "other side: with the best new mate", false), "1.3750");
    assert_eq!(at("bore", "other side: with any new mate", true), "1.3745");
    assert_eq!(at("bore", "other side: with the best new mate", true), "1.3735");
}

#[test]
fn new_scope_keeps_new_limits() {
    let bench = Bench::new().under_new();
    let ranges = check(&camshaft()).limits(&bench.setting()).ranges;
    assert_eq!(threshold(&ranges, "shaft", "OK with a new mate only", true), "1.3725");
    assert_eq!(threshold(&ranges, "bore", "OK with a new mate only", false), "1.3760");
    assert!(ranges.iter().all(|row| row.word != "wear limit"));
}

fn scale(line: &Line, over: &str, bench: &Bench) -> Scale {
    let scales = check(line).limits(&bench.setting()).scales;
    scales.into_iter().find(|scale| scale.over.map_or("answer", Group::word) == over).expect(over)
}

/// `out 1.3715 depends 1.3720 ...`.
pub fn drawn(scale: &Scale) -> String {
    let mut words = String::new();
    for band in &scale.bands {
        words.push_str(&format!("[{}]", band.word));
        if let Some(to) = band.to {
            words.push_str(&format!(" {to:.4} "));
        }
    }
    let joined = scale.bands.windows(2).all(|pair| pair[0].to == pair[1].from);
    assert!(joined && scale.bands.first().is_some_and(|band| band.from.is_none()));
    words
}

#[test]
fn scales_as_on_the_sheet() {
    let bench = Bench::new();
    let shaft = scale(&camshaft(), "shaft", &bench);
    // Down to its wear limit the shaft is good with any new bore.
    assert_eq!(
        drawn(&shaft),
        "[out] 1.3715 [new mate only] 1.3720 [any mate] 1.3725 [new] 1.3735 [beyond new size]"
    );
    assert_eq!(shaft.bands[0].look, Look::Hatched);
    assert_eq!(shaft.bands[3].look, Look::Heavy);
    assert_eq!(shaft.bands[4].look, Look::Dotted);
    assert_eq!(
        drawn(&scale(&camshaft(), "bore", &bench)),
        "[beyond new size] 1.3745 [new] 1.3760 [any mate] 1.3765 [new mate only] 1.3770 [out]"
    );
    let fit = scale(&camshaft(), "answer", &bench);
    assert!(fit.fits);
    assert_eq!(drawn(&fit), "[out] 0.0010 [new] 0.0035 [service] 0.0050 [out]");
}

#[test]
fn without_a_wear_limit_of_the_mate() {
    let bench = Bench::new();
    let shaft = scale(&pump(), "shaft", &bench);
    assert_eq!(
        drawn(&shaft),
        "[out] 0.4960 [selected mate only] 0.4970 [new mate only] 0.4985 [new] 0.4990 [beyond new size]"
    );
    let note = shaft.note.expect("a note");
    assert!(note.contains("cannot be stated") && note.contains("bore"), "{note}");
    let bore = scale(&tappet(), "bore", &bench);
    assert!(bore.note.is_some_and(|note| note.contains("cannot be stated")));
    assert!(scale(&tappet(), "shaft", &bench).note.is_none());
}

/// A new main bore goes to 2.2520, any serviceable mate only to 2.2515.
#[test]
fn bands_are_drawn_by_value() {
    let bore = scale(&main_bearing(), "bore", &Bench::new());
    assert_eq!(
        drawn(&bore),
        "[beyond new size] 2.2505 [new] 2.2515 [new; new mate only] 2.2520 [new mate only] 2.2535 \
         [selected mate only] 2.2545 [out]"
    );
}

#[test]
fn new_scope_has_no_service_bands() {
    let bench = Bench::new().under_new();
    assert_eq!(
        drawn(&scale(&camshaft(), "shaft", &bench)),
        "[out] 1.3725 [new] 1.3735 [beyond new size]"
    );
    assert_eq!(drawn(&scale(&camshaft(), "answer", &bench)), "[out] 0.0010 [new] 0.0035 [out]");
    // Selective assembly: a new shaft near its floor depends on its mate.
    let picked = fit_line("1.3725 1.3735 -", "1.3745 1.3760 -", "0.0012L 0.0030L - 0.0050L");
    assert_eq!(
        drawn(&scale(&picked, "shaft", &bench)),
        "[out] 1.3725 [new; selected mate only] 1.3730 [new] 1.3735 [beyond new size]"
    );
}

/// Every threshold of a drawn scale is where the verdict changes: a sweep of
/// one part with the worst, the worst new and the best new mate.
#[test]
fn scales_and_verdicts_agree() {
    let bench = Bench::new();
    for (n, low, high) in [(0i64, 13690i64, 13740i64), (1, 13735, 13790)] {
        let (key, line) = (["shaft", "bore"][n as usize], camshaft());
        let scale = scale(&line, key, &bench);
        for size in low..=high {
            let size = benchleaf::quantity::Exact::steps(size, 4);
            let holds = |band: &&benchleaf::judge::Band| {
                band.from.is_none_or(|from| size >= from) && band.to.is_none_or(|to| size <= to)
            };
            let words: Vec<&str> =
                scale.bands.iter().filter(holds).map(|band| band.word.as_str()).collect();
            let with = |mate: &str| {
                let one = format!("{size} {size}");
                let two = format!("{mate} {mate}");
                match n {
                    0 => bench.judge(&line, &one, &two).state.passes(),
                    _ => bench.judge(&line, &two, &one).state.passes(),
                }
            };
            let (worn, new_worst, new_best) = match n {
                0 => ("1.3770", "1.3760", "1.3745"),
                _ => ("1.3715", "1.3725", "1.3735"),
            };
            if words.contains(&"new") {
                assert!(with(worn) && with(new_worst) && with(new_best), "{key} {size}");
            } else if words.contains(&"any mate") {
                assert!(with(worn) && with(new_worst), "{key} {size}");
            } else if words == ["new mate only"] {
                assert!(!with(worn) && with(new_worst) && with(new_best), "{key} {size}");
            } else if words == ["selected mate only"] {
                assert!(!with(worn) && with(new_best), "{key} {size}");
            } else if words == ["out"] {
                assert!(!with(worn) && !with(new_worst) && !with(new_best), "{key} {size}");
            }
        }
    }
}

/// An engine whose bore sits in a part that is always renewed, such as a shell.
fn shells() -> Bench {
    let mut bench = Bench::new();
    let mut shell = bench.engine.parts[0].clone();
    shell.always_renewed = true;
    bench.engine.parts.push(shell);
    bench.engine.features[1].part = PartId(1);
    bench
}

/// By hand: the bore's new limits 2.2505 to 2.2520 bound it on both sides; the
/// shaft of 2.2480 to 2.2490, greatest fit 0.0055, then meets 2.2520 at most,
/// so any mate it can have is good from 2.2520 - 0.0055 = 2.2465.
#[test]
fn an_always_renewed_part_has_no_service_bands() {
    let bench = shells();
    let bore = scale(&main_bearing(), "bore", &bench);
    assert_eq!(
        drawn(&bore),
        "[beyond new size] 2.2505 [new] 2.2515 [new; new mate only] 2.2520 [out]"
    );
    let shaft = scale(&main_bearing(), "shaft", &bench);
    assert_eq!(
        drawn(&shaft),
        "[out] 2.2460 [selected mate only] 2.2465 [any mate] 2.2480 [new] 2.2490 [beyond new size]"
    );
    let ranges = check(&main_bearing()).limits(&bench.setting()).ranges;
    let beyond = |row: &&Range| {
        let beyond = |at| if row.floor { at < exact("2.2505") } else { at > exact("2.2520") };
        row.side == Side::Bore && row.at.is_some_and(beyond)
    };
    assert_eq!(ranges.iter().find(beyond), None);
    assert!(ranges.iter().all(|row| row.side != Side::Bore || row.word != "wear limit"));
    // The verdict that the sheet foretells, and why.
    let bench = bench.states(PartState::Reused, PartState::New);
    for (size, passes) in [("2.2520", true), ("2.2521", false), ("2.2534", false)] {
        let verdict = bench.judge(&main_bearing(), "2.2485 2.2485", &format!("{size} {size}"));
        assert_eq!(verdict.state.passes(), passes, "{size}");
        let why = "bore: the part is renewed: new limits";
        assert_eq!(verdict.notes.iter().any(|note| note == why), !passes, "{size}");
    }
    // A used mate is not looked for where it is always renewed.
    let loose = bench.judge(&main_bearing(), "2.2462 2.2462", "2.2519 2.2519");
    assert!(loose.remedies.iter().all(|line| !line.contains("largest bore")), "{loose:?}");
    assert!(loose.remedies.iter().any(|line| line.contains("new bore")), "{loose:?}");
}

/// A part of which the document says only `replace` is drawn as one that is
/// always renewed is: out as soon as it leaves its new limits, whatever its mate.
#[test]
fn a_replaced_part_has_no_service_bands() {
    let drawn_of = |replace: bool| {
        let mut line = main_bearing();
        let Kind::Fit(fit) = &mut line.kind else { unreachable!() };
        fit.bore.replace = replace;
        ["shaft", "bore"].map(|key| drawn(&scale(&line, key, &Bench::new())))
    };
    let renewed = ["shaft", "bore"].map(|key| drawn(&scale(&main_bearing(), key, &shells())));
    assert_eq!(drawn_of(true), renewed);
    assert_ne!(drawn_of(false), renewed);
    let spring = |replace: bool| {
        let mut line = reading_line("68 76 - -");
        let Kind::Reading(reading) = &mut line.kind else { unreachable!() };
        reading.limits.replace = replace;
        drawn(&scale(&line, "read", &Bench::new()))
    };
    assert_eq!(spring(true), "[out] 68.0000 [new] 76.0000 [out]");
}

#[test]
fn two_always_renewed_parts_meet_the_new_fit() {
    let mut bench = shells();
    bench.engine.features[0].part = PartId(1);
    let fit = scale(&main_bearing(), "answer", &bench);
    assert_eq!(drawn(&fit), "[out] 0.0015 [new] 0.0040 [out]");
    assert_eq!(
        drawn(&scale(&main_bearing(), "shaft", &bench)),
        "[out] 2.2480 [new] 2.2490 [beyond new size]"
    );
}
