//! Parts changed and reworked: what is reopened, and to which limits it is held.

use super::Job;

const SERVICE: &str = "within service limits";
const CAMSHAFT: &str = "[[change]]\npart = \"camshaft\"\nrework = \"camshaft-changed\"\nwhy = \"part changed\"\n\
    what = \"new camshaft\"\nnumber = \"TW-1401\"\nbatch = \"C-0588\"\ndocument = \"DEMO-REL-0207\"\nby = \"RW\"\n\
    on = 2026-03-12\n";

#[test]
fn a_new_camshaft_reopens_what_it_disturbs() {
    let found = Job::first().add(CAMSHAFT).judge();
    for code in ["C1", "EC", "BG"] {
        assert_eq!(found.state(code), "open", "{code}");
    }
    for code in ["C1", "C2", "C3", "EC", "BG", "CR1", "CR2", "CR3"] {
        assert!(found.said(code).contains("reopened by camshaft changed"), "{}", found.said(code));
    }
    for (letter, n) in [("T", 1), ("T", 2)] {
        assert!(found.item(letter, n).asks[0].why.contains("reopened by camshaft changed"));
    }
    // The bores stand, and the crankshaft's end play.
    assert!(!found.said("C1").contains("bore reopened"));
    found.silent("EK", "reopened").silent("M1", "reopened").silent("T1IN", "reopened");
}

#[test]
fn one_box_measured_since_is_not_enough() {
    let job = Job::first().add(CAMSHAFT).again(
        "C1",
        "shaft 1",
        "1.3733",
        "part changed",
        "by = \"RW\"; on = 2026-03-12; gauge = \"MIC-2\"",
    );
    // The other box still held the old camshaft's reading: it is cleared.
    let found = job.judge().is("C1", "open").says("C1", "shaft reopened").says("C1", "blank");
    let read = found.row("C1").last().unwrap();
    assert_eq!(read.sides[0].readings.taken().0.iter().flatten().count(), 1);
    let whole = job.again(
        "C1",
        "shaft 2",
        "1.3733",
        "part changed",
        "by = \"RW\"; on = 2026-03-13; gauge = \"MIC-2\"",
    );
    whole.judge().is("C1", "within new limits").silent("C1", "reopened");
}

#[test]
fn a_reading_of_before_the_change_is_not_of_it() {
    let job = Job::first().add(CAMSHAFT).again(
        "C1",
        "shaft",
        "[1.3733, 1.3733]",
        "part changed",
        "by = \"RW\"; on = 2026-03-11; gauge = \"MIC-2\"",
    );
    job.judge().says("C1", "reopened");
    // Nor is one merely measured again: nobody said that it is the new part's.
    let again = Job::first().add(CAMSHAFT).again(
        "C1",
        "shaft",
        "[1.3733, 1.3733]",
        "measured again",
        "by = \"RW\"; on = 2026-03-12; gauge = \"MIC-2\"",
    );
    again.judge().says("C1", "reopened");
}

#[test]
fn a_reading_of_a_new_part_needs_its_change_and_its_own_signature() {
    let job = Job::first().again(
        "C1",
        "shaft",
        "[1.3733, 1.3733]",
        "part changed",
        "by = \"RW\"; on = 2026-03-12; gauge = \"MIC-2\"",
    );
    job.judge().is("C1", "hold").says("C1", "add the [[change]] of the part");
    let unsigned =
        Job::first().add(CAMSHAFT).again("C1", "shaft", "[1.3733, 1.3733]", "part changed", "");
    unsigned.judge().says("C1", "give the initials of who did it").says("C1", "name the gauge");
}

#[test]
fn a_change_lacks_its_number_and_document() {
    for (lost, words) in [
        ("number = \"TW-1401\"\n", "give the part number"),
        ("batch = \"C-0588\"\n", "give the serial or batch"),
        ("document = \"DEMO-REL-0207\"\n", "name the source document"),
        ("on = 2026-03-12\n", "give the date"),
    ] {
        let found = Job::first().add(&CAMSHAFT.replace(lost, "")).judge();
        assert!(found.whole().contains(words), "{}", found.whole());
    }
}

#[test]
fn a_part_changed_without_naming_the_work_reopens_all_the_same() {
    let found = Job::first().add(&CAMSHAFT.replace("rework = \"camshaft-changed\"\n", "")).judge();
    found.is("C1", "open").says("C1", "reopened by camshaft changed").is("EC", "open");
}

