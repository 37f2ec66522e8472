//! Hold points and everything else on a sheet that needs an answer: each blank
//! keeps the record from being final.

use super::Job;
use benchleaf::record::Status;

const FIRST: &str = "hold  = { by = \"JA\", on = 2026-03-17 }";
const SECOND: &str = "hold-2 = { by = \"JA\", on = 2026-03-17 }";

#[track_caller]
fn held(job: Job, letter: &str, words: &str) {
    let found = job.judge();
    assert!(found.sheet(letter).contains(words), "{}", found.sheet(letter));
    assert_eq!(found.judged.status, Status::Incomplete);
}

#[test]
fn each_hold_point_of_a_sheet_is_signed_by_itself() {
    Job::last().judge().ends_final();
    let waits = "hold: sheet FC: waits for an inspector at its hold point";
    held(Job::last().sheet("FC", SECOND, ""), "FC", &format!("{waits}: Hold: torque and locking"));
    held(
        Job::last().sheet("FC", FIRST, ""),
        "FC",
        &format!("{waits}: Hold: before the case is closed"),
    );
    // The check at the foot of the sheet is another signature.
    let blank = Job::last().sheet("FC", FIRST, "hold = { by = \"\", on = \"\" }");
    held(blank, "FC", waits);
    let undated = Job::last().sheet("FC", SECOND, "hold-2 = { by = \"JA\", on = \"\" }");
    held(undated, "FC", "open: sheet FC: no date for the hold point");
}

#[test]
fn a_hold_point_needs_an_inspector_who_did_not_do_the_work() {
    let job = |by: &str| Job::last().sheet("FC", FIRST, &FIRST.replace("JA", by));
    held(job("RW"), "FC", "hold: sheet FC: RW is no inspector, the hold point needs one");
    held(job("TD"), "FC", "query: sheet FC: TD did work and signed the hold point");
    let beside = Job::last().sheet("FC", FIRST, &format!("{FIRST}\ninitials = {{ 3 = \"JA\" }}"));
    held(beside, "FC", "query: sheet FC: JA did item 3 and signed the hold point");
}

#[test]
fn a_hold_point_stands_between_the_work_before_it_and_behind_it() {
    let early = Job::last().sheet(
        "FM",
        "by = \"JA\", on = 2026-03-19 }\nhold  = { by = \"JA\", on = 2026-03-19",
        "by = \"JA\", on = 2026-03-19 }\nhold  = { by = \"JA\", on = 2026-03-18",
    );
    held(early, "FM", "query: sheet FM: hold point signed on 2026-03-18, before work was done on");
    let late = Job::last().sheet("FC", FIRST, &FIRST.replace("03-17", "03-18"));
    held(
        late,
        "FC",
        "query: sheet FC: work dated 2026-03-17, before the hold point in front of it",
    );
    let opened = Job::last().sheet("FC", FIRST, &FIRST.replace("2026-03-17", "2025-03-17"));
    held(opened, "FC", "before the job was opened");
}

#[test]
fn initials_beside_an_item_are_the_work_of_whoever_wrote_them() {
    let beside = Job::last().sheet("FC", FIRST, &format!("{FIRST}\ninitials = {{ 3 = \"RW\" }}"));
    let found = beside.judge();
    assert_eq!(found.item("FC", 3).says, "done (RW)");
    found.ends_final();
    let own = Job::last().sheet("T", "check = {", "initials = { 1 = \"JA\" }\ncheck = {");
    held(own, "T", "JA did item 1 and checked it: a second person is required");
}

#[test]
fn a_zero_that_nobody_wrote_is_open() {
    let blank = Job::last().sheet("C", ", zero = \"vv\" }\nbore", " }\nbore");
    held(blank, "C", "open: sheet C: zero of the gauge for shaft not looked at before use");
}

#[test]
fn a_dash_is_no_answer_to_what_is_to_be_written() {
    let line = "22 = \"engine oil on threads; sealant batch K77\"";
    let found = Job::last().sheet("FC", line, "22 = \"-\"").judge();
    assert_eq!(found.item("FC", 22).asks[0].why, "nothing written");
    found.blocked_by(&["FC 22"]);
    let found = Job::last().sheet("FC", line, "22 = \"n\"").judge();
    assert!(found.item("FC", 22).asks[0].why.contains("without a reason"));
    found.blocked_by(&["FC 22"]);
    let found = Job::last().sheet("FC", line, "22 = \"v\"").judge();
    assert_eq!(found.item("FC", 22).says, "v");
    found.ends_final();
}
