//! What the commands say, where a wrong word would lead a person astray: one
//! test for each.

use super::script::{Ran, Script};
use serde_json::Value;

/// `--job` copies a job as it stands: nothing that is typed beside it may be
/// without effect, or a wrong serial stands on every page.
#[test]
fn new_with_a_job_of_its_own_takes_none_of_the_jobs_words() {
    let job = Script::demo();
    for (option, value) in [
        ("--serial", "TW4-00999"),
        ("--work-order", "0999"),
        ("--scope", "new"),
        ("--paper", "Letter"),
    ] {
        let ran = job.run(&format!("new other --job job/job.toml {option} {value}")).status(2);
        ran.complains("--job").complains(option);
        job.missing("other");
    }
    job.run("new other --job job/job.toml").status(0);
    assert_eq!(job.read("other/job.toml"), job.read("job/job.toml"));
}

/// The demonstration's engine twice, with hours as the two jobs say them.
#[track_caller]
fn wear(earlier: &str, later: &str) -> Ran {
    let job = Script::demo();
    job.run("unpack job/report-signed.pdf later").status(0);
    for (name, hours) in [("job", earlier), ("later", later)] {
        job.replace(&format!("{name}/job.toml"), "1,894.6 h since new", hours);
    }
    job.run("wear job later")
}

#[test]
fn hours_are_subtracted_only_since_new() {
    wear("1,894.6 h since new", "2,535.1 h since new").says("640.5 h since the earlier job");
    wear("TSN: 1894.6 hours since new", "2535.1 h since new, 640.5 h since overhaul")
        .says("640.5 h since the earlier job");
    let no_rate = |ran: Ran, why: &str| {
        ran.says(&format!("{why}: no wear per hundred hours")).never_says("per 100 h");
    };
    // 2,535.1 since new less 400 since overhaul is no time that anything ran.
    let unsaid = "the jobs do not both say their hours since new";
    no_rate(wear("400 h since overhaul", "2,535.1 h since new"), unsaid);
    no_rate(wear("1,894.6 h since new", "2,535.1 h since overhaul"), unsaid);
    no_rate(wear("400 h since overhaul", "1,200 h since overhaul"), unsaid);
    no_rate(wear("1,894.6", "2,535.1"), unsaid);
    // Both say both: since the overhaul it ran 100.5 h of the 640.5 between.
    no_rate(
        wear("1,894.6 h since new", "2,535.1 h since new, 100.5 h since overhaul"),
        "an overhaul lies between the two jobs",
    );
    no_rate(
        wear("1,894.6 h since new", "100.5 h since overhaul, 2,535.1 h since new"),
        "an overhaul lies between the two jobs",
    );
    no_rate(
        wear("2,535.1 h since new", "1,894.6 h since new"),
        "the hours since new do not rise from the earlier job to the later one",
    );
}

#[test]
fn of_several_jobs_each_line_names_its_own() {
    let job = Script::first();
    job.run("unpack job/report.pdf other").status(0);
    let alone = [job.run("check job").status(1), job.run("check other").status(0)];
    let both = job.run("check job other").status(1);
    let named = |(name, ran): (&str, &Ran)| -> Vec<String> {
        ran.out.lines().map(|line| format!("{name}: {line}")).collect()
    };
    let wanted: Vec<String> = ["job", "other"].into_iter().zip(&alone).flat_map(named).collect();
    assert_eq!(both.out.lines().collect::<Vec<_>>(), wanted);
    assert!(wanted.iter().any(|line| line.starts_with("job:   C2 (page ")), "{wanted:#?}");
    // For machines there is one object a job, as it is alone.
    let json = [job.run("check job --json").out, job.run("check other --json").out].concat();
    assert_eq!(job.run("check job other --json").out, json);
    // Faults too, and the caret stands where it stood.
    job.replace("other/job.toml", "scope         = \"service\"", "scope         = \"used\"");
    let fault = job.run("check other").status(2).err;
    let both = job.run("check job other --json").status(2);
    let of = |line: &str| match line.trim().is_empty() {
        true => line.to_owned(),
        false => format!("other: {line}"),
    };
    assert_eq!(both.err.lines().collect::<Vec<_>>(), fault.lines().map(of).collect::<Vec<_>>());
    let lost = job.run("check job nowhere").status(2);
    assert!(lost.err.starts_with("benchleaf: nowhere: no such job folder"), "{}", lost.err);
}

/// Of two jobs the one at fault is named.
#[test]
fn wear_names_the_job_that_cannot_be_read() {
    let job = Script::demo();
    job.run("unpack job/report-signed.pdf later").status(0);
    std::fs::remove_file(job.path("later/engine.toml")).expect("removed");
    job.run("wear job later").status(2).complains("later: fault: engine.toml is missing");
}

