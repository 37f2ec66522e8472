//! Nothing typed is without effect and without a word: one figure, word or key
//! of any file of a job is changed, and a difference is expected somewhere that
//! a person looks (`looks.rs`): a message, the report, the verdicts, the printed
//! sheets. For every key of a limits file see `edition.rs`.

use super::cases;
use super::looks::{Base, SHORT};
use benchleaf::diag::Diags;
use benchleaf::load::toml::tree::{self, Node, Value};
use proptest::prelude::*;
use std::ops::Range;
use std::sync::{Arc, OnceLock};

/// Something that can be changed in a file: where, what it is called, and what
/// is put there.
#[derive(Clone, Debug)]
pub(super) struct Change {
    pub at: Range<usize>,
    /// Keys from the top of the file, `line 3, fit, new`.
    pub path: String,
    pub to: String,
}

/// Every change of one text.
pub(super) fn changes(name: &str, text: &str) -> Vec<Change> {
    let mut out = Diags::new();
    let file: Arc<str> = name.into();
    let tree = tree::read(&file, text, &mut out).expect("a file that can be read");
    let mut found = Vec::new();
    walk(text, "", &tree.root, &mut found);
    found
}

fn walk(text: &str, path: &str, node: &Node, found: &mut Vec<Change>) {
    let span = |at: &benchleaf::diag::Span| at.start..at.end;
    let at = span(&node.at);
    let mut put = |to: String| found.push(Change { at: at.clone(), path: path.to_owned(), to });
    match &node.value {
        Value::Table(table) => {
            for entry in &table.0 {
                let key = entry.key.as_str();
                let path = if path.is_empty() { key.to_owned() } else { format!("{path}, {key}") };
                walk(text, &path, &entry.node, found);
                // The key taken away, where it and its value stand together.
                let (key, value) = (span(&entry.key.at), span(&entry.node.at));
                let between = text.get(key.end..value.start).unwrap_or("\n");
                if between.trim_matches(['"', ' ']) == "=" {
                    let after = text[value.end..].trim_start_matches(' ');
                    let comma = after.starts_with(',');
                    let end = if comma { text.len() - after.len() + 1 } else { value.end };
                    let before = text[..key.start].trim_end_matches([' ', '"']);
                    let last = !comma && before.ends_with(',');
                    let start = if last { before.len() - 1 } else { key.start };
                    let start = start.min(text[..key.start].trim_end_matches('"').len());
                    found.push(Change { at: start..end, path, to: String::new() });
                }
            }
        }
        Value::List(list) => {
            for (n, node) in list.iter().enumerate() {
                let path = match node.value {
                    Value::Table(_) => format!("{path} {n}"),
                    _ => path.to_owned(),
                };
                walk(text, &path, node, found);
            }
        }
        // Of the places in the bench order only the first and the last differ
        // from whatever stood there.
        Value::Figure(raw) if path == "sheet, order" => {
            put(if raw.parse::<u32>().is_ok_and(|n| n > 300) { "1" } else { "9999" }.to_owned());
        }
        Value::Figure(raw) => put(other_digit(raw)),
        Value::Date(raw) => put(other_digit(raw)),
        Value::Flag(flag) => put((!flag).to_string()),
        Value::Text(words) if !words.is_empty() => put(format!("{:?}", other_word(words))),
        Value::Text(_) | Value::Unread => {}
    }
}

/// The last digit turned into another.
fn other_digit(raw: &str) -> String {
    let last = raw.rfind(|c: char| c.is_ascii_digit()).expect("a digit");
    let digit = if &raw[last..=last] == "3" { "4" } else { "3" };
    format!("{}{digit}{}", &raw[..last], &raw[last + 1..])
}

/// Marks turned, choices exchanged, a fit by a digit, any other word by a letter.
fn other_word(words: &str) -> String {
    const CHOICES: [(&str, &str); 14] = [
        ("in", "mm"),
        ("service", "new"),
        ("simple", "guarded"),
        ("A4", "Letter"),
        ("worst", "average"),
        ("mechanic", "inspector"),
        ("shaft", "plain"),
        ("top", "skirt"),
        ("front", "middle"),
        ("bearing", "stud"),
        ("camshaft", "crankcase"),
        ("bolted", "hung"),
        ("journal", "fourth-journal"),
        ("bore", "fourth-bore"),
    ];
    let choice = CHOICES.iter().find_map(|(a, b)| match words {
        words if words == *a => Some(*b),
        words if words == *b => Some(*a),
        _ => None,
    });
    let marks = words.chars().all(|c| "vxn- ".contains(c));
    match choice {
        Some(other) => other.to_owned(),
        None if marks && words.contains('v') => words.replacen('v', "x", 1),
        None if marks => words.replacen(['x', 'n', '-'], "v", 1),
        None if words.ends_with(['L', 'T']) && words.contains('.') => other_digit(words),
        None if words.bytes().all(|b| b.is_ascii_digit() || b == b'.') => other_digit(words),
        None => format!("{words}q"),
    }
}

