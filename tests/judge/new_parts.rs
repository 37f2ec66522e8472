//! A part that is new, or reworked to a grade, must meet its own new limits,
//! whatever kind of line speaks of it.

use super::bench::*;
use benchleaf::judge::{Flag, PartState};
use benchleaf::model::line::*;

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
