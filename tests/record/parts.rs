//! A changed part takes its readings with it: every line and every item that
//! names it is open again, no new part is fitted to readings of a part that has
//! gone, and whose hand measured the old part no longer matters. (The trade's
//! rule: common practice, no source. Each case is a record that was final or
//! printed a row that never existed.)

use super::{Found, Job};
use benchleaf::analysis::{Aside, Disposition, set_aside};
use benchleaf::judge::PartState;
use benchleaf::record::Step;

const RW: &str = "by = \"RW\"; on = 2026-03-13; gauge = \"MIC-2\"";

/// The engine file without one of its works, each a line of its own.
fn without(job: Job, work: &str) -> Job {
    let line = ENGINE.lines().find(|line| line.split(' ').next() == Some(work));
    job.with("engine", line.unwrap_or_else(|| panic!("no work {work}")), "")
}

/// The engine file with another work: the change of a part that opens only this.
fn with_work(job: Job, part: &str, reopens: &str) -> Job {
    let work = format!(
        "[reworks.own-work]\nname = \"own work\"\npart = \"{part}\"\npart-changed = true\n\
         reopens = [\"{reopens}\"]\n\n[reworks.nick-stoned]"
    );
    job.with("engine", "[reworks.nick-stoned]", &work)
}

const ENGINE: &str = include_str!("../../demo/engine.toml");

fn changed(part: &str, on: &str, more: &str) -> String {
    format!(
        "[[change]]\npart = \"{part}\"\nwhy = \"part changed\"\nwhat = \"new {part}\"\nnumber = \"1\"\n\
         batch = \"2\"\ndocument = \"3\"\nby = \"RW\"\non = 2026-03-{on}\n{more}\n"
    )
}

fn figures(step: &Step) -> Vec<String> {
    let typed = step.sides.iter().flat_map(|side| side.boxes.iter().flatten());
    typed.map(|typed| typed.text.to_string()).collect()
}

/// No step holds both figures.
#[track_caller]
fn never_together(found: &Found, code: &str, one: &str, other: &str) {
    for step in &found.row(code).steps {
        let figures = figures(step);
        let both = [one, other].iter().all(|wanted| figures.iter().any(|f| f == wanted));
        assert!(!both, "{code}: {figures:?}");
    }
}

/// Crack tests of other parts stand: the form says which part each of them is of.
/// The engine's own table names fewer, and then they all stand.
#[test]
fn a_new_pin_is_tested_for_cracks_like_the_old_one() {
    let change = changed("piston-pins", "12", "places = [\"2\"]");
    let open = |job: Job| {
        let found = job.add(&change).judge();
        let tests = (6..=20).filter(|n| found.item("CL", *n).blocks());
        tests.collect::<Vec<u32>>()
    };
    assert_eq!(open(Job::last()), [9]);
    assert_eq!(open(with_work(Job::last(), "piston-pins", "feature pin-ends")), [0; 0]);
    let two = without(Job::last(), "pump-driven-gear-changed");
    assert_eq!(open(two.add(&changed("pump-driven-gear", "12", ""))), [9, 18]);
    let text = Job::last().add(&change).judge();
    let asks = &text.item("CL", 9).asks;
    assert!(asks[0].why.starts_with("reopened by piston-pins, part changed"), "{asks:?}");
}

