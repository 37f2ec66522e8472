//! A row that is out stays so until a part is changed or reworked, or somebody
//! else, or another gauge, and an inspector say otherwise; and every reading
//! ever made stays in the chain. (The rule is the trade's: common practice, no
//! source.)

use super::drawn::{Drawn, expanded, verdicts};
use super::{Tape, cases, numbers};
use benchleaf::diag::Sources;
use benchleaf::quantity::Exact;
use benchleaf::sheet::{Pages, transcription};
use proptest::prelude::*;
use serde_json::Value;

/// A later entry as typed.
#[derive(Clone, Debug)]
struct Later {
    side: &'static str,
    read: [i64; 2],
    why: &'static str,
    by: &'static str,
    /// Another set of gauges than the first.
    other_gauge: bool,
    inspector: bool,
}

fn show(steps: i64) -> String {
    Exact::steps(steps, 4).to_string()
}

fn pair(read: [i64; 2]) -> String {
    format!("[{}, {}]", show(read[0]), show(read[1]))
}

/// The first hands; the journal by micrometer, the bore by gauge and micrometer.
fn gauges(side: &str, other: bool) -> &'static str {
    match (side, other) {
        ("shaft", false) => "\"MIC\"",
        ("shaft", true) => "\"MIC-2\"",
        (_, false) => "[\"TEL\", \"MIC\"]",
        (_, true) => "[\"TEL\", \"MIC-2\"]",
    }
}

/// One fit of one place: camshaft in crankcase, the check values of the rules.
fn files() -> Sources {
    let mut files = Drawn::default().files();
    files.put(
        "engine.toml",
        "[engine]\nmaker = \"Tarnwick Motor Works\"\nmodel = \"TW\"\nunit = \"in\"\n\
         [parts.camshaft]\n[parts.crankcase]\n\
         [features.journal]\npart = \"camshaft\"\nkind = \"shaft\"\ndirections = 2\n\
         [features.bore]\npart = \"crankcase\"\nkind = \"bore\"\ndirections = 2\n",
    );
    files.put(
        "limits.toml",
        "[document]\ntitle = \"Overhaul manual\"\nnumber = \"OM-4\"\nrevision = \"7\"\n\
         unit = \"in\"\nresolution = \"0.0001\"\n\
         [[line]]\nref = \"C\"\nname = \"camshaft in crankcase\"\nkind = \"fit\"\n\
         shaft = { feature = \"journal\", new = [1.3725, 1.3735], wear = 1.3715 }\n\
         bore = { feature = \"bore\", new = [1.3745, 1.3760], wear = 1.3770 }\n\
         fit = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }\n",
    );
    let gauge = |name: &str, more: &str| {
        format!("[gauges.{name}]\nname = \"{name}\"\nrange = [0, 6]\ndue = 2030-01-01\n{more}")
    };
    let head = "[job]\nwork-order = \"0417\"\nengine-serial = \"TW-1\"\nscope = \"service\"\n\
         second-person = false\n[shop]\nname = \"Cold Fen Engine Bench\"\n\
         [people.RW]\nname = \"RW\"\nrole = \"mechanic\"\n\
         [people.JA]\nname = \"JA\"\nrole = \"inspector\"\n";
    let all = [gauge("MIC", ""), gauge("MIC-2", ""), gauge("TEL", "transfer = true\n")];
    files.put("job.toml", format!("{head}{}", all.concat()));
    let form = "[sheet]\nletter = \"C\"\ntitle = \"Camshaft\"\norder = 1\nrevision = \"1\"\n\
         [[block]]\nmeasure = [\"C\"]\n";
    files.put("forms/camshaft.toml", form);
    files
}

