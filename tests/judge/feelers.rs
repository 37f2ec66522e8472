//! Feelers both ways. The rules and the shop's leaves are the contract's.

use super::bench::*;
use benchleaf::judge::{Feeler, Flag, GoNoGo, LeafNeeded, Measure, State, check, leaves};
use benchleaf::model::job::Rule;
use benchleaf::model::limits::{FeelerLine, Kind, Line};

const SHOP: &str = "0.0015 0.002 0.0025 0.003 0.004 0.005 0.006 0.008";

pub fn gears(teeth: u32, limits: &str) -> Line {
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
    let leaf = |leaf: Option<Feeler>| leaf.map_or("none".to_owned(), |leaf| leaf.to_string());
    match choice(bench, line) {
        Ok(set) => format!("{} {}", leaf(set.leaves.go), leaf(set.leaves.no_go)),
        Err(needed) => needed.to_string(),
    }
}

#[test]
fn the_leaves_of_the_demonstration() {
    let bench = Bench::new().leaves(SHOP);
    assert_eq!(chosen(&bench, &pump_gears()), "0.002 0.005");
    assert_eq!(chosen(&Bench::new().under_new().leaves(SHOP), &pump_gears()), "0.002 0.004");
    assert_eq!(chosen(&Bench::new().guarded().leaves(SHOP), &pump_gears()), "0.002 0.005");
    let groups = check(&pump_gears()).groups(&bench.setting());
    assert_eq!(groups[0].title, "GO 0.002");
    assert_eq!(groups[1].title, "NO-GO 0.005");
    assert_eq!(groups[0].labels.len(), 24);
}

#[test]
fn a_leaf_the_shop_lacks_is_named() {
    let lacking = |bench: Bench, leaves: &str| chosen(&bench.leaves(leaves), &pump_gears());
    assert_eq!(
        lacking(Bench::new(), "0.0025 0.004 0.006"),
        "GO needs a leaf at or just under 0.0020 and the shop has none: buy a leaf of 0.0020"
    );
    assert_eq!(
        lacking(Bench::new(), "0.0015 0.004"),
        "NO-GO needs a leaf at or just over 0.0050 and the shop has none: buy a leaf of 0.0050"
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
        buy: Some(exact("0.0020")),
        own: None,
        far: None,
    };
    assert_eq!(needed, Err(expected));
    assert!(check(&pump_gears()).groups(&bench.setting()).is_empty());
}

#[test]
fn go_and_no_go() {
    let bench = Bench::new().leaves(SHOP);
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[]);
    // Both leaves are the limits themselves: proven, and nothing beside it.
    assert_eq!(verdict.state, State::Service);
    assert_eq!(verdict.flags, []);
    let proven = "proven 0.002 to 0.005, limits 0.0020 to 0.0050";
    assert!(verdict.steps.iter().any(|step| step.contains(proven)), "{:?}", verdict.steps);
    assert_eq!(verdict.figure(Measure::Entered), Some(exact("0.002")));
    // Beside the limits: inside service as the trade accepts, and both are said.
    let bench = Bench::new().leaves("0.0015 0.003 0.006");
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[]);
    assert_eq!(verdict.state, State::Service);
    let said: Vec<String> = verdict.flags.iter().map(ToString::to_string).collect();
    assert_eq!(said, ["accepted by go / no-go, proven 0.0015 to 0.006"]);
}

/// The case that must not pass: by the leaves of that shop NO-GO was 0.010,
/// which a gap of 0.0095 refuses. The limits are the contract's.
#[test]
fn a_leaf_far_from_its_limit_proves_nothing() {
    let line = gears(1, "0.0020 0.0050 - -");
    let chosen_of = |leaves: &str| chosen(&Bench::new().leaves(leaves), &line);
    assert_eq!(chosen_of("0.001 0.002 0.005 0.010"), "0.002 0.005");
    assert_eq!(chosen_of("0.002 0.005"), "0.002 0.005");
    // One step of a common set, and not a tenth more.
    assert_eq!(chosen_of("0.001 0.006"), "0.001 0.006");
    assert_eq!(
        chosen_of("0.001 0.0061"),
        "NO-GO needs a leaf at or just over 0.0050 and the shop's nearest, 0.0061, is too far \
         from it to prove anything: buy a leaf of 0.0050"
    );
    assert_eq!(
        chosen_of("0.0009 0.005"),
        "GO needs a leaf at or just under 0.0020 and the shop's nearest, 0.0009, is too far \
         from it to prove anything: buy a leaf of 0.0020"
    );
    assert!(chosen_of("0.001 0.002 0.010").starts_with("NO-GO needs a leaf"));
    // As it measures, not as it is engraved.
    assert!(chosen_of("0.002 0.006=0.0061").starts_with("NO-GO needs a leaf"));
    // A gap of 0.0095 refuses 0.010: it never passes.
    let far = Bench::new().leaves("0.001 0.002 0.010").judge_leaves(&line, "v", "v", &[]);
    assert_eq!(far.state, State::Hold, "{far:?}");
    // In millimetres the step is 0.05.
    let line = measured_in("mm", gears(1, "0.05 0.13 - -"));
    let mut bench = Bench::new();
    bench.limits.document.unit = benchleaf::quantity::Length::Millimetre;
    assert_eq!(chosen(&bench, &line).rsplit(' ').next(), Some("0.05"));
    let bench = bench.leaves("0.04 0.18");
    assert_eq!(chosen(&bench, &line), "0.04 0.18");
    assert!(chosen(&bench.leaves("0.04 0.19"), &line).ends_with("buy a leaf of 0.13"));
}

