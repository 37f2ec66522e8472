//! The whole proof of a report from anyone. A file that begins as a PDF is taken
//! as it is; of any other the first byte says which file carried in a good
//! report is replaced with the rest, with its right digest, so that the proof
//! goes on to read, judge and compare.
#![no_main]
#![allow(dead_code)]

#[path = "../archive/alter.rs"]
mod alter;
#[path = "../archive/build.rs"]
mod build;
mod small;

use std::sync::OnceLock;

use benchleaf::bundle::verify;
use libfuzzer_sys::fuzz_target;
use md5::{Digest, Md5};

struct Good {
    report: Vec<u8>,
    /// Object and content of each carried file.
    carried: Vec<(u32, Vec<u8>)>,
}

fn good() -> &'static Good {
    static GOOD: OnceLock<Good> = OnceLock::new();
    GOOD.get_or_init(|| {
        let report = small::signed();
        assert!(verify(&report, &[]).is_ok_and(|proof| proof.good()));
        let parts = alter::parts(&report).into_iter();
        let carried = parts.filter(|part| {
            String::from_utf8_lossy(&report[part.dict.clone()]).contains("/EmbeddedFile")
        });
        let carried: Vec<_> = carried.map(|part| (part.number, part.plain)).collect();
        assert_eq!(carried.len(), 7);
        Good { report, carried }
    })
}

fuzz_target!(|bytes: &[u8]| {
    let good = good();
    if bytes.starts_with(b"%PDF") {
        if let Ok(proof) = verify(bytes, &[]) {
            proof.signatures.iter().for_each(|signature| drop(signature.lines()));
        }
        return;
    }
    let Some((which, content)) = bytes.split_first() else { return };
    let (number, own) = &good.carried[usize::from(*which) % good.carried.len()];
    let digest: String = Md5::digest(content).iter().map(|byte| format!("{byte:02x}")).collect();
    let mut stream = format!(
        "<</Type/EmbeddedFile/Params<</CheckSum<{digest}>>>/Length {}>>stream\n",
        content.len()
    )
    .into_bytes();
    stream.extend(content);
    stream.extend(b"\nendstream");
    let altered = build::append(&good.report, &[(*number, stream)], 9000);
    let proof = verify(&altered, &[]);
    let proof = proof.expect("a replaced file leaves a readable report");
    assert!(!proof.good(), "a file was replaced after signing");
    assert!(content == own.as_slice() || !proof.content_good(), "another file gives the same report");
});
