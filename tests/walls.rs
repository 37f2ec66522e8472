//! The walls of the house: which room knows which, which file names which
//! library, what never stands in the text of a file. Each wall is a function
//! over text, so that a planted fault shows that it would be seen.

mod around;
mod circles;
mod kinds;
mod lexer;
mod rules;

use rules::{Fault, File};
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The files under a folder whose names end so, as the walls see them: named
/// from the project's root, with forward slashes.
fn files(folder: &str, endings: &[&str]) -> Vec<File> {
    let mut found = Vec::new();
    gather(&root().join(folder), endings, &mut found);
    found.sort_by(|a, b| a.name.cmp(&b.name));
    found
}

fn gather(path: &Path, endings: &[&str], found: &mut Vec<File>) {
    let name = path.file_name().and_then(|n| n.to_str()).unwrap_or("");
    if path.is_dir() {
        if [".git", ".venv", "target", "out", "corpus", "artifacts"].contains(&name) {
            return;
        }
        for entry in fs::read_dir(path).expect("a folder of the project") {
            gather(&entry.expect("an entry").path(), endings, found);
        }
    } else if endings.iter().any(|ending| name.ends_with(ending)) {
        let inside = path.strip_prefix(root()).expect("a file of the project");
        let bytes = fs::read(path).expect("a file of the project");
        found.push(File {
            name: inside.to_string_lossy().replace('\\', "/"),
            text: String::from_utf8_lossy(&bytes).into_owned(),
        });
    }
}

fn source() -> Vec<File> {
    let mut files = files("src", &[".rs"]);
    // The build script is no part of what ships.
    files.retain(|file| file.name != "src/build.rs");
    assert!(files.len() > 20, "the source is not where it was");
    files
}

/// Fails with every fault, a line each.
#[track_caller]
fn stands(rule: fn(&File) -> Vec<Fault>, files: &[File]) {
    let faults: Vec<String> = files
        .iter()
        .flat_map(|file| {
            rule(file)
                .into_iter()
                .map(|fault| format!("{}:{}: {}", file.name, fault.line, fault.what))
        })
        .collect();
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

#[test]
fn rooms_know_only_those_they_stand_on() {
    stands(rules::rooms, &source());
}

#[test]
fn libraries_stay_in_their_rooms() {
    stands(rules::libraries, &source());
    let text = fs::read_to_string(root().join("Cargo.toml")).expect("the manifest");
    stands(rules::dependencies, &[File { name: "Cargo.toml".to_owned(), text }]);
}

#[test]
fn clock_disk_and_environment_enter_at_the_command_line() {
    stands(rules::outside_world, &source());
}

#[test]
fn one_file_speaks_and_one_file_reads() {
    stands(around::terminal, &source());
    stands(around::reading, &source());
}

#[test]
fn threads_run_jobs_and_nothing_smaller() {
    stands(around::threads, &source());
}

#[test]
fn groups_are_named_in_one_place() {
    stands(around::group_keys, &source());
}

#[test]
fn nothing_unsafe_stands_in_the_source() {
    for file in ["src/lib.rs", "src/main.rs"] {
        let text = fs::read_to_string(root().join(file)).expect("a root");
        assert!(text.contains("\n#![forbid(unsafe_code)]\n"), "{file} does not forbid it");
    }
}

#[test]
fn no_binary_float_where_sizes_are_judged() {
    stands(rules::floats, &source());
}

#[test]
fn nothing_gives_up_in_the_middle() {
    stands(rules::giving_up, &source());
}

#[test]
fn files_stay_short() {
    let mut all = source();
    all.extend(files("tests", &[".rs", ".py"]));
    stands(rules::length, &all);
}

#[test]
fn names_say_what_is_in_a_file() {
    stands(rules::names, &source());
}

/// The manual's chapters stand in `limits`, `forms` and `demo`.
#[test]
fn the_readme_is_read_in_one_sitting() {
    let text = fs::read_to_string(root().join("README.md")).expect("the readme");
    let words = text.split_whitespace().count();
    assert!((1000..=1500).contains(&words), "{words} words");
    for chapter in ["limits/README.md", "forms/README.md", "demo/README.md"] {
        assert!(text.contains(chapter), "no way to {chapter}");
        assert!(root().join(chapter).exists(), "{chapter} is not there");
    }
}

#[test]
fn no_text_claims_what_a_report_is_not() {
    stands(rules::claims_in_strings, &source());
    for folder in ["forms", "limits", "demo"] {
        stands(rules::claims, &files(folder, &[".toml", ".md"]));
    }
}

#[test]
fn no_file_names_the_workplace() {
    let endings = [".rs", ".py", ".toml", ".md", ".csv", ".txt", "run", "LICENSE", ".gitignore"];
    for place in ["src", "tests", "forms", "limits", "demo", ".ci"] {
        stands(rules::workplace, &files(place, &endings));
    }
    for name in ["Cargo.toml", "README.md", "DEVELOPERS.md", ".deny.toml", ".clippy.toml"] {
        if root().join(name).exists() {
            stands(rules::workplace, &files(name, &endings));
        }
    }
}

#[test]
fn the_test_run_names_no_host() {
    for place in ["tests/run", ".ci/run", "tests/oracles"] {
        stands(rules::hosts, &files(place, &["run", ".py", ".txt"]));
    }
}

#[test]
fn the_top_level_holds_what_it_may() {
    let may = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "forms",
        "limits",
        "tests",
        "demo",
        "target",
        "job",
    ];
    for entry in fs::read_dir(root()).expect("the project") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_string_lossy();
        assert!(
            name.starts_with('.') || may.contains(&name.as_ref()),
            "{name} stands at the top level: put it in a room, or add it here with a reason"
        );
    }
}

