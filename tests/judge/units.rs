//! Readings and limits in two units, and two lines on one feature. One inch is
//! 25.4 mm (international yard and pound agreement, 1959); the rest are the
//! contract's rules.

use super::bench::*;
use benchleaf::judge::mate::Guard;
use benchleaf::judge::{AlsoRead, Flag, Measure, SideReadings, State, Verdict, check};
use benchleaf::model::job::Rule;
use benchleaf::model::limits::{FeelerLine, Kind, Line, RoundnessLine, TaperLine};
use benchleaf::model::side::Side;
use benchleaf::quantity::{Exact, Length, Readings, Unit};

fn inch() -> Unit {
    Unit::Length(Length::Inch)
}

fn mm() -> Unit {
    Unit::Length(Length::Millimetre)
}

fn roundness(limits: &str, unit: Unit, places: u8) -> Line {
    let limits = four_in(&unit.to_string(), limits);
    let kind = Kind::Roundness(RoundnessLine { feature: SHAFT, limits });
    Line { unit, places, ..line(kind) }
}

fn taper(signed: bool, limits: &str) -> Line {
    line(Kind::Taper(TaperLine { feature: BARREL, from: 1, to: 0, signed, limits: four(limits) }))
}

fn readings(unit: Unit, text: &str) -> Readings {
    Readings::new(unit, text.split(' ').map(|figure| Exact::read(figure).ok()).collect())
}

fn read(line: &Line, sets: &[(Unit, &str)]) -> Verdict {
    let mut sets = sets.iter().map(|(unit, text)| readings(unit.clone(), text));
    let own = sets.next().unwrap();
    let also = sets
        .map(|readings| AlsoRead { row: "S1".to_owned(), readings, uncertainty: Vec::new() })
        .collect();
    let side =
        SideReadings { key: Side::Only.into(), readings: own, also, ..SideReadings::default() };
    check(line).judge(&[side], &Bench::new().setting())
}

/// A journal 0.0023 in out of round, its limit 0.012 mm: 0.05842 mm.
#[test]
fn roundness_in_millimetres_of_boxes_in_inches() {
    let line = roundness("- 0.012 - 0.025", mm(), 3);
    let verdict = read(&line, &[(inch(), "2.2500 2.2477")]);
    assert_eq!(verdict.state.to_string(), "out, over by 0.03342");
    assert_eq!(verdict.figure(Measure::Roundness), Some(exact("0.05842")));
    let note = "read in in, limits in mm: held in mm, 1 in is 25.4 mm exactly";
    assert!(verdict.notes.iter().any(|said| said == note), "{:?}", verdict.notes);
    // 0.0004 in is 0.01016 mm, 0.0005 in 0.0127.
    assert_eq!(read(&line, &[(inch(), "2.2500 2.2496")]).state, State::New);
    assert_eq!(read(&line, &[(inch(), "2.2500 2.2495")]).state, State::Service);
}

/// The other way the limits are multiplied: nothing is divided.
#[test]
fn roundness_in_inches_of_boxes_in_millimetres() {
    let line = roundness("- 0.0005 - 0.0010", inch(), 4);
    // 0.0127 mm is the limit itself.
    let verdict = read(&line, &[(mm(), "57.1500 57.1373")]);
    assert_eq!(verdict.state, State::New, "{verdict:?}");
    assert!(verdict.flags.contains(&Flag::AtLimit(Measure::Roundness)), "{verdict:?}");
    // To the service limit, in millimetres: 0.0254 less 0.0127.
    assert_eq!(verdict.margin, Some(exact("0.0127")));
    assert_eq!(read(&line, &[(mm(), "57.1500 57.1372")]).state, State::Service);
    let verdict = read(&line, &[(mm(), "57.1500 57.1240")]);
    assert_eq!(verdict.state.to_string(), "out, over by 0.0006");
    let note = "read in mm, limits in in: held in mm, 1 in is 25.4 mm exactly";
    assert!(verdict.notes.iter().any(|said| said == note), "{:?}", verdict.notes);
}

