//! Every kind of line goes one way: a reading moved away from its limit never
//! makes the state worse, one moved past it never better. Fits and feelers
//! have files of their own.

use super::{Tape, cases, numbers};
use crate::judge::bench::{
    BARREL, BORE, Bench, SHAFT, SKIRT, by_gauges, fit_line, four, line, measured_in, part,
    reading_line,
};
use benchleaf::judge::{SideReadings, State, check};
use benchleaf::model::limits::{
    CountLine, FitLine, Kind, Line, Reduction, RoundnessLine, SizeLine, SpreadLine, TaperLine,
};
use benchleaf::model::side::Side;
use benchleaf::quantity::{Exact, Length, Readings, Unit};
use proptest::prelude::*;

/// Better first. What is held under guarded acceptance is inside its limit, so
/// it stands before out here.
fn rank(state: &State) -> u8 {
    match state {
        State::Recorded | State::NotApplicable | State::New => 0,
        State::Service => 1,
        State::Hold => 2,
        State::Open => 3,
        State::Out(_) => 4,
        State::Query => 5,
    }
}

fn show(steps: i64) -> String {
    Exact::steps(steps, 4).to_string()
}

/// Limits on one side alone, new or service or both.
fn one_side(tape: &mut Tape, limit: i64, greatest: bool) -> String {
    let further = tape.between(0, 12);
    let service = if greatest { limit + further } else { limit - further };
    let (new, service) = match tape.below(3) {
        0 => (show(limit), "-".to_owned()),
        1 => ("-".to_owned(), show(service)),
        _ => (show(limit), show(service)),
    };
    match greatest {
        true => format!("- {new} - {service}"),
        false => format!("{new} - {service} -"),
    }
}

fn bench(tape: &mut Tape) -> Bench {
    let bench = if tape.one_in(2) { Bench::new().under_new() } else { Bench::new() };
    if tape.one_in(2) { bench.guarded().gauges("0.0002", "0.0003") } else { bench }
}

fn state(bench: &Bench, line: &Line, readings: &[i64]) -> State {
    let text: Vec<String> = readings.iter().map(|steps| show(*steps)).collect();
    bench.judge_read(line, &text.join(" ")).state
}

/// How one reading is moved so that the judged figure grows.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Grows {
    /// Any reading up.
    Up,
    /// The largest up, or the smallest down.
    Apart,
    /// The first plane's readings up, the second's down.
    Signed,
    /// The plane that is the larger up: both directions lean one way.
    Leaning,
}

fn of_kind(which: usize, limits: &str) -> (Line, usize, Grows) {
    let taper = |signed| {
        Kind::Taper(TaperLine { feature: BARREL, from: 1, to: 0, signed, limits: four(limits) })
    };
    let size = |reduction| {
        Kind::Size(SizeLine { feature: SHAFT, limits: four(limits), reduction, grades: Vec::new() })
    };
    let spread = SpreadLine { at: 0, part: None, with: None, limits: four(limits) };
    match which {
        0 => (line(size(Reduction::Worst)), 2, Grows::Up),
        1 => (line(size(Reduction::Average)), 2, Grows::Up),
        2 => (reading_line(limits), 1, Grows::Up),
        3 => {
            let limits = four(limits);
            (line(Kind::Roundness(RoundnessLine { feature: SHAFT, limits })), 2, Grows::Apart)
        }
        4 => (line(Kind::Spread(spread)), 4, Grows::Apart),
        5 => (line(taper(true)), 4, Grows::Signed),
        _ => (line(taper(false)), 4, Grows::Leaning),
    }
}

/// The figure of a kind in the middle of the readings, and one further out.
fn readings(tape: &mut Tape, which: usize, boxes: usize, aim: i64) -> Vec<i64> {
    let near = |tape: &mut Tape| tape.between(-6, 6);
    match which {
        0..=2 => (0..boxes).map(|_| aim + near(tape)).collect(),
        3 | 4 => {
            let mut all = vec![50_000; boxes];
            all[boxes - 1] += (aim + near(tape)).max(0);
            all
        }
        // Top A and B, skirt A and B: skirt less top.
        _ => {
            let (a, b) = ((aim + near(tape)).max(1), (aim + near(tape)).max(1));
            vec![50_000, 50_000, 50_000 + a, 50_000 + b]
        }
    }
}

