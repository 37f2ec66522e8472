//! Bad inputs, each beside the messages it must give. `BLESS=1` writes the
//! messages anew; each is to be read by eye before it is kept.

use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use std::fs;
use std::path::{Path, PathBuf};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases").join(name)
}

/// The small valid job that every bad input takes one file's place in.
pub fn base() -> Sources {
    let mut files = Sources::default();
    for name in ["engine", "limits", "job", "readings", "forms/camshaft", "forms/report"] {
        let name = format!("{name}.toml");
        let text = fs::read_to_string(folder("base").join(&name)).unwrap();
        files.put(name, text);
    }
    files
}

/// The messages of the base job with one file's text put in its place.
pub fn messages(kind: &str, text: &str) -> Vec<String> {
    let mut files = base();
    let name = match kind {
        "forms" => "forms/camshaft.toml".to_string(),
        "report" => "forms/report.toml".to_string(),
        kind => format!("{kind}.toml"),
    };
    assert!(files.get(&name).is_some(), "no file of kind {kind}");
    files.put(name, text);
    let mut out = Diags::new();
    let case = load::case(&files, &mut out);
    assert_eq!(case.is_none(), out.faults() > 0, "{:?}", out.plain(&files));
    assert!(!out.render(&files, true).is_empty() || out.is_empty());
    out.plain(&files)
}

fn kind_of(text: &str) -> &str {
    let first = text.lines().next().unwrap_or_default();
    first.strip_prefix("# file: ").expect("the first line says which file it is").trim()
}

#[test]
fn the_base_is_valid() {
    let mut out = Diags::new();
    let files = base();
    assert!(load::case(&files, &mut out).is_some(), "{}", out.render(&files, false));
    assert!(out.is_empty());
}

#[test]
fn every_bad_input_gives_its_messages() {
    let bless = std::env::var_os("BLESS").is_some();
    let mut wrong = Vec::new();
    let mut count = 0;
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder("invalid")).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    for path in paths.iter().filter(|path| path.extension().is_some_and(|ext| ext == "toml")) {
        count += 1;
        let text = fs::read_to_string(path).unwrap();
        let found = messages(kind_of(&text), &text).join("\n") + "\n";
        let beside = path.with_extension("expected");
        if bless {
            fs::write(&beside, &found).unwrap();
        }
        let expected = fs::read_to_string(&beside).unwrap_or_default();
        if found != expected || found.trim().is_empty() {
            wrong.push(format!("{}\nexpected:\n{expected}found:\n{found}", path.display()));
        }
    }
    assert!(count >= 60, "{count} bad inputs");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The voice of the house: lower case, no full stop.
#[test]
fn every_message_is_in_one_voice() {
    for entry in fs::read_dir(folder("invalid")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ext| ext != "expected") {
            continue;
        }
        for line in fs::read_to_string(&path).unwrap().lines() {
            let said = line.splitn(4, ':').last().unwrap_or(line).trim();
            assert!(!said.ends_with('.'), "{}: {line}", path.display());
            assert!(!line.contains("toml parse"), "{}: {line}", path.display());
        }
    }
}