fn record(first: [[i64; 2]; 2], later: &[Later]) -> Value {
    let mut files = files();
    let (_, set) = expanded(&files);
    let blank = transcription(&set, &Pages::default());
    let mut typed: String = blank
        .lines()
        .map(|line| match line.split_once(" = ") {
            Some(("C.shaft", _)) => format!("C.shaft = {}\n", pair(first[0])),
            Some(("C.bore", _)) => format!("C.bore = {}\n", pair(first[1])),
            Some((side @ ("shaft" | "bore"), _)) => {
                let gauge = gauges(side, false);
                format!("{side} = {{ by = \"RW\", on = 2026-03-02, gauge = {gauge} }}\n")
            }
            _ => format!("{line}\n"),
        })
        .collect();
    for (day, entry) in later.iter().enumerate() {
        typed += &format!(
            "[[again]]\nrow = \"C\"\nbox = \"{}\"\nread = {}\nwhy = \"{}\"\nby = \"{}\"\n\
             on = 2026-03-{:02}\ngauge = {}\n",
            entry.side,
            pair(entry.read),
            entry.why,
            entry.by,
            day + 3,
            gauges(entry.side, entry.other_gauge)
        );
        if entry.inspector {
            typed += "inspector = \"JA\"\n";
        }
    }
    files.put("readings.toml", typed);
    verdicts(&files, &Pages::default())["rows"][0].clone()
}

/// Whether an entry may turn an out into a pass: an inspector looked, and not
/// all hands and gauges up to it are the first ones.
fn may_turn(later: &[Later]) -> bool {
    let other = |entry: &Later| entry.by != "RW" || entry.other_gauge;
    (0..later.len()).any(|at| later[at].inspector && later[..=at].iter().any(other))
}

/// Out as found, and passing without anything that may turn it.
fn improved(row: &Value, may_turn: bool) -> bool {
    let found = row["steps"][0]["state"].as_str().unwrap();
    let state = row["state"].as_str().unwrap();
    found.starts_with("out") && state.starts_with("within") && !may_turn
}

/// Figures that were typed and stand in no step of the chain.
fn lost(row: &Value, first: [[i64; 2]; 2], later: &[Later]) -> Vec<String> {
    let chain = row["steps"].to_string();
    let typed = first.into_iter().chain(later.iter().map(|entry| entry.read)).flatten();
    typed.map(show).filter(|text| !chain.contains(&format!("\"{text}\""))).collect()
}

fn drawn(tape: &mut Tape) -> ([[i64; 2]; 2], Vec<Later>) {
    // About 0.0050 apart: in and out by a few steps.
    let shaft = |tape: &mut Tape| [tape.between(13_715, 13_722), tape.between(13_715, 13_722)];
    let bore = |tape: &mut Tape| [tape.between(13_762, 13_772), tape.between(13_762, 13_772)];
    let first = [shaft(tape), bore(tape)];
    let entry = |tape: &mut Tape| {
        let side = ["shaft", "bore"][tape.below(2)];
        Later {
            side,
            read: if side == "shaft" { shaft(tape) } else { bore(tape) },
            why: if tape.one_in(6) { "reworked" } else { "measured again" },
            by: if tape.one_in(4) { "JA" } else { "RW" },
            other_gauge: tape.one_in(4),
            inspector: tape.one_in(3),
        }
    };
    let later = (0..1 + tape.below(4)).map(|_| entry(tape)).collect();
    (first, later)
}

proptest! {
    #![proptest_config(cases(6_000))]

    #[test]
    fn states_never_improve_by_themselves(mut tape in numbers()) {
        let (first, later) = drawn(&mut tape);
        let row = record(first, &later);
        prop_assert!(!improved(&row, may_turn(&later)), "{:?} {:?} {:#}", first, later, row);
        let lost = lost(&row, first, &later);
        prop_assert!(lost.is_empty(), "{:?} of {:?} {:?} {:#}", lost, first, later, row);
    }
}

/// Planted: 0.0052 is out, 0.0050 by another hand before an inspector passes;
/// counted as if nobody had looked, it is seen.
#[test]
fn an_improvement_is_seen() {
    let first = [[13_716, 13_716], [13_768, 13_768]];
    let again = |inspector| Later {
        side: "bore",
        read: [13_766, 13_766],
        why: "measured again",
        by: "JA",
        other_gauge: true,
        inspector,
    };
    let row = record(first, &[again(true)]);
    assert!(may_turn(&[again(true)]) && !may_turn(&[again(false)]));
    assert!(!improved(&row, true) && improved(&row, false), "{row:#}");
    assert_eq!(lost(&row, first, &[again(true)]), Vec::<String>::new());
    assert!(!lost(&row, [[13_711; 2], first[1]], &[]).is_empty());
    assert_eq!(record(first, &[again(false)])["state"], "hold");
}
