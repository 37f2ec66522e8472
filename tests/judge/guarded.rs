//! Uncertainty: close, the chance, guarded acceptance. Check values from the
//! rules; chances from scipy.

use super::bench::*;
use super::fits::part;
use benchleaf::judge::{Flag, PartState, State, Verdict};

/// A fit of one bore and one shaft on the camshaft line; U 0.0001 and 0.0003.
fn loosest(bench: Bench, clearance: &str) -> Verdict {
    let shaft = exact("1.3718");
    let bore = shaft + exact(clearance);
    let bench = bench.gauges("0.0001", "0.0001 0.0003");
    let mut bench = bench;
    bench.gauges[1] = figures("0.0003");
    bench.judge(&camshaft(), "1.3718 1.3718", &format!("{bore} {bore}"))
}

#[test]
fn close_and_its_chance() {
    let close = |verdict: &Verdict| verdict.flags.contains(&Flag::Close);
    let chance = |verdict: &Verdict| verdict.chance.map(|chance| chance.to_string());
    let verdict = loosest(Bench::new(), "0.0047");
    assert!(close(&verdict) && verdict.state == State::Service);
    assert_eq!(chance(&verdict).as_deref(), Some("0.9711"));
    let verdict = loosest(Bench::new(), "0.0046");
    assert!(!close(&verdict) && chance(&verdict).is_none());
    assert_eq!(chance(&loosest(Bench::new(), "0.0050")).as_deref(), Some("0.5000"));
    // It marks an out too.
    let verdict = loosest(Bench::new(), "0.0052");
    assert!(close(&verdict));
    assert_eq!(verdict.state.to_string(), "out, loose by 0.0002");
    assert_eq!(chance(&verdict).as_deref(), Some("0.1030"));
}

#[test]
fn without_an_uncertainty_nothing_is_close() {
    let verdict = Bench::new().judge(&camshaft(), "1.3718 1.3718", "1.3768 1.3768");
    assert!(!verdict.flags.contains(&Flag::Close));
    let verdict = Bench::new().guarded().judge(&camshaft(), "1.3718 1.3718", "1.3768 1.3768");
    assert_eq!(verdict.state, State::Service);
    assert!(verdict.notes.iter().any(|note| note.contains("no gauge states its uncertainty")));
}

/// Drawn-in by 0.000316...: 0.0046 passes, 0.0047 to 0.0050 holds.
#[test]
fn between_the_limits_is_hold() {
    let state = |clearance: &str| part(&loosest(Bench::new().guarded(), clearance), "fit").clone();
    assert_eq!(state("0.0046"), State::Service);
    assert_eq!(state("0.0047"), State::Hold);
    assert_eq!(state("0.0050"), State::Hold);
    assert!(matches!(state("0.0051"), State::Out(_)));
    // Missing only the drawn-in new limit makes service.
    assert_eq!(state("0.0031"), State::New);
    assert_eq!(state("0.0032"), State::Service);
    assert_eq!(state("0.0035"), State::Service);
    // The tight side has one limit: accepting and new are the same.
    assert_eq!(state("0.0014"), State::New);
    assert_eq!(state("0.0013"), State::Hold);
    assert!(matches!(state("0.0009"), State::Out(_)));
}

/// On the drawn-in limit passes: U 0.0003 and 0.0004 make 0.0005 exactly.
#[test]
fn on_the_drawn_in_limit_passes() {
    let bench = || Bench::new().guarded().gauges("0.0003", "0.0004");
    let judge = |bore: &str| bench().judge(&camshaft(), "1.3720 1.3720", bore);
    assert_eq!(part(&judge("1.3765 1.3765"), "fit"), &State::Service);
    assert_eq!(part(&judge("1.37651 1.37651"), "fit"), &State::Hold);
    let simple = Bench::new().gauges("0.0003", "0.0004");
    let verdict = simple.judge(&camshaft(), "1.3720 1.3720", "1.3765 1.3765");
    // Its distance equals the uncertainty: not closer than it.
    assert!(!verdict.flags.contains(&Flag::Close));
}

#[test]
fn a_bore_counts_both_its_gauges() {
    // 0.0003 and 0.0001 on the bore, 0.0001 on the shaft: 0.000331...
    let bench = Bench::new().gauges("0.0001", "0.0003 0.0001");
    let verdict = bench.judge(&camshaft(), "1.3718 1.3718", "1.3765 1.3765");
    assert!(verdict.flags.contains(&Flag::Close));
    // The bore alone against 1.3770: 0.000316 against 0.0005.
    let margins = bench.judge(&camshaft(), "1.3730 1.3730", "1.3765 1.3765");
    assert!(!margins.flags.contains(&Flag::Close), "{margins:?}");
    let near = bench.judge(&camshaft(), "1.3730 1.3730", "1.3767 1.3767");
    assert!(near.flags.contains(&Flag::Close));
}

#[test]
fn guarded_parts() {
    let bench = || Bench::new().guarded().gauges("0.0001", "0.0003");
    // A reused shaft within 0.0001 of its wear limit waits.
    let verdict = bench().judge(&camshaft(), "1.3715 1.3715", "1.3750 1.3750");
    assert_eq!(part(&verdict, "shaft"), &State::Hold);
    let verdict = bench().judge(&camshaft(), "1.3716 1.3716", "1.3750 1.3750");
    assert_eq!(part(&verdict, "shaft"), &State::Service);
    // Reused, no wear limit, near its new limit: service, judged by its fit.
    let verdict = bench().judge(&pump(), "0.4985 0.4985", "0.5005 0.5005");
    assert_eq!(part(&verdict, "shaft"), &State::Service);
    // New: it must be shown to be inside.
    let verdict = bench().states(PartState::New, PartState::Reused).judge(
        &pump(),
        "0.4985 0.4986",
        "0.5005 0.5005",
    );
    assert_eq!(part(&verdict, "shaft"), &State::Hold);
    // Near the not-wear limit a reused part is not flagged, only not new.
    let verdict = bench().judge(&camshaft(), "1.3735 1.3735", "1.3755 1.3755");
    assert_eq!(part(&verdict, "shaft"), &State::Service);
    assert!(!verdict.flags.iter().any(|flag| matches!(flag, Flag::NotWear(_))));
}

/// A difference of two readings by one gauge counts it twice.
#[test]
fn guarded_new_scope_holds_between() {
    let bench = Bench::new().guarded().under_new().gauges("0.0001", "0.0003");
    let verdict = bench.judge(&camshaft(), "1.3727 1.3727", "1.3756 1.3756");
    assert_eq!(verdict.state, State::New);
    let verdict = bench.judge(&camshaft(), "1.3726 1.3726", "1.3758 1.3758");
    assert_eq!(verdict.state, State::Hold);
}

/// Loose by 0.0001, while the tight end is nearer to its limit than the
/// uncertainty: on hold, and what is out is told all the same.
#[test]
fn what_is_out_is_told_beneath_a_hold() {
    let bench = Bench::new().guarded().gauges("0.0001", "0.0003");
    let verdict = bench.judge(&camshaft(), "1.3718 1.3737", "1.3748 1.3769");
    assert_eq!(*part(&verdict, "fit"), State::Hold);
    assert_eq!(verdict.state, State::Hold);
    let told: Vec<String> = verdict
        .beyond
        .iter()
        .map(|beyond| format!("{} {}", beyond.side, beyond.by.expect("by how much")))
        .collect();
    assert_eq!(told, ["loose 0.0001"]);
}
