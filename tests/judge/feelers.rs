//! Feelers both ways. The rules and the shop's leaves are the contract's.

use super::bench::*;
use benchleaf::judge::{Blade, Flag, GoNoGo, LeafNeeded, State, check, leaves};
use benchleaf::model::job::Rule;
use benchleaf::model::line::{FeelerLine, Kind, Line};

const SHOP: &str = "0.0015 0.002 0.0025 0.003 0.004 0.005 0.006 0.008";

fn gears(teeth: u32, limits: &str) -> Line {
    line(Kind::Feeler(FeelerLine {
        at: None,
        part: None,
        teeth,
        each: word("tooth"),
        limits: four(limits),
    }))
}

fn pump_gears() -> Line {
    gears(24, "0.0020 0.0040 - 0.0050")
}

fn all(mark: &str) -> String {
    mark.repeat(24)
}

fn choice(bench: &Bench, line: &Line) -> Result<GoNoGo, LeafNeeded> {
    match &line.kind {
        Kind::Feeler(feeler) => leaves(feeler, &bench.setting()),
        other => panic!("{other:?}"),
    }
}

fn chosen(bench: &Bench, line: &Line) -> String {
    let leaf = |leaf: Option<Blade>| leaf.map_or("none".to_owned(), |leaf| leaf.to_string());
    match choice(bench, line) {
        Ok(set) => format!("{} {}", leaf(set.leaves.go), leaf(set.leaves.no_go)),
        Err(needed) => needed.to_string(),
    }
}

#[test]
fn the_leaves_of_the_demonstration() {
    let bench = Bench::new().leaves(SHOP);
    assert_eq!(chosen(&bench, &pump_gears()), "0.0015 0.006");
    assert_eq!(chosen(&Bench::new().under_new().leaves(SHOP), &pump_gears()), "0.0015 0.005");
    assert_eq!(chosen(&Bench::new().guarded().leaves(SHOP), &pump_gears()), "0.002 0.005");
    let groups = check(&pump_gears()).groups(&bench.setting());
    assert_eq!(groups[0].title, "GO 0.0015");
    assert_eq!(groups[1].title, "NO-GO 0.006");
    assert_eq!(groups[0].labels.len(), 24);
}

#[test]
fn a_leaf_the_shop_lacks_is_named() {
    let lacking = |bench: Bench, leaves: &str| chosen(&bench.leaves(leaves), &pump_gears());
    assert_eq!(
        lacking(Bench::new(), "0.002 0.004 0.006"),
        "GO needs a leaf under 0.0020 and the shop has none: buy a leaf of 0.0015"
    );
    assert_eq!(
        lacking(Bench::new(), "0.0015 0.004 0.005"),
        "NO-GO needs a leaf over 0.0050 and the shop has none: buy a leaf of 0.0055"
    );
    assert_eq!(
        lacking(Bench::new().guarded(), "0.0015 0.006"),
        "GO needs a leaf at or just above 0.0020 and the shop has none: buy a leaf of 0.0020"
    );
    // One leaf between the limits cannot both enter and be refused.
    assert_eq!(
        lacking(Bench::new().guarded(), "0.0015 0.003 0.006"),
        "NO-GO needs a leaf at or just below 0.0050 and the shop has none: buy a leaf of 0.0050"
    );
    let bench = Bench::new();
    let needed = choice(&bench, &pump_gears());
    let expected = LeafNeeded {
        go: true,
        limit: exact("0.0020"),
        rule: Rule::Simple,
        buy: Some(exact("0.0015")),
        own: None,
    };
    assert_eq!(needed, Err(expected));
    assert!(check(&pump_gears()).groups(&bench.setting()).is_empty());
}

#[test]
fn go_and_no_go() {
    let bench = Bench::new().leaves(SHOP);
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[]);
    // 0.0015 entered and 0.006 refused: inside service as the trade accepts.
    assert_eq!(verdict.state, State::Service);
    assert!(verdict.flags.contains(&Flag::GoNoGo));
    assert!(
        verdict
            .steps
            .iter()
            .any(|step| step.contains("proven 0.0015 to 0.006, limits 0.0020 to 0.0050"))
    );
    assert_eq!(verdict.figure("entered everywhere"), Some(exact("0.0015")));
}

