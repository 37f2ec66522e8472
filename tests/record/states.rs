//! States, flags and reasons of rows and items.

use super::{Found, Job};
use benchleaf::judge::{Measure, PartState};

const SERVICE: &str = "within service limits";

#[test]
fn the_story_ends_final() {
    let found = Job::last().judge().ends_final();
    let found = found.is("C1", "within new limits").is("C2", SERVICE).is("C3", "within new limits");
    // C1 0.0019 to 0.0020, C2 0.0035 to 0.0036, C3 0.0024 to 0.0026.
    for (code, tight, loose) in
        [("C1", "0.0019", "0.0020"), ("C2", "0.0035", "0.0036"), ("C3", "0.0024", "0.0026")]
    {
        let verdict = &found.row(code).last().unwrap().verdict;
        assert_eq!(verdict.figure(Measure::Tightest).unwrap().to_string(), tight);
        assert_eq!(verdict.figure(Measure::Loosest).unwrap().to_string(), loose);
    }
}

#[test]
fn a_new_part_meets_its_own_new_limits() {
    // Bore 1.3763/1.3764 with shaft 1.3718/1.3716: 0.0045 to 0.0048, the fit is
    // inside 0.0050, the new bore is beyond 1.3760 by 0.0004.
    let new_case = "[[change]]\npart = \"crankcase\"\nwhy = \"part changed\"\nwhat = \"new case\"\n\
                    number = \"TW-1\"\nbatch = \"B1\"\ndocument = \"R-1\"\nby = \"RW\"\non = 2026-03-01\n";
    Job::first().row("C2.bore", "[1.3763, 1.3764]").judge().is("C2", SERVICE);
    let found = Job::first().row("C2.bore", "[1.3763, 1.3764]").add(new_case).judge();
    found.is("C2", "out, bore large by 0.0004");
}

#[test]
fn two_parts_without_wear_limits_are_never_better_than_service() {
    // Piston pin in its bush: neither part has a wear limit; shaft 0.7965 is
    // under 0.7966, the fit 0.0007 to 0.0010 inside the new 0.0003 to 0.0010.
    let found =
        Job::last().row("N1.shaft", "[0.7965, 0.7965]").row("N1.bore", "[0.7972, 0.7975]").judge();
    found.is("N1", SERVICE).says("N1", "judged by its fit");
}

#[test]
fn a_worn_shaft_with_a_blank_bore_is_out() {
    let job = Job::first().row("C1.shaft", "[1.3714, 1.3713]").row("C1.bore", "[]");
    job.judge().is("C1", "out, shaft small by 0.0002").says("C1", "bore not measured");
    Job::first().row("C1.bore", "[]").judge().is("C1", "open");
    Job::first().row("C1.bore", "[1.3752, \"-\"]").judge().is("C1", "open");
}

#[test]
fn what_wear_cannot_reach_is_asked() {
    // A journal of 1.3746 is above 1.3735: reused, the fit decides.
    let found =
        Job::first().row("C1.shaft", "[1.3746, 1.3746]").row("C1.bore", "[1.3759, 1.3758]").judge();
    found.is("C1", SERVICE).says("C1", "shaft not wear");
    let new = Job::unprinted()
        .with("job", "scope         = \"service\"", "scope = \"new\"")
        .row("T1IN.shaft", "[0.8751, 0.8751]")
        .row("T1IN.bore", "[0.8760, 0.8760]")
        .printed();
    new.judge()
        .is("T1IN", "out, tight by 0.0001; shaft large by 0.0011")
        .says("T1IN", "shaft not wear");
}

