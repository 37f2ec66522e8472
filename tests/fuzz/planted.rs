//! A fault for the fuzzer itself to find: behind four letters, one after the
//! other, which chance alone would not come upon.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let [b'1', rest @ ..] = bytes
        && let [b'.', rest @ ..] = rest
        && let [b'3', rest @ ..] = rest
        && let [b'7', ..] = rest
    {
        panic!("found");
    }
});
