//! The whole proof of a report from anyone.
#![no_main]

use std::sync::OnceLock;

use benchleaf::page::font::Fonts;
use benchleaf::proof::verify;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    static FONTS: OnceLock<Fonts> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| Fonts::load().expect("built in"));
    let _ = verify(bytes, &[], fonts);
});