#[test]
fn a_folder_without_its_engine_is_told_so() {
    let job = Script::demo();
    std::fs::create_dir(job.path("nothing")).expect("a folder");
    for command in ["check", "sheets", "report", "tags", "whatif"] {
        job.run(&format!("{command} nothing"))
            .status(2)
            .complains("nothing: no job folder: it has no engine.toml, limits.toml or job.toml")
            .complains("`benchleaf new` opens one")
            .never_complains("report.toml");
    }
    job.write("alone/limits.toml", job.read("job/limits.toml"));
    job.run("limits alone/limits.toml")
        .status(2)
        .complains("alone/engine.toml: no such file beside the limits")
        .complains("--engine");
    job.run("limits alone/limits.toml --engine job/engine.toml").status(0);
    // The folder for the file in it: what would be right, not a file beside it.
    job.run("limits job").status(2).complains("job: is a folder").complains("job/limits.toml");
}

#[test]
fn the_caret_of_a_doubled_order_stands_under_the_order() {
    let job = Script::demo();
    let order = |form: &str| {
        let text = job.read(form);
        let line = text.lines().position(|line| line.starts_with("order")).expect("an order");
        (line + 1, text.lines().nth(line).expect("its line").to_owned())
    };
    let (_, cleaning) = order("job/forms/cleaning.toml");
    let (line, timing) = order("job/forms/timing.toml");
    job.replace("job/forms/timing.toml", &timing, &cleaning);
    let column = cleaning.find(|c: char| c.is_ascii_digit()).expect("digits") + 1;
    let at = format!("forms/timing.toml:{line}:{column}");
    job.run("check job").status(2).complains("stands twice").complains(&at);
}

/// `README.md` sends its reader to `forms/README.md` in each job folder.
#[test]
fn every_job_folder_has_what_tells_how_its_forms_are_changed() {
    let job = Script::demo();
    let own = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("forms/README.md");
    let own = std::fs::read_to_string(own).expect("the forms' own README.md");
    job.run("new opened").status(0);
    job.run("train practice").status(0);
    for folder in ["job", "opened", "practice"] {
        assert_eq!(job.read(&format!("{folder}/forms/README.md")), own, "{folder}");
    }
}

/// Where the margin is negative something is out, whatever worse stands in the
/// state's place: in every row of the demonstration and of the other engines.
#[test]
fn a_negative_margin_says_beyond_what() {
    let job = Script::first();
    // The micrometer of sheet C lapsed: C2, out by 0.0002, is on hold besides.
    let text = job.read("job/job.toml");
    let (before, gauge) = text.split_once("[gauges.MIC-2]").expect("MIC-2");
    let due = gauge.find("due ").expect("when it is due");
    let date = gauge[due..].find("20").expect("a year") + due;
    let lapsed = format!("{}2020{}", &gauge[..date], &gauge[date + 4..]);
    job.write("job/job.toml", format!("{before}[gauges.MIC-2]{lapsed}"));
    job.finds("C2", "hold").out("loose", "0.0002");
    let mut negative = 0;
    let guarded = Script::first();
    guarded.replace("job/job.toml", "\"simple\"", "\"guarded\"");
    for job in [&job, &guarded, &Script::engine("six-mm"), &Script::engine("two-in")] {
        for row in job.verdicts()["rows"].as_array().expect("rows") {
            let below = row["margin"].as_str().is_some_and(|margin| margin.starts_with('-'));
            let out = row["out"].as_array().expect("a list");
            negative += usize::from(below);
            assert_eq!(below, !out.is_empty() && row["margin"] != Value::Null, "{row:#}");
            assert!(row["state"] != "out" || !out.is_empty(), "{row:#}");
        }
    }
    assert!(negative >= 2, "{negative}");
}

/// On paper and in words a whole per cent, for machines four decimals.
#[test]
fn a_chance_is_a_whole_per_cent_on_paper() {
    let job = Script::demo();
    assert_eq!(job.row("C2").0["chance"], "0.8970");
    let said =
        job.run("check job --all").says("close to bore 1.3770, about 90 % likely inside").out;
    let printed = job.words("job/report.pdf");
    let printed = printed.split_whitespace().collect::<Vec<_>>().join(" ");
    for text in [said, printed] {
        let (before, _) = text.rsplit_once(" % likely inside").expect("a chance");
        for chance in before.split(" % likely inside") {
            let number = chance.rsplit(' ').next().unwrap_or_default();
            let per_cent: u32 = number.parse().unwrap_or_else(|_| panic!("about {number} %"));
            assert!((2..=98).contains(&per_cent), "{per_cent}");
        }
    }
}

/// What holds at the plane that governs says nothing of the others.
#[test]
fn roundness_is_held_to_a_tolerance_only_where_all_readings_are() {
    let job = Script::demo();
    let limits = "job/limits.toml";
    let note = "no part inside its new limits can be so far out of round";
    let larger = |feature: &str| {
        let text = job.read(limits);
        let line = format!(
            "[[line]]\nref = \"XR\"\nname = \"out of round\"\nkind = \"roundness\"\n\
                            feature = \"{feature}\"\nnew-max = 0.0500\n"
        );
        job.write("wide.toml", format!("{text}\n{line}"));
        job.run("limits wide.toml --engine job/engine.toml --quiet")
    };
    // A journal is held to its tolerance in every box.
    larger("cam-journal").complains(note);
    // A barrel at the skirt alone: its top may be choked.
    larger("barrel-bore").never_complains(note);
}
