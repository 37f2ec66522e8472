//! Nothing typed is without effect and without a word: one figure, word or key
//! of any file of a job is changed, and a difference is expected somewhere that
//! a person looks: a message, the report, the verdicts, the printed sheets.
//! For every key of a limits file see `edition.rs`.

use crate::record::Job;
use benchleaf::diag::{Diags, Sources};
use benchleaf::judge::proof;
use benchleaf::load;
use benchleaf::load::tree::{self, Node, Value};
use benchleaf::page::font::Fonts;
use benchleaf::page::sheets::lay_sheets;
use benchleaf::report;
use benchleaf::sheet::{SheetSet, expand};
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
    let span = |at: &benchleaf::diag::Loc| at.start..at.end;
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

fn with(files: &Sources, name: &str, change: &Change) -> Sources {
    let text = files.get(name).expect("a file of the job").to_string();
    let changed = format!("{}{}{}", &text[..change.at.start], change.to, &text[change.at.end..]);
    let mut files = files.clone();
    files.put(name, changed);
    files
}

/// What a person can look at.
#[derive(Debug, PartialEq)]
struct Seen {
    messages: Vec<String>,
    /// The report and the verdicts.
    told: String,
    set: Option<String>,
}

fn seen(files: &Sources) -> (Seen, Option<SheetSet>) {
    let mut out = Diags::new();
    let case = load::case(files, &mut out);
    if let Some(case) = &case {
        out.append(proof(&case.limits, &case.engine));
    }
    let set = case.as_ref().and_then(|case| expand(case, &mut out));
    let mut told = String::new();
    if let (Some(case), Some(set)) = (&case, &set)
        && let Some(judged) = report::judge(case, set, &mut out)
    {
        let all = report::sections::Told {
            case,
            set,
            record: case.record.as_ref().expect("a transcription"),
            judged: &judged,
            pages: &Default::default(),
            originals: None,
            history: None,
        };
        told = report::json(&all).expect("figures and words");
        told.push_str(&format!("{:?}", report::sections::report(&all, false)));
    }
    let number = set.as_ref().map(|set| set.number.clone());
    (Seen { messages: out.plain(files), told, set: number }, set)
}

thread_local! {
    static FONTS: Fonts = Fonts::load().expect("the typefaces are built in");
}

fn printed(set: &SheetSet) -> String {
    let laid = FONTS.with(|fonts| lay_sheets(set, None, fonts, &mut Diags::new()));
    format!("{:?}", laid.map(|(document, _)| document))
}

/// The demonstration's final job with all that can be changed in it.
struct Base {
    files: Sources,
    seen: Seen,
    printed: String,
    changes: Vec<(String, Change)>,
}

fn base() -> &'static Base {
    static BASE: OnceLock<Base> = OnceLock::new();
    BASE.get_or_init(|| {
        let files = Job::last().files().clone();
        let (seen, set) = seen(&files);
        let mut changes = Vec::new();
        for (name, text) in &files.0 {
            let of = self::changes(name, text).into_iter();
            changes.extend(of.map(|change| (name.to_string(), change)));
        }
        let printed = printed(&set.expect("the demonstration's sheets"));
        Base { files, seen, printed, changes }
    })
}

/// What is typed for no eye but that of whoever keeps the file, each with its
/// reason.
const UNSEEN: &[(&str, &str, &str)] =
    &[("readings", "printed", "written by the program, read where a sheet's number is another")];

/// Whether a change is seen anywhere.
fn shows(base: &Base, name: &str, change: &Change) -> bool {
    let (seen, set) = seen(&with(&base.files, name, change));
    seen != base.seen || set.is_none_or(|set| printed(&set) != base.printed)
}

fn silent(base: &Base, name: &str, change: &Change) -> bool {
    let excepted = UNSEEN.iter().any(|(file, key, _)| {
        name.starts_with(file) && change.path.rsplit(", ").next() == Some(*key)
    });
    !excepted && !shows(base, name, change)
}

/// All of them, or with `STRIDE=50` one in fifty, by hand: `cargo test
/// every_change_of_the_demonstration -- --ignored`.
#[test]
#[ignore = "an hour for all; what is typed in limits is held by edition.rs in every run"]
fn every_change_of_the_demonstration() {
    let base = base();
    let stride = std::env::var("STRIDE").ok().and_then(|n| n.parse().ok()).unwrap_or(1);
    let silent: Vec<String> = base
        .changes
        .iter()
        .step_by(stride)
        .filter(|(name, change)| silent(base, name, change))
        .map(|(name, change)| format!("{name}: {change:?}"))
        .collect();
    assert!(silent.is_empty(), "{} silent:\n{}", silent.len(), silent.join("\n"));
}
