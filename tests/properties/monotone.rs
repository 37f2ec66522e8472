//! Judging goes one way: a larger bore or a smaller shaft never turns a loose
//! fit in, a smaller bore or a larger shaft never a tight one; what one more
//! reading finds is never better than what the others found.

use super::{Tape, cases, numbers};
use crate::judge::bench::{Bench, fit_line, reading_line};
use benchleaf::judge::{PartState, State, Verdict};
use benchleaf::model::limits::Line;
use benchleaf::quantity::Exact;
use proptest::prelude::*;

/// Readings of both sides, in steps; the boxes of one side are two.
type Read = [[i64; 2]; 2];

fn show(steps: i64) -> String {
    Exact::steps(steps, 4).to_string()
}

fn judged(bench: &Bench, line: &Line, read: &Read) -> Verdict {
    let [shaft, bore] = read.map(|side| format!("{} {}", show(side[0]), show(side[1])));
    bench.judge(line, &shaft, &bore)
}

/// A fit of agreeing limits, some absent, and readings near its ends.
fn drawn(tape: &mut Tape) -> (Line, Bench, Read) {
    let s1 = tape.between(5_000, 20_000);
    let s2 = s1 + tape.between(1, 12);
    let b1 = s2 + tape.between(-20, 25);
    let b2 = b1 + tape.between(1, 12);
    let (least, most) = (b1 - s2, b2 - s1);
    let worst = most + tape.between(0, 12);
    let maybe = |there: bool, text: String| if there { text } else { "-".to_owned() };
    let signed = |steps: i64| format!("{}{}", show(steps.abs()), if steps < 0 { "T" } else { "L" });
    let shaft_worn = maybe(tape.one_in(2), show(s1 - tape.between(0, 20)));
    let bore_worn = maybe(tape.one_in(2), show(b2 + tape.between(0, 20)));
    let service = maybe(tape.one_in(2), signed(worst));
    let tighter = maybe(tape.one_in(3), signed(least - tape.between(0, 5)));
    let line = fit_line(
        &format!("{} {} {shaft_worn}", show(s1), show(s2)),
        &format!("{} {} {bore_worn}", show(b1), show(b2)),
        &format!("{} {} {tighter} {service}", signed(least), signed(most)),
    );
    let mut bench = Bench::new();
    if tape.one_in(3) {
        bench = bench.under_new();
    }
    if tape.one_in(3) {
        bench = bench.guarded().gauges("0.0001", "0.0003 0.0001");
    }
    if tape.one_in(4) {
        bench = bench.states(PartState::New, PartState::Reused);
    }
    let small = tape.between(s1 - 25, s2 + 10);
    let aim = if tape.one_in(2) { worst } else { least };
    let large = small + aim + tape.between(-8, 8);
    let near = |tape: &mut Tape| tape.between(0, 4);
    let read = [[small, small + near(tape)], [large - near(tape), large]];
    (line, bench, read)
}

/// By how much the fit is out at this end, where it is.
fn beyond(verdict: &Verdict, end: &str) -> Option<Exact> {
    let fit = verdict.parts.iter().find(|part| part.side.is_none())?;
    let State::Out(ends) = &fit.state else { return None };
    ends.iter().find(|beyond| beyond.side == end).and_then(|beyond| beyond.by)
}

/// Out at this end before, and not at least as far out after. Where the other
/// end is within the uncertainty of guarded acceptance the whole fit is on
/// hold, which comes before out and does not pass.
fn turned_in(before: &Verdict, after: &Verdict, end: &str) -> bool {
    let Some(by) = beyond(before, end) else { return false };
    let held = after.parts.iter().any(|part| part.side.is_none() && part.state == State::Hold);
    after.state.passes() || !held && beyond(after, end).is_none_or(|now| now < by)
}

/// Each reading made larger by some steps, at least one of them by more than
/// none.
fn moved(side: [i64; 2], by: [i64; 2], way: i64) -> [i64; 2] {
    [side[0] + way * by[0], side[1] + way * by[1]]
}

