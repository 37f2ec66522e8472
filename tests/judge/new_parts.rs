//! A part that is new, or reworked to a grade, must meet its own new limits,
//! whatever kind of line speaks of it.

use super::bench::*;
use benchleaf::judge::{Flag, PartState};
use benchleaf::model::limits::*;

#[test]
fn a_new_part_meets_its_new_limits_on_a_line_of_any_kind() {
    let limits = || four("- 0.0002 - 0.0006");
    let round = line(Kind::Roundness(RoundnessLine { feature: SHAFT, limits: limits() }));
    let spread = line(Kind::Spread(SpreadLine { at: 0, part: None, with: None, limits: limits() }));
    let spring = reading_line("0.0070 0.0076 0.0064 -");
    // The line, readings inside service and not new, by how much they are out.
    let lines = [
        (&round, "1.0001 1.0006", "out, over by 0.0003"),
        (&spread, "1.0001 1.0006 1.0001 1.0001", "out, over by 0.0003"),
        (&spring, "0.0065", "out, under by 0.0005"),
    ];
    for (line, readings, out) in lines {
        let judged = |state: PartState| {
            Bench::new().states(state, PartState::Reused).judge_read(line, readings)
        };
        for state in [PartState::Reused, PartState::Reworked { grade: None }] {
            assert_eq!(judged(state).state.to_string(), "within service limits", "{readings}");
        }
        for state in [PartState::New, graded("0.006 undersize")] {
            let verdict = judged(state);
            assert_eq!(verdict.state.to_string(), out, "{readings}");
            assert!(verdict.flags.contains(&Flag::InsideService));
        }
    }
}

/// A part that is always renewed is held to its new limits, and its row says so
/// where that alone makes it out. Under new scope every part is, and a used part
/// is another thing: nothing is said.
#[test]
fn a_size_is_told_why_its_renewed_part_is_out() {
    let line = size_line("1.3725 1.3735 1.3715 -");
    let bench = |renewed: bool, state: PartState| {
        let mut bench = Bench::new().states(state, PartState::Reused);
        bench.engine.parts[0].always_renewed = renewed;
        bench
    };
    let told = |bench: Bench| {
        let verdict = bench.judge_read(&line, "1.3720 1.3721");
        let why = "size: the part is renewed: new limits";
        (verdict.state.to_string(), verdict.notes.iter().any(|note| note == why))
    };
    let out = || "out, small by 0.0005".to_owned();
    assert_eq!(told(bench(true, PartState::New)), (out(), true));
    assert_eq!(told(bench(true, PartState::New).under_new()), (out(), false));
    assert_eq!(told(bench(true, PartState::Reused).under_new()), (out(), false));
    assert_eq!(told(bench(false, PartState::New)), (out(), false));
}

/// Leaves that prove the service gap prove nothing of a new gear's; the boxes
/// are those that the sheet printed.
#[test]
fn a_new_gear_meets_its_new_limits_on_a_feeler_line() {
    let line = super::feelers::gears(1, "0.0020 0.0040 - 0.0060");
    let judged = |state: PartState, more: &[(u32, &str, bool)]| {
        let bench = Bench::new().leaves("0.002 0.003 0.004 0.005 0.006");
        bench.states(state, PartState::Reused).judge_leaves(&line, "v", "v", more)
    };
    assert_eq!(judged(PartState::Reused, &[]).state.to_string(), "within service limits");
    for state in [PartState::New, graded("0.006 undersize")] {
        assert_eq!(judged(state.clone(), &[]).state.to_string(), "open");
        let verdict = judged(state.clone(), &[(1, "0.005", true)]);
        assert_eq!(verdict.state.to_string(), "out, over");
        assert!(verdict.flags.contains(&Flag::InsideService));
        let verdict = judged(state, &[(1, "0.004", false)]);
        assert_eq!(verdict.state.to_string(), "within new limits");
    }
}

/// A bore that came at a grade, smaller than its new limits: reused it is
/// judged by the fit, worked on in this job it must be inside.
#[test]
fn a_part_that_came_at_a_grade_and_is_worked_on_is_not_reused() {
    let grade = Grade {
        name: word("0.010 undersize"),
        shaft: Some(part(SHAFT, "1.3625 1.3635 1.3615")),
        bore: None,
        shaft_called: None,
        bore_called: None,
    };
    let mut line = camshaft();
    let Kind::Fit(fit) = &mut line.kind else { unreachable!() };
    fit.grades.push(grade);
    fit.bore = part(BORE, "1.3645 1.3660 1.3670");
    let judged = |reworked: bool| {
        let grade = "0.010 undersize".to_owned();
        let state = PartState::Arrived { grade, reworked };
        Bench::new().states(state, PartState::Reused).judge(&line, "1.3637 1.3636", "1.3650 1.3650")
    };
    assert_eq!(judged(false).state.to_string(), "within service limits");
    assert_eq!(judged(true).state.to_string(), "out, shaft large by 0.0002");
}