#[test]
fn work_that_the_engine_file_knows_is_named() {
    let job = Job::last().add("[[change]]\npart = \"crankcase\"\nwhy = \"reworked\"\nwhat = \"faces\"\ndata = \"OM-4\"\nby = \"RW\"\non = 2026-03-12\n");
    let found = job.judge();
    assert!(
        found.whole().contains("name the work, one of parting-faces-lapped, nick-stoned"),
        "{}",
        found.whole()
    );
}

fn ground(grade: &str) -> String {
    format!(
        "[[change]]\npart = \"crankshaft\"\nwhy = \"reworked\"\nwhat = \"mains ground\"\ndata = \"OM-4, table 9\"\n\
         grade = \"{grade}\"\nby = \"TD\"\non = 2026-03-10\n"
    )
}

fn mains(mut job: Job) -> Job {
    for n in 1..=3 {
        job = job.again(
            &format!("M{n}"),
            "shaft",
            "[2.2425, 2.2424]",
            "reworked",
            "by = \"RW\"; on = 2026-03-11; gauge = \"MIC-3\"",
        );
    }
    job
}

const SHELLS: &str = "[[change]]\npart = \"main-bearing-shells\"\nwhy = \"part changed\"\n\
    what = \"shells 0.006 undersize\"\nnumber = \"TW-1120-6\"\nbatch = \"B2\"\ndocument = \"R-9\"\nby = \"TD\"\non = 2026-03-10\n";

fn shells(mut job: Job) -> Job {
    for n in 1..=3 {
        job = job.again(
            &format!("M{n}"),
            "bore",
            "[2.2450, 2.2451]",
            "part changed",
            "by = \"TD\"; on = 2026-03-11; gauge = [\"BG-1\", \"MIC-3\"]",
        );
    }
    job
}

/// The demonstration's limits with a grade for the crankpins too.
fn graded() -> Job {
    Job::unprinted()
        .with(
            "limits",
            "shaft = { feature = \"crankpin\", new = [1.8115, 1.8125], wear = 1.8100 }\nbore  = { feature = \"rod-bore\", new = [1.8135, 1.8150] }\nfit   = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }\npage  = \"table 4, sheet 2\"\n",
            "shaft = { feature = \"crankpin\", new = [1.8115, 1.8125], wear = 1.8100 }\nbore  = { feature = \"rod-bore\", new = [1.8135, 1.8150] }\nfit   = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }\npage  = \"table 4, sheet 2\"\n[line.grades.\"0.006 undersize\"]\nshaft = { new = [1.8055, 1.8065], wear = 1.8040 }\nbore = { new = [1.8075, 1.8090] }\n",
        )
        .printed()
}

#[test]
fn grinding_reopens_every_journal_its_runout_and_the_crack_test() {
    let found = Job::last().add(&ground("0.006 undersize")).judge();
    for code in ["M1", "M2", "M3", "R1", "R4", "MR1", "UC"] {
        assert!(
            found.said(code).contains("reopened by journals ground undersize"),
            "{}",
            found.said(code)
        );
    }
    let crack = found
        .judged
        .items
        .iter()
        .find(|item| item.asks.iter().any(|ask| ask.why.contains("journals ground")));
    assert!(crack.is_some());
    found.silent("EK", "reopened").silent("C1", "reopened");
}

#[test]
fn one_grade_for_the_whole_crankshaft() {
    // Old shells with a ground shaft: their bores are beyond the grade's.
    let job = mains(graded().add(&ground("0.006 undersize")));
    job.judge().says("M1", "bore large").says("R1", "bore large");
    // New shells of the grade: 2.2450 - 2.2425 = 0.0025, 2.2451 - 2.2424 = 0.0027.
    let job = shells(job.add(SHELLS));
    let found = job.judge().is("M1", "within new limits").is("M3", "within new limits");
    drop(found.says("R1", "bore large").says("R1", "reopened"));
    // A journal outside the grade's new limits is out, though the fit holds.
    let small = shells(graded().add(&ground("0.006 undersize")).add(SHELLS)).again(
        "M1",
        "shaft",
        "[2.2419, 2.2419]",
        "reworked",
        "by = \"RW\"; on = 2026-03-12; gauge = \"MIC-3\"",
    );
    small.judge().says("M1", "shaft small by 0.0001");
}

