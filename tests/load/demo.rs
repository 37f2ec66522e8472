use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use std::path::Path;

/// The standard forms, or those of the jobs of before, which name their lines.
pub fn forms_of(before: bool) -> &'static str {
    if before { "tests/engines/old-forms" } else { "forms" }
}

/// The files of some folder and file names, under their names in a job.
pub fn sources(named: &[(&str, &str)]) -> Sources {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Sources::default();
    for (name, path) in named {
        files.put(*name, std::fs::read_to_string(root.join(path)).unwrap());
    }
    let before = named.iter().any(|(_, path)| path.starts_with("tests/engines"));
    for entry in std::fs::read_dir(root.join(forms_of(before))).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ext| ext == "toml") {
            let name = format!("forms/{}", path.file_name().unwrap().to_str().unwrap());
            files.put(name, std::fs::read_to_string(&path).unwrap());
        }
    }
    files
}

fn reads_clean(named: &[(&str, &str)]) {
    let files = sources(named);
    let mut out = Diags::new();
    let case = load::case(&files, &mut out);
    assert!(out.is_empty(), "{}", out.render(&files, false));
    assert!(case.is_some());
}

#[test]
fn the_demonstration_reads_without_a_word() {
    for readings in ["demo/readings-first.toml", "demo/readings-final.toml"] {
        reads_clean(&[
            ("engine.toml", "demo/engine.toml"),
            ("limits.toml", "limits/tw4-h8.toml"),
            ("job.toml", "demo/job.toml"),
            ("readings.toml", readings),
        ]);
    }
}

#[test]
fn the_other_engines_read_without_a_word() {
    for engine in ["six-mm", "two-in"] {
        let of = |file: &str| format!("tests/engines/{engine}/{file}");
        reads_clean(&[
            ("engine.toml", &of("engine.toml")),
            ("limits.toml", &of("limits.toml")),
            ("job.toml", &of("job.toml")),
            ("readings.toml", &of("readings.toml")),
        ]);
    }
}