#[test]
fn new_by_the_new_limits_own_leaves() {
    let bench = Bench::new().leaves(SHOP);
    let refused: Vec<(u32, &str, bool)> = (1..=24).map(|n| (n, "0.005", false)).collect();
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &refused);
    assert_eq!(verdict.state, State::New);
    // One tooth short of it is service.
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &refused[1..]);
    assert_eq!(verdict.state, State::Service);
    let verdict = Bench::new().under_new().leaves(SHOP).judge_leaves(
        &pump_gears(),
        &all("v"),
        &all("v"),
        &[],
    );
    assert_eq!(verdict.state, State::New);
}

#[test]
fn every_tooth_counts() {
    let bench = Bench::new().leaves(SHOP);
    let mut go = all("v");
    go.replace_range(22..23, "-");
    let verdict = bench.judge_leaves(&pump_gears(), &go, &all("v"), &[]);
    assert_eq!(verdict.state, State::Open);
    assert!(
        verdict.notes.iter().any(|note| note == "open, not proven: teeth 23"),
        "{:?}",
        verdict.notes
    );
    assert_eq!(bench.judge_leaves(&pump_gears(), "", "", &[]).state, State::Open);
}

#[test]
fn out_either_way() {
    for bench in [Bench::new().leaves(SHOP), Bench::new().guarded().leaves(SHOP)] {
        let mut go = all("v");
        go.replace_range(0..1, "x");
        let verdict = bench.judge_leaves(&pump_gears(), &go, &all("v"), &[]);
        // 0.0015 (or 0.002, the limit itself) refused.
        assert_eq!(verdict.state.to_string(), "out, under");
    }
    let bench = Bench::new().leaves(SHOP);
    let mut no_go = all("v");
    no_go.replace_range(5..6, "x");
    assert_eq!(
        bench.judge_leaves(&pump_gears(), &all("v"), &no_go, &[]).state.to_string(),
        "out, over"
    );
}

#[test]
fn go_refused_and_no_go_entered_cannot_be() {
    let bench = Bench::new().leaves(SHOP);
    let (mut go, mut no_go) = (all("v"), all("v"));
    go.replace_range(3..4, "x");
    no_go.replace_range(3..4, "x");
    let verdict = bench.judge_leaves(&pump_gears(), &go, &no_go, &[]);
    assert_eq!(verdict.state, State::Query);
    assert_eq!(verdict.causes.len(), 1);
    assert!(verdict.causes[0].starts_with("tooth 4: leaf 0.006 entered and 0.0015 was refused"));
    // The same by a further leaf, the very same thickness both ways.
    let both = [(2, "0.003", true), (2, "0.003", false)];
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &both);
    assert_eq!(verdict.state, State::Query);
}

#[test]
fn further_leaves_narrow_the_bracket() {
    let bench = Bench::new().leaves(SHOP);
    // Accepted by the two leaves, and a thinner one refused all the same.
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[(7, "0.002", false)]);
    assert_eq!(verdict.state.to_string(), "out, under");
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[(7, "0.0055", true)]);
    assert_eq!(verdict.state.to_string(), "out, over");
    // A leaf equal to the limit may enter.
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[(7, "0.005", true)]);
    assert_eq!(verdict.state, State::Service);
    // Further leaves can stand for the two: entered 0.002, refused 0.005.
    let guarded = Bench::new().guarded().leaves(SHOP);
    let mut no_go = all("v");
    no_go.replace_range(0..1, "x");
    // 0.005 entered, which is the limit itself: not proven, not out.
    let verdict = guarded.judge_leaves(&pump_gears(), &all("v"), &no_go, &[]);
    assert_eq!(verdict.state, State::Open);
    assert!(verdict.notes.iter().any(|note| note.contains("open, not proven: teeth 1")));
}

#[test]
fn guarded_is_proven_inside() {
    let bench = Bench::new().guarded().leaves(SHOP);
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[]);
    assert_eq!(verdict.state, State::Service);
    assert!(!verdict.flags.contains(&Flag::GoNoGo));
    assert!(verdict.steps.iter().any(|step| step.contains("proven inside")));
    let refused: Vec<(u32, &str, bool)> = (1..=24).map(|n| (n, "0.004", false)).collect();
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &refused);
    assert_eq!(verdict.state, State::New);
}