#[test]
fn a_new_spring_does_not_keep_the_load_of_the_old_one() {
    let job = Job::last().add(&changed("outer-springs", "12", "places = [\"2IN\"]"));
    let found =
        job.judge().is("SU2IN", "open").says("SU2IN", "reopened by outer-springs, part changed");
    assert!(figures(found.row("SU2IN").last().unwrap()).is_empty());
    let found = found.is("SU2EX", "within new limits").is("SN2IN", "within new limits");
    found.blocked_by(&["SU2IN", "SP 1"]);
    // A work of the engine's table that names the load alone.
    let told = with_work(Job::last(), "outer-springs", "line SU").add(&changed(
        "outer-springs",
        "12",
        "places = [\"2IN\"]",
    ));
    told.judge().blocked_by(&["SU2IN"]);
    let rest = "by = \"TD\"; on = 2026-03-12; gauge = \"SPR-1\"; inspector = \"JA\"";
    let redone = Job::last()
        .add(&changed("outer-springs", "12", "places = [\"2IN\"]\nredone = [\"SP 1\"]"))
        .again("SU2IN", "read", "[75]", "part changed", rest);
    redone.judge().is("SU2IN", "within new limits").ends_final();
}

#[test]
fn a_new_gear_is_tried_with_every_leaf_again() {
    let named = "teeth = 12\n";
    let job = |more: &str| {
        without(Job::unprinted(), "pump-driven-gear-changed")
            .with("limits", named, "teeth = 12\npart  = \"pump-driven-gear\"\n")
            .add(&changed("pump-driven-gear", "12", more))
            .printed()
    };
    let found =
        job("").judge().is("GN", "open").says("GN", "go reopened").says("GN", "nogo reopened");
    let side = &found.row("GN").last().unwrap().sides[0];
    assert!(side.leaves.is_empty() && !found.row("GN").last().unwrap().sides[0].filled(0));
    found.blocked_by(&["GD", "GN", "GB", "GT", "DB", "CL 18", "P 3", "P 24", "P 25"]);
    let rest = "by = \"TD\"; on = 2026-03-12; gauge = \"FEEL-1\"";
    let ticks = "\"vvvv vvvv vvvv\"";
    let go = job("").again("GN", "go", ticks, "part changed", rest);
    go.judge().is("GN", "open").says("GN", "nogo reopened");
    let all = go.again("GN", "nogo", ticks, "part changed", rest);
    // The leaves of the service limits say nothing of a new gear's new ones.
    all.judge().silent("GN", "reopened").is("GN", "open").says("GN", "open, not proven");
}

#[test]
fn counts_and_what_is_only_recorded_too() {
    let found = Job::last().add(&changed("crankcase", "12", "")).judge();
    // Bores, seats without shells, ticks of the case and of the bearings' seats.
    for code in ["C1", "T1IN", "MB1"] {
        assert_eq!(found.state(code), "open", "{code}");
    }
    for (letter, n, reopened) in [("L", 12, true), ("L", 22, true), ("L", 23, false)] {
        let asked = found.item(letter, n).asks.iter().any(|ask| ask.why.contains("reopened"));
        assert_eq!(asked, reopened, "{letter} {n}");
    }
    let studs = Job::last().add(&changed("through-studs", "12", "")).judge();
    let studs = studs.is("XB", "open").says("XB", "reopened");
    assert!(studs.item("L", 3).blocks() && !studs.item("L", 5).blocks());
    let seals = Job::last().add(&changed("main-bearing-shells", "12", "")).judge();
    assert!(seals.item("RN", 1).blocks() && !seals.item("RN", 2).blocks());
}

#[test]
fn a_new_part_is_never_fitted_to_the_mate_that_went() {
    let job = Job::first()
        .add(&changed("camshaft", "12", "redone = [\"T 1\", \"T 2\"]"))
        .add(&changed("crankcase", "12", ""))
        .again("C1", "shaft", "[1.3733, 1.3733]", "part changed", RW)
        .again(
            "C1",
            "bore",
            "[1.3750, 1.3751]",
            "part changed",
            "by = \"TD\"; on = 2026-03-14; gauge = [\"TEL-1\", \"MIC-2\"]",
        );
    let found = job.judge().is("C1", "within new limits").silent("C1", "reopened");
    never_together(&found, "C1", "1.3733", "1.3752");
    assert_eq!(found.row("C1").steps[1].verdict.state.word(), "open");
    // Typed the other way round the chain is the same: it goes by the days.
    let turned = Job::first()
        .again(
            "C1",
            "bore",
            "[1.3750, 1.3751]",
            "part changed",
            "by = \"TD\"; on = 2026-03-14; gauge = [\"TEL-1\", \"MIC-2\"]",
        )
        .again("C1", "shaft", "[1.3733, 1.3733]", "part changed", RW)
        .add(&changed("crankcase", "12", ""))
        .add(&changed("camshaft", "12", "redone = [\"T 1\", \"T 2\"]"))
        .judge()
        .is("C1", "within new limits");
    let steps = |found: &Found| found.row("C1").steps.iter().map(figures).collect::<Vec<_>>();
    assert_eq!(steps(&found), steps(&turned));
}

