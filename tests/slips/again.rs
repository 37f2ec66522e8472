//! Later readings. The needs and the figures are the trade's (common practice,
//! no source); squares compared by hand.

use super::bench::exact;
use benchleaf::judge::State;
use benchleaf::judge::repeat::{
    Agreement, Lack, Repeat, Statement, agreement, asks_repeat, lacks, lacks_to_turn, turns,
};
use benchleaf::model::record::Why;
use benchleaf::quantity::Exact;

const TD: Statement = Statement {
    by: Some("TD"),
    dated: true,
    gauges: &["TEL-1", "MIC-2"],
    second: None,
    inspector: false,
    what: None,
    data: None,
    number: None,
    batch: None,
    document: None,
};

#[test]
fn each_reason_has_its_needs() {
    let nothing = Statement::default();
    assert_eq!(lacks(Why::Mistyped, &nothing), [Lack::Second]);
    assert_eq!(lacks(Why::MeasuredAgain, &nothing), [Lack::Who, Lack::When, Lack::Gauge]);
    assert_eq!(lacks(Why::Reworked, &nothing), [Lack::What, Lack::Who, Lack::Data]);
    assert_eq!(lacks(Why::PartChanged, &nothing), [Lack::PartNumber, Lack::Batch, Lack::Document]);
    assert_eq!(lacks(Why::MeasuredAgain, &TD), []);
    let done = Statement { what: Some("ground"), data: Some("OM-4"), ..TD };
    assert_eq!(lacks(Why::Reworked, &done), []);
    let changed = Statement { number: Some("7"), batch: Some("B"), document: Some("F"), ..nothing };
    assert_eq!(lacks(Why::PartChanged, &changed), []);
}

#[test]
fn a_second_person_is_another_person() {
    let same = Statement { second: Some(" TD"), ..TD };
    assert_eq!(lacks(Why::Mistyped, &same), [Lack::OtherSecond]);
    assert_eq!(lacks(Why::Mistyped, &Statement { second: Some("RW"), ..TD }), []);
    assert_eq!(lacks(Why::Mistyped, &Statement { second: Some("  "), ..TD }), [Lack::Second]);
}

#[test]
fn an_out_becomes_a_pass_only_by_another_hand() {
    let out = State::Out(Vec::new());
    assert!(turns(&out, &State::Service));
    assert!(!turns(&out, &State::Hold));
    assert!(!turns(&State::Query, &State::New));
    assert_eq!(lacks_to_turn(&TD, &TD), [Lack::OtherHand, Lack::Inspector]);
    let inspected = Statement { second: Some("JA"), inspector: true, ..TD };
    assert_eq!(lacks_to_turn(&TD, &inspected), [Lack::OtherHand]);
    assert_eq!(lacks_to_turn(&TD, &Statement { by: Some("RW"), ..inspected }), []);
    assert_eq!(lacks_to_turn(&TD, &Statement { gauges: &["TEL-1", "MIC-3"], ..inspected }), []);
    // A gauge left out is not another gauge, and a mechanic is no inspector.
    assert_eq!(
        lacks_to_turn(&TD, &Statement { gauges: &["MIC-2"], ..inspected }),
        [Lack::OtherHand]
    );
    let mechanic = Statement { by: Some("RW"), second: Some("JA"), ..TD };
    assert_eq!(lacks_to_turn(&TD, &mechanic), [Lack::Inspector]);
}

fn repeat<'a>(later: &str, uncertainty: &'a [Exact]) -> Repeat<'a> {
    Repeat {
        earlier: exact("1.3716"),
        later: exact(later),
        earlier_uncertainty: uncertainty,
        later_uncertainty: uncertainty,
        was_query: false,
    }
}

/// ±0.0003 twice: 0.0004 stands (16 against 18), 0.0005 holds (25).
#[test]
fn repeats_that_disagree() {
    let u = [exact("0.0003")];
    assert_eq!(agreement(&repeat("1.3720", &u)), Agreement::Agree);
    assert_eq!(agreement(&repeat("1.3712", &u)), Agreement::Agree);
    assert_eq!(agreement(&repeat("1.3721", &u)), Agreement::Disagree);
    assert_eq!(agreement(&Repeat { was_query: true, ..repeat("1.3966", &u) }), Agreement::NotHeld);
    assert_eq!(agreement(&repeat("1.3721", &[])), Agreement::NotHeld);
}

/// A journal by 0.0001 and a bore by 0.0003 and 0.0001: 4 against 11 and 16
/// against 11, in squares of 0.0001.
#[test]
fn an_out_within_the_uncertainty() {
    let u = [exact("0.0001"), exact("0.0003"), exact("0.0001")];
    assert!(asks_repeat(exact("0.0002"), &u));
    assert!(!asks_repeat(exact("0.0004"), &u));
    assert!(!asks_repeat(exact("0.0003"), &[exact("0.0003")]));
    assert!(!asks_repeat(exact("0.0002"), &[]));
}
