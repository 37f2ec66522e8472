//! Measuring again: what each reason needs and may do.

use super::Job;

const JA: &str =
    "by = \"JA\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2B\"]; inspector = \"JA\"";
const OUT: &str = "out, loose by 0.0002";
const SERVICE: &str = "within service limits";

#[test]
fn swapped_digits_and_a_thimble_line_are_both_shown() {
    // 2.2487 for 2.2478 beside 2.2477: nine ten-thousandths apart.
    let job = Job::last().row("M1.shaft", "[2.2487, 2.2477]");
    let found = job.judge().is("M1", "query").is("MR1", "query");
    let causes = &found.row("M1").last().unwrap().verdict.causes;
    assert!(
        causes.iter().any(|c| c.contains("two digits swapped would make it 2.2478")),
        "{causes:?}"
    );
    assert!(
        causes.iter().any(|c| c.contains("one thimble line (0.0010 in) would make it 2.2477")),
        "{causes:?}"
    );
    assert_eq!(
        &*found.row("M1").last().unwrap().sides[0].boxes[0].as_ref().unwrap().text,
        "2.2487"
    );
    // The same value again: judged as it stands, 0.0010 out of round.
    let again = job.again(
        "M1",
        "shaft 1",
        "2.2487",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = \"MIC-3\"",
    );
    again.judge().is("M1", SERVICE).is("MR1", SERVICE).says("MR1", "at limit");
}

#[test]
fn the_same_value_measured_again_clears_the_query() {
    let job = Job::first().again(
        "C3",
        "bore 2",
        "1.4007",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]",
    );
    job.judge().is("C3", "out, loose by 0.0230; bore large by 0.0237");
}

#[test]
fn the_other_box_is_not_confirmed_with_it() {
    // Two slips in one row; one box alone is measured again.
    let job = Job::first().row("C3.shaft", "[1.3728, 1.3977]").again(
        "C3",
        "bore 2",
        "1.4007",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]",
    );
    job.judge()
        .is("C3", "query")
        .says("C3", "shaft 2 reads 1.3977")
        .silent("C3", "bore 2 reads 1.4007 beside");
    let one = Job::first().row("C3.bore", "[1.4007, 1.3755]").again(
        "C3",
        "bore 2",
        "1.3755",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]",
    );
    one.judge().is("C3", "query").says("C3", "bore 1 reads 1.4007");
}

/// Only the gauge once more confirms a reading, not the paper once more.
#[test]
fn the_same_figure_typed_again_confirms_nothing() {
    let typed = "by = \"TD\"; on = 2026-03-06; inspector = \"JA\"";
    let job = Job::first().again("C3", "bore 2", "1.4007", "mistyped", typed);
    job.judge().is("C3", "query").says("C3", "bore 2 reads 1.4007 beside");
    // Nor where the figure itself came by the gauge.
    let measured = "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]";
    let job = Job::first()
        .row("C3.bore", "[1.3755, 1.3757]")
        .again("C3", "bore 2", "1.4007", "measured again", measured)
        .again("C3", "bore 2", "1.4007", "mistyped", typed);
    job.judge().is("C3", "query").says("C3", "bore 2 reads 1.4007 beside");
}

#[test]
fn a_true_out_is_never_hidden() {
    let found = Job::first().row("C2.bore", "[1.3768, 1.3790]").judge();
    found.is("C2", "out, loose by 0.0024; bore large by 0.0020");
    // One thimble line less would be 1.3770, good alone: the fit is out either way.
    let found = Job::first().row("C2.bore", "[1.3768, 1.3780]").judge();
    found.is("C2", "out, loose by 0.0014; bore large by 0.0010");
}

#[test]
fn an_out_becomes_a_pass_by_another_hand_and_an_inspector() {
    // 1.3766 - 1.3716 = 0.0050: at limit.
    let again = |rest: &str| {
        Job::first().again("C2", "bore", "[1.3766, 1.3766]", "measured again", rest).judge()
    };
    again("by = \"JA\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2B\"]; inspector = \"JA\"")
        .is("C2", SERVICE)
        .silent("C2", "hold");
    // TD measured it with TEL-1 and MIC-2.
    let same =
        again("by = \"TD\"; on = 2026-03-06; gauge = [\"MIC-2\", \"TEL-1\"]; inspector = \"JA\"");
    same.is("C2", "hold").says("C2", "another person or with another gauge");
    let gauge =
        again("by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2B\"]; inspector = \"JA\"");
    gauge.is("C2", SERVICE);
    let alone = again("by = \"RW\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]");
    alone.is("C2", "hold").says("C2", "inspector's initials");
    let mechanic =
        again("by = \"RW\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]; inspector = \"RW\"");
    mechanic.is("C2", "hold").says("C2", "inspector's initials");
}

