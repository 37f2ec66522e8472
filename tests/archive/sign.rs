//! Signing and checking what was signed.

use std::time::Instant;

use benchleaf::pdf::open;
use benchleaf::sign::verify::{Anchor, Chain, Held, Integrity};
use benchleaf::sign::{Person, sign, signatures};

use super::build::*;

fn anchors() -> Vec<Anchor> {
    authority();
    Anchor::read(&join(&["ca.pem"])).expect("certificates")
}

#[test]
fn two_people_sign_and_both_stand() {
    let report = report(2);
    let kinds = [("p256", ada(), ASCII, ivan(), CYRILLIC), ("rsa", ivan(), CYRILLIC, ada(), ASCII)];
    for (file, first, one, second, other) in kinds {
        let once = signed(&report, first, one, 0);
        let twice = signed(&once, second, other, 1);
        keep(&format!("one-{file}.pdf"), &once);
        keep(&format!("two-{file}.pdf"), &twice);
        assert!(once.starts_with(&report), "the report stays in it");
        assert!(twice.starts_with(&once), "so does the first signature");
        let headers = twice.windows(5).filter(|w| w == b"%PDF-").count();
        assert_eq!(headers, 1);
        assert!(once.len() - report.len() < 40 * 1024);
        assert!(twice.len() - once.len() < 40 * 1024);

        let found = signatures(&twice, &anchors()).expect("readable");
        assert_eq!(found.len(), 2);
        assert!(found.iter().all(|s| s.good()), "{found:#?}");
        assert_eq!((found[0].whole, found[1].whole), (false, true));
        assert_eq!((found[0].allows, found[1].allows), (Some(2), None));
        let names: Vec<&str> = found
            .iter()
            .filter_map(|s| s.person.as_ref().map(|p: &Person| p.name.as_str()))
            .collect();
        assert_eq!(names, [one, other]);
        for signature in &found {
            let anchor = "Shop authority".to_string();
            assert_eq!(signature.chain, Some(Chain::To { anchor }));
            assert_eq!(signature.held, Held::Yes);
            assert_eq!(signature.said.claimed, Some(CLAIMED));
            assert_eq!(signature.said.role.as_deref(), Some("inspector"));
            assert_eq!(signature.said.certificate_number.as_deref(), Some("4471"));
        }
        let opened = open(&twice).expect("readable");
        assert_eq!(opened.ends, [report.len(), once.len(), twice.len()]);
        assert_eq!(opened.signed_fields, ["Signature 1", "Signature 2"]);
    }
    keep("unsigned.pdf", &report);
}

#[test]
fn what_a_report_carries_comes_out_as_it_went_in() {
    let opened = open(&signed(&report(3), ada(), ASCII, 0)).expect("readable");
    assert_eq!(opened.pages, 3);
    let names: Vec<&str> = opened.carried.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["readings.toml", "verdicts.json", "Ø.toml"]);
    assert_eq!(opened.carried[0].bytes, b"C1.shaft = [1.3731, 1.3730]\n");
    assert_eq!(opened.carried[1].relationship.as_deref(), Some("Data"));
    assert_eq!(opened.carried[2].mime.as_deref(), Some("application/toml"));
    assert!(opened.carried.iter().all(|c| c.checksum_fits == Some(true)));
    assert_eq!(opened.info.title, "Measuring record");
    let xmp = String::from_utf8(opened.xmp.expect("metadata")).expect("text");
    assert!(xmp.contains("<pdfaid:part>3</pdfaid:part>"));
}

#[test]
fn an_issuer_is_never_trusted_by_itself() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let found = signatures(&once, &[]).expect("readable");
    assert_eq!(found[0].integrity, Integrity::Sound);
    let issuer = "Shop authority".to_string();
    assert_eq!(found[0].chain, Some(Chain::Unknown { issuer }));
    let lines = found[0].lines().join("\n");
    assert!(lines.contains("unknown issuer"), "{lines}");
    assert!(!lines.contains("trusted"), "{lines}");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let report = report(1);
    assert_eq!(signed(&report, ada(), ASCII, 0), signed(&report, ada(), ASCII, 0));
    // The seed hides RSA's working and does not show.
    let other = |seed| sign(&report, ivan(), &who(CYRILLIC), &block(0), seed);
    assert_eq!(other([1; 32]), other([2; 32]));
}

#[test]
fn signing_a_report_takes_little_time_and_room() {
    let report = report(40);
    for (key, name) in [(ada(), ASCII), (ivan(), CYRILLIC)] {
        let start = Instant::now();
        let once = signed(&report, key, name, 0);
        let signing = start.elapsed();
        let start = Instant::now();
        let found = signatures(&once, &[]).expect("readable");
        let checking = start.elapsed();
        assert!(found[0].integrity == Integrity::Sound);
        let added = once.len() - report.len();
        println!("{name}: {added} bytes, signed in {signing:.2?}, checked in {checking:.2?}");
        assert!(added < 40 * 1024);
    }
}
