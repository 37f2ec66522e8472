//! Pictures from anyone: PNG, JPEG and scanned PDF, and the codes on them.
#![no_main]

use benchleaf::scan::read;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let scans = read(vec![("scan".to_owned(), bytes.to_vec())]);
    assert!(scans.iter().all(|scan| !scan.pages.is_empty()), "a scan was dropped");
});
