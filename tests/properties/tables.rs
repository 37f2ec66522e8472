//! Limits written as a table and read back say the same, and the table written
//! from them again is the same text; whatever stands in a table is answered.

use super::{cases, drawn};
use benchleaf::diag::{Diags, Sources};
use benchleaf::load::{self, spreadsheet};
use benchleaf::model::limits::Limits;
use proptest::prelude::*;

fn read(files: &Sources) -> (Option<Limits>, Vec<String>) {
    let mut out = Diags::new();
    let engine = load::engine(files, "engine.toml", &mut out);
    let limits =
        engine.and_then(|engine| load::limits(files, "limits.toml", Some(&engine), &mut out));
    (limits, out.plain(files))
}

/// All that a limits file says, without the places where it is typed. Keys stand
/// in their own order in each line.
fn says(limits: &Limits) -> Vec<String> {
    let mut lines = vec![format!("{:?}", sorted(&limits.typed))];
    for line in &limits.lines {
        let mut line = line.clone();
        let typed = sorted(&line.typed);
        line.typed.clear();
        lines.push(format!("{} {typed:?}", placeless(&format!("{line:?}"))));
    }
    lines
}

fn sorted(typed: &[benchleaf::model::text::TypedKey]) -> Vec<String> {
    let mut typed: Vec<String> = typed.iter().map(|key| format!("{key:?}")).collect();
    typed.sort();
    typed
}

/// A printed value without its spans.
fn placeless(text: &str) -> String {
    let mut parts = text.split("Span {");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| text + part.split_once('}').map_or(part, |(_, rest)| rest))
}

/// Through a table and back; the table.
fn there_and_back(files: &Sources) -> String {
    let (before, told) = read(files);
    let before = before.unwrap_or_else(|| panic!("{told:?}"));
    let mut out = Diags::new();
    let table = spreadsheet::table(files, "limits.toml", &mut out);
    let table = table.unwrap_or_else(|| panic!("{:?}", out.plain(files)));
    let engine = load::engine(files, "engine.toml", &mut out).expect("an engine");
    let mut back = files.clone();
    back.put("t.csv", table.as_str());
    let mut out = Diags::new();
    let taken = spreadsheet::from_table(&mut back, "t.csv", Some(&engine), &mut out);
    let (text, read_at_once) = taken.unwrap_or_else(|| panic!("{:?}\n{table}", out.plain(&back)));
    back.put("limits.toml", text);
    let (after, told) = read(&back);
    let after = after.unwrap_or_else(|| panic!("{told:?}"));
    assert_eq!(says(&before), says(&after));
    // What is read off the cells is what is read off the text.
    assert_eq!(says(&read_at_once.expect("limits")), says(&after));
    let again = spreadsheet::table(&back, "limits.toml", &mut Diags::new());
    assert_eq!(again.as_deref(), Some(table.as_str()));
    table
}

fn files(engine: &str, limits: &str) -> Sources {
    let text = |path: &str| {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
        std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{path:?}: {why}"))
    };
    let mut files = Sources::default();
    files.put("engine.toml", text(engine));
    files.put("limits.toml", text(limits));
    files
}

#[test]
fn limits_that_ship_come_back_the_same() {
    for (engine, limits) in [
        ("demo/engine.toml", "limits/tw4-h8.toml"),
        ("tests/engines/two-in/engine.toml", "tests/engines/two-in/limits.toml"),
        ("tests/engines/six-mm/engine.toml", "tests/engines/six-mm/limits.toml"),
    ] {
        let table = there_and_back(&files(engine, limits));
        assert!(table.lines().count() > 20, "{table}");
    }
}

/// Every key that a limits file can have but limits at some places, which no
/// table holds: with them nothing is written.
#[test]
fn every_key_comes_back() {
    let mut files = Sources::default();
    files.put("engine.toml", super::edition::engine());
    files.put("limits.toml", super::edition::EVERY);
    let mut out = Diags::new();
    assert!(spreadsheet::table(&files, "limits.toml", &mut out).is_none());
    let told = out.plain(&files).join("\n");
    assert!(told.contains("limits at some places, which a table cannot hold"), "{told}");
    let mut places = false;
    let rest = super::edition::EVERY.lines().filter(|line| {
        if line.starts_with('[') {
            places = line.starts_with("[line.places");
        }
        !places
    });
    files.put("limits.toml", rest.collect::<Vec<_>>().join("\n"));
    there_and_back(&files);
}