#[test]
fn what_it_is_judged_after_is_the_step_before() {
    // Out, out again by another hand, and then a pass by the first hand: the
    // second occasion is held against the one before it, not against itself.
    let td = "by = \"RW\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]";
    let job = Job::first().again("C2", "bore", "[1.3767, 1.3767]", "measured again", td);
    job.judge().is("C2", "out, loose by 0.0001").silent("C2", "hold");
    let rw = "by = \"RW\"; on = 2026-03-07; gauge = [\"TEL-1\", \"MIC-2\"]";
    let turned = job.again("C2", "bore", "[1.3766, 1.3766]", "measured again", rw);
    turned
        .judge()
        .is("C2", "hold")
        .says("C2", "another person or with another gauge")
        .says("C2", "inspector's initials");
    // A pass stays one when it is measured a further time.
    let ja = Job::first().again("C2", "bore", "[1.3766, 1.3766]", "measured again", JA).again(
        "C2",
        "bore",
        "[1.3765, 1.3766]",
        "measured again",
        td,
    );
    ja.judge().is("C2", SERVICE);
}

#[test]
fn a_query_between_does_not_wash_an_out() {
    let td = "by = \"RW\"; on = 2026-03-06; gauge = \"MIC-2\"";
    let job = Job::first().again("C2", "shaft", "[1.3718, 1.3968]", "measured again", td).again(
        "C2",
        "shaft",
        "[1.3719, 1.3718]",
        "measured again",
        "by = \"RW\"; on = 2026-03-07; gauge = \"MIC-2\"",
    );
    job.judge().is("C2", "hold").says("C2", "an out becomes a pass only");
}

#[test]
fn measured_again_needs_who_when_and_gauge() {
    let found = Job::first().again("C2", "shaft", "[1.3718, 1.3716]", "measured again", "").judge();
    let found = found.says("C2", "give the initials of who did it").says("C2", "give the date");
    found.says("C2", "name the gauge").is("C2", "hold");
    // A count is taken without one.
    let count = Job::last().again(
        "XB",
        "read",
        "[8]",
        "measured again",
        "by = \"TD\"; on = 2026-02-26; inspector = \"JA\"",
    );
    count.judge().ends_final();
}

#[test]
fn mistyped_needs_a_second_person() {
    let fix = |rest: &str| Job::first().again("C3", "bore 2", "1.3757", "mistyped", rest).judge();
    fix("").is("C3", "hold").says("C3", "a second person must look at the paper");
    fix("by = \"TD\"; inspector = \"TD\"").is("C3", "hold").says("C3", "another than the first");
    fix("by = \"TD\"; inspector = \"RW\"").is("C3", "within new limits");
    // It may change any verdict, an out too, and asks for no other gauge.
    let out = Job::first().again(
        "C2",
        "shaft 2",
        "1.3718",
        "mistyped",
        "by = \"TD\"; inspector = \"RW\"",
    );
    out.judge().is("C2", SERVICE);
}

#[test]
fn repeats_disagree_beyond_both_uncertainties() {
    // 0.0003 twice: 0.0004 squared is 16, the sum of squares 18; 0.0005 is 25.
    let job = |later: &str| {
        Job::last()
            .with("job", "serial      = \"CF-0202\"\nrange       = [1.0000, 2.0000]\nresolution  = 0.0001\nuncertainty = 0.0001", "serial = \"CF-0202\"\nrange = [1.0000, 2.0000]\nuncertainty = 0.0003")
            .again("R1", "shaft 2", later, "measured again", "by = \"TD\"; on = 2026-03-06; gauge = \"MIC-2\"; inspector = \"JA\"")
    };
    job("1.8123").judge().is("R1", "within new limits").ends_final();
    let held = job("1.8124")
        .judge()
        .is("R1", "hold")
        .says("R1", "differs from 1.8119 by more than both uncertainties");
    held.blocked_by(&["RR1", "R1"]);
    // A third that agrees with one of them settles it.
    let third = job("1.8124").again(
        "R1",
        "shaft 2",
        "1.8121",
        "measured again",
        "by = \"JA\"; on = 2026-03-07; gauge = \"MIC-2B\"; inspector = \"NB\"",
    );
    third.judge().is("R1", "within new limits").ends_final();
}

