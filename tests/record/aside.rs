//! Parts set aside: quarantine where the record waits for a decision, scrap
//! where it says that another part took the place. Who gets a tag is the
//! trade's practice (no source); the figures are the scenario's.

use super::Job;
use benchleaf::analysis::{Aside, Disposition, set_aside};
use benchleaf::sheet::tags;

fn parts(job: &Job) -> Vec<Aside> {
    let (case, set) = job.expanded();
    let judged = job.judge().judged;
    set_aside(&case, &set, case.record.as_ref().unwrap(), &judged)
}

fn named(parts: &[Aside], disposition: Disposition) -> Vec<String> {
    let of = parts.iter().filter(|part| part.disposition == disposition);
    of.map(|part| format!("{} {}", part.code, part.part)).collect()
}

fn said(parts: &[Aside], code: &str, disposition: Disposition) -> String {
    let part =
        parts.iter().find(|part| part.code == code && part.disposition == disposition).unwrap();
    let lines = part.said.iter().map(|(caption, text)| format!("{caption}: {text}"));
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn both_parts_of_a_fit_that_is_out_alone_wait() {
    // C3 is in query: it asks for a reading, not for a decision.
    let parts = parts(&Job::first());
    let waiting = named(&parts, Disposition::Quarantine);
    assert_eq!(waiting, ["C2 camshaft", "C2 crankcase"]);
    let said = said(&parts, "C2", Disposition::Quarantine);
    for words in [
        "C2: camshaft in crankcase: out, loose by 0.0002",
        "shaft: 1.3718 1.3716, RW, 2026-03-02, MIC-2",
        "bore: 1.3767 1.3768, TD, 2026-03-05, TEL-1 and MIC-2",
    ] {
        assert!(said.contains(words), "{words}:\n{said}");
    }
}

#[test]
fn only_the_part_that_is_out_by_itself_waits() {
    // Main journal wear limit 2.2460; the bearing of M2 is inside.
    let job = Job::first().row("M2.shaft", "[2.2459, 2.2458]");
    let waiting = named(&parts(&job), Disposition::Quarantine);
    assert_eq!(waiting, ["M2 crankshaft", "C2 camshaft", "C2 crankcase"]);
}

#[test]
fn an_out_accepted_on_data_has_had_its_decision() {
    let accepted = "[[accepted]]\nrow = \"C2\"\nauthority = \"the design office\"\n\
                    document = \"L-1\"\non = 2026-03-06\nby = \"JA\"";
    assert!(named(&parts(&Job::first().add(accepted)), Disposition::Quarantine).is_empty());
    let lacking = accepted.replace("document = \"L-1\"\n", "");
    assert_eq!(named(&parts(&Job::first().add(&lacking)), Disposition::Quarantine).len(), 2);
}

#[test]
fn what_a_lapsed_gauge_measured_waits_and_says_why() {
    let job = Job::last().with("job", "serial      = \"CF-0231\"\nrange       = [0.0000, 0.2500]\nresolution  = 0.0001\nuncertainty = 0.0002\ndue         = 2026-09-30", "serial      = \"CF-0231\"\nrange       = [0.0000, 0.2500]\nresolution  = 0.0001\nuncertainty = 0.0002\ndue         = 2026-03-12");
    let parts = parts(&job);
    let said = said(&parts, "EC", Disposition::Quarantine);
    assert!(said.contains("on hold: gauge DI-1 was due for calibration on 2026-03-12"), "{said}");
}

#[test]
fn what_was_found_and_not_decided_waits() {
    let job =
        Job::first().typed("done      = \"stud renewed, a clean nut runs the whole length\"\n", "");
    let parts = parts(&job);
    assert!(named(&parts, Disposition::Quarantine)[2].starts_with("L 3 "), "{parts:?}");
    assert!(
        said(&parts, "L 3", Disposition::Quarantine)
            .contains("found: clean nut binds half way down")
    );
}

#[test]
fn a_part_changed_is_scrap_with_its_own_last_figures() {
    let parts = parts(&Job::last());
    assert!(named(&parts, Disposition::Quarantine).is_empty());
    let scrap = named(&parts, Disposition::Scrap);
    let all =
        ["L/L6 through stud", "IP/3 intake pipe", "TL2EX hydraulic tappet unit", "C camshaft"];
    assert_eq!(scrap, all);
    let said = said(&parts, "C", Disposition::Scrap);
    // The worn shaft's, measured again by JA, not the new one's.
    assert!(said.contains("C2: shaft 1.3717 1.3716: out, loose by 0.0002"), "{said}");
    assert!(said.contains("in its place: TW-1401, serial C-0588, DEMO-REL-0207"), "{said}");
    assert!(said.contains("taken out: RW, 2026-03-12"), "{said}");
    assert!(!said.contains("1.3732"), "{said}");
}

/// One camshaft runs in all its bearings: its tag tells no opening, whichever of
/// them is reached through one; the piston pin of one cylinder is told its own.
#[test]
fn an_opening_is_told_on_the_tag_of_one_place_alone() {
    let own = "cylinder     = { codes = \"1-4\" }";
    let cylinder = own.replace(" }", ", reach = { 1 = \"past the baffle\" } }");
    let first = "reach = { 2 = \"through a cylinder opening\", 3 =";
    let all =
        "reach = { 1 = \"through a cylinder opening\", 2 = \"through a cylinder opening\", 3 =";
    let job = Job::last().with("engine", first, all).with("engine", own, &cylinder);
    let (case, set) = job.expanded();
    let tags = tags(&case, &set);
    let tag = |code: &str| tags.iter().find(|tag| tag.code == code).expect("a tag");
    assert_eq!((tag("C").part.as_str(), tag("C").place.as_str()), ("camshaft", ""));
    assert_eq!(tag("C").reach, None);
    assert_eq!(tag("N1").reach.as_deref(), Some("past the baffle"));
    assert_eq!(tag("N2").reach, None);
}
