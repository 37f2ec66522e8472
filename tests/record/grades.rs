//! Grades: a feature's, at all of its places on one part; also from before the
//! job was opened.

use super::Job;
use benchleaf::diag::Diags;
use benchleaf::load;

const NEW: &str = "within new limits";
const SERVICE: &str = "within service limits";

/// The rods' line with a pin 0.010 under in a bearing 0.010 over, and works that
/// disturb the pins alone.
fn pins() -> Job {
    let fit = "bore  = { feature = \"rod-bore\", new = [1.8135, 1.8150] }\nfit   = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }\npage  = \"table 4, sheet 2\"\n";
    let grade = "[line.grades.\"0.010 under\"]\nshaft = { new = [1.8015, 1.8025], wear = 1.8000 }\nbore = { called = \"0.010 over\", new = [1.8035, 1.8050] }\n";
    let main = "[line.grades.\"0.006 undersize\"]";
    let ten = "[line.grades.\"0.010 under\"]\nshaft = { new = [2.2380, 2.2390], wear = 2.2360 }\nbore  = { new = [2.2405, 2.2420] }\n\n";
    let works = "[reworks.pins-ground]\nname = \"pins ground\"\npart = \"crankshaft\"\nreopens = [\"feature crankpin\"]\n\n[reworks.crankshaft-ground]";
    Job::unprinted()
        .with("engine", "[reworks.crankshaft-ground]", works)
        .with("limits", fit, &format!("{fit}{grade}"))
        .with("limits", main, &format!("{ten}{main}"))
        .printed()
}

const GROUND: &str = "[[change]]\npart = \"crankshaft\"\nfeature = \"crankpin\"\nrework = \"pins-ground\"\nwhy = \"reworked\"\n\
    what = \"pins ground\"\ndata = \"OM-4, table 9\"\ngrade = \"0.010 under\"\nby = \"TD\"\non = 2026-03-10\n";
const SHELLS: &str = "[[change]]\npart = \"rod-bearing-shells\"\nwhy = \"part changed\"\n\
    what = \"shells\"\nnumber = \"TW-1121\"\nbatch = \"B2\"\ndocument = \"R-9\"\ngrade = \"0.010 over\"\nby = \"TD\"\non = 2026-03-10\n";

fn measured(mut job: Job, shaft: &str, bore: &str) -> Job {
    for n in 1..=4 {
        let row = format!("R{n}");
        let rest = "by = \"RW\"; on = 2026-03-11; gauge = \"MIC-2\"";
        job = job.again(&row, "shaft", shaft, "reworked", rest);
        let rest = "by = \"TD\"; on = 2026-03-11; gauge = [\"BG-1\", \"MIC-2\"]";
        job = job.again(&row, "bore", bore, "part changed", rest);
    }
    job
}

#[test]
fn pins_ground_under_take_bearings_over_and_leave_the_mains() {
    let job = measured(pins().add(GROUND).add(SHELLS), "[1.8020, 1.8021]", "[1.8040, 1.8041]");
    let found = job.judge().is("R1", NEW).is("R4", NEW).is("M1", SERVICE);
    let found = found.silent("R1", "mixed").silent("M1", "reopened").silent("M1", "grade");
    assert_eq!(found.whole(), "");
    // A standard size in the ground pin's row is out by the grade's limits.
    let wrong = measured(pins().add(GROUND).add(SHELLS), "[1.8118, 1.8119]", "[1.8040, 1.8041]");
    assert!(wrong.judge().state("R1").starts_with("query") || wrong.judge().row("R1").blocks());
}

#[test]
fn a_bearing_of_another_grade_than_its_pin_is_held() {
    let other = SHELLS.replace("0.010 over", "0.006 over");
    let job = measured(pins().add(GROUND).add(&other), "[1.8020, 1.8021]", "[1.8040, 1.8041]");
    let found = job.judge().says("R1", "mixed grades, shaft 0.010 under and bore 0.006 over");
    assert!(found.whole().contains("the limits have no grade 0.006 over"), "{}", found.whole());
}

/// Without a feature named, a grade is every feature's that has one so called.
#[test]
fn a_grade_without_a_feature_is_all_the_part_s() {
    let all = GROUND.replace("feature = \"crankpin\"\nrework = \"pins-ground\"\n", "");
    let found = pins().add(&all).judge();
    found.says("M1", "shaft reopened").says("R1", "shaft reopened");
}