#[test]
fn one_sided_gaps() {
    let line = gears(3, "- 0.0040 - -");
    let bench = Bench::new().leaves(SHOP);
    assert_eq!(chosen(&bench, &line), "none 0.005");
    assert_eq!(check(&line).groups(&bench.setting()).len(), 1);
    assert_eq!(bench.judge_leaves(&line, "", "vvv", &[]).state, State::New);
    let line = gears(3, "- - - 0.0050");
    assert_eq!(bench.judge_leaves(&line, "", "vvv", &[]).state, State::Service);
}

#[test]
fn the_scale_shows_what_is_not_proven() {
    let bench = Bench::new().leaves(SHOP);
    let scales = check(&pump_gears()).scales(&bench.setting());
    let words: Vec<(String, Option<String>)> = scales[0]
        .bands
        .iter()
        .map(|band| (band.word.clone(), band.to.map(|to| format!("{to:.4}"))))
        .collect();
    let expected = [
        ("out", Some("0.0015")),
        ("not proven", Some("0.0020")),
        ("new", Some("0.0040")),
        ("service", Some("0.0050")),
        ("not proven", Some("0.0060")),
        ("out", None),
    ];
    let expected = expected.map(|(word, to)| (word.to_owned(), to.map(str::to_owned)));
    assert_eq!(words, expected);
}

/// A leaf is called by its engraving and counts as it measures.
#[test]
fn the_measured_thickness_chooses_the_leaf() {
    let choice = |bench: Bench, leaves: &str| chosen(&bench.leaves(leaves), &pump_gears());
    // As engraved GO would be 0.0015 and NO-GO 0.006.
    assert_eq!(
        choice(Bench::new(), "0.0015 0.002=0.00195 0.005=0.00505 0.006"),
        "0.002 (measures 0.00195) 0.005 (measures 0.00505)"
    );
    // As engraved 0.0015 is under the limit; it is not.
    assert_eq!(choice(Bench::new(), "0.001 0.0015=0.002 0.006"), "0.001 0.006");
    // Guarded, 0.002 would be the limit itself and 0.005 the other.
    let worn = "0.002=0.00195 0.0025 0.004 0.005=0.0051";
    assert_eq!(choice(Bench::new().guarded(), worn), "0.0025 0.004");
    // The thinner engraved may be the thicker measured.
    assert_eq!(
        choice(Bench::new(), "0.0015=0.0018 0.0016=0.0017 0.006"),
        "0.0015 (measures 0.0018) 0.006"
    );
    let bench = Bench::new().leaves("0.0015 0.002=0.00195 0.006");
    assert_eq!(check(&pump_gears()).groups(&bench.setting())[0].title, "GO 0.002");
}

#[test]
fn a_leaf_that_measures_too_thick_is_not_its_engraving() {
    assert_eq!(
        chosen(&Bench::new().leaves("0.0015=0.0021 0.004 0.006"), &pump_gears()),
        "GO needs a leaf under 0.0020 and the shop has none: buy a leaf of 0.0015; \
         the shop's own leaf of 0.0015 measures 0.0021"
    );
}

#[test]
fn the_verdict_counts_the_measured_thickness() {
    let bench = Bench::new().leaves("0.0015 0.002=0.00195 0.003 0.005=0.00505 0.006");
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[]);
    assert_eq!(verdict.state, State::Service);
    let proven = "proven 0.00195 to 0.00505, limits 0.0020 to 0.0050";
    assert!(verdict.steps.iter().any(|step| step.contains(proven)), "{:?}", verdict.steps);
    assert_eq!(verdict.figure("entered everywhere"), Some(exact("0.00195")));
    // The leaf engraved 0.005 enters: as engraved it would be the limit itself.
    let mut no_go = all("v");
    no_go.replace_range(8..9, "x");
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &no_go, &[]);
    assert_eq!(verdict.state.to_string(), "out, over");
    let step = "tooth 9: leaf 0.005 (measures 0.00505) entered, greatest 0.0050: out";
    assert!(verdict.steps.iter().any(|said| said == step), "{:?}", verdict.steps);
}

#[test]
fn a_further_leaf_is_typed_as_engraved() {
    let leaves = "0.0015 0.002=0.00205 0.004=0.00405 0.006";
    let bench = Bench::new().leaves(leaves);
    // Engraved 0.002 is refused: as engraved it is the limit and out; it measures more.
    for engraved in ["0.002", "0.0020"] {
        let refused = [(7, engraved, false)];
        let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &refused);
        assert_eq!(verdict.state, State::Service, "{engraved}: {:?}", verdict.steps);
    }
}