#[test]
fn nor_on_the_tag_of_the_part_that_went() {
    let job = Job::first()
        .add(&changed("camshaft", "12", ""))
        .add(&changed("crankcase", "14", ""))
        .again("C1", "shaft", "[1.3715, 1.3715]", "part changed", RW);
    let said = |job: &Job, part: &str| {
        let (case, set) = job.expanded();
        let judged = job.judge().judged;
        let tags: Vec<Aside> = set_aside(&case, &set, case.record.as_ref().unwrap(), &judged);
        let tags =
            tags.into_iter().filter(|t| t.disposition == Disposition::Scrap && t.part == part);
        tags.flat_map(|tag| tag.said)
            .filter(|(code, _)| code == "C1")
            .map(|(_, t)| t)
            .collect::<Vec<_>>()
    };
    // The case went with the new shaft in it; the old shaft with the old case.
    assert_eq!(said(&job, "crankcase"), ["bore 1.3752 1.3753: out, shaft small by 0.0010"]);
    assert_eq!(said(&job, "camshaft"), ["shaft 1.3731 1.3730: within new limits"]);
    // The case went first: the new shaft was never in it.
    let first = Job::first()
        .add(&changed("camshaft", "12", ""))
        .add(&changed("crankcase", "12", ""))
        .again("C1", "shaft", "[1.3715, 1.3715]", "part changed", RW);
    assert_eq!(said(&first, "crankcase"), ["bore 1.3752 1.3753: within new limits"]);
    // Changed twice and read once: the part between was never read.
    let twice = Job::first()
        .add(&changed("camshaft", "11", ""))
        .add(&changed("camshaft", "12", ""))
        .again("C1", "shaft", "[1.3733, 1.3733]", "part changed", RW);
    assert_eq!(said(&twice, "camshaft"), ["shaft 1.3731 1.3730: within new limits"]);
}

#[test]
fn what_went_is_no_longer_judged() {
    // C2 was out with the old camshaft: it is open, no part of it waits.
    let job = Job::first().add(&changed("camshaft", "12", ""));
    let found = job.judge().is("C2", "open").says("C2", "reopened by camshaft changed");
    let row = found.row("C2");
    assert_eq!(row.steps[row.steps.len() - 1].what, "new camshaft");
    assert_eq!(row.steps[row.steps.len() - 2].verdict.state.word(), "out");
    let (case, set) = job.expanded();
    let tags = set_aside(&case, &set, case.record.as_ref().unwrap(), &found.judged);
    assert!(
        tags.iter()
            .all(|tag| tag.disposition != Disposition::Quarantine || !tag.code.starts_with('C'))
    );
    // Nor does an n.a. hide what was read before.
    let na = job.typed("C2.bore = ", "C2.na = { why = \"not fitted\", by = \"JA\" }\nC2.bore = ");
    na.judge().is("C2", "query");
}