proptest! {
    #![proptest_config(cases(40_000))]

    #[test]
    fn a_looser_fit_is_never_in((mut tape, by, which) in (numbers(), [0i64..12, 1i64..12], 0..3u8)) {
        let (line, bench, read) = drawn(&mut tape);
        let before = judged(&bench, &line, &read);
        // The bore larger, the shaft smaller, both.
        let [shaft, bore] = read;
        let looser = match which {
            0 => [shaft, moved(bore, by, 1)],
            1 => [moved(shaft, by, -1), bore],
            _ => [moved(shaft, by, -1), moved(bore, by, 1)],
        };
        let after = judged(&bench, &line, &looser);
        prop_assert!(!turned_in(&before, &after, "loose"), "{:?} {:?}", before, after);
        // The mirror: going back from there is tighter.
        prop_assert!(!turned_in(&after, &before, "tight"), "{:?} {:?}", after, before);
        // To the step: the loosest grows by what the extremes moved.
        let (Some(one), Some(two)) = (beyond(&before, "loose"), beyond(&after, "loose")) else {
            return Ok(());
        };
        let loosest = |read: &Read| read[1].into_iter().max().unwrap() - read[0].into_iter().min().unwrap();
        prop_assert_eq!(two - one, Exact::steps(loosest(&looser) - loosest(&read), 4));
    }

    /// One box blank, both sides begun: out stays out when it is filled.
    #[test]
    fn a_further_reading_never_turns_an_out_in((mut tape, side) in (numbers(), 0..2usize)) {
        let (line, bench, read) = drawn(&mut tape);
        let words = |side: [i64; 2]| side.map(show).join(" ");
        let mut texts = read.map(words);
        texts[side] = format!("{} -", show(read[side][0]));
        let before = bench.judge(&line, &texts[0], &texts[1]);
        prop_assert!(!before.state.passes(), "{:?}", before);
        let after = judged(&bench, &line, &read);
        for end in ["loose", "tight"] {
            prop_assert!(!turned_in(&before, &after, end), "{:?} {:?}", before, after);
        }
    }

    #[test]
    fn a_reading_further_out_is_never_in((low, wide, past, more) in (5i64..500, 0i64..100, 1i64..50, 0i64..50)) {
        let bench = Bench::new();
        let line = reading_line(&format!("{} {} - -", show(low), show(low + wide)));
        let state = |steps: i64| bench.judge_read(&line, &show(steps)).state;
        prop_assert!(matches!(state(low + wide + past + more), State::Out(_)));
        prop_assert!(matches!(state(low - past - more), State::Out(_)));
        prop_assert!(state(low + wide).passes() && state(low).passes());
    }
}

/// Planted: a step the other way does turn a fit in, and is seen. Clearances
/// 0.0052 against 0.0050, then 0.0050; 0.0008 against 0.0010, then 0.0010.
#[test]
fn a_step_the_other_way_is_seen() {
    let line = crate::judge::bench::camshaft();
    let bench = Bench::new();
    let seen = |read: Read, other: Read, end| {
        turned_in(&judged(&bench, &line, &read), &judged(&bench, &line, &other), end)
    };
    let worn = [[13_716, 13_718], [13_767, 13_768]];
    assert!(seen(worn, [[13_716, 13_718], [13_766, 13_766]], "loose"));
    assert!(seen(worn, [[13_718, 13_718], [13_767, 13_768]], "loose"));
    // Still out, by less.
    assert!(seen(worn, [[13_716, 13_718], [13_767, 13_767]], "loose"));
    let tight = [[13_735, 13_737], [13_745, 13_746]];
    assert!(seen(tight, [[13_735, 13_735], [13_745, 13_746]], "tight"));
    assert!(!seen(worn, [[13_715, 13_718], [13_767, 13_769]], "loose"));
}
