//! What comes out of the printer, and what never changes under a person's
//! hands.

use super::Script;
use serde_json::Value;

#[test]
fn the_same_job_gives_the_same_bytes() {
    let one = Script::demo();
    let other = Script::in_folder("in another folder \u{44f}").with_demo();
    for job in [&one, &other] {
        job.sheets();
        job.run("report job").status(0);
    }
    for name in ["job/sheets.pdf", "job/report.pdf", "job/readings.toml"] {
        assert!(one.bytes(name) == other.bytes(name), "{name} differs between folders");
        let kept = one.keep(name);
        one.sheets();
        one.run("report job").status(0);
        kept.unchanged();
    }
}

#[test]
fn check_names_the_pages_that_were_printed() {
    // The transcription is written with the first print, and keeps its pages. With
    // so many people the index takes a page more on Letter than on A4.
    let many = || {
        let job = Script::blank();
        let more = |n: u8| {
            let letter = char::from(b'A' + n);
            format!("[people.Z{letter}]\nname = \"Mechanic {letter}\"\nrole = \"mechanic\"\n\n")
        };
        let all: String = (0..4).map(more).collect();
        job.replace("job/job.toml", "[people.RW]", &format!("{all}[people.RW]"));
        job
    };
    let job = many();
    std::fs::remove_file(job.path("job/readings.toml")).unwrap();
    job.run("sheets job --paper Letter").status(0).never_says("the job is on");
    let pages = |job: &Script| -> Vec<String> {
        let verdicts: Value = serde_json::from_str(&job.run("check job --json").out).unwrap();
        let rows = verdicts["rows"].as_array().unwrap().iter();
        rows.map(|row| format!("{} {}", row["row"], row["page"])).collect()
    };
    let letter = pages(&job);
    let other = many();
    other.run("sheets job").status(0);
    assert_ne!(pages(&other), letter, "the two papers break alike: nothing is shown by this");
    // Printed again on the other paper, the transcription stays as it is.
    job.run("sheets job --paper A4").status(0);
    assert_eq!(pages(&job), letter);
    other.run("sheets job --paper Letter --out other").status(0).says("the job is on A4: check");
    // Two transcriptions compared and merged keep the pages of the first.
    let text = job.read("job/readings.toml");
    let page = |of: &[String], row: &str| of.iter().find(|line| line.contains(row)).cloned();
    assert_ne!(page(&letter, "\"SR\""), page(&pages(&other), "\"SR\""), "the same page on both");
    assert!(text.contains("\nSR.read = []"), "no row SR");
    job.write("first.toml", text.replace("\nSR.read = []", "\nSR.read = [1]"));
    job.write("second.toml", text.replace("\nSR.read = []", "\nSR.read = [2]"));
    let row = page(&letter, "\"SR\"").unwrap();
    let row = row.replace("\"SR\" ", "page ").replace('"', "");
    job.run("compare first.toml second.toml --job job --merge merged.toml").says(&row);
    let kept = |text: &str| -> Vec<String> {
        text.lines().filter(|line| line.starts_with("pages = ")).map(str::to_owned).collect()
    };
    assert_eq!(kept(&job.read("merged.toml")), kept(&text));
    // Without those lines the pages are worked out on the job's own paper.
    let without: Vec<&str> = text.lines().filter(|line| !line.starts_with("pages = ")).collect();
    assert!(without.len() < text.lines().count(), "no pages are kept");
    job.write("job/readings.toml", without.join("\n"));
    assert_eq!(pages(&job), pages(&other));
    let job = Script::blank();
    let same = job.run("sheets job --paper A4 --out other").status(0);
    assert!(!same.out.contains("the job is on"), "{}", same.out);
    // With the paper in the job there is nothing to say.
    let text = job.read("job/job.toml");
    job.write("job/job.toml", text.replace("\"A4\"", "\"Letter\""));
    let ours = job.run("sheets job").status(0);
    assert!(!ours.out.contains("the job is on"), "{}", ours.out);
}