#[test]
fn whose_hand_took_the_old_readings_is_free_again() {
    // Out with the old shaft; the new one first misread by a sleeve turn.
    let job = Job::first().add(&changed("camshaft", "12", "")).again(
        "C2",
        "shaft",
        "[1.3732, 1.3982]",
        "part changed",
        RW,
    );
    let job = job.again("C2", "shaft 2", "1.3732", "measured again", RW);
    job.judge().is("C2", "within service limits").silent("C2", "hold");
    // The bore is the old one: out by itself it is not washed by the shaft's change.
    let worn = Job::first()
        .row("C2.bore", "[1.3774, 1.3774]")
        .add(&changed("camshaft", "12", ""))
        .again(
            "C2",
            "bore",
            "[1.3766, 1.3766]",
            "measured again",
            "by = \"TD\"; on = 2026-03-13; gauge = [\"TEL-1\", \"MIC-2\"]",
        )
        .again("C2", "shaft", "[1.3732, 1.3732]", "part changed", RW);
    worn.judge().is("C2", "hold").says("C2", "an out becomes a pass only by another person");
}

#[test]
fn repeats_look_back_no_further_than_the_work() {
    // Faces lapped: the bores are another 0.0010 smaller, and that is no repeat.
    let lapped = "[[change]]\npart = \"crankcase\"\nrework = \"parting-faces-lapped\"\nwhy = \"reworked\"\nwhat = \"lapped\"\n\
                  data = \"OM-4\"\nby = \"RW\"\non = 2026-03-12\n";
    let td = "by = \"TD\"; on = 2026-03-13; gauge = [\"BG-1\", \"MIC-3\"]";
    let job = Job::last().add(lapped).again("M1", "bore", "[2.2505, 2.2506]", "measured again", td);
    job.judge().silent("M1", "differs from").silent("M1", "reopened");
    let far = Job::last().again("M1", "bore", "[2.2505, 2.2506]", "measured again", td);
    far.judge().is("M1", "hold").says("M1", "differs from 2.2512");
}

#[test]
fn said_to_be_new_once_more_it_is_a_repeat() {
    // A new camshaft too small for its new limits; by the same hand, and again
    // typed as of the change, it does not become good.
    let job = Job::first()
        .add(&changed("camshaft", "12", ""))
        .again("C1", "shaft", "[1.3723, 1.3723]", "part changed", RW)
        .again(
            "C1",
            "shaft",
            "[1.3725, 1.3725]",
            "part changed",
            RW.replace("13;", "14;").as_str(),
        );
    job.judge().is("C1", "hold").says("C1", "an out becomes a pass only by another person");
}

#[test]
fn a_work_that_names_a_line_of_the_same_readings_reopens_them() {
    // CR is judged on the readings of the journals.
    let job = Job::last().with(
        "engine",
        "reopens = [\"feature cam-journal\", \"line LH\"",
        "reopens = [\"line CR\", \"line LH\"",
    );
    let found = job.add(&changed("camshaft", "18", "redone = [\"T 1\", \"T 2\"]")).judge();
    for code in ["C1", "CR1"] {
        assert!(found.said(code).contains("reopened by camshaft changed"), "{}", found.said(code));
    }
}

#[test]
fn a_new_part_worked_on_afterwards_is_still_new() {
    // A guide changed, then reamed after other work: held to its new limits.
    let work = "[reworks.guide-reamed]\nname = \"guide reamed\"\npart = \"intake-guides\"\nreopens = [\"feature intake-guide-bore\"]\n\n[reworks.nick-stoned]";
    let td = "by = \"TD\"; on = 2026-03-14; gauge = [\"SHG-1\", \"MIC-1\"]";
    let reamed = changed(
        "intake-guides",
        "13",
        "places = [\"1\"]\nrework = \"guide-reamed\"\ndata = \"OM-4\"",
    )
    .replace("part changed", "reworked");
    let job = Job::last()
        .with("engine", "[reworks.nick-stoned]", work)
        .add(&changed("intake-guides", "12", "places = [\"1\"]"))
        .add(&reamed)
        .again("I1", "bore", "[0.3740, 0.3740]", "reworked", td);
    job.judge().says("I1", "bore large by 0.0002");
}