#[test]
fn an_out_accepted_on_data_is_printed_so_and_never_a_pass() {
    let whole = "[[accepted]]\nrow = \"C2\"\nauthority = \"maker's engineering\"\n\
                 document = \"letter 44\"\non = 2026-03-10\nby = \"JA\"\n";
    let found = Job::first().add(whole).judge();
    let row = found.row("C2");
    assert!(row.is_accepted() && !row.blocks() && !row.state.passes());
    let words = benchleaf::record::state_words(row, row.last().unwrap());
    assert_eq!(
        words,
        "out, loose by 0.0002, accepted on letter 44, maker's engineering, 2026-03-10"
    );
    for (lost, _) in [
        ("authority = \"maker's engineering\"\n", 0),
        ("document = \"letter 44\"\n", 0),
        ("on = 2026-03-10\n", 0),
    ] {
        let found = Job::first().add(&whole.replace(lost, "")).judge();
        assert!(found.row("C2").blocks() && !found.row("C2").is_accepted());
        found.says("C2", "it stays out");
    }
    // Accepted, then measured again and found worse: the letter says nothing of it.
    let later = Job::first().add(whole).again(
        "C2",
        "bore",
        "[1.3768, 1.3769]",
        "measured again",
        "by = \"JA\"; on = 2026-03-11; gauge = [\"TEL-1\", \"MIC-2B\"]",
    );
    later.judge().says("C2", "accepted before it was last measured");
    // A blank is not accepted with the rest.
    let blank = Job::first().row("C2.bore", "[1.3768, \"-\"]").add(whole);
    let found = blank.judge();
    assert!(found.row("C2").blocks());
    found.says("C2", "a box is blank");
}

#[test]
fn an_accepted_out_that_is_reopened_waits_again() {
    let job = Job::first().add(
        "[[accepted]]\nrow = \"C2\"\nauthority = \"maker\"\ndocument = \"letter 44\"\non = 2026-03-10\n\n\
         [[change]]\npart = \"camshaft\"\nrework = \"camshaft-changed\"\nwhy = \"part changed\"\n\
         number = \"1\"\nbatch = \"2\"\ndocument = \"3\"\nby = \"RW\"\non = 2026-03-12\n",
    );
    let found = job.judge();
    assert!(found.row("C2").blocks());
    found.says("C2", "reopened by camshaft changed");
}

#[test]
fn always_renewed_entered_as_reused_fails_the_record() {
    let from =
        "1 = { count = 6, number = \"TW-1120\", batch = \"B1177\", document = \"DEMO-REL-0192\" }";
    let found = Job::last().typed(from, "1 = { reused = true }").judge();
    assert!(found.item("RN", 1).blocks());
    assert_eq!(found.item("RN", 1).state.word(), "out");
    // Its bores are those of used shells, no longer of new ones.
    let shells = |found: &Found| found.row("M1").last().unwrap().sides[1].state.clone();
    assert_eq!(shells(&found), PartState::Reused);
    assert_eq!(shells(&Job::last().judge()), PartState::New);
    let five = Job::last().typed("1 = { count = 6,", "1 = { count = 5,").judge();
    assert_eq!(five.item("RN", 1).state.word(), "open");
    let lost = Job::last()
        .typed("batch = \"B1177\", document = \"DEMO-REL-0192\"", "batch = \"B1177\"")
        .judge();
    assert_eq!(lost.item("RN", 1).state.word(), "open");
    assert!(lost.item("RN", 1).asks[0].why.contains("source document"));
}

#[test]
fn not_applicable_needs_a_reason_and_an_inspector() {
    let na = |words: &str| {
        Job::last()
            .row("H.shaft", "[]")
            .row("H.bore", "[]")
            .typed("H.shaft = []", &format!("H.shaft = []\nH.na = {words}"))
    };
    na("{ why = \"no tachometer drive fitted\", by = \"JA\" }")
        .judge()
        .is("H", "n.a.")
        .ends_final();
    na("{ by = \"JA\" }").judge().is("H", "open").says("H", "without a reason").blocked_by(&["H"]);
    na("{ why = \"no tachometer drive fitted\" }")
        .judge()
        .is("H", "open")
        .says("H", "without initials");
    na("{ why = \"no tachometer drive fitted\", by = \"RW\" }")
        .judge()
        .is("H", "open")
        .says("H", "inspector");
    // Recorded only: anybody's initials do.
    let recorded = Job::last()
        .row("MB1.read", "[]")
        .typed("MB1.read = []", "MB1.read = []\nMB1.na = { why = \"seat plugged\", by = \"RW\" }");
    recorded.judge().is("MB1", "n.a.").ends_final();
}