#[test]
fn a_filled_transcription_is_never_overwritten() {
    let job = Script::demo();
    let kept = job.keep("job/readings.toml");
    for line in [
        "sheets job",
        "sheets job --only C",
        "sheets job --paper Letter",
        "sheets job --copy 2",
        "report job",
        "report job --draft",
        "check job",
    ] {
        job.run(line).in_order();
        kept.unchanged();
    }
    job.run("demo job").status(2);
    job.run("new job --engine job/engine.toml --limits job/limits.toml").status(2);
    kept.unchanged();
    // Empty, it is still a person's file.
    job.write("job/readings.toml", "");
    job.run("sheets job").in_order();
    assert_eq!(job.read("job/readings.toml"), "");
}

#[test]
fn another_mechanic_strands_no_sheet() {
    let job = Script::demo();
    job.append("job/job.toml", "\n[people.ZZ]\nname = \"Zora Zell\"\nrole = \"mechanic\"\n");
    job.run("check job").status(0);
    job.run("report job --complete").status(0);
}

#[test]
fn another_limit_strands_its_own_sheet() {
    let job = Script::demo();
    let before = job.verdicts();
    let text = job.read("job/limits.toml");
    let at = text.find("ref   = \"C\"").expect("line C");
    let changed = text[at..].replacen("service = \"0.0050L\"", "service = \"0.0048L\"", 1);
    job.write("job/limits.toml", format!("{}{changed}", &text[..at]));
    assert_eq!(moved(&before, &job.verdicts()), ["\"C\""], "sheets with another number");
    job.run("report job --complete").status(1);
    job.run("check job").status(1).says("C");
}

/// Letters of the sheets whose numbers differ.
fn moved(before: &serde_json::Value, after: &serde_json::Value) -> Vec<String> {
    let numbers = |of: &serde_json::Value| {
        let sheets = of["sheets"].as_array().expect("sheets").iter();
        sheets.map(|s| (s["letter"].to_string(), s["number"].to_string())).collect::<Vec<_>>()
    };
    let pairs = numbers(before).into_iter().zip(numbers(after));
    pairs.filter(|(old, new)| old != new).map(|(old, _)| old.0).collect()
}

#[test]
fn another_leaf_strands_its_own_sheet() {
    let job = Script::demo();
    let before = job.verdicts();
    // The leaf in hand is thinner than it says: its ticks stand, proving less.
    job.replace("job/job.toml", "[0.0015, 0.002,", "[0.0015, [0.002, 0.00195],");
    let after = job.verdicts();
    assert_eq!(moved(&before, &after), [] as [&str; 0]);
    assert!(after.to_string().contains("accepted by go / no-go, proven 0.00195 to 0.005"));
    job.run("report job --complete").status(0);
    job.sheets();
    let words = job.words("job/sheets.pdf");
    assert!(words.contains("GO 0.002 (measures 0.00195)"), "no measured thickness on the sheet");
    // The shop has bought a leaf, and GO is now that one: the ticks are of another.
    job.replace("job/job.toml", "0.00195],", "0.00195], 0.00198,");
    assert_eq!(moved(&before, &job.verdicts()), ["\"P\""]);
    job.run("report job --complete").status(1);
}

#[test]
fn letters_that_the_typefaces_lack_are_named() {
    let job = Script::demo();
    job.replace("job/job.toml", "Rosalind Wray", "Rosalind \u{4e2d}");
    job.run("sheets job").status(2).complains("\u{4e2d}").complains("U+4E2D").complains("page 2");
}

#[test]
fn a_long_name_wraps() {
    let job = Script::demo();
    let name: String = "Rosalind Wrayford ".repeat(12).trim_end().chars().take(200).collect();
    job.replace("job/job.toml", "Rosalind Wray", &name);
    job.sheets();
    job.run("report job").status(0);
    let words = job.words("job/report.pdf");
    assert!(words.matches("Wrayford").count() >= 11, "the name was cut");
}

