//! A gauge for each line of a sheet that reads several: what was read with a
//! feeler carries no dial indicator's uncertainty, is held by its own gauge
//! alone, and says so wherever gauges are named.

use super::Job;
use super::budgets::in_words;
use super::gauges::due;
use benchleaf::analysis::recall;
use benchleaf::diag::Diags;
use benchleaf::sheet::expand;
use benchleaf::{load, record};

/// On sheet J, as typed.
const EACH: &str = "gauge = { RB = [\"TEL-1\", \"MIC-2\"], RT = \"DI-1\", RP = \"DI-1\", WR = \"BAL-1\", WP = \"BAL-1\", RS = \"FEEL-2\" }";
const ALL: &str = "gauge = [\"TEL-1\", \"MIC-2\", \"DI-1\", \"FEEL-2\", \"BAL-1\"]";

fn budget(job: &Job, code: &str) -> Vec<String> {
    let found = job.judge();
    in_words(job, found.row(code).last().unwrap().verdict.budget())
}

#[test]
fn a_line_is_judged_under_its_own_gauges_alone() {
    let job = Job::last();
    assert_eq!(budget(&job, "RS1"), [""; 0], "the leaves state no uncertainty");
    assert_eq!(budget(&job, "RT1"), ["read DI-1 0.0002"]);
    assert_eq!(budget(&job, "H"), ["shaft MIC-2 0.0001", "bore TEL-1 0.0003", "bore MIC-1 0.0001"]);
    // In one list all of them stand behind each: nothing is less safe than it was.
    let list = Job::last().sheet("J", EACH, ALL);
    assert_eq!(budget(&list, "RS1"), ["read DI-1 0.0002"]);
    assert_eq!(budget(&list, "RT1"), ["read DI-1 0.0002"]);
    list.judge().ends_final();
}

#[test]
fn a_lapsed_gauge_holds_its_own_lines() {
    let lapsed = |job: Job| due(job, "DI-1", "2026-03-03").judge();
    lapsed(Job::last()).is("RT1", "hold").is("RP4", "hold").is("RS1", "within new limits");
    lapsed(Job::last().sheet("J", EACH, ALL)).is("RS1", "hold");
}

#[test]
fn a_line_whose_gauge_is_blank_is_asked_for() {
    let asks = |other: &str| Job::last().sheet("J", EACH, other).judge().sheet("J");
    let none = |of: &str| format!("open: sheet J: no gauge named for {of}");
    assert_eq!(asks(&EACH.replace("\"FEEL-2\"", "\"\"")), none("RS"));
    assert_eq!(asks(&EACH.replace("\"FEEL-2\"", "\"-\"")), none("RS"));
    assert_eq!(asks(&EACH.replace(", RS = \"FEEL-2\"", "")), none("RS"));
    assert_eq!(asks(&EACH.replace("[\"TEL-1\", \"MIC-2\"]", "[]")), none("RB"));
    assert_eq!(asks("gauge = \"\""), none("read"));
    // Two are two questions; what was not read has none.
    let two = EACH.replace("\"DI-1\"", "\"\"");
    assert_eq!(asks(&two).matches("no gauge named for R").count(), 2, "{}", asks(&two));
    let blank = "[]";
    let unread = Job::last().sheet("J", EACH, &EACH.replace("WR = \"BAL-1\"", "WR = \"\""));
    assert_eq!(unread.row("WR.read", blank).judge().sheet("J"), "");
}

/// Where several sign for one side, each names the gauges of the rows that are
/// theirs, and of no others.
#[test]
fn whoever_signs_for_some_rows_names_their_gauges() {
    let both = |first: &str, other: &str| {
        let two = format!(
            "read = [{{ by = \"TD\", on = 2026-03-04, {first}, zero = \"vv\" }}, \
             {{ by = \"RW\", on = 2026-03-04, {other}, zero = \"vv\", rows = [\"RS1\", \"RT1\"] }}]"
        );
        let one = format!("read  = {{ by = \"TD\", on = 2026-03-04, {EACH}, zero = \"vv\" }}");
        Job::last().sheet("J", &one, &two).judge()
    };
    let theirs = "gauge = { RT = \"DI-1\", RS = \"FEEL-2\" }";
    assert_eq!(both(EACH, theirs).sheet("J"), "");
    let asked = both(EACH, &theirs.replace("\"FEEL-2\"", "\"\"")).sheet("J");
    assert!(asked.contains("no gauge named for RS") && !asked.contains("for RT"), "{asked}");
    let asked = both(&EACH.replace("RS = \"FEEL-2\"", "RS = \"\""), theirs).sheet("J");
    assert!(asked.contains("no gauge named for RS") && !asked.contains("for RT"), "{asked}");
}

/// What a line's name is typed for must be printed there.
#[test]
fn a_gauge_of_a_line_that_is_not_there_is_a_fault() {
    let faults = |other: &str| {
        let job = Job::last().sheet("J", EACH, other);
        let mut out = Diags::new();
        let case = load::case(job.files(), &mut out);
        let set = case.as_ref().and_then(|case| expand(case, &mut out));
        let judged =
            case.zip(set).map(|(case, set)| record::judge(&case, &set, &mut out).is_some());
        assert!(judged != Some(true), "{other} is taken");
        out.render(job.files(), false)
    };
    let said = faults(&EACH.replace("RS =", "RX ="));
    assert!(said.contains("no line RX is read on sheet J under read"), "{said}");
    // A line of the sheet whose boxes are under other keys is none of these.
    let said = faults(&EACH.replace("RS =", "R ="));
    assert!(said.contains("no line R is read on sheet J under read"), "{said}");
    let said = faults(&EACH.replace("RS =", "rs ="));
    assert!(said.contains("in capitals: RS"), "{said}");
    let said = faults(&EACH.replace("FEEL-2", "FEEL-9"));
    assert!(said.contains("job.toml has no gauge FEEL-9"), "{said}");
    let said = faults(&EACH.replace("\"FEEL-2\"", "2026-03-04"));
    assert!(said.contains("this is a date"), "{said}");
    let said = faults("gauge = true");
    assert!(said.contains("gauge is"), "{said}");
}

/// Recall names the lines, and only those.
#[test]
fn a_recalled_gauge_is_found_by_its_lines() {
    let used = |job: &Job, id: &str| {
        let (case, _) = job.expanded();
        recall::gauge(case.record.as_ref().unwrap(), id, None)
    };
    let job = Job::last();
    assert_eq!(
        used(&job, "FEEL-2"),
        [
            "sheet J read RS, 2026-03-04",
            "sheet RG read PG, 2026-03-05",
            "sheet FV read, 2026-03-18"
        ]
    );
    assert!(used(&job, "di-1").contains(&"sheet J read RT RP, 2026-03-04".to_owned()));
    let list = job.sheet("J", EACH, ALL);
    assert_eq!(used(&list, "FEEL-2")[0], "sheet J read, 2026-03-04");
}
