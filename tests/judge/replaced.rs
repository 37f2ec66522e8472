//! `replace`: nothing but a new part serves, on a line of any kind that has
//! limits, of a grade and at a place.

use super::bench::*;
use benchleaf::judge::mate::{Guard, Known, SecondStage};
use benchleaf::judge::{Flag, PartState, check};
use benchleaf::model::job::Scope;
use benchleaf::model::limits::*;
use benchleaf::model::side::Side;

const UNDER: &str = "0.006 undersize";

fn states() -> [(PartState, bool); 6] {
    let grade = || UNDER.to_owned();
    [
        (PartState::Reused, false),
        (PartState::Reworked { grade: None }, false),
        (PartState::Reworked { grade: Some(grade()) }, false),
        (PartState::Arrived { grade: grade(), reworked: false }, false),
        (PartState::New, true),
        (PartState::NewTo { grade: grade() }, true),
    ]
}

/// Readings inside the new limits of the line, whatever it is.
#[test]
fn every_kind_of_line_with_limits_takes_new_parts_alone() {
    let replaced = |text: &str| Tolerance { replace: true, ..four(text) };
    let round = replaced("- 0.0004 - -");
    let taper = TaperLine { feature: BARREL, from: 0, to: 1, signed: false, limits: round.clone() };
    let mut size = size_line("1.3725 1.3735 - -");
    let Kind::Size(sized) = &mut size.kind else { unreachable!() };
    sized.limits.replace = true;
    let mut reading = reading_line("68 76 - -");
    let Kind::Reading(read) = &mut reading.kind else { unreachable!() };
    read.limits.replace = true;
    let spread = SpreadLine { at: 0, part: None, with: None, limits: round.clone() };
    let lines = [
        (size, "1.3730 1.3731"),
        (reading, "70"),
        (line(Kind::Roundness(RoundnessLine { feature: SHAFT, limits: round })), "1.0001 1.0002"),
        (line(Kind::Taper(taper)), "5.0001 5.0001 5.0002 5.0002"),
        (line(Kind::Spread(spread)), "1.0001 1.0002 1.0001 1.0001"),
    ];
    for (line, read) in &lines {
        for (state, serves) in states() {
            let bench = Bench::new().states(state, PartState::Reused);
            let told = bench.judge_read(line, read).state.to_string();
            let expected = if serves { "within new limits" } else { "out, part not new" };
            assert_eq!(told, expected, "{} {:?}", line.kind_word(), bench.states[0]);
        }
        let words = check(line).limits(&Bench::new().setting()).words;
        assert!(words.contains("service: replace"), "{words}");
    }
    // Leaves of all three kinds are of one part, and told once.
    let mut gears = super::feelers::gears(1, "0.0020 0.0040 - -");
    let Kind::Feeler(feeler) = &mut gears.kind else { unreachable!() };
    feeler.limits.replace = true;
    let bench = |state: PartState| {
        let bench = Bench::new().leaves("0.002 0.003 0.004").states(state, PartState::Reused);
        bench.judge_leaves(&gears, "v", "v", &[(1, "0.003", true)])
    };
    let used = bench(PartState::Reused);
    assert_eq!(used.state.to_string(), "out, part not new");
    assert_eq!(used.notes.iter().filter(|note| note.contains("replace")).count(), 1);
    assert_eq!(bench(PartState::New).state.to_string(), "within new limits");
}

/// 1.3750 - 1.3710 is 0.0040: inside the service fit, and no used shaft serves in
/// either scope.
#[test]
fn what_is_to_be_replaced_is_not_inside_service() {
    let mut line = fit_line("1.3725 1.3735 -", "1.3745 1.3760 -", "0.0010L 0.0035L - 0.0050L");
    let judged =
        |line: &Line| Bench::new().under_new().judge(line, "1.3710 1.3710", "1.3750 1.3750");
    let inside = |line: &Line| judged(line).flags.contains(&Flag::InsideService);
    assert!(inside(&line));
    let Kind::Fit(fit) = &mut line.kind else { unreachable!() };
    fit.shaft.replace = true;
    assert!(!inside(&line), "{:?}", judged(&line));
}

/// Journal 1.3725 to 1.3735, 0.006 less at its grade, with a bore that goes with
/// either.
fn ground(own: &str, graded: &str, replaced: [bool; 2]) -> Line {
    let mut line = fit_line(own, "1.3685 1.3760 1.3770", "0.0010L 0.0100L - -");
    let Kind::Fit(fit) = &mut line.kind else { unreachable!() };
    fit.shaft.replace = replaced[0];
    let shaft = SizeLimits { replace: replaced[1], ..part(SHAFT, graded) };
    let (shaft, name) = (Some(shaft), word(UNDER));
    fit.grades.push(Grade { name, shaft, bore: None, shaft_called: None, bore_called: None });
    line
}

#[test]
fn a_grade_may_be_the_last_and_keeps_what_the_line_says() {
    let arrived = || PartState::Arrived { grade: UNDER.to_owned(), reworked: false };
    let new = || PartState::NewTo { grade: UNDER.to_owned() };
    let judged = |line: &Line, state: PartState, read: &str| {
        Bench::new().states(state, PartState::Reused).judge(line, read, "1.3700").state.to_string()
    };
    // The last grade: a shaft of it is not used again.
    let last = ground("1.3725 1.3735 1.3715", "1.3665 1.3675 -", [false, true]);
    assert_eq!(judged(&last, arrived(), "1.3670"), "out, shaft not new");
    assert_eq!(judged(&last, new(), "1.3670"), "open");
    let words = check(&last).limits(&Bench::new().setting()).graded[0].0.clone();
    assert_eq!(words, "0.006 undersize, shaft service: replace");
    // A grade without a wear limit says nothing else than the line.
    let all = ground("1.3725 1.3735 -", "1.3665 1.3675 -", [true, false]);
    assert_eq!(judged(&all, arrived(), "1.3670"), "out, shaft not new");
    // One that has a wear limit takes a used shaft.
    let kept = ground("1.3725 1.3735 -", "1.3665 1.3675 1.3655", [true, false]);
    assert_eq!(judged(&kept, arrived(), "1.3670"), "open");
    assert_eq!(judged(&kept, PartState::Reused, "1.3730"), "out, tight by 0.0040; shaft not new");
}

#[test]
fn the_mate_of_a_part_at_its_last_grade_is_not_looked_for() {
    let line = ground("1.3725 1.3735 1.3715", "1.3665 1.3675 -", [false, true]);
    let stage = |state: PartState| {
        let size = Some(exact("1.3670"));
        let known = Known::of(Side::Shaft, &[size], Reduction::Worst, 4, state).unwrap();
        let fit = (line.fit().unwrap(), &line.unit);
        SecondStage::of(fit, known, PartState::Reused, Guard::default(), Scope::Service).unwrap()
    };
    let at = |reworked: bool| PartState::Arrived { grade: UNDER.to_owned(), reworked };
    for state in [at(false), at(true)] {
        assert_eq!((stage(state.clone()).known_must_be_new(), stage(state).window()), (true, None));
    }
    let new = stage(PartState::NewTo { grade: UNDER.to_owned() });
    assert!(!new.known_must_be_new());
    // 1.3670 + 0.0010 and + 0.0100: the bore's own 1.3770 is the less far.
    let window = new.window().expect("a bore serves");
    assert_eq!((window.low, window.high), (Some(exact("1.3680")), Some(exact("1.3770"))));
}