fn grown(readings: &[i64], grows: Grows, which: usize, by: i64) -> Vec<i64> {
    let mut all = readings.to_vec();
    let last = all.len() - 1;
    match grows {
        Grows::Up => all[which % readings.len()] += by,
        Grows::Apart if which.is_multiple_of(2) => all[last] += by,
        Grows::Apart => all[0] -= by,
        Grows::Signed | Grows::Leaning => match which % 4 {
            n @ (0 | 1) => all[n] -= by,
            n => all[n] += by,
        },
    }
    all
}

proptest! {
    #![proptest_config(cases(40_000))]

    #[test]
    fn every_figure_goes_one_way(
        (mut tape, which, moved, by) in (numbers(), 0..7usize, 0..4usize, 1i64..25),
    ) {
        let greatest = tape.one_in(2);
        let limit = tape.between(20, 200);
        let limits = one_side(&mut tape, limit, greatest);
        let (line, boxes, grows) = of_kind(which, &limits);
        let bench = bench(&mut tape);
        let read = readings(&mut tape, which, boxes, limit);
        let larger = grown(&read, grows, moved, by);
        let (before, after) = (state(&bench, &line, &read), state(&bench, &line, &larger));
        // A larger figure is further past a greatest limit, away from a least.
        let (better, worse) = if greatest { (before, after) } else { (after, before) };
        prop_assert!(
            rank(&better) <= rank(&worse),
            "{limits} {read:?} {larger:?} {grows:?}: {better} {worse}"
        );
    }

    /// A fit's parts by themselves: less metal is never better for a part that
    /// is out, wherever it is read.
    #[test]
    fn less_metal_is_never_better((mut tape, at, by) in (numbers(), 0..4usize, 1i64..25)) {
        let line = line(Kind::Fit(FitLine {
            shaft: part(SKIRT, "4.3610 4.3620 4.3590"),
            bore: part(BORE, "4.3740 4.3755 4.3790"),
            fit: four("0.0120L 0.0145L - 0.0180L"),
            reduction: Reduction::Worst,
            grades: Vec::new(),
        }));
        // Held comes before out in a row of several figures: simple acceptance alone.
        let bench = if tape.one_in(2) { Bench::new().under_new() } else { Bench::new() };
        let mut read: Vec<i64> = (0..3).map(|_| tape.between(43_585, 43_605)).collect();
        read.push(tape.between(43_588, 43_620));
        let state = |read: &[i64]| {
            let text: Vec<String> = read.iter().map(|steps| show(*steps)).collect();
            let verdict = bench.judge(&line, &text.join(" "), "4.3745 4.3746");
            verdict.parts.into_iter().find(|part| part.side == Some(Side::Shaft)).unwrap().state
        };
        let mut worn = read.clone();
        worn[at] -= by;
        let (before, after) = (state(&read), state(&worn));
        prop_assert!(rank(&before) <= rank(&after), "{read:?} {worn:?}: {before} {after}");
        // Beyond its wear limit anywhere it never passes.
        if worn.iter().any(|steps| *steps < 43_590) {
            prop_assert!(!after.passes(), "{worn:?}: {after}");
        }
    }

    #[test]
    fn a_count_is_exact((exact, found) in (0u32..100, 0i64..100)) {
        let line = line(Kind::Count(CountLine { at: None, part: None, exact }));
        let state = Bench::new().judge_read(&line, &found.to_string()).state;
        prop_assert_eq!(state.passes(), i64::from(exact) == found);
    }

    /// Inches or millimetres, the verdict is of the same size: a line over
    /// boxes in the other unit is judged as the job turned to millimetres.
    #[test]
    fn two_units_are_judged_as_one((mut tape, which) in (numbers(), 0..7usize)) {
        let limit = tape.between(20, 200);
        let greatest = tape.one_in(2);
        let limits = one_side(&mut tape, limit, greatest);
        let (inches, boxes, _) = of_kind(which, &limits);
        let turned = |text: &str| match Exact::read(text) {
            Ok(limit) => limit.inches_to_mm().to_string(),
            Err(_) => text.to_owned(),
        };
        let in_mm: Vec<String> = limits.split(' ').map(turned).collect();
        let (millimetres, ..) = of_kind(which, &in_mm.join(" "));
        let millimetres = measured_in("mm", millimetres);
        let bench = bench(&mut tape);
        let read: Vec<Option<Exact>> = readings(&mut tape, which, boxes, limit)
            .into_iter()
            .map(|steps| Some(Exact::steps(steps, 4)))
            .collect();
        let read_mm: Vec<Option<Exact>> =
            read.iter().map(|figure| figure.map(Exact::inches_to_mm)).collect();
        let judge = |bench: &Bench, line: &Line, unit: Length, boxes: &[Option<Exact>]| {
            let turn = |figure: &Exact| match unit {
                Length::Inch => *figure,
                Length::Millimetre => figure.inches_to_mm(),
            };
            let turned: Vec<Exact> = bench.gauges[0].iter().map(turn).collect();
            let side = SideReadings {
                key: Side::Only.into(),
                readings: Readings::new(Unit::Length(unit), boxes.to_vec()),
                uncertainty: vec![by_gauges(Side::Only, &turned); boxes.len()],
                ..SideReadings::default()
            };
            check(line).judge(&[side], &bench.setting())
        };
        let plain = judge(&bench, &millimetres, Length::Millimetre, &read_mm);
        let own = judge(&bench, &inches, Length::Inch, &read);
        prop_assert_eq!(plain.state.word(), own.state.word());
        for mixed in [
            judge(&bench, &millimetres, Length::Inch, &read),
            judge(&bench, &inches, Length::Millimetre, &read_mm),
        ] {
            prop_assert_eq!(&mixed.state, &plain.state);
            prop_assert_eq!(&mixed.figures, &plain.figures);
            prop_assert_eq!(mixed.margin, plain.margin);
            prop_assert_eq!(&mixed.flags, &plain.flags);
            prop_assert_eq!(mixed.chance, plain.chance);
        }
    }

    /// A fit over boxes in two units, one side each.
    #[test]
    fn a_fit_over_two_units_is_judged_as_one(read in proptest::array::uniform4(0i64..60)) {
        let line = fit_line(
            "1.3725 1.3735 1.3715",
            "1.3745 1.3760 1.3770",
            "0.0010L 0.0035L - 0.0050L",
        );
        let (shaft, bore) = (&read[..2], &read[2..]);
        let exact = |base: i64, side: &[i64]| -> Vec<Option<Exact>> {
            side.iter().map(|steps| Some(Exact::steps(base + steps, 4))).collect()
        };
        let (shaft, bore) = (exact(13_700, shaft), exact(13_730, bore));
        let mm = |side: &[Option<Exact>]| -> Vec<Option<Exact>> {
            side.iter().map(|figure| figure.map(Exact::inches_to_mm)).collect()
        };
        let side = |of: Side, unit, boxes: Vec<Option<Exact>>| SideReadings {
            key: of.into(),
            readings: Readings::new(Unit::Length(unit), boxes),
            ..SideReadings::default()
        };
        let judge = |sides: Vec<SideReadings>| {
            check(&line).judge(&sides, &Bench::new().setting())
        };
        let own = judge(vec![
            side(Side::Shaft, Length::Inch, shaft.clone()),
            side(Side::Bore, Length::Inch, bore.clone()),
        ]);
        let mixed = judge(vec![
            side(Side::Shaft, Length::Inch, shaft),
            side(Side::Bore, Length::Millimetre, mm(&bore)),
        ]);
        prop_assert_eq!(own.state.word(), mixed.state.word());
        prop_assert_eq!(own.margin.map(Exact::inches_to_mm), mixed.margin);
    }
}
