//! What the program writes for three jobs, by its SHA-256: every file and every
//! word of the commands that write or say what a job is. Work on the house
//! leaves it the same byte for byte; where a change is meant, `BLESS=1 cargo
//! test golden` writes `tests/golden/outputs.txt` anew, and the changelog says
//! what changed. It proves nothing right, only unchanged: no source outside.
//! (Signed reports carry the time of their signing, and the page of the manual
//! the revision of the source: they are not among them.)

use crate::cli::Script;
use sha2::{Digest, Sha256};
use std::fmt::Write;
use std::path::Path;

/// Commands that write or say what a job is, in the order in which they are run.
const COMMANDS: [&str; 21] = [
    "check job",
    "check job --all",
    "check job --json",
    "limits job/limits.toml",
    "limits job/limits.toml --new",
    "limits job/limits.toml --against older.toml",
    "limits job/limits.toml --against older.toml --job job",
    "sheets job --out sheets",
    "sheets job --only A,C --paper Letter --out letter",
    "sheets job --blind --out blind",
    "sheets job --copy 2 --out copy",
    "sheets job --second --only C --out second",
    "tags job --out tags",
    "tags job --strip --out strip",
    "tags job --set-aside --out aside",
    "whatif job",
    "compare job/readings.toml other.toml --job job",
    "report job --draft --out draft.pdf",
    "report job --paper Letter --out report.pdf",
    "verify report.pdf --json",
    "unpack report.pdf unpacked",
];

/// A line an output: its SHA-256 and what it is.
fn outputs() -> String {
    let mut lines = String::new();
    for name in ["demo", "six-mm", "two-in"] {
        let script = if name == "demo" { Script::demo() } else { Script::engine(name) };
        // An older table and another hand's transcription, made by one digit each.
        let limits = script.read("job/limits.toml");
        script.write("older.toml", limits.replacen("05", "06", 3));
        let readings = script.read("job/readings.toml");
        script.write("other.toml", readings.replacen("1]", "2]", 5));
        for command in COMMANDS {
            let ran = script.run(command);
            let said = format!("{:?}\n{}\n{}", ran.code, ran.out, ran.err);
            writeln!(lines, "{} {name}: {command}", digest(said.as_bytes())).unwrap();
        }
        for file in script.listing() {
            // What was copied from the project is no output.
            let copied = file.starts_with("from/") || file.contains("/forms/");
            if !copied && !file.ends_with("report-signed.pdf") {
                writeln!(lines, "{} {name}: {file}", digest(&script.bytes(&file))).unwrap();
            }
        }
    }
    for command in ["schemas schemas", "--help", "completions bash"] {
        let script = Script::new();
        let ran = script.run(command);
        let said = format!("{:?}\n{}\n{}", ran.code, ran.out, ran.err);
        writeln!(lines, "{} {command}", digest(said.as_bytes())).unwrap();
        for file in script.listing() {
            writeln!(lines, "{} {file}", digest(&script.bytes(&file))).unwrap();
        }
    }
    lines
}

fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |text, byte| text + &format!("{byte:02x}"))
}

/// Lines that only one of two lists has.
fn differing<'a>(one: &'a str, other: &'a str) -> Vec<&'a str> {
    let only =
        |a: &'a str, b: &'a str| a.lines().filter(move |line| !b.lines().any(|l| l == *line));
    only(one, other).chain(only(other, one)).collect()
}

#[test]
fn every_output_is_as_it_was() {
    let now = outputs();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/outputs.txt");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, &now).unwrap();
    }
    let before = std::fs::read_to_string(&path).unwrap();
    assert!(before.lines().count() > 100);
    let other = differing(&before, &now);
    assert!(other.is_empty(), "changed, gone or new:\n{}", other.join("\n"));
}

#[test]
fn another_byte_is_seen() {
    let (one, other) = (digest(b"1.3731"), digest(b"1.3732"));
    let list = |digest: &str| format!("{digest} demo: check job\n");
    assert_eq!(differing(&list(&one), &list(&other)).len(), 2);
    assert!(differing(&list(&one), &list(&one)).is_empty());
}