/// Limits of one figure: one leaf can't both enter and be refused.
#[test]
fn one_limit_both_ways_needs_two_leaves() {
    let line = gears(1, "0.0020 0.0020 - -");
    let bench = Bench::new().leaves("0.002 0.0025");
    assert_eq!(chosen(&bench, &line), "0.002 0.0025");
    assert_eq!(bench.judge_leaves(&line, "v", "v", &[]).state, State::New);
    let one = chosen(&Bench::new().leaves("0.002"), &line);
    assert!(one.ends_with("the shop has none: buy a leaf of 0.0025"), "{one}");
}

/// New and service limits that differ and ask for the same two leaves.
#[test]
fn the_same_two_leaves_show_new() {
    let line = gears(1, "0.0020 0.0045 - 0.0050");
    let bench = Bench::new().leaves("0.002 0.003 0.005");
    assert_eq!(chosen(&bench, &line), "0.002 0.005");
    assert_eq!(bench.judge_leaves(&line, "v", "v", &[]).state, State::New);
    // The shop has no leaf that shows the new limits: never better than service.
    let line = gears(1, "0.0020 0.0040 - 0.0060");
    let bench = Bench::new().leaves("0.002 0.006");
    assert_eq!(bench.judge_leaves(&line, "v", "v", &[]).state, State::Service);
}

/// Under new scope an out is looked at once more.
#[test]
fn out_to_new_limits_and_inside_service() {
    let bench = Bench::new().under_new().leaves(SHOP);
    let verdict = bench.judge_leaves(
        &gears(1, "0.0020 0.0040 - 0.0050"),
        "v",
        "x",
        &[(1, "0.0045", true), (1, "0.005", false)],
    );
    assert_eq!(verdict.state.to_string(), "out, over");
    assert!(verdict.flags.contains(&Flag::InsideService), "{verdict:?}");
    // 0.005 was never tried.
    let verdict =
        bench.judge_leaves(&gears(1, "0.0020 0.0040 - 0.0050"), "v", "x", &[(1, "0.0045", true)]);
    assert!(!verdict.flags.contains(&Flag::InsideService), "{verdict:?}");
}

#[test]
fn new_by_the_new_limits_own_leaves() {
    let bench = Bench::new().leaves(SHOP);
    let refused: Vec<(u32, &str, bool)> = (1..=24).map(|n| (n, "0.004", false)).collect();
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
        // 0.002, the limit itself, is refused.
        assert_eq!(verdict.state.to_string(), "out, under");
    }
    // 0.006 enters, beyond 0.005.
    let bench = Bench::new().leaves("0.0015 0.003 0.006");
    let mut no_go = all("v");
    no_go.replace_range(5..6, "x");
    assert_eq!(
        bench.judge_leaves(&pump_gears(), &all("v"), &no_go, &[]).state.to_string(),
        "out, over"
    );
}

