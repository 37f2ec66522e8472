//! Verdicts as the command line tells them: the demonstration's story, and
//! rows changed one at a time. The figures are those of the design's check
//! values, worked out by hand in exact decimals (b1 - s2 .. b2 - s1).

use super::Script;

const READINGS: &str = "job/readings.toml";

#[test]
fn equal_to_the_limit_passes() {
    let job = Script::demo();
    job.finds("M2", "within service limits").figure("loosest", "0.0055").flag("loosest at limit");
    // 0.8768 - 0.8728 exceeds 0.0040 in binary floats.
    job.finds("T3EX", "within service limits").figure("loosest", "0.0040").flag("loosest at limit");
}

#[test]
fn both_parts_pass_and_the_fit_is_out() {
    let job = Script::first();
    job.finds("C2", "out")
        .out("loose", "0.0002")
        .figure("loosest", "0.0052")
        .figure("tightest", "0.0049")
        .flag("close")
        .says("smallest shaft 1.3716, limit 1.3715: within service limits")
        .says("largest bore 1.3768, limit 1.3770: within service limits")
        // What would bring it in: largest bore with this shaft, smallest shaft
        // with this bore.
        .says("1.3766")
        .says("1.3718");
}

#[test]
fn a_sleeve_turn_is_asked_and_nothing_is_changed() {
    let job = Script::first();
    let kept = job.keep(READINGS);
    job.finds("C3", "query").says("turn of the sleeve").says("1.3757");
    job.run("check job").status(1).says("1.3757").says("query");
    let report = job.keep("job/report.pdf");
    job.run("report job --complete").status(1).complains("the record is not complete");
    report.unchanged();
    kept.unchanged();
    job.run("report job").status(1).says("incomplete");
}

#[test]
fn the_same_value_measured_again_clears_the_query() {
    let job = Script::first();
    job.append(
        READINGS,
        "\n[[again]]\nrow = \"C3\"\nbox = \"bore 2\"\nread = 1.4007\nwhy = \"measured again\"\n\
         by = \"TD\"\non = 2026-03-06\ngauge = [\"TEL-1\", \"MIC-2\"]\n",
    );
    // 1.4007 - 1.3727 = 0.0280, 0.0230 beyond 0.0050.
    job.finds("C3", "out").out("loose", "0.0230");
}

#[test]
fn both_ends_of_a_fit_are_judged() {
    let job = Script::demo();
    job.replace(READINGS, "M1.shaft = [2.2478, 2.2477]", "M1.shaft = [2.2490, 2.2485]");
    job.replace(READINGS, "M1.bore = [2.2512, 2.2514]", "M1.bore = [2.2504, 2.2508]");
    // 2.2504 - 2.2490 = 0.0014, least 0.0015.
    job.finds("M1", "out").out("tight", "0.0001").figure("tightest", "0.0014");
}

#[test]
fn the_housing_is_out_loose_while_still_tight() {
    let job = Script::demo();
    let text = job.read(READINGS);
    let (before, sheet) = text.split_once("\n[P]").expect("sheet P");
    let sheet = sheet.replacen("H = \"MIC-2\"", "H = \"MIC-1\"", 1);
    job.write(READINGS, format!("{before}\n[P]{sheet}"));
    job.replace(READINGS, "H.shaft = [1.0006, 1.0006]", "H.shaft = [0.9996, 0.9996]");
    job.replace(READINGS, "H.bore = [0.9994, 0.9995]", "H.bore = [0.9995, 0.9995]");
    job.finds("H", "out").figure("loosest", "-0.0001").out("loose", "0.0002").says("0.0001 T");
}

#[test]
fn a_worn_shaft_with_a_blank_bore_is_out() {
    let job = Script::first();
    job.replace(READINGS, "C1.shaft = [1.3731, 1.3730]", "C1.shaft = [1.3713, 1.3714]");
    job.replace(READINGS, "C1.bore = [1.3752, 1.3753]", "C1.bore = []");
    job.finds("C1", "out").says("0.0002");
}

#[test]
fn two_worn_neighbours_do_not_hide_each_other() {
    let job = Script::demo();
    job.replace(READINGS, "T1IN.bore = [0.8754, 0.8755]", "T1IN.bore = [0.8771, 0.8771]");
    job.replace(READINGS, "T1EX.bore = [0.8756, 0.8757]", "T1EX.bore = [0.8772, 0.8773]");
    // Worn to 0.8770 at most; not each other's readings.
    job.finds("T1IN", "out").out("bore large", "0.0001");
    job.finds("T1EX", "out").out("bore large", "0.0003");
}

