//! An engine at one glance, and what does not go together.

use super::made::{FAMILIES, Made, kinds};
use crate::cli::Script;
use benchleaf::sheet::Sheet;

#[test]
fn the_tree_has_every_sheet_line_and_part() {
    for family in FAMILIES {
        let script = Script::new();
        script.run(&format!("new job --like {family}")).status(0);
        let told = script.run("limits --tree job").status(0).out;
        script.run("limits --tree job/limits.toml").status(0).says(&told);
        let (case, set) = Made::of(family).expanded();
        let mut at = "";
        let mut lines: Vec<(&str, &str)> = Vec::new();
        let mut parts: Vec<&str> = Vec::new();
        for line in told.lines() {
            match line.strip_prefix("     ") {
                None => at = line.split_whitespace().next().expect("a letter"),
                Some(rest) if rest.contains(" to look at") => {
                    parts.push(rest.split(':').next().expect("a part"));
                }
                Some(rest) => lines.push((at, rest.split_whitespace().next().expect("a line"))),
            }
        }
        let of = |sheet: &Sheet| {
            let lines = sheet.lines().map(|line| (sheet.letter.clone(), line.reference.clone()));
            lines.collect::<Vec<_>>()
        };
        let printed: Vec<(String, String)> = set.sheets.iter().flat_map(of).collect();
        let own: Vec<(String, String)> =
            lines.iter().map(|(at, line)| ((*at).to_owned(), (*line).to_owned())).collect();
        assert_eq!(own, printed, "{family}");
        let kinds = kinds(&Made::of(family).files);
        for part in &case.engine.parts {
            let looked = |kind: &str| kinds[kind].contains("look-over = ");
            let looked = part.kinds.iter().any(|kind| looked(kind.as_str()));
            let times = parts.iter().filter(|name| **name == part.name.as_str()).count();
            assert_eq!(times, usize::from(looked), "{family}: {}", part.name);
        }
    }
}

/// A file of a job, what is changed in it, and what is told then.
type Told = (&'static str, &'static [(&'static str, &'static str)], &'static [&'static str]);

/// Each change of a sound job, and the one thing that is told of it.
#[test]
fn wrong_combinations_are_told() {
    let engine = "engine.toml";
    let limits = "limits.toml";
    let cases: [Told; 6] = [
        (
            engine,
            &[(", \"pushrods\", \"pushrod-housings\"]", "]")],
            &[
                "line UP has no sheet of its own: it stands on the last",
                "pushrods is in no group: it is looked over on the last sheet",
                "pushrod-housings is in no group: it is looked over on the last sheet",
            ],
        ),
        (
            engine,
            &[(", parts = [\"hydraulic-units\"]", "")],
            &[
                "line TL has no sheet of its own: it stands on the last",
                "hydraulic-units is in no group: it is looked over on the last sheet",
                "nothing stands on the sheet of the group hydraulic",
            ],
        ),
        (
            engine,
            &[(
                "[features]\n",
                "[features]\nspare-bore = { part = \"pump-body\", kind = \"bore\" }\n",
            )],
            &["no line measures spare-bore"],
        ),
        (
            engine,
            &[("[groups]\n", "[groups]\nspare = { letter = \"XY\", title = \"Spare\" }\n")],
            &["nothing stands on the sheet of the group spare"],
        ),
        (
            engine,
            &[
                (
                    "[conditions]\n",
                    "[conditions]\ncase-open = { name = \"case open\", steps = [\"opened\"], excludes = \"case-bolted\", measuring-only = true }\n",
                ),
                (
                    "kind = \"shaft\", at = \"cam-bearing\"",
                    "kind = \"shaft\", at = \"cam-bearing\", when = \"case-open\"",
                ),
            ],
            &[
                "sheet C: line C is measured in case-open, line C is measured in case-bolted, and they exclude each other",
            ],
        ),
        (
            limits,
            &[(
                "shaft = { feature = \"tappet-body\"",
                "way = \"runout\"\nshaft = { feature = \"tappet-body\"",
            )],
            &["runout is no way for a line of kind fit"],
        ),
    ];
    for (file, changes, expected) in cases {
        let mut made = Made::of("flat-twin");
        let mut text = made.files.get(file).expect("a file").to_string();
        for (from, to) in changes {
            text = text.replacen(from, to, 1);
        }
        made.files.put(file, text.clone());
        assert_eq!(made.faults(), expected, "{changes:?}\n{text}");
    }
}

/// Places that are some of another's have its codes, and a part changed at one
/// is changed there on both.
#[test]
fn places_of_another_set_are_some_of_it() {
    let mut made = Made::of("radial --cylinders 5");
    let engine = made.files.get("engine.toml").expect("the engine").to_string();
    made.files.put("engine.toml", engine.replace("codes = [\"1\"], of", "codes = [\"6\"], of"));
    assert_eq!(made.faults(), ["cylinder has no place 6"]);
    made.files.put(
        "engine.toml",
        engine.replace("[\"1\"], of = \"cylinder\"", "[\"1\"], of = \"cylinders\""),
    );
    assert_eq!(made.faults().len(), 1, "{:?}", made.faults());
}