/// Where a tooth is out the leaf that shows it is said with its teeth, once for
/// all teeth that it shows: whoever reads the verdict looks there.
#[test]
fn the_leaf_that_shows_a_tooth_out_is_named_with_its_teeth() {
    let bench = Bench::new().leaves(SHOP);
    let mut go = all("v");
    go.replace_range(2..3, "x");
    go.replace_range(8..9, "x");
    let thick = [(6, "0.006", true)];
    let verdict = bench.judge_leaves(&pump_gears(), &go, &all("v"), &thick);
    assert_eq!(verdict.notes[0], "teeth 3, 9: leaf 0.002 refused, least 0.0020");
    // 0.005 was refused and 0.006 entered: that cannot be, and is asked about.
    assert!(verdict.causes[0].starts_with("tooth 6: leaf 0.006 entered and 0.005 was refused"));
    let mut no_go = all("v");
    no_go.replace_range(5..6, "x");
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &no_go, &thick);
    assert_eq!(verdict.state.to_string(), "out, over");
    assert_eq!(verdict.notes, ["tooth 6: leaf 0.006 entered, greatest 0.0050"]);
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[]);
    assert_eq!(verdict.notes, Vec::<String>::new());
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
    assert!(verdict.causes[0].starts_with("tooth 4: leaf 0.005 entered and 0.002 was refused"));
    // The same by a further leaf, the very same thickness both ways.
    let both = [(2, "0.003", true), (2, "0.003", false)];
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &both);
    assert_eq!(verdict.state, State::Query);
}

#[test]
fn further_leaves_narrow_the_bracket() {
    let bench = Bench::new().leaves(SHOP);
    // Accepted by two leaves beside the limits, and the limit itself refused.
    let beside = Bench::new().leaves("0.0015 0.003 0.006");
    let further = |leaf, entered| {
        beside.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[(7, leaf, entered)]).state
    };
    assert_eq!(further("0.002", false).to_string(), "out, under");
    assert_eq!(further("0.0055", true).to_string(), "out, over");
    // A leaf equal to the limit may enter: the gap is no smaller.
    assert_eq!(further("0.005", true), State::Service);
    // NO-GO is the limit itself and enters: not proven, and not out.
    let mut no_go = all("v");
    no_go.replace_range(0..1, "x");
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &no_go, &[]);
    assert_eq!(verdict.state, State::Open);
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &no_go, &[(1, "0.006", true)]);
    assert_eq!(verdict.state.to_string(), "out, over");
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
    assert_eq!(verdict.flags, []);
    assert!(verdict.steps.iter().any(|step| step.contains("proven inside")));
    let refused: Vec<(u32, &str, bool)> = (1..=24).map(|n| (n, "0.004", false)).collect();
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &refused);
    assert_eq!(verdict.state, State::New);
}

#[test]
fn one_sided_gaps() {
    let line = gears(3, "- 0.0040 - -");
    let bench = Bench::new().leaves(SHOP);
    assert_eq!(chosen(&bench, &line), "none 0.004");
    assert_eq!(check(&line).groups(&bench.setting()).len(), 1);
    assert_eq!(bench.judge_leaves(&line, "", "vvv", &[]).state, State::New);
    let line = gears(3, "- - - 0.0050");
    assert_eq!(bench.judge_leaves(&line, "", "vvv", &[]).state, State::Service);
}

#[test]
fn the_scale_shows_what_is_not_proven() {
    let bench = Bench::new().leaves("0.0015 0.003 0.006");
    let scales = check(&pump_gears()).limits(&bench.setting()).scales;
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
    assert_eq!(
        choice(Bench::new(), "0.0015 0.002=0.00195 0.005=0.00505 0.006"),
        "0.002 (measures 0.00195) 0.005 (measures 0.00505)"
    );
    // As engraved they would be the limits themselves; they are not.
    assert_eq!(choice(Bench::new(), "0.0015 0.002=0.00205 0.005=0.00495 0.006"), "0.0015 0.006");
    assert_eq!(choice(Bench::new(), "0.001 0.0015=0.002 0.006"), "0.0015 (measures 0.002) 0.006");
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
        chosen(&Bench::new().leaves("0.002=0.0021 0.004 0.006"), &pump_gears()),
        "GO needs a leaf at or just under 0.0020 and the shop has none: buy a leaf of 0.0020; \
         the shop's own leaf of 0.002 measures 0.0021"
    );
}

#[test]
fn the_verdict_counts_the_measured_thickness() {
    let bench = Bench::new().leaves("0.0015 0.002=0.00195 0.003 0.005=0.00505 0.006");
    let verdict = bench.judge_leaves(&pump_gears(), &all("v"), &all("v"), &[]);
    assert_eq!(verdict.state, State::Service);
    let proven = "proven 0.00195 to 0.00505, limits 0.0020 to 0.0050";
    assert!(verdict.steps.iter().any(|step| step.contains(proven)), "{:?}", verdict.steps);
    assert_eq!(verdict.figure(Measure::Entered), Some(exact("0.00195")));
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