#[test]
fn braces_in_a_job_print_as_typed() {
    let job = Script::demo();
    job.replace("job/job.toml", "\"Marram Air Tours\"", "'{{ engine.model }} {% for x in y %}'");
    job.run("report job").status(0);
    job.sheets();
    let words = job.words("job/sheets.pdf") + &job.words("job/report.pdf");
    assert!(words.contains("{{ engine.model }}"), "not printed as typed");
}

#[test]
fn a_form_that_does_more_than_name_is_refused() {
    for text in [
        "{% for x in range(end=9) %}a{% endfor %}",
        "{{ range(end=999999999) | join }}",
        "{% include 'x' %}",
        "{{ throw(message='x') }}",
        "{{ engine.model | replace(from='a', to='b') }}",
    ] {
        let job = Script::demo();
        let cleaning = job.read("job/forms/cleaning.toml");
        let line = cleaning.lines().find(|line| line.starts_with("title")).expect("a title");
        job.write(
            "job/forms/cleaning.toml",
            cleaning.replacen(line, &format!("title = \"{text}\""), 1),
        );
        let ran = job.run("sheets job").in_order();
        let refused = ran.code == Some(2) && ran.err.contains("cleaning.toml");
        // `{% … %}` is not a template here at all: it prints as typed.
        let as_typed = ran.code == Some(0) && text.starts_with("{%");
        assert!(refused || as_typed, "{text}: {:?}\n{}", ran.code, ran.err);
    }
}

#[test]
fn no_output_claims_what_a_report_is_not() {
    let job = Script::demo();
    for line in ["--help", "demo other", "check job", "check job --all", "check job --json", "man"]
    {
        job.run(line).in_order().nowhere("airworthy");
    }
    for pdf in ["job/sheets.pdf", "job/report.pdf", "job/report-first.pdf"] {
        let words = job.words(pdf).to_lowercase();
        let words: Vec<&str> = words.split(|c: char| !c.is_alphanumeric() && c != '-').collect();
        for claim in ["airworthy", "certified", "conforms", "rebuilt", "zero-time", "overhauled"] {
            assert!(!words.contains(&claim), "{pdf} prints '{claim}'");
        }
    }
}

#[test]
fn a_job_is_opened_and_printed() {
    let job = Script::new();
    job.bring("tests/engines/two-in", "from");
    let open = "new job --engine from/engine.toml --limits from/limits.toml";
    job.run(open).status(0).says("opened");
    job.exists("job/engine.toml").exists("job/limits.toml").exists("job/forms/report.toml");
    job.missing("job/readings.toml");
    // Work order and serial are still to be filled in; nothing crashes on it.
    job.run("check job").in_order();
    job.run("new job2 --engine nowhere.toml --limits from/limits.toml")
        .status(2)
        .complains("nowhere.toml");
    job.missing("job2");
}

/// Beside the forms lies how they are changed; nothing else takes notice of it.
#[test]
fn how_to_change_the_forms_lies_in_the_job_and_nowhere_else() {
    let job = Script::new();
    job.bring("tests/engines/two-in", "from");
    let given = "--engine from/engine.toml --limits from/limits.toml --job from/job.toml";
    job.run(&format!("new job {given}")).status(0);
    job.holds("job/forms/README.md", include_str!("../../forms/README.md"));
    let made = |job: &Script| {
        job.run("sheets job").status(0);
        job.run("report job --draft").status(1);
        let made = (job.bytes("job/sheets.pdf"), job.bytes("job/report.pdf"));
        for name in ["readings.toml", "sheets.pdf", "report.pdf"] {
            std::fs::remove_file(job.path("job").join(name)).expect("removed");
        }
        made
    };
    let with = made(&job);
    std::fs::remove_file(job.path("job/forms/README.md")).expect("removed");
    assert!(with == made(&job), "the page is in what was printed");
    job.write("beside.pdf", &with.1);
    job.run("verify beside.pdf").never_says("README");
    job.run("unpack beside.pdf back").status(0);
    job.missing("back/forms/README.md").exists("back/forms/report.toml");
    // A shop's own stands in its place.
    job.write("own/README.md", "Ask TD before you change a form.\n");
    job.run(&format!("new theirs {given} --forms own")).status(0);
    job.holds("theirs/forms/README.md", "Ask TD");
}

