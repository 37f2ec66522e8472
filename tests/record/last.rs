//! FINAL is refused for every reason of the rules, each by itself; exit status
//! 1 says the same (`Judged::blocks`).

use super::Job;
use benchleaf::record::Status;

#[test]
fn nothing_typed_is_a_draft() {
    let mut text = String::from("sheet-set = \"0000-0000\"\n");
    text.push_str("[A]\nnumber = \"0000\"\n");
    let mut job = Job::unprinted();
    job.files.put("readings.toml", text);
    let found = job.printed().judge();
    assert_eq!(found.judged.status, Status::Draft);
    assert!(found.judged.blocks());
}

/// Who did and who checked a sheet stands in the report with the day.
#[test]
fn the_report_says_on_which_day_each_sheet_was_signed() {
    let words = format!("{:?}", Job::last().report());
    assert!(words.contains("performed A on 2026-02-25"), "{words}");
    assert!(words.contains("on 2026-03-02") && words.contains("checked A"), "{words}");
    assert!(words.contains("Feeler leaves of the shop: 0.0015, 0.002, 0.0025, 0.003"));
    assert!(words.contains("telescoping gauge set, transfer"));
}

#[test]
fn anything_out() {
    let found = Job::last().row("SR.read", "[8.2]").judge().is("SR", "out, under by 0.3");
    found.blocked_by(&["SR"]);
    let accepted = Job::last().row("SR.read", "[8.2]").add(
        "[[accepted]]\nrow = \"SR\"\nauthority = \"maker\"\ndocument = \"letter 3\"\non = 2026-03-20\n",
    );
    accepted.judge().ends_final();
}

#[test]
fn anything_in_query() {
    let found = Job::last()
        .row("EK.read", "[0.009]")
        .judge()
        .is("EK", "query")
        .says("EK", "a digit is lost");
    found.blocked_by(&["EK"]);
}

#[test]
fn anything_on_hold() {
    let job =
        Job::last().typed("done      = \"stud renewed, a clean nut runs the whole length\"\n", "");
    let found = job.judge();
    assert_eq!(found.item("L", 3).state.word(), "hold");
    found.blocked_by(&["L 3"]);
}

#[test]
fn anything_open() {
    Job::last().row("UC.read", "[]").judge().is("UC", "open").blocked_by(&["UC"]);
    // 23 of 24 teeth.
    let teeth = Job::last().row("GD.go", "\"vvvv vvvv vvv-\"").judge().is("GD", "open");
    teeth.blocked_by(&["GD"]);
}

#[test]
fn a_superseded_sheet() {
    let job = Job::last().with(
        "limits",
        "fit   = { new = [\"0.0020T\", \"0.0007T\"], service = \"0.0003T\" }",
        "fit   = { new = [\"0.0020T\", \"0.0007T\"], service = \"0.0004T\" }",
    );
    let found = job.judge().is("H", "query");
    assert!(found.sheet("P").contains("is superseded by"), "{}", found.sheet("P"));
    found.blocked_by(&["H", "sheet P"]);
}

#[test]
fn a_lapsed_gauge() {
    let job = Job::last().with(
        "job",
        "serial      = \"CF-0231\"\nrange       = [0.0000, 0.2500]\nresolution  = 0.0001\nuncertainty = 0.0002\ndue         = 2026-09-30",
        "serial      = \"CF-0231\"\nrange       = [0.0000, 0.2500]\nresolution  = 0.0001\nuncertainty = 0.0002\ndue         = 2026-03-12",
    );
    // End play and backlash were read again on 13 March.
    job.judge().is("EC", "hold").is("BG", "hold").is("EK", "within new limits");
}

#[test]
fn a_replaced_part_without_number_or_document() {
    let job = Job::last().typed("number   = \"TW-1401\"\n", "");
    let found = job.judge();
    assert!(
        found.whole().contains("camshaft, part changed: give the part number"),
        "{}",
        found.whole()
    );
    assert!(found.judged.blocks());
    let job = Job::last().typed("document = \"DEMO-REL-0207\"\n", "");
    assert!(job.judge().whole().contains("name the source document"));
}

#[test]
fn what_was_reopened_and_not_looked_over_again() {
    let job = Job::last().typed(
        "by     = \"TD\"\non     = 2026-03-13\nredone = [\"T 1\", \"T 2\", \"T 3\", \"T 4\", \"T 5\"]",
        "by     = \"TD\"\non     = 2026-03-13\nredone = [\"T 1\", \"T 3\", \"T 4\", \"T 5\"]",
    );
    let found = job.judge();
    assert!(found.item("T", 2).asks[0].why.contains("reopened by tappet face refaced"));
    found.blocked_by(&["T 2"]);
}
