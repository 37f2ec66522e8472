//! A kind of line answers everything, and is told from the others only where
//! the compiler names what a new one lacks.

use super::rules::{self, File};
use super::{around, caught, files, source, stands};

#[test]
fn every_kind_of_line_answers_everything() {
    let kinds = files("src/judge", &["kind.rs"]);
    assert!(kinds.iter().any(|file| file.text.contains("\npub trait LineKind {\n")));
    stands(rules::kinds_answer, &kinds);
    for body in ["-> Vec<Scale> {\n        Vec::new()\n    }", "{}"] {
        caught(
            rules::kinds_answer,
            "src/judge/kind.rs",
            &format!("pub trait LineKind {{\n    fn scales(&self) {body}\n}}\n"),
            "pub trait LineKind {\n    fn scales(&self) -> Vec<Scale>;\n}\nfn of() {\n}\n",
        );
    }
}

#[test]
fn kinds_of_line_are_told_apart_where_one_is_added() {
    let source = source();
    stands(around::kinds, &source);
    let told = |name: &str| {
        source.iter().any(|file| file.name == name && !around::told_apart(file).is_empty())
    };
    let gone = around::BESIDE.iter().find(|name| !told(name));
    assert_eq!(gone, None, "take it off the list");
    let telling: Vec<File> = source.into_iter().filter(around::tells_apart).collect();
    stands(around::falls_through, &telling);
    let warned = "#![warn(clippy::wildcard_enum_match_arm)]\nfn kind() {\n}\n";
    let each = [
        "fn kind() {\n}\n".to_owned(),
        warned.replace("\n}", "\n    let Kind::Fit(fit) = kind else { return };\n}"),
        warned.replace("\n}", "\n    matches!(kind, Kind::Fit(_));\n}"),
    ];
    for planted in &each {
        caught(around::falls_through, "src/model/limits.rs", planted, warned);
    }
    let sound = "use crate::model::limits::{Gauges, Line};\nuse crate::load::keys::Kind;";
    for planted in ["limits::Kind", "limits::{FitLine, Kind}", "limits::*"] {
        caught(around::kinds, "src/sheet/x.rs", &format!("use crate::model::{planted};"), sound);
    }
}
