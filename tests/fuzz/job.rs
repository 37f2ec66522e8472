//! Each file of a job: the first byte chooses the file, the rest is its text.
//! Read, expanded, judged, and every fault told.
#![no_main]

use benchleaf::diag::{Diags, Sources};
use benchleaf::proof::read;
use benchleaf::report::judge;
use libfuzzer_sys::fuzz_target;

const FILES: [(&str, &str); 6] = [
    ("engine.toml", include_str!("../cases/base/engine.toml")),
    ("limits.toml", include_str!("../cases/base/limits.toml")),
    ("job.toml", include_str!("../cases/base/job.toml")),
    ("readings.toml", include_str!("../cases/base/readings.toml")),
    ("forms/camshaft.toml", include_str!("../cases/base/forms/camshaft.toml")),
    ("forms/report.toml", include_str!("../cases/base/forms/report.toml")),
];

fuzz_target!(|bytes: &[u8]| {
    let Some((which, text)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(text) else { return };
    let mut files = Sources::default();
    for (name, own) in FILES {
        files.put(name, own);
    }
    files.put(FILES[usize::from(*which) % FILES.len()].0, text);
    let mut out = Diags::new();
    if let Some((case, set)) = read(&files, &mut out) {
        let _ = judge(&case, &set, &mut out);
    }
    let _ = out.render(&files, false);
});