/// A file with a planted fault must be seen, and its sound twin must not.
#[track_caller]
fn caught(rule: fn(&File) -> Vec<Fault>, name: &str, faulty: &str, sound: &str) {
    let file = |text: &str| File { name: name.to_owned(), text: text.to_owned() };
    assert!(!rule(&file(faulty)).is_empty(), "not seen: {faulty}");
    let seen = rule(&file(sound));
    assert!(seen.is_empty(), "seen in sound text: {seen:?}");
}

#[test]
fn planted_rooms() {
    let rule = rules::rooms;
    caught(
        rule,
        "src/judge/kinds/fit.rs",
        "use crate::report::Section;",
        "use crate::model::limits::Kind; // not crate::report",
    );
    caught(
        rule,
        "src/judge/kinds/fit.rs",
        "use crate::{quantity::Exact, sheet::Row};",
        "use crate::{quantity::Exact, model::{limits::Kind, job}};",
    );
    caught(
        rule,
        "src/judge/slips/turn.rs",
        "fn f() { super::super::super::cli::run(); }",
        "fn f() { super::super::window(); }",
    );
    caught(
        rule,
        "src/quantity/exact.rs",
        "fn f(x: &crate::diag::Span) {}",
        "const SAID: &str = \"crate::diag\"; /* crate::cli */ use crate::quantity::Unit;",
    );
    // The towers of measuring and paper know nothing of each other.
    caught(rule, "src/scan/mod.rs", "use crate::record::Judged;", "use crate::pdf::pictures;");
    caught(rule, "src/report/types.rs", "use crate::layout::mark::Mark;", "use crate::diag::Span;");
    caught(rule, "src/pages/boxes.rs", "use crate::bundle::verify;", "use crate::scan::Scan;");
    caught(rule, "src/model/limits.rs", "use crate::nowhere::X;", "use crate::diag::Span;");
}

#[test]
fn planted_circles() {
    let found = |other: &str, module: &str| {
        let texts = [("one", "use super::two::Y; pub struct X;"), ("two", other), ("mod", module)];
        let file = |(name, text): (&str, &str)| File {
            name: format!("src/room/{name}.rs"),
            text: text.to_owned(),
        };
        !circles::House::of(&texts.map(file)).circles().is_empty()
    };
    let module = "mod one; mod two; pub use one::X; pub struct Own;";
    for faulty in [
        "use super::one::X;",
        "use crate::{room::{two, one::{X, Z}}};",
        "use crate::{room::{two, one::{self}}}; fn f(x: one::X) {}",
        "use super::one; fn f(x: one::X) {}",
        "fn f(x: crate::room::one::X) {}",
        // Handed on by the room.
        "use super::X;",
        "use crate::room::X as Other;",
    ] {
        assert!(found(faulty, module), "not seen: {faulty}");
    }
    // What stands in a room's own file is above what the file takes from.
    let above = "mod one; mod two; use two::Y; pub struct Own;";
    assert!(found("use super::Own;", above));
    let handed_on = "mod one; mod two; pub use two::Y; pub struct Own(Y);";
    assert!(found("use super::Own;", handed_on));
    for sound in [
        "pub struct Y;",
        "use super::one; // super::one::X",
        "use super::Own;",
        "#[cfg(test)]\nmod tests { use super::one::X; }",
    ] {
        assert!(!found(sound, module), "seen in sound text: {sound}");
    }
}

#[test]
fn planted_libraries() {
    caught(
        rules::dependencies,
        "Cargo.toml",
        "[target.'cfg(unix)'.dependencies]\nlibc = \"0.2\"\n",
        "[dependencies]\nmd-5 = \"0.11\"\ntoml = { version = \"1\" }\n[dev-dependencies]\nx = \"1\"\n",
    );
    let rule = rules::libraries;
    for (name, faulty) in [
        ("src/judge/kinds/fit.rs", "use rust_decimal::Decimal;"),
        ("src/load/mod.rs", "use annotate_snippets::Level;"),
        ("src/sheet/expand.rs", "fn f() { tera::Tera::default(); }"),
        ("src/load/engine.rs", "use toml::de::DeTable;"),
        ("src/pdf/content.rs", "use printpdf::Op;"),
        ("src/sign/mod.rs", "use lopdf::Document;"),
        ("src/report/mod.rs", "use clap::Parser;"),
    ] {
        caught(rule, name, faulty, "use std::fmt; // tera, toml, lopdf");
    }
    caught(
        rule,
        "src/load/limits.rs",
        "let x = toml::from_str(text);",
        "let toml = tree(text); read(toml);",
    );
}

