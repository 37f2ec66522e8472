//! What a ladder says beside a size is the verdict of the row, with the part on
//! record in it; under guarded acceptance too, and while the mate is blank.

use super::{place, readied, shafts_known, windows};
use crate::record::Job;
use benchleaf::judge::State;

fn guarded(job: Job) -> Job {
    job.with("job", "rule          = \"simple\"", "rule = \"guarded\"").printed()
}

/// Each size of a ladder typed into every box of the bore: the word beside it
/// begins the state of the row.
fn as_judged(job: &Job, code: &str, every: usize) {
    let (_, sheets) = readied(job, None);
    let ladders = place(&sheets, code).ladders.expect("some bore serves");
    for ladder in &ladders {
        for step in ladder.steps.iter().step_by(every) {
            let boxes = format!("[{0}, {0}]", step.size);
            let found = job.clone().row(&format!("{code}.bore"), &boxes).judge();
            let state = &found.row(code).last().unwrap().verdict.state;
            let wanted = match state {
                State::New => "new",
                State::Service => "service",
                State::Hold => "hold",
                State::Out(_) => "out",
                // A size far from any bore is asked about as a slip instead.
                State::Query => continue,
                other => panic!("{code} {}: {other}", step.size),
            };
            let said = step.word.split(':').next().unwrap();
            assert_eq!(said, wanted, "{code} {} {}: {state}", ladder.title, step.size);
        }
    }
}

#[test]
fn a_ladder_says_what_the_row_will_be() {
    // C2's journal is worn below new limits: no bore makes its row new.
    let job = shafts_known();
    as_judged(&job, "C2", 3);
    let (_, sheets) = readied(&job, None);
    let ladders = place(&sheets, "C2").ladders.unwrap();
    assert!(ladders.iter().flat_map(|ladder| &ladder.steps).all(|step| step.word != "new"));
}

/// U of the bore's gauges is the root of 0.0003 and 0.0001 squared, 0.00032;
/// with the shaft's 0.0001, 0.00034. Drawn in at four decimals by 0.0004: from
/// 1.3731 + 0.0010 + 0.0004 to the wear limit 1.3770 - 0.0004.
#[test]
fn guarded_acceptance_prints_while_the_mate_is_blank() {
    let job = guarded(shafts_known());
    let (ready, sheets) = readied(&job, None);
    assert!(ready.waiting.iter().all(|(code, _)| !code.starts_with('C')), "{:?}", ready.waiting);
    assert_eq!(windows(&place(&sheets, "C1"))[0], "reused bore 1.3745 to 1.3766");
    let from = [
        "from: largest shaft + 0.0014, drawn in by 0.0004",
        "to: bore wear limit, drawn in by 0.0004",
    ];
    assert_eq!(place(&sheets, "C1").windows[0].from, from);
    as_judged(&job, "C1", 5);
}

/// With no gauge named for the mate nothing can be drawn in by it.
#[test]
fn guarded_acceptance_asks_for_the_mates_gauges() {
    let job = guarded(shafts_known());
    let bare = job.sheet("C", "gauge = [\"TEL-1\", \"MIC-2\"], ", "");
    let (ready, _) = readied(&bare, None);
    let waiting = ready.waiting.iter().find(|(code, _)| code == "C1").expect("C1 waits");
    assert!(waiting.1.contains("name the bore's gauges first"), "{}", waiting.1);
}
