//! A sheet and the sizes that it was printed from.

use super::{place, readied, shafts_known};
use crate::record::Job;

/// The record with the bores typed in from a sheet printed before them.
fn from_the_sheet() -> Job {
    let (_, sheets) = readied(&shafts_known(), None);
    let typed = sheets[0].typed();
    let job = shafts_known()
        .row("C1.bore", "[1.3752, 1.3753]")
        .row("C2.bore", "[1.3755, 1.3756]")
        .row("C3.bore", "[1.3755, 1.3757]");
    job.sheet("C", "shaft = {", &format!("second = \"{typed}\"\nshaft = {{"))
}

#[test]
fn what_was_printed_stands() {
    let found = from_the_sheet().judge();
    for code in ["C1", "C2", "C3"] {
        assert!(found.row(code).state.passes(), "{}", found.said(code));
    }
}

#[test]
fn one_reading_strands_its_row_alone() {
    let found = from_the_sheet().row("C2.shaft", "[1.3718, 1.3715]").judge();
    assert_eq!(found.state("C2"), "query");
    let said = found.said("C2");
    assert!(said.contains("is stale: C2 was printed with"), "{said}");
    assert!(said.contains("largest shaft 1.3718, smallest 1.3715"), "{said}");
    for code in ["C1", "C3"] {
        assert!(found.row(code).state.passes(), "{}", found.said(code));
    }
}

/// FINAL knows it: C2 was printed from 1.3718 and 1.3716, and JA has measured
/// the journal again since, 1.3717. The record that is final without the line
/// of that sheet is not with it, and the row is named.
#[test]
fn a_record_typed_from_a_stale_sheet_is_not_final() {
    let (_, sheets) = readied(&shafts_known(), None);
    let line = format!("second = \"{}\"\nshaft = {{", sheets[0].typed());
    Job::last().judge().ends_final();
    let found = Job::last().sheet("C", "shaft = {", &line).judge();
    let said = found.said("C2");
    assert!(said.contains("second-stage sheet C·2") && said.contains("is stale: C2"), "{said}");
    assert!(said.contains("largest shaft 1.3717, smallest 1.3716"), "{said}");
    found.is("C2", "query").blocked_by(&["C2"]);
}

/// A reading between the two extremes, or the boxes exchanged, changes nothing
/// that was printed.
#[test]
fn the_same_extremes_stand() {
    let found = from_the_sheet().row("C2.shaft", "[1.3716, 1.3718]").judge();
    assert!(found.row("C2").state.passes(), "{}", found.said("C2"));
}

#[test]
fn the_limits_revision_strands_every_row() {
    let job = from_the_sheet();
    let found = job.with("limits", "revision   = \"7\"", "revision   = \"8\"").judge();
    for code in ["C1", "C2", "C3"] {
        assert!(found.said(code).contains("is stale"), "{}", found.said(code));
    }
}

/// Measured again, with another size: stale. Printed again from what is there
/// now, the last sheet that names the row counts.
#[test]
fn measured_again_and_printed_again() {
    let rest = "by = \"JA\"; on = 2026-03-06; gauge = \"MIC-2\"";
    let job = from_the_sheet().again("C2", "shaft 2", "1.3717", "measured again", rest);
    assert!(job.judge().said("C2").contains("is stale"));
    let (_, sheets) = readied(&job, Some("C"));
    let (_, before) = readied(&shafts_known(), None);
    assert_ne!(place(&sheets, "C2").code, place(&before, "C2").code);
    assert_eq!(place(&sheets, "C1").code, place(&before, "C1").code);
    let (old, new) = (before[0].typed(), sheets[0].typed());
    let job =
        job.sheet("C", &format!("second = \"{old}\""), &format!("second = [\"{old}\", \"{new}\"]"));
    assert!(!job.judge().said("C2").contains("is stale"), "{}", job.judge().said("C2"));
}

/// A camshaft fitted after the bores were read does not unsay what the paper
/// said on that day: the case was not disturbed.
#[test]
fn a_part_changed_later_leaves_the_bores() {
    let (_, sheets) = readied(&shafts_known(), None);
    let typed = sheets[0].typed();
    let line = format!("second = \"{typed}\"\nshaft = {{");
    let found = Job::last().sheet("C", "shaft = {", &line).judge();
    assert!(!found.said("C1").contains("stale"), "{}", found.said("C1"));
    assert!(found.row("C1").state.passes(), "{}", found.said("C1"));
}

/// The code alone, as a person copies it from the paper, is that of the whole
/// sheet; a slip in copying is asked about.
#[test]
fn the_code_alone() {
    let (_, sheets) = readied(&shafts_known(), None);
    let full = format!("second = \"{}\"", sheets[0].typed());
    let alone =
        |code: &str| from_the_sheet().sheet("C", &full, &format!("second = \"{code}\"")).judge();
    let code = &sheets[0].code;
    assert!(alone(code).row("C2").state.passes());
    assert!(alone(&code.to_lowercase()).row("C2").state.passes());
    assert!(alone("0000").said("C2").contains("not the code of the sizes on record"));
    let slip = full.replacen("C2 ", "C2 9", 1);
    let found = from_the_sheet().sheet("C", &full, &slip).judge();
    assert!(
        found.said("C2").contains("does not go with those of its rows"),
        "{}",
        found.said("C2")
    );
}