#[test]
fn planted_outside_world() {
    let rule = rules::outside_world;
    for faulty in [
        "std::fs::read(path)",
        "use std::{fs, fmt};",
        "SystemTime::now()",
        "use std::time::Instant;",
        "std::env::var(\"HOME\")",
        "println!(\"x\")",
        "use std::path::PathBuf; use std::process::Command;",
    ] {
        caught(rule, "src/load/mod.rs", faulty, "use std::fmt; // std::fs");
    }
}

#[test]
fn planted_ways_around() {
    let rule = around::terminal;
    for faulty in [
        "println!(\"{name}\")",
        "std::io::stdout().write_all(name)",
        "use std::io::stderr;",
        "let cli = Cli::parse();",
        "error.exit()",
        "fs::write(\"/dev/stdout\", name)",
    ] {
        caught(rule, "src/cli/check.rs", faulty, "line!(\"{}\", name); text.parse(); // stdout()");
    }
    let rule = around::reading;
    for faulty in [
        "fs::read(path)",
        "std::fs::read_to_string(path)",
        "File::open(path)",
        "OpenOptions::new().read(true)",
    ] {
        caught(rule, "src/cli/check.rs", faulty, "plain::read(path, most, named); file.read(buf)");
    }
    let rule = around::threads;
    for faulty in ["std::thread::scope(|scope| work)", "use std::thread;", "rayon::join(a, b)"] {
        caught(rule, "src/record/rows.rs", faulty, "rows.iter().map(row); // thread::spawn");
    }
    let rule = around::group_keys;
    for faulty in ["side(\"shaft\")", "match key { \"bore\" => 1 }", "say(\"by\", \"nogo\");"] {
        let sound = "read.side(Side::Shaft); say(\"shaft small\"); // key \"shaft\"";
        caught(rule, "src/judge/kinds/fit.rs", faulty, sound);
    }
}

#[test]
fn planted_floats() {
    let rule = rules::floats;
    for faulty in ["let x: f64 = y;", "let x = 0.5;", "x as f32", "1e3"] {
        caught(
            rule,
            "src/judge/kinds/fit.rs",
            faulty,
            "let x = y.0; let r = 0..25; let t = z.0.1; say(\"0.5 f64\"); // 0.5",
        );
    }
}

#[test]
fn planted_giving_up() {
    let rule = rules::giving_up;
    let calls =
        ["x.unwrap()", "x.expect(\"a row\")", "x.unwrap_err()", "x.expect_err(\"a fault\")"];
    // Words of a test, not of the program: nothing here is left undone.
    let macros = ["panic", "todo", "unimplemented", "unreachable", "assert", "assert_eq"];
    let macros = macros.map(|name| format!("{name}!(x)"));
    for faulty in calls.into_iter().chain(macros.iter().map(String::as_str)) {
        caught(
            rule,
            "src/load/mod.rs",
            faulty,
            "x.unwrap_or(1); x.expected(); const _: () = (); fn f<'a>(c: &'a str) {}\n#[cfg(test)]\nmod tests { fn f() { x.unwrap() } }",
        );
    }
}

#[test]
fn planted_length_and_names() {
    caught(rules::length, "src/judge/kinds/fit.rs", &"a\n".repeat(451), &"a\n".repeat(450));
    for name in ["src/utils.rs", "src/load/helpers/mod.rs", "src/job_manager.rs"] {
        let file = File { name: name.to_owned(), text: String::new() };
        assert!(!rules::names(&file).is_empty(), "not seen: {name}");
    }
}

#[test]
fn planted_claims() {
    for faulty in ["found Airworthy", "certified by", "zero-time", "is rebuilt", "conforms to"] {
        caught(
            rules::claims,
            "forms/report.toml",
            faulty,
            "certificate, unconformable, the overhaul manual",
        );
        caught(
            rules::claims_in_strings,
            "src/report/mod.rs",
            &format!("let x = \"{faulty}\";"),
            "fn conforms() {} // overhauled",
        );
    }
}

#[test]
fn planted_workplace_and_hosts() {
    let path = ["/wo", "rk/main"].concat();
    caught(rules::workplace, "README.md", &format!("see {path}"), "see /job/work");
    let host = ["https:", "//host/x"].concat();
    caught(rules::hosts, "tests/run", &format!("curl {host}"), "cargo test // 2");
}