#[test]
fn a_reading_in_query_is_no_repeat() {
    let job = Job::first().again(
        "C3",
        "bore 2",
        "1.3757",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]",
    );
    job.judge().is("C3", "within new limits");
    // The box beside it was not in question: it is a repeat.
    let job = Job::first().again(
        "C3",
        "bore",
        "[1.3763, 1.3757]",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]",
    );
    job.judge().says("C3", "bore 1 measured again 1.3763 differs from 1.3755");
}

#[test]
fn the_chain_keeps_the_order_of_the_file() {
    let found = Job::last().judge();
    let row = found.row("C2");
    let whys: Vec<String> = row.steps.iter().map(|step| step.who.clone()).collect();
    assert_eq!(
        whys,
        [
            "shaft: RW, 2026-03-02, MIC-2; bore: TD, 2026-03-05, TEL-1 and MIC-2",
            "JA, 2026-03-06, MIC-2B",
            "RW, 2026-03-12, MIC-2, seen by JA",
        ]
    );
    assert_eq!(row.steps[1].verdict.state.to_string(), OUT);
}

#[test]
fn one_occasion_is_one_step() {
    let td = "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]";
    let job = Job::first().again("C3", "bore 1", "1.3755", "measured again", td).again(
        "C3",
        "bore 2",
        "1.3757",
        "measured again",
        td,
    );
    let found = job.judge();
    assert_eq!(found.row("C3").steps.len(), 2);
    assert_eq!(found.row("C3").steps[1].entries.len(), 2);
}

#[test]
fn an_out_within_the_uncertainty_asks_for_a_repeat() {
    Job::first().judge().is("C2", OUT).says("C2", "measure again before a part is scrapped");
    // 0.0015 is beyond the root of 0.0001, 0.0003 and 0.0001 squared.
    let far = Job::first().row("C2.bore", "[1.3780, 1.3781]").judge();
    far.silent("C2", "before a part is scrapped");
}

#[test]
fn roundness_out_is_turned_by_another_hand_too() {
    // M1 0.0014 out of round, 0.0010 allowed: no one slip explains it.
    let job = Job::last().row("M1.shaft", "[2.2484, 2.2470]");
    job.judge().is("MR1", "out, over by 0.0004");
    let same = job.clone().again(
        "M1",
        "shaft",
        "[2.2482, 2.2476]",
        "measured again",
        "by = \"RW\"; on = 2026-03-06; gauge = \"MIC-3\"",
    );
    same.judge().is("MR1", "hold").says("MR1", "an out becomes a pass only");
    let other = job.again(
        "M1",
        "shaft",
        "[2.2482, 2.2476]",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = \"MIC-3\"; inspector = \"JA\"",
    );
    other
        .judge()
        .silent("MR1", "an out becomes a pass only")
        .says("MR1", "limit 0.0010: within service limits");
}

/// The fault is drawn at the figures, not at the head of the table.
#[test]
fn a_wrong_number_of_boxes_points_at_the_figures() {
    let job = Job::first().again("C2", "bore", "[1.3766]", "measured again", "by = \"JA\"");
    let (case, set) = job.expanded();
    let mut out = benchleaf::diag::Diags::new();
    assert!(benchleaf::record::judge(&case, &set, &mut out).is_none());
    let said = out.plain(&job.files);
    let text = job.file("readings");
    let line = text.lines().position(|line| line == "read = [1.3766]").expect("as typed") + 1;
    let wanted = format!("readings.toml:{line}:8: 1 box typed, 2 printed on row C2 bore");
    assert!(said.iter().any(|said| said.starts_with(&wanted)), "{wanted}\n{said:?}");
}