/// What a table cannot hold is told at its place in the limits file, and no
/// table is written.
#[test]
fn what_a_table_cannot_hold_is_told_by_name() {
    let line = |keys: &str| {
        format!(
            "[document]\ntitle = \"Overhaul manual\"\nnumber = \"1\"\nrevision = \"1\"\nunit = \
             \"in\"\nresolution = \"0.0001\"\n[[line]]\nref = \"A\"\nkind = \"reading\"\n{keys}\n"
        )
    };
    let told = |keys: &str| {
        let mut files = Sources::default();
        files.put("limits.toml", line(keys));
        let mut out = Diags::new();
        let table = spreadsheet::table(&files, "limits.toml", &mut out);
        (table, out.plain(&files))
    };
    for (keys, at, what) in [
        ("name = \"a\"\nlabels = [\"A; B\", \"C\"]", "11:10", "would be read as something else"),
        ("name = \"a\"\nlabels = [\" A\"]", "11:10", "would be read as something else"),
        ("name = \"a\"\npage = \"04-Feb\"", "11:8", "a spreadsheet has made a date"),
        ("name = \"a\"\npage = \"1E-04\"", "11:8", "with an exponent"),
        ("name = \"=1+1\"", "10:8", "=1+1 is a formula"),
        ("name = \"@sum\"", "10:8", "would be a formula there"),
        ("name = \"a \"", "10:8", "would be read as something else"),
        ("name = \"—\"", "10:8", "would be read as something else"),
        ("name = \"#REF!\"", "10:8", "#REF! is what a spreadsheet shows"),
        ("name = \"a\"\ntwin = {}", "11:1", "twin says nothing"),
    ] {
        let (table, told) = told(keys);
        assert!(table.is_none(), "{keys}");
        let [told] = &told[..] else { panic!("{keys}: {told:?}") };
        assert!(told.starts_with(&format!("limits.toml:{at}: ")), "{keys}: {told}");
        assert!(told.contains(what), "{keys}: {told}");
    }
    let (table, told) =
        told("name = \"a, \\\"b\\\"\" # seen by JA\n# and again\nnew-min = -0.0010");
    assert!(told.len() == 1 && told[0].contains("note: 2 comments left behind"), "{told:?}");
    assert!(table.expect("a table").contains("A,\"a, \"\"b\"\"\",reading,-0.0010\n"));
}

/// Pieces that tables are made of, and what goes wrong with them.
const PIECES: [&str; 40] = [
    ",",
    ",",
    ",",
    ";",
    "\t",
    "\n",
    "\n",
    "\r",
    "\r\n",
    "\"",
    "\"\"",
    "document ",
    "title",
    "unit",
    "in",
    "ref",
    "name",
    "kind",
    "grade",
    "fit",
    "size",
    "shaft feature",
    "new min",
    "service max",
    "replace",
    "labels",
    "1.3725",
    "1,3725",
    "0.0010L",
    "0.0010 t",
    "1E-04",
    "04-Feb",
    "-",
    "—",
    "=1",
    "#REF!",
    "(own)",
    "\u{feff}",
    "\u{0}",
    "é",
];

fn answered(text: &str) -> Result<(), TestCaseError> {
    let mut files = Sources::default();
    files.put("t.csv", text);
    let mut out = Diags::new();
    let read = spreadsheet::from_table(&mut files, "t.csv", None, &mut out);
    prop_assert_eq!(read.is_none(), out.faults() > 0);
    let told = out.plain(&files);
    prop_assert!(!told.iter().any(|line| line.contains("please report")), "{:?}", told);
    out.render(&files, true);
    Ok(())
}

proptest! {
    #![proptest_config(cases(2_000))]

    #[test]
    fn limits_at_random_come_back_the_same((job, _) in drawn()) {
        there_and_back(&job.files());
    }

    #[test]
    fn any_bytes_of_a_table_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        answered(&String::from_utf8_lossy(&bytes))?;
    }

    #[test]
    fn any_pieces_of_a_table_are_answered(
        pieces in proptest::collection::vec(proptest::sample::select(&PIECES[..]), 0..80)
    ) {
        answered(&pieces.concat())?;
    }

    /// A sound table with some pieces put in or taken out.
    #[test]
    fn any_spoiled_table_is_answered(
        edits in proptest::collection::vec(
            (any::<proptest::sample::Index>(), 0usize..4, proptest::sample::select(&PIECES[..])),
            1..6,
        )
    ) {
        let files = files("demo/engine.toml", "limits/tw4-h8.toml");
        let table = spreadsheet::table(&files, "limits.toml", &mut Diags::new()).expect("a table");
        let mut text: Vec<char> = table.chars().take(3_000).collect();
        for (at, gone, piece) in edits {
            let at = at.index(text.len());
            let end = (at + gone).min(text.len());
            text.splice(at..end, piece.chars());
        }
        answered(&text.into_iter().collect::<String>())?;
    }
}
