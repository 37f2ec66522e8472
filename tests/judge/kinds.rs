//! Sizes, roundness, taper, readings, spreads, counts, what is only recorded.

use super::bench::*;
use super::fits::at_limit;
use benchleaf::judge::{BoxKind, Flag, Measure, PartState, State, check};
use benchleaf::model::limits::*;

#[test]
fn a_size_ground_to_a_grade_is_held_to_the_limits_of_that_grade() {
    let mut line = size_line("1.0000 1.0010 0.9990 -");
    let Kind::Size(own) = &mut line.kind else { unreachable!() };
    own.grades =
        vec![SizeGrade { name: word("0.006 undersize"), limits: four("0.9940 0.9950 0.9930 -") }];
    let judged = |readings: &str, state: &PartState| {
        let bench = Bench::new().states(state.clone(), PartState::Reused);
        bench.judge_read(&line, readings).state.to_string()
    };
    assert_eq!(judged("0.9941 0.9942", &PartState::Reused), "out, small by 0.0049");
    assert_eq!(judged("0.9941 0.9942", &graded("0.006 undersize")), "within new limits");
    // Ground, it must meet the grade's new limits: 0.9935 is inside its service
    // limit alone.
    assert_eq!(judged("0.9935 0.9942", &graded("0.006 undersize")), "out, small by 0.0005");
    assert_eq!(judged("0.9941 0.9942", &graded("0.010 undersize")), "hold");
    // A new part likewise; a reused one serves.
    assert_eq!(judged("0.9995 1.0001", &PartState::New), "out, small by 0.0005");
    assert_eq!(judged("0.9995 1.0001", &PartState::Reused), "within service limits");
}

#[test]
fn sizes() {
    let bench = Bench::new();
    let judged = |limits: &str, readings: &str| {
        bench.judge_read(&size_line(limits), readings).state.to_string()
    };
    let limits = "1.0000 1.0010 0.9990 1.0015";
    assert_eq!(judged(limits, "1.0000 1.0010"), "within new limits");
    assert_eq!(judged(limits, "0.9990 1.0010"), "within service limits");
    assert_eq!(judged(limits, "0.9989 1.0010"), "out, small by 0.0001");
    assert_eq!(judged(limits, "0.9989 1.0018"), "out, small by 0.0001; large by 0.0003");
    assert_eq!(judged(limits, "1.0000 -"), "open");
    assert_eq!(judged(limits, "1.0016 -"), "out, large by 0.0001");
    // An absent service limit is the new limit of that side.
    assert_eq!(judged("1.0000 1.0010 - 1.0015", "0.9999 1.0000"), "out, small by 0.0001");
    // Absent is never zero: no limit on the low side.
    assert_eq!(judged("- 1.0010 - -", "0.1000 0.1000"), "within new limits");
    assert_eq!(judged("- - - -", "0.1000 0.1000"), "recorded");
}

#[test]
fn only_a_service_limit_is_never_better_than_service() {
    for bench in [Bench::new(), Bench::new().under_new()] {
        let judged = |readings: &str| bench.judge_read(&reading_line("- - - 0.0050"), readings);
        assert_eq!(judged("0.0001").state, State::Service);
        assert_eq!(judged("0.0050").state, State::Service);
        assert!(at_limit(&judged("0.0050"), "reading"));
        assert_eq!(judged("0.0051").state.to_string(), "out, over by 0.0001");
    }
}

#[test]
fn service_on_both_sides() {
    let line = reading_line("0.0010 0.0030 0.0005 0.0050");
    let bench = Bench::new();
    for (reading, state) in [
        ("0.0010", "within new limits"),
        ("0.0009", "within service limits"),
        ("0.0005", "within service limits"),
        ("0.0004", "out, under by 0.0001"),
        ("0.0031", "within service limits"),
        ("0.0051", "out, over by 0.0001"),
    ] {
        assert_eq!(bench.judge_read(&line, reading).state.to_string(), state, "{reading}");
    }
    let verdict = Bench::new().under_new().judge_read(&line, "0.0031");
    assert_eq!(verdict.state.to_string(), "out, over by 0.0001");
    assert!(verdict.flags.contains(&Flag::InsideService));
    let scales = check(&line).limits(&bench.setting()).scales;
    let words: Vec<&str> = scales[0].bands.iter().map(|band| band.word.as_str()).collect();
    assert_eq!(words, ["out", "service", "new", "service", "out"]);
}