#[test]
fn a_grade_that_the_limits_do_not_have_is_held() {
    let found = mains(Job::last().add(&ground("0.010 undersize"))).judge();
    assert!(
        found.whole().contains(
            "the limits have no grade 0.010 undersize for this part; they have 0.006 undersize"
        ),
        "{}",
        found.whole()
    );
    found.is("M1", "hold").says("M1", "no grade");
}

#[test]
fn one_grade_across_lines_too() {
    // Mains and pins ground under works of their own, so that neither reopens
    // the other: to one grade they pass, to two the crankshaft is refused.
    let works = "[reworks.mains-ground]\nname = \"mains ground\"\npart = \"crankshaft\"\nreopens = [\"feature main-journal\"]\n\n\
                 [reworks.pins-ground]\nname = \"pins ground\"\npart = \"crankshaft\"\nreopens = [\"feature crankpin\"]\n\n[reworks.crankshaft-ground]";
    let second = "[line.grades.\"0.006 undersize\"]\nshaft = { new = [1.8055, 1.8065], wear = 1.8040 }\nbore = { new = [1.8075, 1.8090] }\n";
    let ten = "[line.grades.\"0.010 undersize\"]\nshaft = { new = [1.8015, 1.8025], wear = 1.8000 }\nbore = { new = [1.8035, 1.8050] }\n";
    let base = || {
        graded()
            .with("engine", "[reworks.crankshaft-ground]", works)
            .with("limits", second, &format!("{second}{ten}"))
            .printed()
    };
    let one = |grade: &str, work: &str, on: &str| {
        ground(grade)
            .replace("why =", &format!("rework = \"{work}\"\nwhy ="))
            .replace("2026-03-10", on)
    };
    let found = |grade: &str, pins: &str| {
        let mut job = mains(base().add(&one("0.006 undersize", "mains-ground", "2026-03-10")));
        job = job.add(&one(grade, "pins-ground", "2026-03-12"));
        for n in 1..=4 {
            job = job.again(
                &format!("R{n}"),
                "shaft",
                pins,
                "reworked",
                "by = \"RW\"; on = 2026-03-13; gauge = \"MIC-2\"",
            );
        }
        job.judge()
    };
    assert_eq!(found("0.006 undersize", "[1.8060, 1.8060]").whole(), "");
    assert_eq!(found("0.010 undersize", "[1.8020, 1.8020]").whole(), "");
}

#[test]
fn mixed_grades_are_held() {
    let two = SHELLS.replace("what = \"shells", "grade = \"0.010 undersize\"\nwhat = \"shells");
    let job = shells(mains(Job::last().add(&ground("0.006 undersize"))).add(&two));
    job.judge()
        .is("M1", "hold")
        .says("M1", "mixed grades, shaft 0.006 undersize and bore 0.010 undersize");
    // Ground again to another grade: journals that were only ground the first
    // time wait.
    let again = ground("0.010 undersize").replace("2026-03-10", "2026-03-12");
    let job = mains(Job::last().add(&ground("0.006 undersize"))).add(&again);
    job.judge().says("M1", "reopened by journals ground undersize");
}

#[test]
fn stoning_a_nick_reopens_nothing() {
    let nick = "[[change]]\npart = \"crankcase\"\nrework = \"nick-stoned\"\nwhy = \"reworked\"\nwhat = \"nick stoned\"\n\
                data = \"SP-1\"\nby = \"RW\"\non = 2026-03-12\n";
    Job::last().add(nick).judge().ends_final();
}

#[test]
fn lapping_the_faces_reopens_every_main_and_cam_bore() {
    let lapped = "[[change]]\npart = \"crankcase\"\nrework = \"parting-faces-lapped\"\nwhy = \"reworked\"\nwhat = \"lapped\"\n\
                  data = \"OM-4\"\nby = \"RW\"\non = 2026-03-12\n";
    let found = Job::last().add(lapped).judge();
    for code in ["M1", "M2", "M3", "C1", "C2", "C3"] {
        assert!(found.said(code).contains("bore reopened"), "{code}: {}", found.said(code));
    }
    found.silent("M1", "shaft reopened").silent("T1IN", "reopened");
    // Measured since, the shells are still new ones and the bores reworked.
    let job = Job::last().add(lapped).again(
        "M1",
        "bore",
        "[2.2512, 2.2514]",
        "reworked",
        "by = \"TD\"; on = 2026-03-13; gauge = [\"BG-1\", \"MIC-3\"]",
    );
    job.judge().is("M1", SERVICE).silent("M1", "reopened");
    let large = Job::last().add(lapped).again(
        "M1",
        "bore",
        "[2.2520, 2.2522]",
        "reworked",
        "by = \"TD\"; on = 2026-03-13; gauge = [\"BG-1\", \"MIC-3\"]",
    );
    large.judge().says("M1", "bore large by 0.0002");
}

