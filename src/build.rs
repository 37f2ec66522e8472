//! Tells the compiler what the program carries and which revision it is.

use std::path::Path;
use std::process::Command;

fn main() {
    for folder in ["forms", "limits", "demo"] {
        println!("cargo:rerun-if-changed={folder}");
    }
    println!("cargo:rustc-env=BENCHLEAF_REVISION={}", revision());
}

/// The revision of the source: of the checkout, or what the package wrote down
/// when it was made from one.
fn revision() -> String {
    if let Ok(packed) = std::fs::read_to_string(".cargo_vcs_info.json") {
        println!("cargo:rerun-if-changed=.cargo_vcs_info.json");
        let sha = packed.split("\"sha1\": \"").nth(1).and_then(|rest| rest.get(..7));
        return sha.unwrap_or("unknown").to_owned();
    }
    if !Path::new(".git").exists() {
        return "unknown".to_owned();
    }
    for name in ["HEAD", "logs/HEAD"] {
        if let Some(path) = git(&["rev-parse", "--git-path", name]) {
            println!("cargo:rerun-if-changed={path}");
        }
    }
    git(&["rev-parse", "--short=7", "HEAD"]).unwrap_or_else(|| "unknown".to_owned())
}

fn git(words: &[&str]) -> Option<String> {
    let out = Command::new("git").args(words).output().ok()?;
    let said = String::from_utf8(out.stdout).ok()?;
    out.status.success().then(|| said.trim().to_owned())
}
