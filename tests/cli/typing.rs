//! What a person types from the paper, right and wrong.

use super::Script;

/// The demonstration with one reading typed otherwise.
#[track_caller]
fn typed(from: &str, to: &str) -> Script {
    let job = Script::demo();
    job.replace("job/readings.toml", from, to);
    job
}

const C1_SHAFT: &str = "C1.shaft = [1.3731, 1.3730]";

#[test]
fn a_digit_too_few_is_refused_and_not_padded() {
    let job = typed("M1.shaft = [2.2478, 2.2477]", "M1.shaft = [2.248, 2.2477]");
    job.finds("M1", "query").says("2.248").says("decimals");
    job.run("check job").status(1).never_says("2.2480");
}

#[test]
fn a_size_in_the_other_unit_is_asked() {
    let job = typed("M1.shaft = [2.2478, 2.2477]", "M1.shaft = [57.061, 2.2477]");
    job.finds("M1", "query").says("57.061").says("in millimetres it would be").says("digits lost");
}

#[test]
fn what_is_not_a_reading_is_refused_with_a_hint() {
    for (faulty, hint) in [
        ("[.3731, 1.3730]", "before the point"),
        ("[nan, 1.3730]", "not a reading"),
        ("[1.3730e0, 1.3730]", "1.3730"),
        ("[1,3731, 1,3730]", "1.3731"),
        ("[1.3731in, 1.3730]", "1.3731"),
        ("[1.3731 1.3730]", "comma"),
        ("[1.37 31, 1.3730]", "space"),
        ("[0x1F, 1.3730]", "not a reading"),
        ("[1_3.7, 1.3730]", "not a reading"),
        ("[ , 1.3730]", "\"-\""),
        ("[\u{201c}1.3731\u{201d}, 1.3730]", "quote"),
    ] {
        let job = typed(C1_SHAFT, &format!("C1.shaft = {faulty}"));
        let kept = job.keep("job/readings.toml");
        let ran = job.run("check job").status(2);
        let ran = ran.complains("readings.toml").complains("C1.shaft").complains(hint);
        assert!(ran.out.is_empty(), "{faulty}: judged all the same:\n{}", ran.out);
        job.run("report job").status(2);
        kept.unchanged();
    }
}

#[test]
fn every_fault_of_a_file_is_told_at_once() {
    let job = typed(C1_SHAFT, "C1.shaft = [1,3731, 1,3730]");
    job.replace("job/readings.toml", "M1.bore = [2.2512, 2.2514]", "M1.bore = [nan, 2.2514]");
    job.replace("job/readings.toml", "P.bore = [0.5008, 0.5009]", "P.bore = [.5008, 0.5009]");
    job.run("check job").status(2).complains("C1.shaft").complains("M1.bore").complains("P.bore");
}

#[test]
fn one_missing_bracket_is_one_fault() {
    let job = typed(C1_SHAFT, "C1.shaft = [1.3731, 1.3730");
    let ran = job.run("check job").status(2);
    let faults = ran.err.lines().filter(|line| line.contains("-->")).count();
    assert_eq!(faults, 1, "{}", ran.err);
}

#[test]
fn files_as_other_editors_save_them() {
    let plain = Script::demo();
    let text = plain.read("job/readings.toml");
    let wanted = plain.run("check job").status(0).out;
    for (how, saved) in [
        ("CRLF", text.replace('\n', "\r\n")),
        ("a byte order mark", format!("\u{feff}{text}")),
        ("no last newline", text.trim_end().to_owned()),
    ] {
        plain.write("job/readings.toml", &saved);
        let ran = plain.run("check job").status(0);
        assert_eq!(ran.out, wanted, "{how}");
    }
    plain.write("job/readings.toml", b"\xff\xfe not UTF-8".as_slice());
    plain.run("check job").status(2).complains("readings.toml").complains("UTF-8");
}

