//! Bad weather: killed at any moment, a full disk, a folder that may not be
//! written, a path with spaces and Cyrillic.

use super::Script;

/// A dozen catch a write that is not moved into place whole; optimised, a
/// hundred.
const KILLS: u32 = if cfg!(debug_assertions) { 12 } else { 100 };

fn kills() -> u32 {
    let told = std::env::var("BENCHLEAF_KILLS").ok();
    told.and_then(|n| n.parse().ok()).unwrap_or(KILLS)
}

#[test]
fn killed_while_printing_leaves_the_old_or_the_new() {
    let job = Script::demo();
    job.sheets();
    let new = job.keep("job/sheets.pdf");
    let typed = job.keep("job/readings.toml");
    let hits = job.killed_throughout(
        "sheets job",
        kills(),
        |job| {
            job.write("job/sheets.pdf", "the old one");
        },
        |job, n| {
            let old = job.bytes("job/sheets.pdf") == b"the old one";
            assert!(old || new.is(), "kill {n} left half a file");
            typed.unchanged();
        },
    );
    assert!(hits > 0, "no kill came in time");
}

#[test]
fn killed_while_reporting_leaves_the_old_or_the_new() {
    let job = Script::demo();
    job.run("report job").status(0);
    let new = job.keep("job/report.pdf");
    let typed = job.keep("job/readings.toml");
    job.killed_throughout(
        "report job",
        kills(),
        |job| {
            job.write("job/report.pdf", "the old one");
        },
        |job, n| {
            let old = job.bytes("job/report.pdf") == b"the old one";
            assert!(old || new.is(), "kill {n} left half a file");
            typed.unchanged();
        },
    );
}

#[test]
fn a_full_disk_loses_nothing() {
    let job = Script::demo();
    const OLD: &str = "%PDF-1.7\nthe old one\n";
    job.write("job/sheets.pdf", OLD);
    job.write("job/report.pdf", OLD);
    let typed = job.read("job/readings.toml");
    for line in ["sheets job", "report job"] {
        // A little: no room for a PDF.
        let Some(ran) = job.run_on_small_disk(40, line) else {
            return;
        };
        ran.in_order().status(2).complains(".pdf").complains("No space left");
        assert_eq!(job.read("job/sheets.pdf"), OLD, "{line}");
        assert_eq!(job.read("job/report.pdf"), OLD, "{line}");
        assert_eq!(job.read("job/readings.toml"), typed, "{line}");
        let left: Vec<_> =
            job.listing().into_iter().filter(|n| n.contains(".benchleaf-")).collect();
        assert!(left.is_empty(), "{line} left {left:?}");
    }
}

#[test]
fn a_folder_that_may_not_be_written() {
    let job = Script::demo();
    let before = job.listing();
    for line in ["sheets job", "report job"] {
        let Some(ran) = job.run_read_only(line) else {
            return;
        };
        ran.in_order().status(2).complains("job/");
        assert_eq!(job.listing(), before);
    }
    // Reading needs no writing.
    if let Some(ran) = job.run_read_only("check job") {
        ran.status(0);
    }
}

#[test]
fn somebody_who_owns_nothing() {
    let job = Script::demo();
    let Some(ran) = job.run_as_nobody("report job") else {
        return;
    };
    ran.in_order().status(2);
}

#[test]
fn spaces_and_cyrillic_on_the_way() {
    let job = Script::in_folder("\u{446}\u{435}\u{445} No 2/job \u{2116} 7").with_demo();
    job.run("check job").status(0);
    job.sheets();
    job.run("report job").status(0).says("record complete");
    job.run_words(&["report", "job", "--out", "\u{43e}\u{442}\u{447}\u{451}\u{442} 1.pdf"])
        .status(0);
    job.exists("\u{43e}\u{442}\u{447}\u{451}\u{442} 1.pdf");
}

#[test]
fn two_at_once_on_one_job() {
    let job = Script::demo();
    job.sheets();
    let whole = job.keep("job/sheets.pdf");
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                for _ in 0..3 {
                    job.run("sheets job").status(0);
                }
            });
        }
    });
    whole.unchanged();
    let left = job.listing().into_iter().filter(|name| name.contains(".benchleaf-")).count();
    assert_eq!(left, 0, "files aside were left");
}

#[test]
fn a_job_too_large_to_be_one_is_refused() {
    let job = Script::demo();
    job.write("job/readings.toml", "# padding\n".repeat(2 << 20));
    job.run("check job").in_order().status(2).complains("readings.toml");
    // Ten megabytes of comments are slow reading, not a fault.
    let typed = Script::demo().read("job/readings.toml");
    job.write("job/readings.toml", typed + &"# padding\n".repeat(1 << 20));
    job.run("check job").status(0);
}

/// An engine with a thousand places of one kind; its files are made here.
#[test]
fn a_thousand_places() {
    let job = Script::new();
    let list = |each: &dyn Fn(u32) -> String| (1..=1000).map(each).collect::<Vec<_>>().join(", ");
    let part = |name: &str, feature: &str, kind: &str| {
        format!(
            "[parts.{name}]\n[features.{feature}]\npart = \"{name}\"\nkind = \"{kind}\"\n\
             at = \"cam-bearing\"\ndirections = 2\n"
        )
    };
    job.write(
        "engine.toml",
        format!(
            "[engine]\nmaker = \"Tarnwick Motor Works\"\nmodel = \"Long\"\nunit = \"in\"\n\
             [places.cam-bearing]\ncodes = [{}]\nnames = [{}]\n{}{}",
            list(&|n| format!("\"{n}\"")),
            list(&|n| format!("\"bearing {n}\"")),
            part("camshaft", "cam-journal", "shaft"),
            part("crankcase", "cam-bore", "bore"),
        ),
    );
    job.write(
        "limits.toml",
        "[document]\ntitle = \"Overhaul manual\"\nnumber = \"OM-9\"\nrevision = \"1\"\nunit = \"in\"\n\
         resolution = \"0.0001\"\n[[line]]\nref = \"C\"\nname = \"camshaft in crankcase\"\nkind = \"fit\"\n\
         shaft = { feature = \"cam-journal\", new = [1.3725, 1.3735], wear = 1.3715 }\n\
         bore = { feature = \"cam-bore\", new = [1.3745, 1.3760], wear = 1.3770 }\n\
         fit = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }\n",
    );
    job.bring("tests/engines/two-in/job.toml", "job.toml");
    job.run("new job --engine engine.toml --limits limits.toml --job job.toml").status(0);
    job.run("sheets job").status(0);
    let mut typed = job.read("job/readings.toml");
    for n in 1..=1000 {
        // The last is beyond its wear limit.
        let bore = if n == 1000 { "1.3772, 1.3773" } else { "1.3752, 1.3753" };
        typed =
            typed.replace(&format!("C{n}.shaft = []"), &format!("C{n}.shaft = [1.3731, 1.3730]"));
        typed = typed.replace(&format!("C{n}.bore = []"), &format!("C{n}.bore = [{bore}]"));
    }
    job.write("job/readings.toml", typed);
    job.run("check job").status(1).says("1000 rows measured").says("1 out");
    job.run("report job --draft").in_order();
    job.run("verify job/report.pdf").says("1000 rows worked out anew, all as reported");
}
