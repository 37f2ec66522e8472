//! Tables to write in: crack tests, directives, work sent out, major parts.
//! What a report must cover and what may be left blank: common practice, no
//! source outside.

use super::Job;

/// The crankshaft's row of the crack tests, and a row with nothing in it.
const CRANKSHAFT: &str = "7 = [\"SM-2611\", \"v\", \"yes\"]";
const NOTHING: &str = "[\"\", \"\", \"\", \"\", \"\", \"\"]";

fn cracks(row: &str) -> Job {
    Job::last().sheet("CL", &format!("\n{CRANKSHAFT}"), &format!("\n{row}"))
}

/// Nothing is in order that no report covers, and no report stands without its
/// result.
#[test]
fn a_result_and_its_report_need_each_other() {
    for (row, said) in [
        ("7 = [\"\", \"v\", \"yes\"]", "no report number"),
        ("7 = [\"SM-2611\", \"\", \"yes\"]", "no result"),
        ("7 = [\"\", \"v\", \"\"]", "no report number, no demagnetised"),
        ("7 = [\"SM-2611\", \"good\", \"yes\"]", "result is good: v for in order, x for not"),
        ("7 = [\"\", \"\", \"\"]", "nothing written"),
        ("7 = \"n\"", "marked n.a. without a reason"),
    ] {
        let found = cracks(row).judge().blocked_by(&["CL 7"]);
        let asks = &found.item("CL", 7).asks;
        assert!(asks.iter().any(|ask| ask.why.contains(said)), "{row}: {asks:?}");
    }
}

/// What is crossed waits for a person like any other find.
#[test]
fn a_crossed_result_is_a_find() {
    let crossed = "7 = [\"SM-2611\", \"x\", \"yes\"]";
    let found = cracks(crossed).judge().blocked_by(&["CL 7"]);
    assert!(found.item("CL", 7).asks[0].why.contains("add [[found]] item = \"CL 7\""));
    let told = "[[found]]\nitem = \"CL 7\"\nwhat = \"doubt at a fillet\"\n";
    let held = cracks(crossed).add(told).judge().blocked_by(&["CL 7"]);
    assert!(held.item("CL", 7).asks[0].why.contains("waits for an inspector"));
    let done =
        "done = \"fillet polished, tested again: SM-2633\"\nby = \"TD\"\ninspector = \"JA\"\n";
    let settled = cracks(crossed).add(&format!("{told}{done}")).judge();
    assert_eq!(settled.item("CL", 7).found[0].what, "doubt at a fillet");
    settled.ends_final();
}

/// Rows left over are no question where the form says so, but an untouched
/// table is, and none closes it.
#[test]
fn rows_left_over() {
    let rows = "14 = [\"steel parts";
    let found = Job::last().judge();
    assert!(found.item("RN", 17).left_over, "{:?}", found.item("RN", 17));
    let first = |row: &str| {
        let (mut job, text) = (Job::last(), Job::last().file("readings"));
        let own = |start: &str| text.lines().find(|line| line.starts_with(start)).unwrap();
        for start in ["15 = [\"light", "16 = [\"valve"] {
            job = job.typed(own(start), &format!("{} {NOTHING}", &start[..4]));
        }
        job.typed(own(rows), row)
    };
    let blank = first(&format!("14 = {NOTHING}")).judge().blocked_by(&["RN 14"]);
    assert!(blank.item("RN", 14).asks[0].why.contains("none where there is none"));
    first("14 = \"none\"").judge().ends_final();
    let text = Job::last().file("readings");
    let whole = text.lines().find(|line| line.starts_with(rows)).unwrap().to_owned();
    let under = Job::last().typed(&whole, "14 = \"none\"").judge();
    let under = under.blocked_by(&["RN 15", "RN 16"]);
    assert!(under.item("RN", 15).asks[0].why.contains("none is written in row 1"));
}

/// A table with named rows has no row left over, and none is no answer there.
#[test]
fn every_major_part_has_its_numbers() {
    let row = "43 = [\"TW-1100\", \"K-0442\", \"standard\", \"K-0442\"]";
    let blank = Job::last().sheet("A", row, "43 = [\"\", \"\", \"\", \"\"]");
    blank.judge().blocked_by(&["A 43"]);
    let part = Job::last().sheet("A", row, "43 = [\"TW-1100\", \"K-0442\", \"standard\", \"-\"]");
    let found = part.judge().blocked_by(&["A 43"]);
    assert_eq!(found.item("A", 43).asks[0].why, "no serial out");
    let (case, set) = Job::last().expanded();
    let sheet = set.sheet("A").unwrap();
    let names: Vec<&str> =
        sheet.blocks.iter().flat_map(|b| b.items()).map(|item| item.text.as_str()).collect();
    for name in ["crankcase, right half", "connecting rod, cylinder 4", "gear case cover"] {
        assert!(names.contains(&name), "{name} in {names:?}");
    }
    // Pistons and valves have no numbers of their own.
    assert!(!names.iter().any(|name| name.starts_with("pistons")), "{names:?}");
    assert!(case.engine.part("pistons").is_some());
}

/// A new camshaft has another serial and another crack test.
#[test]
fn a_new_part_opens_its_rows() {
    let found = Job::last().typed("\"CL 16\", \"A 52\"]", "\"CL 16\"]").judge();
    found.blocked_by(&["A 52"]);
    let found = Job::last().typed("\"CL 16\", \"A 52\"]", "\"A 52\"]").judge();
    found.blocked_by(&["CL 16"]);
}

/// Each box stands under its head in the report, and rows left over nowhere.
#[test]
fn the_report_has_it_as_a_table() {
    let words = format!("{:?}", Job::last().report());
    assert!(words.contains("Sheet CL: Crack tests"), "{words}");
    assert!(words.contains("Sheet A: Major parts"), "{words}");
    assert!(!words.contains("Work sent out, row"), "{words}");
    let cells = &Job::last().judge().item("A", 43).cells.clone();
    let heads: Vec<&str> = cells.iter().map(|(head, _)| head.as_str()).collect();
    let all = ["part number", "serial in", "standard, undersize, oversize, plated", "serial out"];
    assert_eq!(heads, all);
    assert_eq!(cells[3].1, "K-0442");
}

/// Work sent out that no table of the sheets has stands in a section of its own,
/// which is there for nothing else.
#[test]
fn work_sent_out_beside_the_tables_has_its_section() {
    let typed = Job::last().files().get("readings.toml").expect("the readings").to_string();
    let outside = "\n[[outside]]\nwhat = \"cylinder 2 bored\"\nwho = \"Hollin Grinding\"\n\
                   certificate = \"HG-77\"\non = 2026-03-03\nresult = \"as ordered\"\n";
    let words = |job: Job| format!("{:?}", job.report());
    let told = words(Job::last().retyped(&format!("{typed}{outside}")));
    for word in
        ["title: \"Work sent out\"", "cylinder 2 bored", "Hollin Grinding", "HG-77", "2026-03-03"]
    {
        assert!(told.contains(word), "{word} in {told}");
    }
    assert!(!words(Job::last()).contains("title: \"Work sent out\""));
}
