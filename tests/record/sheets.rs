//! Numbers, sign-offs, dates: the sheet as a whole.

use super::Job;

#[test]
fn another_sheets_number_is_a_query() {
    let job = Job::first();
    let other = job.judge().set.sheet("T").unwrap().number.clone();
    let own = job.judge().set.sheet("C").unwrap().number.clone();
    let found =
        job.sheet("C", &format!("number = \"{own}\""), &format!("number = \"{other}\"")).judge();
    assert!(found.sheet("C").contains("another sheet's page"), "{}", found.sheet("C"));
    // It is the sheet's question: its rows have none of their own.
    found.is("C1", "within new limits").is("M1", "within service limits");
}

#[test]
fn another_job_s_set_is_a_query() {
    let job = Job::last();
    let own = job.judge().set.number.clone();
    let found = job.typed(&format!("sheet-set = \"{own}\""), "sheet-set = \"7F3K-92QD\"").judge();
    assert!(found.whole().contains("sheet set 7F3K-92QD typed"));
    // What to do about it: forms/README.md, numbers.
    assert!(found.whole().contains(&format!("measure on the pages of {own}, and type the number")));
    assert!(found.whole().contains("stand by its line printed"));
    assert!(found.judged.blocks());
}

#[test]
fn adding_a_mechanic_strands_nothing() {
    let job = Job::last().with(
        "job",
        "[people.TD]",
        "[people.KS]\nname = \"Kit Sand\"\nrole = \"mechanic\"\n\n[people.TD]",
    );
    job.judge().ends_final();
}

const OLD: &str = "new = [1.3745, 1.3760], wear = 1.3770 }\nfit   = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }";
const NEW: &str = "new = [1.3745, 1.3760], wear = 1.3770 }\nfit   = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0055L\" }";

fn limit_changed(job: Job) -> Job {
    job.with("limits", OLD, NEW)
}

#[test]
fn a_changed_limit_strands_one_sheet_alone() {
    let found = limit_changed(Job::last()).judge();
    assert!(found.sheet("C").contains("superseded"), "{}", found.sheet("C"));
    assert!(found.sheet("C").contains("changed C"), "{}", found.sheet("C"));
    assert!(found.sheet("C").contains("items"), "{}", found.sheet("C"));
    assert_eq!(found.whole(), "");
    // The shaft was measured since, the bores were not.
    found
        .is("C1", "query")
        .silent("CR1", "printed before")
        .blocked_by(&["C1", "C2", "C3", "sheet C"]);
}

#[test]
fn a_changed_row_is_measured_again_on_the_new_sheet() {
    let mut job = limit_changed(Job::first());
    job.judge().is("C1", "query").is("C2", "query");
    for (row, shaft, bore) in [
        ("C1", "[1.3731, 1.3730]", "[1.3752, 1.3753]"),
        ("C2", "[1.3718, 1.3716]", "[1.3767, 1.3768]"),
        ("C3", "[1.3728, 1.3727]", "[1.3755, 1.3757]"),
    ] {
        job = job.again(
            row,
            "shaft",
            shaft,
            "measured again",
            "by = \"TD\"; on = 2026-03-09; gauge = \"MIC-2B\"; inspector = \"JA\"",
        );
        job = job.again(
            row,
            "bore",
            bore,
            "measured again",
            "by = \"TD\"; on = 2026-03-09; gauge = [\"TEL-1\", \"MIC-2B\"]; inspector = \"JA\"",
        );
    }
    let found = job.judge().is("C1", "within new limits").is("C2", "within service limits");
    assert_eq!(found.sheet("C"), "");
}

#[test]
fn initials_dates_and_gauges_are_missed() {
    let job = Job::last().sheet(
        "C",
        "shaft = { by = \"RW\", on = 2026-03-02, gauge = \"MIC-2\", zero = \"vv\" }",
        "shaft = { }",
    );
    let found = job.judge();
    for words in ["no initials for shaft", "no date for shaft", "no gauge named for shaft"] {
        assert!(found.sheet("C").contains(words), "{}", found.sheet("C"));
    }
    found.blocked_by(&["sheet C"]);
}