#[test]
fn a_sheet_of_work_is_printed_without_the_one_line_that_it_measures() {
    let job = Script::new();
    job.bring("tests/engines/two-in", "from").bring("tests/engines/old-forms", "before");
    for reference in ["XB", "XT", "XP", "XS", "TC"] {
        let limits = job.read("from/limits.toml");
        let (from, to) = (format!("\"{reference}\""), format!("\"Y{reference}\""));
        job.write("from/limits.toml", limits.replace(&from, &to));
    }
    let given = "--engine from/engine.toml --limits from/limits.toml --job from/job.toml";
    job.run(&format!("new job {given} --forms before")).status(0);
    job.run("sheets job").status(0);
    // A tag at tear-down and the hold point over the hold-down nuts.
    let words = job.words("job/sheets.pdf");
    assert!(words.contains("each part tagged with its place"));
    assert!(words.contains("hold-down nuts locked"));
    assert!(words.contains("sheet FV: the limits have no line TC"));
    // Nothing of this engine is reached through an opening.
    job.run("tags job --strip").status(0).says("nothing was written");
    job.missing("job/strip.pdf");
}

#[test]
fn a_shops_own_forms_take_the_place_of_the_standard_ones() {
    let job = Script::new();
    job.bring("tests/engines/two-in", "from");
    let own = "[sheet]\nletter = \"C\"\ntitle = \"Our camshaft sheet\"\norder = 100\nrevision = 9\n\n\
               [[block]]\nmeasure = \"C\"\n";
    job.write("own/camshaft.toml", own).write("own/timing.toml", "\n");
    let given = "--engine from/engine.toml --limits from/limits.toml --job from/job.toml";
    job.run(&format!("new job {given} --forms own")).status(0);
    assert_eq!(job.read("job/forms/camshaft.toml"), own);
    job.missing("job/forms/timing.toml").exists("job/forms/cleaning.toml");
    job.run("sheets job").status(0);
    assert!(job.words("job/sheets.pdf").contains("Our camshaft sheet"));
    job.run(&format!("new plain {given}")).status(0);
    job.exists("plain/forms/timing.toml").missing("plain/forms/camshaft.toml");
}

#[test]
fn schemas_and_the_version_say_which_program_it_is() {
    let script = Script::new();
    script.run("schemas out").status(0).says("out/engine.schema.json: an engine file");
    let schema: serde_json::Value =
        serde_json::from_str(&script.read("out/readings.schema.json")).expect("JSON");
    assert_eq!(schema["properties"]["sheet-set"]["type"], "string");
    let said = script.run("--version").status(0);
    let forms = said.out.split("forms ").nth(1).unwrap_or_default();
    assert!(said.out.contains("(revision ") && forms.len() == "7F3K)\n".len(), "{}", said.out);
}

#[test]
fn a_blank_job_is_open_throughout() {
    let job = Script::blank();
    job.run("check job").status(1).says("open");
    job.run("report job").status(1).says("draft");
    for row in job.verdicts()["rows"].as_array().expect("rows") {
        assert_eq!(row["state"], "open", "{row}");
    }
}

#[test]
fn the_demonstration_stays_in_its_folder() {
    let script = Script::new();
    script.run("demo job").status(0);
    assert!(script.listing().iter().all(|name| name.starts_with("job/")));
    script.run("demo job").status(2).complains("not empty");
}