#[test]
fn a_blank_row_is_open_and_never_passes() {
    let job = Script::demo();
    job.replace(READINGS, "C1.bore = [1.3752, 1.3753]", "C1.bore = [1.3752, \"-\"]");
    job.finds("C1", "open");
    job.run("check job").status(1).says("open");
    job.run("report job --complete").status(1);
}

/// A leaf that was refused is named with its place without any option.
#[test]
fn a_refused_leaf_is_named_with_its_tooth() {
    let job = Script::demo();
    let readings = job.read("job/readings.toml");
    let marked = readings.replace("GN.go = \"vvvv", "GN.go = \"vvxv");
    assert_ne!(marked, readings);
    job.write("job/readings.toml", marked);
    job.run("check job")
        .status(1)
        .says("out, under\n      tooth 3: leaf 0.002 refused, least 0.0020");
}

#[test]
fn a_new_part_meets_its_own_new_limits() {
    let job = Script::first();
    job.replace(READINGS, "C2.bore = [1.3767, 1.3768]", "C2.bore = [1.3763, 1.3764]");
    job.finds("C2", "within service limits").figure("loosest", "0.0048");
    let case_half = "\n[[change]]\npart = \"crankcase\"\nwhy = \"part changed\"\nwhat = \"new crankcase\"\n\
         number = \"TW4-CC-9\"\nbatch = \"0099\"\ndocument = \"release 9\"\nby = \"RW\"\non = 2026-03-05\n";
    job.append(READINGS, case_half);
    let rows = "\n[[again]]\nrow = \"C2\"\nbox = \"bore\"\nread = [1.3763, 1.3764]\n\
         why = \"part changed\"\nby = \"TD\"\non = 2026-03-06\ngauge = [\"TEL-1\", \"MIC-2\"]\n";
    job.append(READINGS, rows);
    job.finds("C2", "out").says("1.3760").says("0.0004");
}

#[test]
fn an_out_accepted_on_data_is_printed_so() {
    let job = Script::first();
    job.append(
        READINGS,
        "\n[[accepted]]\nrow = \"C2\"\nauthority = \"Tarnwick Motor Works\"\n\
         document = \"letter 88\"\non = 2026-03-10\nby = \"JA\"\n",
    );
    job.finds("C2", "out").says("letter 88");
    job.run("report job").status(1);
    let words = job.words("job/report.pdf");
    assert!(words.contains("accepted on"), "not printed as accepted:\n{words}");
    // 1.3768 - 1.3716 = 0.0052 against 0.0050: README, one fit. As an exception,
    // and in the words that the fits are printed with.
    let wanted = "out, loose by 0.0002, accepted on letter 88, Tarnwick Motor Works, 2026-03-10";
    job.run("check job --all")
        .status(1)
        .says(&format!("C2 (page 11) camshaft in crankcase, centre: {wanted}"))
        .says(&format!("C2 camshaft in crankcase: {wanted}"));
}

/// A taper is a difference: both its readings count. Twice 0.0002 and 0.0001
/// squared is 0.0000001, its root 0.00032; 0.0002 inside the limit is then 1.265
/// standard uncertainties, 0.8970 by scipy's norm.cdf.
#[test]
fn a_tapers_uncertainty_is_the_one_its_chance_is_worked_with() {
    let ran = Script::demo().run("check job --json").status(0);
    let all: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    let rows = all["rows"].as_array().expect("rows");
    let row = rows.iter().find(|row| row["row"] == "BC4").expect("choke of barrel 4");
    let step = row["steps"].as_array().and_then(|steps| steps.last()).expect("a step");
    assert_eq!(step["uncertainty"], "0.00032");
    assert_eq!(step["budget"].as_array().map(Vec::len), Some(4));
    assert_eq!((&row["margin"], &row["chance"]), (&"0.0002".into(), &"0.8970".into()));
    let worked = step["worked"].as_array().and_then(|all| all.last()).expect("arithmetic");
    assert!(worked.as_str().is_some_and(|last| last.ends_with("root of squares 0.00032")));
}
