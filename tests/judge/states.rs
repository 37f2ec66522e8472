//! States and flags, one rule a test; the rules are those of the contract.

use super::bench::*;
use super::fits::{at_limit, figure, part};
use benchleaf::judge::{Flag, PartState, State};
use benchleaf::model::limits::{Grade, Kind, Reduction};
use benchleaf::model::side::Side;

fn new() -> PartState {
    PartState::New
}

fn reused() -> PartState {
    PartState::Reused
}

fn reworked() -> PartState {
    PartState::Reworked { grade: None }
}

#[test]
fn blank_never_passes() {
    let bench = Bench::new();
    for (shaft, bore) in [("", ""), ("1.3730 1.3731", ""), ("", "1.3752 1.3753")] {
        assert_eq!(bench.judge(&camshaft(), shaft, bore).state, State::Open, "{shaft}/{bore}");
    }
    let verdict = bench.judge(&camshaft(), "1.3730 1.3731", "1.3752 -");
    assert_eq!(verdict.state, State::Open);
    assert!(verdict.notes.iter().any(|note| note == "bore blank: B"), "{:?}", verdict.notes);
}

#[test]
fn a_worn_shaft_and_a_blank_bore_is_out() {
    let verdict = Bench::new().judge(&camshaft(), "1.3714 1.3716", "");
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
    assert_eq!(part(&verdict, "fit"), &State::Open);
    // On the wear limit it is carried forward.
    let verdict = Bench::new().judge(&camshaft(), "1.3715 1.3716", "");
    assert_eq!(verdict.state, State::Open);
    assert_eq!(part(&verdict, "shaft"), &State::Service);
    assert!(at_limit(&verdict, "shaft"));
}

/// Beyond the clipped last row: 0.8710 for a tappet, no wear limit.
#[test]
fn beyond_the_last_row_while_the_mate_is_blank() {
    let bench = Bench::new();
    let verdict = bench.judge(&tappet(), "0.8709 0.8712", "");
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
    assert_eq!(bench.judge(&tappet(), "0.8710 0.8712", "").state, State::Open);
    assert_eq!(
        bench.judge(&pump(), "", "0.5031 0.5020").state.to_string(),
        "out, bore large by 0.0001"
    );
    // Measured both, the fit decides: a small bore saves the small shaft.
    let verdict = bench.judge(&tappet(), "0.8709 0.8709", "0.8745 0.8745");
    assert_eq!(verdict.state, State::Service);
    assert_eq!(figure(&verdict, "loosest"), "0.0036 L");
}

#[test]
fn half_a_side_can_be_out_and_never_in() {
    let verdict = Bench::new().judge(&camshaft(), "1.3716 -", "1.3768 -");
    assert_eq!(verdict.state.to_string(), "out, loose by 0.0002");
    let verdict = Bench::new().judge(&camshaft(), "1.3730 -", "1.3752 1.3753");
    assert_eq!(verdict.state, State::Open);
}

/// Neither has a wear limit: judged by the fit, never better than service.
#[test]
fn outside_new_without_a_wear_limit() {
    let verdict = Bench::new().judge(&pump(), "0.4983 0.4984", "0.5001 0.5002");
    assert_eq!(figure(&verdict, "loosest"), "0.0019 L");
    assert_eq!(part(&verdict, "fit"), &State::New);
    assert_eq!(verdict.state, State::Service);
    let verdict = Bench::new().judge(&pump(), "0.4984 0.4984", "0.5012 0.5012");
    assert_eq!(verdict.state, State::Service);
}

#[test]
fn a_new_part_meets_its_own_new_limits() {
    let bench = Bench::new().states(reused(), new());
    let verdict = bench.judge(&camshaft(), "1.3718 1.3716", "1.3763 1.3764");
    assert_eq!(figure(&verdict, "loosest"), "0.0048 L");
    assert_eq!(part(&verdict, "fit"), &State::Service);
    assert_eq!(verdict.state.to_string(), "out, bore large by 0.0004");
    // The same bore reused passes.
    let bench = Bench::new();
    assert_eq!(bench.judge(&camshaft(), "1.3718 1.3716", "1.3763 1.3764").state, State::Service);
}

