//! Every hold and every query of the record, and the honest entry that clears
//! each: nothing can be reached that only a false entry would get out of. What
//! is cleared ends final. (The trade's rule: common practice, no source.)
//!
//! Not here, since the paper itself is put right and nothing is measured: a
//! wrong sheet or set number, a date or initials typed otherwise than written,
//! an n.a. and readings on one row, of which one is struck out. Under guarded
//! acceptance a hold is cleared by a gauge of less uncertainty or another part;
//! mixed grades and a stale second-stage sheet by the readings of their own
//! tests.

use super::{Found, Job};

/// What asks, where and in which words; and what clears it.
struct Case {
    asks: Job,
    at: &'static str,
    words: &'static str,
    cleared: Job,
}

/// What is said of a row, an item, a sheet or the whole record.
fn said(found: &Found, at: &str) -> String {
    match at.split_once(' ') {
        _ if at == "whole" => found.whole(),
        Some(("sheet", letter)) => found.sheet(letter),
        Some((letter, n)) => {
            let item = found.item(letter, n.parse().unwrap());
            item.asks.iter().map(|ask| ask.why.clone()).collect::<Vec<_>>().join("\n")
        }
        None => found.said(at),
    }
}

const SPRING: &str = "by = \"TD\"; on = 2026-03-07; gauge = \"SPR-1\"; inspector = \"JA\"";

fn case(asks: Job, at: &'static str, words: &'static str, clear: impl Fn(Job) -> Job) -> Case {
    Case { cleared: clear(asks.clone()), asks, at, words }
}

fn of_gauges() -> Vec<Case> {
    let due = "serial      = \"CF-0231\"\nrange       = [0.0000, 0.2500]\nresolution  = 0.0001\nuncertainty = 0.0002\ndue         = ";
    let lapsed = Job::last().with("job", &format!("{due}2026-09-30"), &format!("{due}2026-03-12"));
    let lapsed = lapsed.with("job", "[gauges.FEEL-1]", "[gauges.DI-2]\nname = \"dial indicator\"\nserial = \"CF-9\"\nrange = [0.0000, 0.2500]\ndue = 2026-12-31\n\n[gauges.FEEL-1]");
    let other = "by = \"TD\"; on = 2026-03-14; gauge = \"DI-2\"; inspector = \"JA\"";
    vec![
        case(lapsed, "EC", "was due for calibration", |job| {
            job.again("EC", "read", "[0.0085]", "measured again", other).again(
                "BG",
                "read",
                "[0.0065]",
                "measured again",
                other,
            )
        }),
        case(
            Job::last().sheet(
                "S",
                "UF = \"DI-1\" }, zero = \"vv\"",
                "UF = \"DI-1\" }, zero = \"vx\"",
            ),
            "UC",
            "was not right",
            |job| {
                let rest = "by = \"TD\"; on = 2026-03-07; gauge = \"DI-1\"; zero = \"vv\"; inspector = \"JA\"";
                job.again("UC", "read", "[0.0030]", "measured again", rest).again(
                    "UF",
                    "read",
                    "[0.0010]",
                    "measured again",
                    rest,
                )
            },
        ),
        case(
            Job::last().again(
                "H",
                "shaft",
                "[1.0006, 1.0006]",
                "measured again",
                "by = \"RW\"; on = 2026-03-05; gauge = \"MIC-1\"",
            ),
            "H",
            "MIC-1",
            |job| {
                job.again(
                    "H",
                    "shaft",
                    "[1.0006, 1.0006]",
                    "measured again",
                    "by = \"RW\"; on = 2026-03-06; gauge = \"MIC-2\"; inspector = \"JA\"",
                )
            },
        ),
    ]
}