#[test]
fn not_applicable_never_hides_a_reading() {
    let job = Job::first()
        .typed("C2.bore = ", "C2.na = { why = \"not fitted\", by = \"JA\" }\nC2.bore = ");
    job.judge().is("C2", "query").says("C2", "n.a. and readings");
}

#[test]
fn roundness_follows_the_row_that_it_is_read_from() {
    let na = Job::last()
        .row("M1.shaft", "[]")
        .row("M1.bore", "[]")
        .typed("M1.shaft = []", "M1.shaft = []\nM1.na = { why = \"sent out\", by = \"JA\" }");
    na.judge().is("M1", "n.a.").is("MR1", "n.a.").ends_final();
    // A sleeve turn in the journal: nothing is judged of it, roundness neither.
    let slip = Job::last().row("M1.shaft", "[2.2478, 2.2727]");
    slip.judge().is("M1", "query").is("MR1", "query");
}

#[test]
fn found_waits_for_what_is_done() {
    let job = Job::last()
        .typed("done      = \"stoned, gear washed, leaves tried again at that tooth\"\n", "");
    let found = job.judge();
    assert_eq!(found.item("P", 3).state.word(), "hold");
    found.blocked_by(&["P 3"]);
    let unsigned = Job::last().typed(
        "done      = \"pipe replaced\"\nby        = \"RW\"",
        "done      = \"pipe replaced\"",
    );
    let found = unsigned.judge();
    assert_eq!(found.item("IP", 1).state.word(), "open");
    let silent = Job::last().sheet("L", "\n12 = \"vv\"", "\n12 = \"vx\"").judge();
    assert_eq!(silent.item("L", 12).state.word(), "open");
    assert!(silent.item("L", 12).asks[0].why.contains("nothing is written of it"));
    // Words for a place by its name, where its code is asked for.
    let named = Job::last()
        .sheet("L", "\n12 = \"vv\"", "\n12 = \"vx\"")
        .add("[[found]]\nitem = \"L 12\"\nplace = \"right half\"\nwhat = \"crack\"\nby = \"RW\"\n")
        .judge();
    let why = &named.item("L", 12).asks[0].why;
    assert!(why.ends_with("place = \"R\"; what is written is of place right half"), "{why}");
    let blank = Job::last().sheet("L", "\n12 = \"vv\"", "\n12 = \"v-\"").judge();
    assert_eq!(blank.item("L", 12).state.word(), "open");
    assert!(blank.item("L", 12).asks[0].why.contains("at R"));
    blank.blocked_by(&["L 12"]);
}

/// One finding without a place answers for the one place that is marked, and not
/// for two: what was found at the other is written nowhere.
#[test]
fn one_finding_of_no_place_does_not_answer_for_two() {
    let placed = "place     = \"L6\"\nwhat      = \"clean nut binds";
    let unplaced = "what      = \"clean nut binds";
    let one = Job::last().typed(placed, unplaced);
    one.clone().judge().ends_final();
    let two = one.sheet("L", "\n3 = \"vvvv vxvv\"", "\n3 = \"vvvv vxxv\"").judge();
    let item = two.item("L", 3);
    let words = "say at which place, several are marked";
    assert!(item.asks.iter().any(|ask| ask.why.contains(words)), "{:?}", item.asks);
    two.blocked_by(&["L 3"]);
}

#[test]
fn a_tick_left_out_needs_its_reason() {
    let job = Job::last().typed("why  = \"this model has no damper weights\"\n", "");
    let found = job.judge();
    assert_eq!(found.item("S", 9).state.word(), "open");
    found.blocked_by(&["S 9"]);
}