/// The demonstration's final job, the same typed short, and those of two other
/// engines.
fn bases() -> &'static [Base; 4] {
    static BASES: OnceLock<[Base; 4]> = OnceLock::new();
    BASES.get_or_init(|| ["demo", SHORT, "six-mm", "two-in"].map(Base::of))
}

const ONE: &str = "only its scrap tag shows it, and in these jobs none was scrapped";

/// What nobody is shown, each with its reason: how the file's name and the path
/// begin, the last key of the path, whether only where it is taken away.
const UNSEEN: &[(&str, &str, bool, &str)] = &[
    ("readings", "printed", false, "written by the program, read where a sheet's number differs"),
    ("readings", "zero", true, "written where the sheet asks for none: nothing on it is measured"),
    ("readings", "rework", true, "the part's only work of its kind, meant where none is named"),
    ("readings", "place", true, "the finding of the one place that is marked"),
    (
        "engine",
        "count",
        true,
        "as many as the part has places, which is meant where it is left out",
    ),
    ("engine.toml: features", "at", true, "its part sits at these places"),
    ("limits", "at", true, "its part sits at these places"),
    ("limits", "kind", true, "a fit has a shaft and a bore; any other is what its way says"),
    ("limits", "with", true, "its way names the same gauge"),
    ("forms/kinds.toml: ways", "with", false, "the lines of these jobs name their gauges"),
    ("forms/kinds.toml: ways", "lines", true, "the lines of these jobs name their kinds"),
    ("job", "rule", true, "simple is meant where nothing is said"),
    ("job", "paper", true, "A4 is meant where nothing is said"),
    ("job", "second-person", true, "a second person is meant where nothing is said"),
    ("forms/assembly-cylinders", "each-lines", true, "these jobs have the line that is asked for"),
    ("forms/assembly-case", "kinds", true, "these jobs have a part of the kinds asked for"),
    ("forms/timing", "kinds", true, "these jobs have a part of the kinds asked for"),
    (
        "forms/report.toml: section 12",
        "title",
        false,
        "nothing was sent out beside the sheets' table",
    ),
    ("engine.toml: places, cylinder", "names", true, "places of that name are called so"),
    ("forms/assembly-case", "with", true, "a state on the same sheet asks for the same wrench"),
    ("engine.toml: parts, seam-bolts", "one", false, ONE),
    ("engine.toml: parts, intake-clamps", "one", false, ONE),
    ("engine.toml: parts, pushrod-clamps", "one", false, ONE),
    ("engine.toml: parts, pushrod-housings", "one", false, ONE),
    ("engine", "material", false, "a word for whoever keeps the file; nothing goes by it"),
];

fn silent(base: &Base, name: &str, change: &Change) -> bool {
    let key = change.path.rsplit(", ").next();
    let named = format!("{name}: {}", change.path);
    let excepted = UNSEEN.iter().any(|(file, last, gone, _)| {
        named.starts_with(file) && key == Some(*last) && (!gone || change.to.is_empty())
    });
    !excepted && !base.shows(name, change)
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn no_change_is_silent(engine in 0..4usize, nth in any::<prop::sample::Index>()) {
        let base = &bases()[engine];
        let (name, change) = nth.get(&base.changes);
        prop_assert!(!silent(base, name, change), "{name}: {change:?}");
    }
}

/// All changes of all four, or with `STRIDE=50` one in fifty, by hand; of some
/// alone with `ONLY`, a part of engine, file and keys: `STRIDE=1 ONLY="two-in job"
/// cargo test --test all every_change -- --nocapture`.
#[test]
fn every_change_by_hand() {
    let Some(stride) = std::env::var("STRIDE").ok().and_then(|n| n.parse().ok()) else { return };
    let only = std::env::var("ONLY").unwrap_or_default();
    let mut all = Vec::new();
    for base in bases() {
        let called =
            |name: &str, change: &Change| format!("{} {name}: {}", base.engine, change.path);
        let wanted = |(name, change): &&(String, Change)| called(name, change).contains(&only);
        let changes: Vec<_> = base.changes.iter().filter(wanted).step_by(stride).collect();
        for (nth, (name, change)) in changes.iter().enumerate() {
            if nth % 500 == 0 {
                println!("{}: {nth} of {}", base.engine, changes.len());
            }
            if silent(base, name, change) {
                println!("{}: {change:?}", called(name, change));
                all.push(format!("{}: {change:?}", called(name, change)));
            }
        }
    }
    assert!(all.is_empty(), "{} silent:\n{}", all.len(), all.join("\n"));
}