#[test]
fn journals_of_one_feature_are_of_one_grade() {
    let second = GROUND
        .replace(
            "feature = \"crankpin\"\nrework = \"pins-ground\"\n",
            "feature = \"main-journal\"\n",
        )
        .replace("2026-03-10", "2026-03-12");
    let first = second.replace("0.010 under", "0.006 undersize").replace("03-12", "03-09");
    let mut job = pins().add(&first).add(&second);
    for (n, on) in [(1, "2026-03-13"), (2, "2026-03-10"), (3, "2026-03-10")] {
        let read = if n == 1 { "[2.2385, 2.2384]" } else { "[2.2425, 2.2424]" };
        let rest = format!("by = \"RW\"; on = {on}; gauge = \"MIC-3\"");
        job = job.again(&format!("M{n}"), "shaft", read, "reworked", &rest);
    }
    let found = job.judge();
    // The later work was on them all: those not measured since are at its grade
    // and waited for.
    let found = found.says("M2", "shaft reopened").says("M3", "shaft reopened");
    assert_eq!(found.row("M2").last().unwrap().sides[0].state.grade(), Some("0.010 under"));
}

const ARRIVED: &str =
    "[[arrived]]\nfeature = \"main-journal\"\ngrade = \"0.006 undersize\"\n\n[feelers]";

#[test]
fn a_shaft_may_arrive_at_a_grade() {
    let ground = |job: Job| {
        (1..=3).fold(job, |job, n| {
            let job = job.row(&format!("M{n}.shaft"), "[2.2410, 2.2409]");
            job.row(&format!("M{n}.bore"), "[2.2450, 2.2451]")
        })
    };
    let job = ground(Job::unprinted().with("job", "[feelers]", ARRIVED)).printed();
    let found = job.judge().is("M1", SERVICE).is("M3", SERVICE);
    found.ends_final();
    // Worn beyond the grade's own wear limit of 2.2400.
    let worn = job.clone().row("M1.shaft", "[2.2399, 2.2399]").judge();
    worn.says("M1", "shaft small by 0.0001");
    let found = ground(Job::unprinted()).printed().judge();
    assert!(found.row("M1").blocks(), "{}", found.said("M1"));
    // The sheet says it, and another shaft's sheet has another number.
    let graded = &job.judge().set;
    let line = graded.sheet("M").unwrap().lines().find(|line| line.reference == "M").unwrap();
    let words = line.graded.join("\n");
    assert!(
        words.starts_with("grade 0.006 undersize: shaft no smaller than 2.2420 new"),
        "{words}"
    );
    assert!(words.ends_with("the main-journal came at this grade"), "{words}");
    let plain = Job::last().judge().set;
    assert_ne!(plain.sheet("M").unwrap().number, graded.sheet("M").unwrap().number);
    assert_eq!(plain.sheet("R").unwrap().number, graded.sheet("R").unwrap().number);
}

#[test]
fn a_grade_on_arrival_is_one_that_the_limits_have() {
    let wrong = |from: &str, to: &str| {
        let job = Job::unprinted().with("job", "[feelers]", &ARRIVED.replace(from, to));
        let mut out = Diags::new();
        assert!(load::case(&job.files, &mut out).is_none());
        out.iter().map(|diag| diag.message.clone()).collect::<Vec<_>>().join("\n")
    };
    let told = wrong("0.006 undersize", "0.016 undersize");
    assert_eq!(told, "the limits have no grade 0.016 undersize for main-journal");
    assert!(wrong("main-journal", "main-jurnal").contains("main-jurnal"));
    let told = wrong("\n\n[feelers]", "\nplaces = [\"1\"]\n\n[feelers]");
    assert_eq!(told, "one part carries every main-journal");
    let twice = ARRIVED.replace("\n\n[feelers]", "\n\n") + ARRIVED;
    let told = wrong(ARRIVED, &twice);
    assert_eq!(told, "a second grade for main-journal");
}

/// Shells that are never used twice: new ones of the grade of a ground pin serve,
/// used ones are out whatever they measure.
#[test]
fn new_bearings_of_a_grade_are_new_where_the_document_says_replace() {
    let own = "new = [1.8135, 1.8150] }";
    let never = |job: Job| {
        job.with("limits", own, "new = [1.8135, 1.8150], service = \"replace\" }").printed()
    };
    let job = measured(pins().add(GROUND).add(SHELLS), "[1.8020, 1.8021]", "[1.8040, 1.8041]");
    let found = never(job).judge().is("R1", NEW).is("R4", NEW);
    assert_eq!(found.whole(), "");
    // A pin that was ground is the old pin.
    let pin = "new = [1.8115, 1.8125], wear = 1.8100 }";
    let pins = pins().with("limits", pin, "new = [1.8115, 1.8125], service = \"replace\" }");
    let pins =
        pins.with("limits", "new = [1.8015, 1.8025], wear = 1.8000", "new = [1.8015, 1.8025]");
    let job = measured(pins.add(GROUND).add(SHELLS), "[1.8020, 1.8021]", "[1.8040, 1.8041]");
    job.printed().judge().is("R1", "out, shaft not new");
}
