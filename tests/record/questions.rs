//! Questions as the record asks them: by every row that uses a reading, once
//! for each cause, and counted.

use super::Job;
use crate::cli::Script;

/// Journal and bearing pass and the fit is new, whichever way the thimble line
/// is undone: 2.2508 - 2.2469 = 0.0039, 2.2508 - 2.2468 = 0.0040, greatest new
/// 0.0040. The roundness is 0.0009 as typed, out of its new limit, and 0.0001
/// undone.
#[test]
fn a_question_counts_the_verdicts_of_rows_that_use_the_reading() {
    let job = Job::last().row("M1.shaft", "[2.2478, 2.2469]").row("M1.bore", "[2.2508, 2.2508]");
    let found = job.clone().judge();
    found.is("M1", "query").is("MR1", "query").says("M1", "one thimble line (0.0010 in)");
    // Without the line of roundness no verdict changes, and nothing is asked.
    let line = "ref  = \"MR\"\nname = \"main journal, out of round\"\nkind = \"roundness\"\ngroup = \"mains\"\n\
                feature = \"main-journal\"\nnew-max = 0.0005\nservice-max = 0.0010\n";
    let alone = "ref  = \"MR\"\nname = \"main journal, out of round\"\nkind = \"recorded\"\ngroup = \"mains\"\n\
                 at = \"main-bearing\"\n";
    let text = job.with("limits", line, alone).printed();
    text.judge().is("M1", "within service limits");
}

/// Nothing is judged of readings that are in question, nor in a row that borrows
/// them: no margin, no flag, and nothing held against a limit.
#[test]
fn what_borrows_readings_in_question_keeps_no_margin() {
    let asked = Job::last().row("M1.shaft", "[2.2478, 2.2469]").row("M1.bore", "[2.2508, 2.2508]");
    let found = asked.judge();
    for code in ["M1", "MR1"] {
        let verdict = &found.row(code).last().expect("a step").verdict;
        assert_eq!(verdict.state.to_string(), "query", "{code}");
        assert_eq!((verdict.margin, &verdict.against), (None, &None), "{code}");
        assert!(verdict.flags.is_empty(), "{code}: {:?}", verdict.flags);
    }
    let sure = Job::last().judge();
    let verdict = &sure.row("MR1").last().expect("a step").verdict;
    assert!(verdict.margin.is_some(), "a row that is sure has one");
}

/// Where a feature has no new roundness limit its service limit says what one
/// part can be: 0.0008 apart is nothing to ask about under 0.0010.
#[test]
fn a_service_roundness_limit_tells_where_there_is_no_new_one() {
    // 2.2510 - 2.2475 = 0.0035, and 0.0025 with a thimble line undone: new. The
    // journal is worn as typed, 2.2475, and new at 2.2485.
    let job = Job::last().row("M1.shaft", "[2.2483, 2.2475]").row("M1.bore", "[2.2510, 2.2510]");
    job.clone().judge().is("M1", "query").says("M1", "one thimble line");
    let only = job.with(
        "limits",
        "feature = \"main-journal\"\nnew-max = 0.0005\n",
        "feature = \"main-journal\"\n",
    );
    only.printed().judge().is("M1", "within service limits");
}

#[test]
fn a_wrong_sheet_number_is_asked_once() {
    let job = Job::first();
    let own = job.judge().set.sheet("C").unwrap().number.clone();
    let other = job.judge().set.sheet("T").unwrap().number.clone();
    let before = job.judge().judged.rows.iter().map(|row| row.state.clone()).collect::<Vec<_>>();
    let found =
        job.sheet("C", &format!("number = \"{own}\""), &format!("number = \"{other}\"")).judge();
    let why = "another sheet's page, or a slip in typing";
    assert_eq!(found.sheet("C").matches(why).count(), 1, "{}", found.sheet("C"));
    assert!(found.sheet("C").starts_with("query"), "{}", found.sheet("C"));
    let asks = found.judged.rows.iter().flat_map(|row| &row.asks);
    assert_eq!(asks.filter(|ask| ask.why.contains(why)).count(), 0);
    let after = found.judged.rows.iter().map(|row| row.state.clone()).collect::<Vec<_>>();
    assert_eq!(before, after);
    assert!(found.judged.blocks());
}

/// All that stands in the way of a final report is among the summary's counts.
#[test]
fn the_summary_counts_what_keeps_a_record_incomplete() {
    let job = Script::demo();
    job.run("check job").status(0).never_says("of whole sheets or the record");
    let check = "check = { by = \"JA\", on = 2026-03-05 }";
    let text = job.read("job/readings.toml");
    let (before, sheet) = text.split_once("\n[C]").expect("sheet C");
    assert!(sheet.contains(check));
    let unchecked = sheet.replacen(check, "check = { }", 1);
    job.write("job/readings.toml", format!("{before}\n[C]{unchecked}"));
    job.run("check job")
        .status(1)
        .says("Record incomplete.")
        .says("of them open or in question; of whole sheets or the record 1 on hold.");
    let gaugeless = unchecked.replacen("gauge = \"MIC-2\"", "gauge = []", 1);
    job.write("job/readings.toml", format!("{before}\n[C]{gaugeless}"));
    job.run("check job").status(1).says("of whole sheets or the record 1 on hold, 1 open.");
}