fn of_dates_and_hands() -> Vec<Case> {
    let early = "by = \"TD\"; on = 2026-03-04; gauge = \"SPR-1\"";
    let again =
        |job: Job, read: &str, rest: &str| job.again("SR", "read", read, "measured again", rest);
    let out = Job::last().row("SR.read", "[8.4]").with(
        "job",
        "[gauges.FEEL-1]",
        "[gauges.SPR-2]\nname = \"spring tester\"\nserial = \"CF-8\"\nunit = \"lbf\"\nrange = [0, 200]\ndue = 2026-12-31\n\n[gauges.FEEL-1]",
    );
    let changed = "[[change]]\npart = \"outer-springs\"\nplaces = [\"2IN\"]\nwhy = \"part changed\"\nwhat = \"new\"\nnumber = \"1\"\n\
                   batch = \"2\"\ndocument = \"3\"\nby = \"RW\"\non = 2026-03-06\n";
    let bores = ["[2.2512, 2.2514]", "[2.2519, 2.2520]", "[2.2510, 2.2511]"];
    let td = "by = \"TD\"; on = 2026-03-13; gauge = [\"BG-1\", \"MIC-3\"]; inspector = \"JA\"";
    let ja = "by = \"JA\"; on = 2026-03-14; gauge = [\"BG-1\", \"MIC-3\"]; inspector = \"NB\"";
    vec![
        case(again(Job::last(), "[8.7]", early), "SR", "before it was first measured", |job| {
            again(job, "[8.7]", SPRING)
        }),
        case(
            Job::last()
                .sheet(
                    "M",
                    "work  = { by = \"TD\", on = 2026-03-05, ",
                    "work  = { by = \"TD\", on = 2026-03-06, ",
                )
                .sheet(
                    "M",
                    "check = { by = \"JA\", on = 2026-03-05 }",
                    "check = { by = \"JA\", on = 2026-03-06 }",
                ),
            "M1",
            "before the work it needs",
            |job| {
                let more = bores.iter().zip(["M1", "M2", "M3"]);
                more.fold(job, |job, (read, row)| {
                    job.again(row, "bore", read, "measured again", td)
                })
            },
        ),
        case(
            again(Job::last(), "[8.7]", "by = \"TD\"; on = 2026-03-06"),
            "SR",
            "name the gauge",
            |job| again(job, "[8.7]", SPRING),
        ),
        case(
            Job::last().again("SR", "read", "[8.7]", "mistyped", "by = \"TD\""),
            "SR",
            "a second person must look at the paper",
            |job| again(job, "[8.7]", SPRING),
        ),
        // An out that became a pass by the same hand: another hand says so too.
        case(again(out, "[8.7]", SPRING), "SR", "an out becomes a pass only by another", |job| {
            again(
                job,
                "[8.7]",
                "by = \"RW\"; on = 2026-03-08; gauge = \"SPR-2\"; inspector = \"JA\"",
            )
        }),
        case(
            Job::last().again("SU2IN", "read", "[75]", "part changed", SPRING),
            "SU2IN",
            "add the [[change]] of the part",
            |job| job.add(&changed.replace("by =", "redone = [\"SP 1\"]\nby =")),
        ),
        case(
            Job::last().again("M1", "bore", "[2.2505, 2.2506]", "measured again", td),
            "M1",
            "by more than both uncertainties",
            |job| job.again("M1", "bore", "[2.2512, 2.2514]", "measured again", ja),
        ),
        case(
            Job::last().add(
                &changed
                    .replace("part changed", "reworked")
                    .replace("document", "grade = \"0.1\"\ndata"),
            ),
            "whole",
            "the limits have no grade",
            |job| {
                job.add(
                    &changed.replace("03-06", "03-07").replace("by =", "redone = [\"SP 1\"]\nby ="),
                )
                .again("SU2IN", "read", "[75]", "part changed", SPRING)
            },
        ),
    ]
}