#[test]
fn limits_in_words() {
    let bench = Bench::new();
    let words = |line: &Line| check(line).limits(&bench.setting()).words;
    assert_eq!(words(&camshaft()), "new 0.0010 L to 0.0035 L, service to 0.0050 L");
    assert_eq!(words(&housing()), "new 0.0020 T to 0.0007 T, service to 0.0003 T");
    assert_eq!(words(&reading_line("- 0.0020 - 0.0050")), "new 0.0020 max, service 0.0050 max");
    assert_eq!(words(&reading_line("- - - -")), "no limit: not judged");
    let mut spring = measured_in("lbf", reading_line("68 76 64 -"));
    spring.places = 0;
    assert_eq!(words(&spring), "new 68 to 76 lbf, service from 64 lbf");
}

#[test]
fn combs_are_wide_enough() {
    let bench = Bench::new();
    let shape = |line: &Line| check(line).groups(&bench.setting())[0].shape.clone();
    assert_eq!(shape(&camshaft()), BoxKind::Comb { whole: 1, places: 4, signed: false });
    assert_eq!(
        shape(&size_line("99.980 100.020 - -")),
        BoxKind::Comb { whole: 3, places: 4, signed: false }
    );
    assert_eq!(
        shape(&reading_line("-0.0010 0.0010 - -")),
        BoxKind::Comb { whole: 1, places: 4, signed: true }
    );
    let answers = check(&camshaft()).answers(&bench.setting());
    assert_eq!(
        (answers[0].label.as_str(), answers[0].whole, answers[0].side),
        ("tightest", 0, true)
    );
    let groups = check(&camshaft()).groups(&bench.setting());
    assert_eq!(groups[0].hint, "A in line with the gear dowel, B at right angles");
    assert_eq!(groups[1].hint, "");
}

#[test]
fn roundness_is_within_one_plane() {
    let line =
        line(Kind::Roundness(RoundnessLine { feature: BARREL, limits: four("- 0.0005 - 0.0010") }));
    let bench = Bench::new();
    // Planes 0.0010 apart: that is taper, not roundness.
    let verdict = bench.judge_read(&line, "4.3740 4.3742 4.3750 4.3753");
    assert_eq!(verdict.figure(Measure::Roundness), Some(exact("0.0003")));
    assert_eq!(verdict.state, State::New);
    assert!(verdict.notes.iter().any(|note| note.contains("lobing")));
    let verdict = bench.judge_read(&line, "4.3740 4.3745 4.3750 4.3753");
    assert!(verdict.state == State::New && at_limit(&verdict, "roundness"));
    assert_eq!(bench.judge_read(&line, "4.3740 4.3746 4.3750 4.3753").state, State::Service);
    let verdict = bench.judge_read(&line, "4.3740 4.3751 4.3750 -");
    assert_eq!(verdict.state.to_string(), "out, over by 0.0001");
    assert_eq!(bench.judge_read(&line, "4.3740 4.3742 4.3750 -").state, State::Open);
    let group = &check(&line).groups(&bench.setting())[0];
    assert!(!group.own && group.feature == Some(BARREL));
    // Two readings by one gauge: 0.0001 twice is 0.00014..., so 0.0004 is close.
    let verdict =
        Bench::new().gauges("0.0001", "").judge_read(&line, "4.3740 4.3749 4.3750 4.3753");
    assert!(verdict.flags.contains(&Flag::Close));
}

