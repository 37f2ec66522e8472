//! Whatever stands in a file, it is answered with messages. The cases are
//! drawn at random; a failing one is printed by proptest.

use super::cases::{base, messages};
use crate::work::Work;
use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use benchleaf::load::toml::tree;
use proptest::prelude::*;

const KINDS: &[&str] = &["engine", "limits", "job", "readings", "forms", "report"];

/// Pieces that files are made of, and what goes wrong with them.
const PIECES: &[&str] = &[
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ",",
    ".",
    "\"",
    "'",
    "\"\"\"",
    "'''",
    "\\",
    "#",
    "\n",
    "\r\n",
    " ",
    "\t",
    "1.3731",
    ".5",
    "1,5",
    "nan",
    "1e3",
    "0x1F",
    "-",
    "+1",
    "2026-03-02",
    "2026-02-30",
    "true",
    "“",
    "”",
    "µ",
    "é",
    "\u{feff}",
    "\u{7}",
    "\u{0}",
    "C1",
    "shaft",
    "sheet-set",
    "again",
    "line",
    "engine",
    "kind",
    "\"fit\"",
    "a.b.c",
    "[C]\n",
    "[[line]]\n",
    "C1.shaft = [1.3731, 1.3730]\n",
    "x = 1\n",
    "key = \"text\"\n",
    "-- ",
    "(",
    ")",
    ";",
    ":",
];

fn soup() -> impl Strategy<Value = String> {
    proptest::collection::vec(proptest::sample::select(PIECES), 0..60)
        .prop_map(|pieces| pieces.concat())
}

/// A valid file with some pieces put in or taken out.
fn spoiled() -> impl Strategy<Value = (usize, String)> {
    let edit = (any::<proptest::sample::Index>(), 0usize..4, proptest::sample::select(PIECES));
    (0..KINDS.len(), proptest::collection::vec(edit, 1..6)).prop_map(|(kind, edits)| {
        let name = [
            "engine.toml",
            "limits.toml",
            "job.toml",
            "readings.toml",
            "forms/camshaft.toml",
            "forms/report.toml",
        ];
        let mut text: Vec<char> = base().get(name[kind]).unwrap().chars().collect();
        for (at, gone, piece) in edits {
            let at = at.index(text.len());
            let end = (at + gone).min(text.len());
            text.splice(at..end, piece.chars());
        }
        (kind, text.into_iter().collect())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..300), kind in 0..KINDS.len()) {
        messages(KINDS[kind], &String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn any_pieces_are_answered(text in soup(), kind in 0..KINDS.len()) {
        messages(KINDS[kind], &text);
    }

    #[test]
    fn any_spoiled_file_is_answered((kind, text) in spoiled()) {
        messages(KINDS[kind], &text);
    }

    /// A figure is kept to the digit, however it is typed around.
    #[test]
    fn digits_are_kept(whole in 0u32..9_999_999, places in "[0-9]{1,7}", before in " {0,3}") {
        let figure = format!("{whole}.{places}");
        let text = format!("sheet-set = \"7F3K\"\n[C]\nC1.shaft = [{before}{figure} ,\"-\"] # {figure}9\n");
        let mut files = base();
        files.put("readings.toml", text);
        let mut out = Diags::new();
        let record = load::case(&files, &mut out).and_then(|case| case.record).unwrap();
        let shown = format!("{:?}", record.sheets[0].rows[0].groups[0].boxes);
        prop_assert!(shown.contains(&format!("text: \"{figure}\"")), "{shown}");
    }
}

/// Reads a text within its bound of time; the number of messages.
fn timed(what: &str, text: String) -> usize {
    let file = "readings.toml".into();
    let mut files = Sources::default();
    let mut out = Diags::new();
    let started = Work::start();
    let _ = tree::read(&file, &text, &mut out);
    let size = text.len();
    files.put(file, text);
    let plain = out.plain(&files);
    let took = started.seconds();
    // The bound is for an unoptimised build: what grew with
    // the square of the size would take hours.
    assert!(took < 60, "{what}: {size} bytes took {took} s");
    plain.len()
}

#[test]
fn large_files_take_no_more_than_their_size() {
    let rows = |count: usize, row: &str| row.repeat(count);
    let numbered = |count: usize| {
        (0..count).map(|n| format!("R{n}.shaft = [1.3731, 1.3730]\n")).collect::<String>()
    };
    let texts = [
        ("sound", format!("[C]\n{}", numbered(20_000))),
        ("one fault", format!("[C]\nx = [1\n{}", numbered(20_000))),
        (
            "one key again and again",
            rows(40_000, "C1.shaft = [1.3731, 1.3730]\n")[..120_000].to_string(),
        ),
        ("nothing but faults", rows(50_000, "C1.shaft = [1.3731 1.3730\n")),
        ("open quotes", rows(50_000, "a = \"\"\"\n'''\n")),
        ("open brackets", rows(1_000_000, "[")),
        ("points", rows(1_000_000, "a.")),
        ("one line", format!("a = [{}]", rows(50_000, "1.3731,"))),
        ("indented", format!("a = [\n{}", rows(30_000, "  1.3731,\n"))),
    ];
    for (what, text) in texts {
        let told = timed(what, text);
        assert!(told <= 200, "{what}: {told} messages");
    }
    // Each pair of them is a fault, of which so many are kept.
    assert!(timed("curly quotes", format!("a = {}", rows(2_000_000, "“"))) <= 1_001);
}

/// Sixteen megabytes of commas took two gigabytes once they were read.
#[test]
fn a_file_with_too_much_in_it_is_refused() {
    let many = tree::MOST.values + 1;
    let values = [
        format!("x = [{}]", "1,".repeat(many)),
        "=\n".repeat(many),
        "[[x]]\n".repeat(many),
        format!("x = [{}]", "{},".repeat(many / 2)),
    ];
    for (what, texts) in
        [("keys and values", &values[..]), ("lines", &["\n".repeat(tree::MOST.lines + 1)])]
    {
        for text in texts {
            let wanted = format!(
                "readings.toml:1:1: the file has too many {what}; no job needs so many: look whether it is the right file"
            );
            assert_eq!(messages("readings", text), [wanted]);
        }
    }
}

#[test]
fn a_file_too_large_is_refused() {
    let found = messages("readings", &" ".repeat(tree::LARGEST + 1));
    assert_eq!(
        found,
        [
            "readings.toml:1:1: the file is larger than 16 MiB; no job needs one so large: look whether it is the right file"
        ]
    );
}
