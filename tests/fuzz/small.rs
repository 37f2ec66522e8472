//! The least job that makes a final report, and its report signed.

use benchleaf::bundle::{How, build, read, signatories};
use benchleaf::diag::{Diags, Sources};
use benchleaf::record::Status;
use benchleaf::sign::{Moment, SigningKey, sign};

/// Their order is that of the numbers in the files that the fuzzer makes.
pub const FILES: [(&str, &str); 6] = [
    ("engine.toml", include_str!("small/engine.toml")),
    ("limits.toml", include_str!("small/limits.toml")),
    ("job.toml", include_str!("small/job.toml")),
    ("readings.toml", include_str!("small/readings.toml")),
    ("forms/camshaft.toml", include_str!("small/forms/camshaft.toml")),
    ("forms/report.toml", include_str!("small/forms/report.toml")),
];

/// With the numbers of its own sheets where noughts stand for them.
pub fn files() -> Sources {
    let mut files = Sources::default();
    for (name, text) in FILES {
        files.put(name, text);
    }
    let (_, set) = read(&files, &mut Diags::new()).expect("the small job is read");
    let text = FILES[3].1.replace("0000-0000", &set.number);
    files.put("readings.toml", text.replace("\"0000\"", &format!("{:?}", set.sheets[0].number)));
    files
}

pub fn signed() -> Vec<u8> {
    let files = files();
    let mut out = Diags::new();
    let (case, set) = read(&files, &mut out).expect("the small job is read");
    let pressed = build(&files, (&case, &set), How::default(), &mut out).expect("a report");
    assert_eq!(pressed.status, Status::Complete, "{}", pressed.words);
    let key =
        SigningKey::read(include_bytes!("../../demo/throw-away-JA.pem"), None).expect("a key");
    let all = signatories(&case, &pressed.places);
    let mut own = all.iter().map(|one| one.signing(Moment::utc(1_800_000_000)));
    let own = own.rfind(|one| one.signer.name == "Judith Ashcombe").expect("a place");
    sign(&pressed.bytes, &key, &own.signer, &own.places, [7; 32]).expect("signed")
}