fn of_slips() -> Vec<Case> {
    let rw = "by = \"RW\"; on = 2026-03-07; gauge = \"MIC-1\"; inspector = \"JA\"";
    let mic = "by = \"TD\"; on = 2026-03-07; gauge = \"MIC-3\"; inspector = \"JA\"";
    let td = "by = \"TD\"; on = 2026-03-07; gauge = [\"TEL-1\", \"MIC-1\"]; inspector = \"JA\"";
    let indicator = "by = \"TD\"; on = 2026-03-07; gauge = \"DI-1\"; inspector = \"JA\"";
    let leaves = "by = \"TD\"; on = 2026-03-07; gauge = \"FEEL-1\"; inspector = \"JA\"";
    let alike = |job: Job, n: usize| {
        let rows = ["SU1IN", "SU1EX", "SU2IN", "SU2EX", "SU3IN", "SU3EX", "SU4IN", "SU4EX"];
        rows[..n].iter().fold(job, |job, row| job.row(&format!("{row}.read"), "[72]"))
    };
    vec![
        case(Job::last().row("EK.read", "[0.009]"), "EK", "a digit is lost", |job| {
            job.again("EK", "read", "[0.0090]", "measured again", indicator)
        }),
        case(Job::last().row("M1.shaft", "[2.2487, 2.2477]"), "M1", "thimble line", |job| {
            job.again("M1", "shaft 1", "2.2487", "measured again", mic)
        }),
        case(Job::last().row("P.shaft", "[0.5237, 0.5236]"), "P", "sleeve", |job| {
            job.again("P", "shaft", "[0.4987, 0.4986]", "measured again", rw)
        }),
        case(Job::last().row("P.bore", "[0.4998, 0.4999]"), "P", "thimble line", |job| {
            job.again("P", "bore", "[0.4998, 0.4999]", "measured again", td)
        }),
        case(
            Job::last().row("P.shaft", "[0.5008, 0.5009]").row("P.bore", "[0.4987, 0.4986]"),
            "P",
            "in each other's boxes",
            |job| {
                job.again("P", "shaft", "[0.4987, 0.4986]", "measured again", rw).again(
                    "P",
                    "bore",
                    "[0.5008, 0.5009]",
                    "measured again",
                    &td.replace("TD", "RW"),
                )
            },
        ),
        case(alike(Job::last(), 8), "SU3EX", "for the quality manager", |job| {
            let rows = ["SU1IN", "SU1EX", "SU2IN"];
            rows.iter()
                .fold(job, |job, row| job.again(row, "read", "[72]", "measured again", SPRING))
        }),
        case(
            Job::last().again(
                "GN",
                "leaves",
                "[[9, 0.004, \"entered\"], [9, 0.003, \"refused\"]]",
                "measured again",
                leaves,
            ),
            "GN",
            "query",
            |job| {
                let right = "[[9, 0.003, \"entered\"], [9, 0.004, \"refused\"]]";
                job.again("GN", "leaves", right, "measured again", &leaves.replace("07", "08"))
            },
        ),
    ]
}

fn of_paper() -> Vec<Case> {
    let other = "fit   = { new = [\"0.0020T\", \"0.0007T\"], service = \"0.0004T\" }";
    let done = "done      = \"stud renewed, a clean nut runs the whole length\"\n";
    let (shaft, bore) = (
        "by = \"RW\"; on = 2026-03-07; gauge = \"MIC-2\"; inspector = \"JA\"",
        "by = \"TD\"; on = 2026-03-07; gauge = [\"TEL-1\", \"MIC-1\"]; inspector = \"JA\"",
    );
    let superseded = Job::last().with(
        "limits",
        "fit   = { new = [\"0.0020T\", \"0.0007T\"], service = \"0.0003T\" }",
        other,
    );
    vec![
        case(superseded, "sheet P", "is superseded", |job| {
            job.again("H", "shaft", "[1.0006, 1.0006]", "measured again", shaft).again(
                "H",
                "bore",
                "[0.9994, 0.9995]",
                "measured again",
                bore,
            )
        }),
        Case {
            asks: Job::last().typed(done, ""),
            at: "L 3",
            words: "waits for an inspector",
            cleared: Job::last(),
        },
        case(
            Job::last().sheet("P", "check = { by = \"JA\"", "check = { by = \"RW\""),
            "sheet P",
            "a second person is required",
            |job| job.sheet("P", "check = { by = \"RW\"", "check = { by = \"JA\""),
        ),
    ]
}

#[test]
fn every_hold_and_query_has_its_honest_entry() {
    let all = [of_gauges(), of_dates_and_hands(), of_slips(), of_paper()];
    for Case { asks, at, words, cleared } in all.into_iter().flatten() {
        let found = asks.judge();
        let text = said(&found, at);
        assert!(text.contains(words), "{at} does not say {words}:\n{text}");
        assert!(found.judged.blocks(), "{at}: {words}");
        let after = cleared.judge();
        assert!(
            !after.judged.blocks(),
            "{at}, {words}: {}\n{}",
            after.blocking().join("\n"),
            said(&after, at)
        );
    }
}
