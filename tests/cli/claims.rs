//! What a signature claims of its time, against what lies under it.

use super::script::Script;
use crate::archive::build::*;
use benchleaf::bundle::{signatory, verify};
use benchleaf::sign::{Moment, Signing, SigningKey, sign};

const JUDITH: &str = "Judith Ashcombe";
const ROSALIND: &str = "Rosalind Wray";
/// 2026-03-24, the last day of the demonstration's record, begins in the
/// east 14 hours before UTC (`date -u -d '2026-03-23 10:00' +%s`).
const FIRST: i64 = 1_774_260_000;

fn made(pdf: &[u8], initials: &str, key: &SigningKey, seconds: i64) -> Vec<u8> {
    let proof = verify(pdf, &[]).expect("readable");
    let case = proof.case.as_ref().expect("a job");
    let person = case.job.person(initials).expect("of the job");
    let own = signatory(person, &proof.places).expect("a place");
    let Signing { signer, places } = own.signing(Moment::utc(seconds));
    sign(pdf, key, &signer, &places, [3; 32]).expect("signed")
}

/// What the proof says of the signers, and whether all is good.
fn said(pdf: &[u8]) -> (bool, String) {
    let proof = verify(pdf, &[]).expect("readable");
    let mut findings = proof.findings.iter().filter(|finding| finding.about == "signers");
    let words = findings.next().expect("told").words.clone();
    (proof.good(), words)
}

#[test]
fn a_time_before_what_is_signed_is_told() {
    let script = Script::demo();
    let report = script.bytes("job/report.pdf");
    let (one, other) = (key("claims-ja", Of::P256, JUDITH), key("claims-rw", Of::P256, ROSALIND));

    let early = made(&report, "JA", &one, FIRST - 1);
    let (good, words) = said(&early);
    assert!(!good && words.contains("and the record goes to 2026-03-24"), "{words}");
    assert!(words.contains("Judith Ashcombe: it was signed at 2026-03-23 09:59 UTC"), "{words}");
    script.write("early.pdf", early);
    script.run("verify early.pdf").status(1).says_on_a_line(&["NOT GOOD", "signers", "record"]);

    let once = made(&report, "JA", &one, FIRST);
    assert!(said(&once).0, "{}", said(&once).1);
    let late = made(&report, "JA", &one, FIRST + 1000);
    let twice = |claimed| said(&made(&late, "RW", &other, claimed));
    let (good, words) = twice(FIRST + 999);
    assert!(!good, "{words}");
    assert!(words.contains("Rosalind Wray: it was signed at"), "{words}");
    assert!(words.contains("and the signature of Judith Ashcombe under it at"), "{words}");
    let (good, words) = twice(FIRST + 1000);
    assert!(good, "the same second is no fault: {words}");
}

#[test]
fn a_clock_behind_the_signature_under_it_signs_nothing() {
    let script = Script::demo();
    let one = key("behind-ja", Of::P256, JUDITH);
    pem("behind-rw", Of::P256, ROSALIND);
    // 2029: this test holds until then.
    script.write("late.pdf", made(&script.bytes("job/report.pdf"), "JA", &one, 1_880_000_000));
    script.write("key.pem", join(&["behind-rw.key", "behind-rw.pem"]));
    let kept = script.keep("late.pdf");
    script
        .run("sign late.pdf --key key.pem --as RW")
        .status(2)
        .complains("the signature of Judith Ashcombe under it at 2029-07-")
        .complains("is it set back?");
    kept.unchanged();
}

#[test]
fn the_demonstrations_key_is_named_by_sign_and_verify() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    script
        .run("sign job/report.pdf --key ja.pem --as JA --out signed.pdf")
        .status(0)
        .complains("a key that everyone has (the demonstration's throw-away key)");
    for report in ["signed.pdf", "job/report-signed.pdf"] {
        script
            .run(&format!("verify {report}"))
            .status(0)
            .says("signed with a key that everyone has (the demonstration's throw-away key)");
    }
}

/// A record is complete before anybody has signed; its report is final when all
/// who answer for something have, and no sooner.
#[test]
fn a_report_is_final_when_all_have_signed() {
    let script = Script::demo();
    let people =
        [("RW", ROSALIND), ("TD", "Tobias Dunmore"), ("JA", JUDITH), ("NB", "Niall Brock")];
    let mut report = script.bytes("job/report.pdf");
    script.run("report job").status(0).says("record complete").never_says("final");
    script.run("verify job/report.pdf").status(1).says("record complete; 0 of 4 have signed");
    for (n, (initials, name)) in (1..).zip(people) {
        let own = key(&format!("all-{initials}"), Of::P256, name);
        report = made(&report, initials, &own, FIRST + n);
        script.write("signed.pdf", report.clone());
        let proved = script.run("verify signed.pdf").status(0);
        let json =
            serde_json::from_str::<serde_json::Value>(&script.run("verify signed.pdf --json").out)
                .expect("JSON");
        assert_eq!(json["to_sign"].as_array().expect("names").len(), 4);
        assert_eq!(json["signed"].as_array().expect("names").len() as i64, n);
        // A table of reports says the same of it.
        script.write("shelf/signed.pdf", report.clone());
        script.run(&format!("table shelf -o {n}.jsonl")).status(0);
        let line = script.read(&format!("{n}.jsonl")).lines().next().map(str::to_owned);
        let line = serde_json::from_str::<serde_json::Value>(&line.expect("a line"));
        assert_eq!(line.expect("JSON")["status"], json["status"]);
        if n < 4 {
            proved
                .says(&format!("good, record complete; {n} of 4 have signed"))
                .never_says("final");
            assert_eq!(json["status"], "complete");
        } else {
            proved.says("good, final: record complete, all 4 have signed");
            assert_eq!(json["status"], "final");
        }
    }
}