#[test]
fn measurer_and_checker_are_two() {
    let from = "check = { by = \"JA\", on = 2026-03-05 }";
    let same = Job::last().sheet("C", from, "check = { by = \"TD\", on = 2026-03-05 }").judge();
    assert!(same.sheet("C").contains("TD did work and checked it: a second person is required"));
    same.blocked_by(&["sheet C"]);
    // A reading taken again on the day of the check is the checker's own work.
    let own = Job::last().again(
        "T1IN",
        "shaft",
        "[0.8736, 0.8735]",
        "measured again",
        "by = \"JA\"; on = 2026-03-04; gauge = \"MIC-1\"",
    );
    assert!(own.judge().sheet("T").contains("JA did T1IN again and checked it"));
    let nobody = Job::last().sheet("C", from, "").judge();
    assert!(nobody.sheet("C").contains("waits for a check by a second person"));
    let early = Job::last().sheet("C", from, "check = { by = \"JA\", on = 2026-03-04 }").judge();
    assert!(early.sheet("C").contains("before it was measured"));
}

#[test]
fn a_shop_of_one_person_works_too() {
    let job =
        Job::unprinted().with("job", "second-person = true", "second-person = false").printed();
    let found = job.sheet("C", "check = { by = \"JA\", on = 2026-03-05 }", "").judge().ends_final();
    let sheet = found.judged.sheets.iter().find(|sheet| sheet.letter == "C").unwrap();
    assert_eq!(sheet.checked_by, None);
}

#[test]
fn bores_before_the_case_was_bolted_are_a_query() {
    let job = Job::first().sheet(
        "C",
        "bore  = { by = \"TD\", on = 2026-03-05,",
        "bore  = { by = \"TD\", on = 2026-03-04,",
    );
    let found =
        job.judge().is("C1", "query").says("C1", "before the work it needs was done on 2026-03-05");
    // The shafts need no bolted case.
    found.is("M1", "within service limits");
    let again = Job::first().again(
        "C1",
        "bore",
        "[1.3752, 1.3753]",
        "measured again",
        "by = \"TD\"; on = 2026-03-04; gauge = [\"TEL-1\", \"MIC-2\"]",
    );
    again.judge().is("C1", "query").says("C1", "before it was first measured on 2026-03-05");
}

#[test]
fn nothing_is_measured_before_the_job_was_opened() {
    let job = Job::last().with("job", "opened        = 2026-02-23", "opened = 2026-02-26");
    let found = job.judge();
    assert!(
        found.sheet("A").contains("before the job was opened on 2026-02-26"),
        "{}",
        found.sheet("A")
    );
}

#[test]
fn a_copied_column_is_for_the_quality_manager() {
    let mut job = Job::last();
    for n in 1..=4 {
        job = job.row(&format!("R{n}.shaft"), "[1.8120, 1.8120]");
    }
    let found = job.judge().is("R1", "hold").says("R1", "for the quality manager").is("R4", "hold");
    found.blocked_by(&["RR1", "RR2", "RR3", "RR4", "R1", "R2", "R3", "R4"]);
}

#[test]
fn values_in_each_others_rows_are_asked_on_both() {
    // Intake and exhaust stems exchanged: 0.37 in the exhaust row.
    let job = Job::last();
    let found = job.judge();
    let typed = |code: &str| {
        let side = &found.row(code).last().unwrap().sides[0];
        let all: Vec<String> =
            side.boxes.iter().flatten().map(|typed| typed.text.to_string()).collect();
        format!("[{}]", all.join(", "))
    };
    let (intake, exhaust) = (typed("I1"), typed("E1"));
    let found = Job::last().row("I1.shaft", &exhaust).row("E1.shaft", &intake).judge();
    found.is("I1", "query").is("E1", "query");
}