#[test]
fn taper_and_choke_have_opposite_signs() {
    let taper = |from, to, limits: &str| {
        line(Kind::Taper(TaperLine {
            feature: BARREL,
            from,
            to,
            signed: true,
            limits: four(limits),
        }))
    };
    let bench = Bench::new();
    // Skirt less top, greatest 0.0020 new and 0.0040 service.
    let verdict =
        bench.judge_read(&taper(1, 0, "- 0.0020 - 0.0040"), "4.3740 4.3741 4.3760 4.3762");
    assert_eq!(verdict.figure(Measure::MostTaper), Some(exact("0.0021")));
    assert_eq!(verdict.figure(Measure::LeastTaper), Some(exact("0.0020")));
    assert_eq!(verdict.state, State::Service);
    // The same barrel has no choke: top less skirt is negative.
    let choke = taper(1, 0, "0.0010 0.0050 - -");
    let verdict = bench.judge_read(&choke, "4.3760 4.3762 4.3740 4.3741");
    assert_eq!(verdict.figure(Measure::LeastTaper), Some(-exact("0.0021")));
    assert_eq!(verdict.state.to_string(), "out, under by 0.0031");
    assert_eq!(bench.judge_read(&choke, "4.3740 4.3740 4.3760 -").state, State::Open);
    assert!(check(&choke).limits(&bench.setting()).words.starts_with("skirt less top: "));
}

#[test]
fn averages_of_a_size() {
    // TM 9-2815-220-24, WP 0135 averages cylinder bores.
    let mut line = size_line("- 1.3770 - -");
    if let Kind::Size(size) = &mut line.kind {
        size.reduction = Reduction::Average;
        size.feature = BARREL;
    }
    let bench = Bench::new();
    let verdict = bench.judge_read(&line, "1.3770 1.3770 1.3770 1.3771");
    assert!(matches!(verdict.state, State::Out(_)), "{verdict:?}");
    let verdict = bench.judge_read(&line, "1.3769 1.3770 1.3770 1.3771");
    assert!(verdict.state == State::New && at_limit(&verdict, "average"));
    assert_eq!(bench.judge_read(&line, "1.3780 1.3780 1.3780 -").state, State::Open);
}

#[test]
fn spreads_of_a_set() {
    let kind = Kind::Spread(SpreadLine { at: 0, part: None, with: None, limits: four("- 7 - -") });
    let mut line = measured_in("g", line(kind));
    line.places = 0;
    let bench = Bench::new();
    let verdict = bench.judge_read(&line, "742 745 748 749");
    assert!(verdict.state == State::New && at_limit(&verdict, "spread"));
    assert_eq!(bench.judge_read(&line, "742 745 748 750").state.to_string(), "out, over by 1");
    assert_eq!(bench.judge_read(&line, "742 750 - -").state.to_string(), "out, over by 1");
    assert_eq!(bench.judge_read(&line, "742 745 748 -").state, State::Open);
    // A least limit waits for all: more readings can only widen a spread.
    let Kind::Spread(spread) = &mut line.kind else { panic!() };
    spread.limits = four_in("g", "2 7 - -");
    assert_eq!(bench.judge_read(&line, "742 743 - -").state, State::Open);
    assert_eq!(bench.judge_read(&line, "742 743 743 743").state.to_string(), "out, under by 1");
    assert_eq!(check(&line).groups(&bench.setting())[0].labels, ["1", "2", "3", "4"]);
}

#[test]
fn counts_are_exact() {
    let line = line(Kind::Count(CountLine { at: None, part: None, exact: 16 }));
    let bench = Bench::new();
    assert_eq!(bench.judge_read(&line, "16").state, State::New);
    assert_eq!(bench.judge_read(&line, "15").state.to_string(), "out, 15, not 16");
    assert_eq!(bench.judge_read(&line, "").state, State::Open);
    assert_eq!(bench.judge_read(&line, "0").state.to_string(), "out, 0, not 16");
}

#[test]
fn recorded_has_no_rank() {
    let line = line(Kind::Recorded(RecordedLine {
        at: None,
        part: None,
        labels: vec![word("a"), word("b")],
    }));
    let bench = Bench::new();
    assert_eq!(bench.judge_read(&line, "2.3000 2.3001").state, State::Recorded);
    assert_eq!(bench.judge_read(&line, "2.3000 -").state, State::Open);
    assert_eq!(bench.judge_read(&line, "").state, State::Open);
}

/// Full indicator movement, never halved: the demonstration's 0.0030.
#[test]
fn runout_is_the_whole_movement() {
    let line = reading_line("- 0.0020 - 0.0050");
    assert_eq!(Bench::new().judge_read(&line, "0.0030").state, State::Service);
    assert_eq!(Bench::new().judge_read(&line, "0.0051").state.to_string(), "out, over by 0.0001");
}