#[test]
fn work_that_the_engine_file_does_not_know_reopens_the_part() {
    let honed = changed("pushrods", "12", "places = [\"1IN\"]\ndata = \"OM-4\"")
        .replace("part changed", "reworked");
    let found =
        Job::last().add(&honed).judge().is("UP1IN", "open").is("UP1EX", "within new limits");
    assert!(found.item("TL", 3).blocks());
}

#[test]
fn a_part_changed_and_changed_again_needs_its_papers_once() {
    let lost = |text: String| text.replace("document = \"3\"\n", "");
    let job = Job::last().add(&lost(changed("outer-springs", "12", "places = [\"2IN\"]")));
    assert!(job.judge().whole().contains("name the source document"));
    let rest = "by = \"TD\"; on = 2026-03-13; gauge = \"SPR-1\"; inspector = \"JA\"";
    let again = "places = [\"2IN\"]\nredone = [\"SP 1\"]";
    let again = job.add(&changed("outer-springs", "13", again));
    let again = again.again("SU2IN", "read", "[75]", "part changed", rest);
    again.judge().ends_final();
    // A spring at another place is another part.
    let other = Job::last()
        .add(&lost(changed("outer-springs", "12", "places = [\"2IN\"]")))
        .add(&changed("outer-springs", "13", "places = [\"2EX\"]"));
    assert!(other.judge().whole().contains("name the source document"));
}

#[test]
fn looked_over_after_the_last_change_is_enough() {
    let job = Job::last().typed(
        "document = \"DEMO-REL-0207\"\nby       = \"RW\"\non       = 2026-03-12\nredone   = [\"T 1\", \"T 2\", \"T 3\", \"T 4\", \"T 5\", \"CL 16\", \"A 52\"]",
        "document = \"DEMO-REL-0207\"\nby       = \"RW\"\non       = 2026-03-12",
    );
    // The faces were looked over after the later work on them, the crack test of
    // the new camshaft not, nor is its serial known.
    job.judge().blocked_by(&["A 52", "CL 16"]);
    let before = Job::last().typed(
        "on     = 2026-03-13\nredone = [\"T 1\", \"T 2\", \"T 3\", \"T 4\", \"T 5\"]",
        "on     = 2026-03-13",
    );
    before.judge().blocked_by(&["T 1", "T 2", "T 3", "T 4", "T 5"]);
}

/// After a change what is read is of the part that came, whatever reason is
/// given: it is held to new limits, and open until a reading names the change.
#[test]
fn what_is_read_after_a_change_is_of_the_new_part() {
    let job = Job::first().add(&changed("camshaft", "12", "redone = [\"T 1\", \"T 2\"]")).again(
        "C1",
        "shaft",
        "[1.3720, 1.3720]",
        "measured again",
        RW,
    );
    let found = job.judge().is("C1", "out, shaft small by 0.0005").says("C1", "reopened by");
    assert_eq!(found.row("C1").last().unwrap().sides[0].state, PartState::New);
}

/// The paper of a part that has gone is read again: no figure of it is fitted
/// to the mate, nor stands beside a reading of the part that came.
#[test]
fn what_was_mistyped_of_a_part_that_has_gone_is_no_reading() {
    let job = Job::first()
        .add(&changed("camshaft", "12", "redone = [\"T 1\", \"T 2\"]"))
        .again("C1", "shaft 1", "1.3733", "part changed", RW)
        .again("C1", "shaft", "[1.3734, 1.3721]", "mistyped", "by = \"JA\"; on = 2026-03-16");
    let found = job.judge();
    let last = found.row("C1").last().unwrap();
    assert!(!last.sides[0].filled(1), "{:?}", last.sides[0].boxes);
    assert!(!found.row("C1").state.passes(), "{}", found.said("C1"));
    never_together(&found, "C1", "1.3734", "1.3721");
}