#[test]
fn two_new_parts_meet_the_new_fit() {
    let picked =
        fit_line("1.3725 1.3735 1.3715", "1.3745 1.3760 1.3770", "0.0012L 0.0030L - 0.0050L");
    let both = Bench::new().states(new(), new());
    let verdict = both.judge(&picked, "1.3725 1.3726", "1.3758 1.3758");
    assert_eq!(verdict.state.to_string(), "out, loose by 0.0003");
    for bench in [Bench::new().states(new(), reused()), Bench::new().states(reused(), new())] {
        let verdict = bench.judge(&picked, "1.3725 1.3726", "1.3758 1.3758");
        assert_eq!(verdict.state, State::Service);
    }
}

#[test]
fn new_scope() {
    let bench = Bench::new().under_new();
    let verdict = bench.judge(&camshaft(), "1.3724 1.3725", "1.3750 1.3750");
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
    assert!(verdict.flags.contains(&Flag::InsideService));
    // Worn out in any scope: no note.
    let verdict = bench.judge(&camshaft(), "1.3714 1.3725", "1.3750 1.3750");
    assert!(!verdict.flags.contains(&Flag::InsideService));
    // On the new limit.
    let verdict = bench.judge(&camshaft(), "1.3725 1.3725", "1.3760 1.3760");
    assert_eq!(verdict.state, State::New);
    assert!(at_limit(&verdict, "loosest") && at_limit(&verdict, "shaft"));
}

/// A journal too large, a bore too small: wear cannot have led there.
#[test]
fn not_wear() {
    let flagged = |verdict: &benchleaf::judge::Verdict, part: Side| {
        verdict.flags.contains(&Flag::NotWear(part))
    };
    let service = Bench::new();
    let verdict = service.judge(&camshaft(), "1.3737 1.3736", "1.3755 1.3755");
    assert!(flagged(&verdict, Side::Shaft) && !flagged(&verdict, Side::Bore));
    // Inside the new fit, and still not better than service.
    assert_eq!(part(&verdict, "fit"), &State::New);
    assert_eq!(verdict.state, State::Service);
    let verdict = service.judge(&camshaft(), "1.3730 1.3730", "1.3744 1.3744");
    assert!(flagged(&verdict, Side::Bore));
    assert_eq!(verdict.state, State::Service);
    let verdict = Bench::new().under_new().judge(&camshaft(), "1.3737 1.3736", "1.3755 1.3755");
    assert!(flagged(&verdict, Side::Shaft));
    assert_eq!(verdict.state.to_string(), "out, shaft large by 0.0002");
    for state in [new(), reworked(), graded("0.006 undersize")] {
        let bench = Bench::new().states(state, reused());
        let verdict = bench.judge(&with_grade(), "1.3737 1.3736", "1.3755 1.3755");
        assert!(flagged(&verdict, Side::Shaft));
        assert!(matches!(part(&verdict, "shaft"), State::Out(_)), "{verdict:?}");
    }
}

/// The camshaft with a grade whose shaft is 0.006 smaller.
fn with_grade() -> benchleaf::model::limits::Line {
    let mut line = camshaft();
    if let Kind::Fit(fit) = &mut line.kind {
        fit.grades.push(Grade {
            name: word("0.006 undersize"),
            shaft: Some(super::bench::part(SHAFT, "1.3665 1.3675 1.3655")),
            bore: Some(super::bench::part(BORE, "1.3685 1.3700 1.3710")),
            shaft_called: None,
            bore_called: None,
        });
    }
    line
}

#[test]
fn a_grade_has_its_own_limits() {
    let bench = Bench::new().states(graded("0.006 undersize"), new());
    let verdict = bench.judge(&with_grade(), "1.3670 1.3671", "1.3690 1.3691");
    assert_eq!(verdict.state, State::New);
    // Reworked to a grade meets new: wear does not count.
    let verdict = bench.judge(&with_grade(), "1.3664 1.3671", "1.3690 1.3691");
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
    let bench = Bench::new().states(graded("0.010 undersize"), new());
    let verdict = bench.judge(&with_grade(), "1.3670 1.3671", "1.3690 1.3691");
    assert_eq!(verdict.state, State::Hold);
    assert!(verdict.notes.iter().any(|note| note.contains("no grade `0.010 undersize`")));
}