/// The gauge's uncertainty is turned with the readings: 0.0001 in twice is
/// 0.00359 mm, and a margin of 0.003 mm is close.
#[test]
fn the_uncertainty_is_turned_too() {
    let line = roundness("- 0.01316 - -", mm(), 5);
    let side = SideReadings {
        key: Side::Only.into(),
        readings: readings(inch(), "2.2500 2.2496"),
        uncertainty: vec![by_gauges(Side::Only, &[exact("0.0001")]); 2],
        ..SideReadings::default()
    };
    let read = vec![side];
    let verdict = check(&line).judge(&read, &Bench::new().guarded().setting());
    assert_eq!(verdict.state, State::Hold, "{verdict:?}");
}

/// What has nothing in common with its limits is a blank, which never passes.
#[test]
fn another_kind_of_unit_never_passes() {
    let line = size_line("1.3725 1.3735 - -");
    assert_eq!(read(&line, &[(Unit::read("lbf"), "1.3730 1.3730")]).state, State::Open);
}

/// The smallest reading is another row's, in inches: 1.3730 is 34.8742 mm. Its
/// 0.0001 in is 0.00254 mm, rounded up 0.0026.
#[test]
fn a_second_stage_keeps_what_a_gauge_in_inches_may_err() {
    let line = measured_in("mm", fit_line("34.8615 34.8869 -", "34.9123 34.9504 -", "- - - -"));
    let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
    let behind = |u: &str| vec![by_gauges(Side::Shaft, &[exact(u)]); 2];
    let also = AlsoRead {
        row: "S1".to_owned(),
        readings: readings(inch(), "1.3730 1.3730"),
        uncertainty: behind("0.0001"),
    };
    let side = SideReadings {
        key: Side::Shaft.into(),
        readings: readings(mm(), "34.8800 34.8800"),
        also: vec![also],
        uncertainty: behind("0.0010"),
        ..SideReadings::default()
    };
    let bench = Bench { rule: Rule::Guarded, ..Bench::new() };
    let guard = Guard::of((Side::Shaft, &side), &[], (&line, fit), &bench.setting());
    assert_eq!((guard.loose, guard.tight), (exact("0.0026"), exact("0.0010")));
}

/// Left out, a limit that the row's unit cannot state would pass anything.
#[test]
fn a_limit_of_another_kind_of_unit_holds_the_row() {
    let lines = [
        size_line("1.3725 1.3735 - -"),
        reading_line("1.3725 1.3735 - -"),
        roundness("- 0.0005 - -", inch(), 4),
    ];
    for line in lines {
        assert_eq!(read(&line, &[(inch(), "1.3730 1.3730")]).state, State::New);
        let line = Line { unit: inch(), ..measured_in("lbf", line) };
        assert_eq!(read(&line, &[(inch(), "1.3730 1.3730")]).state, State::Hold, "{line:?}");
    }
    let judge = |line: &Line| Bench::new().judge(line, "1.3730 1.3730", "1.3750 1.3750").state;
    assert_eq!(judge(&camshaft()), State::New);
    let pounds = measured_in("lbf", camshaft());
    let (Kind::Fit(pounds), mut line) = (pounds.kind, camshaft()) else { panic!("a fit") };
    let Kind::Fit(fit) = &mut line.kind else { panic!("a fit") };
    fit.bore = pounds.bore;
    assert_eq!(judge(&line), State::Hold, "the bore's limits alone");
}

