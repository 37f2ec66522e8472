//! Each file of a job: the first byte chooses the file, the rest is its text.
//! Read, expanded, judged, and every fault told. With FILE=0 to 5 in the
//! environment only that file is looked at.
#![no_main]
#![allow(dead_code)]

mod small;

use std::sync::OnceLock;

use benchleaf::diag::{Diags, Sources};
use benchleaf::bundle::read;
use benchleaf::record::judge;
use libfuzzer_sys::{Corpus, fuzz_target};

fn only() -> Option<u8> {
    static ONLY: OnceLock<Option<u8>> = OnceLock::new();
    *ONLY.get_or_init(|| std::env::var("FILE").ok()?.parse().ok())
}

fuzz_target!(|bytes: &[u8]| -> Corpus {
    static FILES: OnceLock<Sources> = OnceLock::new();
    let Some((which, text)) = bytes.split_first() else { return Corpus::Reject };
    let Ok(text) = std::str::from_utf8(text) else { return Corpus::Reject };
    if only().is_some_and(|only| only != *which) {
        return Corpus::Reject;
    }
    let mut files = FILES.get_or_init(small::files).clone();
    files.put(small::FILES[usize::from(*which) % small::FILES.len()].0, text);
    let mut out = Diags::new();
    if let Some((case, set)) = read(&files, &mut out) {
        let _ = judge(&case, &set, &mut out);
    }
    let _ = out.render(&files, false);
    Corpus::Keep
});
