//! Reading a PDF from anyone: what it carries, its signatures, its pictures.
#![no_main]

use benchleaf::pdf::{open, pictures};
use benchleaf::sign::signatures;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Ok(opened) = open(bytes) {
        for carried in &opened.carried {
            assert!(!carried.name.contains(['/', '\\', '\0']) && !carried.name.starts_with('.'));
        }
    }
    let _ = signatures(bytes, &[]);
    let _ = pictures(bytes, &mut |page, _| page < 8);
});