#[test]
fn measurer_and_checker_are_two_people_where_the_job_says_so() {
    let job = Script::demo();
    let text = job.read("job/readings.toml");
    let start = text.find("\n[C] ").or_else(|| text.find("\n[C]")).expect("sheet C") + 1;
    let end = start + text[start..].find("\n[T]").expect("sheet T");
    let sheet = &text[start..end];
    let check = sheet.lines().find(|line| line.starts_with("check")).expect("a check");
    let same = sheet.replace(check, "check = { by = \"RW\", on = 2026-03-17 }");
    job.write("job/readings.toml", format!("{}{same}{}", &text[..start], &text[end..]));
    job.run("check job").status(1).says("RW");
    job.run("report job --final").status(1);
}

#[test]
fn a_one_person_shop_works_and_the_report_says_so() {
    let job = Script::engine("two-in");
    job.holds("job/job.toml", "second-person = false");
    job.run("report job --final").status(0);
    let words = job.words("job/report.pdf").to_lowercase();
    assert!(words.contains("not independently checked"), "not said");
}

#[test]
fn initials_that_nobody_has_are_asked() {
    let job = Script::demo();
    let text = job.read("job/readings.toml");
    job.write("job/readings.toml", text.replacen("by = \"RW\"", "by = \"RQ\"", 1));
    job.run("check job").status(2).complains("RQ").complains("readings.toml");
}

#[test]
fn an_always_renewed_part_entered_as_reused_fails() {
    let job = Script::demo();
    let text = job.read("job/readings.toml");
    let line = text.lines().find(|line| line.contains("= { count =")).expect("a renewed part");
    let number = line.split(" =").next().expect("its number");
    job.write(
        "job/readings.toml",
        text.replacen(line, &format!("{number} = {{ reused = true }}"), 1),
    );
    job.run("check job").status(1).says("reused");
    job.run("report job --final").status(1);
}

#[test]
fn not_applicable_needs_a_reason() {
    let job = typed("UF.read = [0.0010]", "UF.na = { why = \"\", by = \"JA\" }");
    job.finds("UF", "open");
    let job = typed("UF.read = [0.0010]", "UF.na = { why = \"flange ground away\", by = \"JA\" }");
    job.finds("UF", "n.a.");
}

#[test]
fn a_gauge_past_its_date_holds_the_row() {
    let job = Script::demo();
    let text = job.read("job/job.toml");
    let start = text.find("[gauges.MIC-3]").expect("the gauge");
    let due = text[start..].find("due").expect("its date") + start;
    let line = text[due..].lines().next().expect("a line");
    let lapsed = text.replacen(line, "due = 2026-03-01", 1);
    let at = lapsed.find("[gauges.MIC-3]").expect("the gauge");
    // Only that gauge's date: the lines before it stand.
    let lapsed = format!("{}{}", &text[..at], &text[at..].replacen(line, "due = 2026-03-01", 1));
    job.write("job/job.toml", lapsed);
    job.run("check job").status(1).says("MIC-3");
    job.run("report job --final").status(1);
}

#[test]
fn sheets_of_another_printing_are_refused() {
    let job = Script::demo();
    let text = job.read("job/readings.toml");
    let start = text.find("\n[C]").expect("sheet C");
    let number = text[start..].find("number = ").expect("a number") + start;
    let line = text[number..].lines().next().expect("a line");
    let wrong = format!("{}number = \"0000\"{}", &text[..number], &text[number + line.len()..]);
    job.write("job/readings.toml", wrong);
    job.run("check job").in_order().says("0000");
    assert_ne!(job.run("check job").code, Some(0));
}

#[test]
fn slips_around_a_reading_are_told_with_what_would_be_right() {
    for (faulty, hint) in [
        ("C1 shaft = [1.3731, 1.3730]", "right: C1.shaft ="),
        ("number = \"5MCX\"", "put back the line in [ ]"),
        ("check = { by = \"JA\" on = 2026-03-05 }", "the comma between two values is missing"),
        ("check = { by = \"JA\", on = 26-03-05 }", "a date typed another way"),
    ] {
        let job = typed(C1_SHAFT, faulty);
        job.run("check job").status(2).complains(hint);
    }
    let job = typed(C1_SHAFT, C1_SHAFT);
    job.append("job/readings.toml", "\n[[accepted]]\nrow = \"C2\"\nC1.na = { why = \"-\" }\n");
    job.run("check job").status(2).complains("a row stands under its sheet, above everything");
}