#[test]
fn a_tappet_body_and_a_hydraulic_unit_reopen_their_own() {
    let change = |part: &str| {
        format!(
            "[[change]]\npart = \"{part}\"\nplaces = [\"3IN\"]\nwhy = \"part changed\"\nwhat = \"new\"\n\
             number = \"1\"\nbatch = \"2\"\ndocument = \"3\"\nby = \"RW\"\non = 2026-03-12\n"
        )
    };
    let body = Job::last().add(&change("tappets")).judge().says("T3IN", "shaft reopened");
    body.silent("T3EX", "reopened").silent("TL3IN", "reopened").blocked_by(&["XT", "T3IN"]);
    let unit = Job::last().add(&change("hydraulic-units")).judge().says("TL3IN", "reopened");
    unit.blocked_by(&["TL3IN", "TL 1", "TL 2", "TL 6", "TL 7"]);
}

#[test]
fn a_part_changed_before_it_was_first_measured_is_new_from_the_start() {
    // Valve 1 is changed on 1 March, its sheet measured days later: nothing to
    // measure again, and it must meet its own new limits.
    let change = "[[change]]\npart = \"exhaust-valves\"\nplaces = [\"1\"]\nwhy = \"part changed\"\n\
                  what = \"new\"\nnumber = \"1\"\nbatch = \"2\"\ndocument = \"3\"\nby = \"RW\"\non = 2026-02-28\n\
                  redone = [\"CL 13\"]\n";
    Job::last().add(change).judge().ends_final();
    let small = Job::last()
        .add(change)
        .row("E1.shaft", "[0.4020, 0.4020]")
        .row("E1.bore", "[0.4050, 0.4051]")
        .judge();
    small.says("E1", "shaft small by 0.0002");
}

#[test]
fn a_set_weighed_together_waits_for_the_changed_one_alone() {
    // Rod 2 is changed: of the four weights that one is taken again.
    let found = Job::last().judge();
    let side = &found.row("WR").last().unwrap().sides[0];
    let weights: Vec<String> =
        side.boxes.iter().flatten().map(|typed| typed.text.to_string()).collect();
    assert_eq!(weights.len(), 4);
    let change = "[[change]]\npart = \"connecting-rods\"\nplaces = [\"2\"]\nrework = \"rod-changed\"\nwhy = \"part changed\"\n\
                  what = \"new rod\"\nnumber = \"1\"\nbatch = \"2\"\ndocument = \"3\"\nby = \"RW\"\non = 2026-03-12\n";
    let job = Job::last().add(change);
    job.judge()
        .says("WR", "reopened by connecting rod changed")
        .says("R2", "bore reopened")
        .silent("R1", "reopened");
    let rest = "by = \"RW\"; on = 2026-03-12; gauge = \"BAL-1\"";
    let found = job.again("WR", "read 2", &weights[1], "part changed", rest).judge();
    found.silent("WR", "reopened").silent("WR", "blank").is("WR", "within new limits");
}

#[test]
fn leaves_tried_again_replace_those_before() {
    // The burr of the driven gear's tooth 9, stoned: 0.004 no longer enters.
    let change = "[[change]]\npart = \"pump-driven-gear\"\nwhy = \"part changed\"\nwhat = \"new gear\"\nnumber = \"1\"\nbatch = \"2\"\n\
                  document = \"3\"\nby = \"TD\"\non = 2026-03-12\nredone = [\"P 3\"]\n";
    let found =
        Job::last().add(change).judge().says("GN", "reopened by oil pump driven gear changed");
    found.silent("M1", "reopened");
    let again = Job::last().again(
        "GN",
        "leaves",
        "[[9, 0.004, \"entered\"], [9, 0.005, \"refused\"]]",
        "measured again",
        "by = \"TD\"; on = 2026-03-12; gauge = \"FEEL-1\"",
    );
    let found = again.judge();
    assert_eq!(found.row("GN").last().unwrap().sides[0].leaves.len(), 2);
    assert_eq!(found.row("GN").last().unwrap().sides[0].leaves[0].1.to_string(), "0.004");
}