#[test]
fn a_taper_is_out_either_way_unless_it_is_signed() {
    let verdict = |signed, readings: &str| {
        read(&taper(signed, "- 0.0003 - -"), &[(inch(), readings)]).state.to_string()
    };
    // Top, then skirt: 0.0010 the other way.
    assert_eq!(verdict(false, "4.3750 4.3750 4.3740 4.3750"), "out, over by 0.0007");
    assert_eq!(verdict(false, "4.3740 4.3750 4.3750 4.3750"), "out, over by 0.0007");
    assert_eq!(verdict(false, "4.3750 4.3750 4.3747 4.3753"), "within new limits");
    assert_eq!(verdict(true, "4.3750 4.3750 4.3740 4.3750"), "within new limits");
    assert_eq!(verdict(true, "4.3740 4.3750 4.3750 4.3750"), "out, over by 0.0007");
    let words =
        |signed| check(&taper(signed, "- 0.0003 - -")).limits(&Bench::new().setting()).words;
    assert!(words(false).starts_with("skirt to top, either way: "), "{}", words(false));
    assert!(words(true).starts_with("skirt less top: "), "{}", words(true));
}

#[test]
fn two_lines_on_one_feature_see_all_its_readings() {
    let line = size_line("1.3725 1.3735 1.3715 -");
    let good = (inch(), "1.3730 1.3729");
    assert_eq!(read(&line, std::slice::from_ref(&good)).state, State::New);
    let verdict = read(&line, &[good.clone(), (inch(), "1.3714 1.3729")]);
    assert_eq!(verdict.state.to_string(), "out, small by 0.0001");
    let note = "read also read in row S1: 1.3714, 1.3729 in";
    assert!(verdict.notes.iter().any(|said| said == note), "{:?}", verdict.notes);
    // In the other unit: 34.8356 mm is 1.37148 in.
    let verdict = read(&line, &[good.clone(), (mm(), "34.8356 34.8720")]);
    assert!(matches!(verdict.state, State::Out(_)), "{verdict:?}");
    // Its own boxes decide what is blank.
    assert_eq!(read(&line, &[(inch(), "1.3730 -"), good.clone()]).state, State::Open);
    assert_eq!(read(&line, &[good.clone(), (inch(), "1.3730 -")]).state, State::New);
    // Roundness across the directions of both; one direction twice is none:
    // A 1.3730 and 1.3735, B 1.3729 and 1.3733, the furthest 1.3735 from 1.3729.
    let round = |limit: &str| roundness(limit, inch(), 4);
    let sets = [good, (inch(), "1.3735 1.3733")];
    assert_eq!(read(&round("- 0.0006 - -"), &sets).state, State::New);
    assert_eq!(read(&round("- 0.0005 - -"), &sets).state.to_string(), "out, over by 0.0001");
    let sets = [(inch(), "1.3730 1.3733"), (inch(), "1.3736 1.3733")];
    assert_eq!(read(&round("- 0.0003 - -"), &sets).state, State::New);
}

#[test]
fn a_feeler_line_in_another_unit_than_the_leaves_is_refused() {
    let mut bench = Bench::new();
    let feeler = FeelerLine {
        at: None,
        part: None,
        teeth: 1,
        each: word("tooth"),
        limits: four_in("mm", "0.05 0.10 - -"),
    };
    let line = Line { unit: mm(), agreed: Some(word("a letter")), ..line(Kind::Feeler(feeler)) };
    bench.limits.lines = vec![line];
    let faults = benchleaf::judge::proof(&bench.limits, &bench.engine);
    assert_eq!(faults.faults(), 1, "agreed, and still refused");
}

#[test]
fn roundness_in_pounds_is_refused() {
    let mut bench = Bench::new();
    let line = roundness("- 12 - -", Unit::read("lbf"), 0);
    bench.limits.lines = vec![camshaft(), line];
    assert_eq!(benchleaf::judge::proof(&bench.limits, &bench.engine).faults(), 1);
    bench.limits.lines = vec![camshaft(), roundness("- 0.012 - -", mm(), 3)];
    assert_eq!(benchleaf::judge::proof(&bench.limits, &bench.engine).faults(), 0);
}