#[test]
fn statuses_and_wrong_commands() {
    let script = Script::new();
    script.run("").in_order().status(2);
    script.run("--version").status(0).says("benchleaf");
    script.run("check nowhere").status(2).complains("nowhere");
    script.run("chek nowhere").status(2).complains("check");
    script.run("sheets").status(2);
    let job = Script::demo();
    job.run("sheets job --only Q9").status(2).complains("Q9");
    job.run("check job nowhere").status(2).complains("nowhere").says("Record complete");
}

#[test]
fn other_engines_go_the_whole_way() {
    for (engine, rows) in [("six-mm", 200), ("two-in", 60)] {
        let job = Script::engine(engine);
        let ran = job.run("check job").in_order();
        assert_ne!(ran.code, Some(2), "{engine}: {}", ran.err);
        let all = job.verdicts();
        assert!(all["rows"].as_array().expect("rows").len() > rows, "{engine}");
        job.run("report job --complete").status(0).says("record complete");
        job.exists("job/report.pdf");
    }
}

/// Beside its forms a limits file's groups and ways are known: what `sheets`
/// refuses `limits` does not pass. A folder that is no job yet is read as well.
#[test]
fn limits_beside_their_forms_know_groups_and_ways() {
    let job = Script::demo();
    job.run("limits job/limits.toml --quiet").status(0);
    for (from, to, said) in [
        ("way  = \"runout\"", "way  = \"wobble\"", "no way of measuring wobble"),
        ("group = \"mains\"", "group = \"nosuch\"", "no group nosuch"),
    ] {
        let kept = job.read("job/limits.toml");
        job.write("job/limits.toml", kept.replacen(from, to, 1));
        job.run("limits job/limits.toml --quiet").status(2).complains(said);
        job.run("sheets job").status(2).complains(said);
        job.write("job/limits.toml", kept);
    }
    std::fs::remove_file(job.path("job/job.toml")).expect("removed");
    job.run("limits job/limits.toml --quiet").status(0);
}

/// A transcription of an earlier print stays where it is. Whether anything is
/// typed in it is said, and under which name it may be kept.
#[test]
fn a_transcription_of_an_earlier_print_is_told() {
    let job = Script::demo();
    std::fs::remove_file(job.path("job/readings.toml")).expect("the transcription");
    job.run("sheets job").status(0).says("blank transcription, to be filled in");
    let blank = job.read("job/readings.toml");
    let set = blank.lines().find_map(|line| line.strip_prefix("sheet-set = ")).expect("its set");
    let set = set.trim_matches('"').to_owned();
    // The same print again: nothing more is said.
    let again = job.run("sheets job").status(0);
    assert!(again.out.contains("left as it is\n") && !again.out.contains("earlier print"));
    let keep = format!("rename it, readings-{set}.toml, and print again");
    job.replace(
        "job/limits.toml",
        "new = [1.3725, 1.3735], wear = 1.3715",
        "new = [1.3725, 1.3735], wear = 1.3714",
    );
    job.run("sheets job")
        .status(0)
        .says(&format!("it is of an earlier print, set {set}, and these sheets are set "))
        .says(&format!(
            "no reading and no mark is typed in it: for the blank of these sheets {keep}"
        ));
    assert_eq!(job.read("job/readings.toml"), blank);
    // Something is typed: what stands of it is for `check` to say.
    job.replace("job/readings.toml", "C1.shaft = []", "C1.shaft = [1.3731, 1.3730]");
    let typed = job.read("job/readings.toml");
    let ran = job.run("sheets job").status(0);
    assert!(ran.out.contains("`benchleaf check job` names the others"), "{}", ran.out);
    assert!(ran.out.contains(&format!("  for the blank of these sheets {keep}")), "{}", ran.out);
    assert_eq!(job.read("job/readings.toml"), typed);
    // Under the name that is offered it is in nobody's way.
    std::fs::rename(job.path("job/readings.toml"), job.path(&format!("job/readings-{set}.toml")))
        .expect("renamed");
    job.run("sheets job").status(0).says("blank transcription, to be filled in");
    job.run("check job").status(1);
}