#[test]
fn worst_first() {
    let ranked = [
        State::New,
        State::Service,
        State::Open,
        State::Out(Vec::new()),
        State::Hold,
        State::Query,
    ];
    for (n, better) in ranked.iter().enumerate() {
        for worse in &ranked[n..] {
            assert_eq!(&better.clone().worse(worse.clone()), worse);
            assert_eq!(&worse.clone().worse(better.clone()), worse);
        }
        assert_eq!(&State::Recorded.worse(better.clone()), better);
        assert_eq!(&State::NotApplicable.worse(better.clone()), better);
    }
}

#[test]
fn an_oval_skirt_is_judged_across_the_pin_at_one_height() {
    let mut line =
        fit_line("4.3610 4.3620 4.3590", "4.3740 4.3755 4.3790", "0.0120L 0.0145L - 0.0180L");
    if let Kind::Fit(fit) = &mut line.kind {
        fit.shaft.feature = SKIRT;
    }
    let verdict = Bench::new().judge(&line, "4.3590 4.3600 4.3602 4.3612", "4.3745 4.3746");
    assert_eq!(figure(&verdict, "loosest"), "0.0134 L");
    assert_eq!(verdict.state, State::New);
    // A blank box that does not govern is still blank.
    let verdict = Bench::new().judge(&line, "- 4.3600 4.3602 4.3612", "4.3745 4.3746");
    assert_eq!(verdict.state, State::Open);
    let groups = benchleaf::judge::check(&line).groups(&Bench::new().setting());
    assert_eq!(groups[0].governs, [false, false, false, true]);
    assert_eq!(groups[0].labels, ["top A", "top B", "skirt A", "skirt B"]);
    assert_eq!(groups[0].hint, "A along the pin, B across, skirt B alone governs");
}

/// 1.3770, 1.3770, 1.3771 against 1.3770 is out: sums, not rounded averages.
#[test]
fn averages_compare_sums() {
    let mut line = fit_line("1.3700 1.3700 -", "1.3760 1.3770 -", "- 0.0070L - -");
    if let Kind::Fit(fit) = &mut line.kind {
        fit.reduction = Reduction::Average;
    }
    let mut bench = Bench::new().states(reused(), new());
    bench.engine.features[BORE.0].directions.push(word(""));
    let verdict = bench.judge(&line, "1.3700 1.3700", "1.3770 1.3770 1.3771");
    assert!(matches!(part(&verdict, "fit"), State::Out(_)), "{verdict:?}");
    assert!(matches!(part(&verdict, "bore"), State::Out(_)));
    let verdict = bench.judge(&line, "1.3700 1.3700", "1.3770 1.3769 1.3771");
    assert_eq!(part(&verdict, "bore"), &State::New);
    assert!(at_limit(&verdict, "bore"));
    // A part of the readings proves nothing about an average.
    let verdict = bench.judge(&line, "1.3700 1.3700", "1.3790 1.3790 -");
    assert_eq!(verdict.state, State::Open);
}

#[test]
fn a_fit_end_without_a_limit_is_not_judged() {
    let line = fit_line("1.3725 1.3735 -", "1.3745 1.3760 -", "- 0.0035L - 0.0050L");
    let verdict = Bench::new().judge(&line, "1.3735 1.3735", "1.3745 1.3745");
    assert_eq!(verdict.state, State::New);
    assert_eq!(figure(&verdict, "tightest"), "0.0010 L");
    // No maximum: nothing but its own new limit can judge a worn part.
    let line = fit_line("1.3725 1.3735 -", "1.3745 1.3760 -", "0.0010L - - -");
    let verdict = Bench::new().judge(&line, "1.3724 1.3724", "1.3745 1.3745");
    assert_eq!(verdict.state.to_string(), "out, shaft small by 0.0001");
}

/// What somebody agreed to is printed wherever the line is used.
#[test]
fn agreed_is_printed() {
    let mut line = camshaft();
    line.agreed = Some(word("maker's letter of 2 May"));
    let verdict = Bench::new().judge(&line, "1.3731 1.3730", "1.3752 1.3753");
    assert!(verdict.notes.contains(&"agreed: maker's letter of 2 May".to_owned()));
}
