//! Two editions of a limits file: one figure, word or key of a file that has
//! every key there is is changed, and `limits --against` must tell it; where it
//! decides how a line is measured or judged, the sheet's number must be another.

use super::effect::{Change, changes};
use benchleaf::diag::{Diags, Sources};
use benchleaf::judge::{proof, revised};
use benchleaf::load::keys::{Kind, Shape};
use benchleaf::load::toml::tree::{self, Node, Value};
use benchleaf::load::{self, LIMITS, LINE};
use benchleaf::model::limits::Limits;
use benchleaf::sheet::expand;
use std::collections::BTreeSet;
use std::sync::OnceLock;

const ENGINE: &str = r#"
[engine]
maker = "Tarnwick Motor Works"
model = "TW1"
unit = "in"
[places.bearing]
codes = ["1", "2"]
names = ["propeller end", "accessory end"]
[places.stud]
codes = ["1", "2"]
names = ["left", "right"]
[parts.camshaft]
[parts.crankcase]
[conditions.bolted]
name = "halves bolted"
steps = ["studs 420 in·lbf"]
[conditions.hung]
name = "engine hung"
steps = ["by its lugs"]
"#;

/// Name, part and kind of each feature, all at the bearings.
const FEATURES: [(&str, &str, &str); 11] = [
    ("journal", "camshaft", "shaft"),
    ("other-journal", "camshaft", "shaft"),
    ("third-journal", "camshaft", "shaft"),
    ("fourth-journal", "camshaft", "shaft"),
    ("fourth-bore", "crankcase", "bore"),
    ("bore", "crankcase", "bore"),
    ("other-bore", "crankcase", "bore"),
    ("third-bore", "crankcase", "bore"),
    ("neck", "camshaft", "shaft"),
    ("other-neck", "camshaft", "shaft"),
    ("third-neck", "camshaft", "shaft"),
];

pub(super) fn engine() -> String {
    let feature = |(name, part, kind): (&str, &str, &str)| {
        format!(
            "[features.{name}]\npart = \"{part}\"\nkind = \"{kind}\"\nat = \"bearing\"\n\
             directions = 2\nplanes = [\"front\", \"middle\", \"rear\"]\n"
        )
    };
    FEATURES.into_iter().map(feature).fold(ENGINE.to_owned(), |text, feature| text + &feature)
}

pub const EVERY: &str = include_str!("every-key.toml");

const FORM: &str = r#"
[sheet]
letter = "C"
title = "All"
order = 10
revision = "1"
[[block]]
lines-of = "journals"
[[block]]
rest = "all lines"
"#;

pub fn small(limits: &str) -> Sources {
    let mut files = Sources::default();
    files.put("engine.toml", engine());
    files.put("limits.toml", limits);
    files.put(
        "job.toml",
        "[job]\nwork-order = \"1\"\nengine-serial = \"1\"\nscope = \"service\"\nsecond-person = \
         false\n[shop]\nname = \"Cold Fen Engine Bench\"\n[people.JA]\nname = \"Judith Ashcombe\"\n\
         role = \"inspector\"\n[feelers]\nleaves = [0.001, 0.002, 0.003, 0.004, 0.005, 0.006]\n",
    );
    files.put("forms/all.toml", FORM);
    files.put("forms/kinds.toml", "revision = \"1\"\n[ways.by-hand]\ntitle = \"By hand\"\n");
    files.put(
        "forms/report.toml",
        "[report]\ntitle = \"Record\"\ndisclaimer = \"a record\"\n[[section]]\nshow = \
         \"exceptions\"\ntitle = \"Exceptions\"\n",
    );
    files
}

/// A limits file read and proof-read with its sheets' numbers; `None` with a
/// message where it is refused.
fn read_limits(text: &str) -> Result<(Limits, Vec<String>), Vec<String>> {
    let files = small(text);
    let mut out = Diags::new();
    let case = load::case(&files, &mut out);
    if let Some(case) = &case {
        out.append(proof(&case.limits, &case.engine));
    }
    let set = case.as_ref().and_then(|case| expand(case, &mut out));
    match (case, set) {
        (Some(case), Some(set)) if out.faults() == 0 => {
            let numbers = set.sheets.iter().map(|sheet| sheet.number.clone()).collect();
            Ok((case.limits, numbers))
        }
        _ => Err(out.plain(&files)),
    }
}

/// What decides nothing in how a line is measured or judged: words for a
/// reader, what is printed beside in another unit, and how somebody's consent
/// is put. Units and resolutions enter the number as they are worked out: every
/// line of the file says its own, which is the document's.
fn only_words(change: &Change) -> bool {
    let key = change.path.rsplit(", ").next().unwrap_or_default();
    let gone = change.to.is_empty();
    change.path.starts_with("document")
        || change.path.contains(", twin")
        || ["name", "page", "published", "group", "way", "note"].contains(&key)
        || key == "agreed" && !gone
        || ["unit", "resolution"].contains(&key) && gone
}

/// A change of the file above that makes another limits file, with the numbers
/// of its sheets. Where there is a message instead, that is a word too.
type Edition = (Change, Limits, Vec<String>);

fn editions() -> &'static (Limits, Vec<String>, Vec<Edition>) {
    static EDITIONS: OnceLock<(Limits, Vec<String>, Vec<Edition>)> = OnceLock::new();
    EDITIONS.get_or_init(|| {
        let (old, numbers) = read_limits(EVERY).unwrap_or_else(|words| panic!("{words:#?}"));
        let edition = |change: Change| {
            let (before, after) = (&EVERY[..change.at.start], &EVERY[change.at.end..]);
            let (new, numbers) = read_limits(&format!("{before}{}{after}", change.to)).ok()?;
            Some((change, new, numbers))
        };
        let all = changes("limits.toml", EVERY).into_iter().filter(|change| !meant(change));
        let all: Vec<_> = all.filter_map(edition).collect();
        assert!(all.len() > 80, "{} changes make another limits file", all.len());
        (old, numbers, all)
    })
}

/// What a line says by its other keys: taken away, it stays what it is.
fn meant(change: &Change) -> bool {
    let kind = change.path.ends_with(", kind") && change.to.is_empty();
    kind && EVERY[change.at.clone()].contains("\"fit\"")
}

/// Nothing differs then: not a word, and not the number of any sheet.
#[test]
fn what_a_line_means_without_saying_it_is_the_same_edition() {
    let (old, numbers, _) = editions();
    let kinds: Vec<Change> = changes("limits.toml", EVERY).into_iter().filter(meant).collect();
    assert_eq!(kinds.len(), EVERY.matches("kind = \"fit\"").count());
    for change in kinds {
        let text = format!("{}{}", &EVERY[..change.at.start], &EVERY[change.at.end..]);
        let (new, anew) = read_limits(&text).expect("a limits file");
        assert_eq!(revised(old, &new), Vec::<String>::new(), "{change:?}");
        assert_eq!(*numbers, anew, "{change:?}");
    }
}

/// Which changes are told by none of the words that `find` gives.
fn not_told(find: impl Fn(&Limits, &Limits) -> Vec<String>) -> Vec<String> {
    let (old, _, editions) = editions();
    let silent = editions.iter().filter(|(_, new, _)| find(old, new).is_empty());
    silent.map(|(change, ..)| format!("{change:?}")).collect()
}

#[test]
fn nothing_revised_in_limits_is_without_a_word() {
    let silent = not_told(revised);
    assert!(silent.is_empty(), "{}", silent.join("\n"));
}

#[test]
fn whatever_decides_a_line_is_in_its_sheets_number() {
    let (_, numbers, editions) = editions();
    let kept = editions.iter().filter(|(change, _, anew)| !only_words(change) && anew == numbers);
    let kept: Vec<String> = kept.map(|(change, ..)| format!("{change:?}")).collect();
    assert!(kept.is_empty(), "{}", kept.join("\n"));
}

/// Planted: any one key taken out of the comparison is found missing.
#[test]
fn a_key_left_out_of_the_comparison_is_seen() {
    let (limits, _) = read_limits(EVERY).unwrap();
    let keys: BTreeSet<&str> =
        limits.lines.iter().flat_map(|line| &line.typed).map(|key| key.what.as_str()).collect();
    assert!(keys.len() > 50, "{keys:?}");
    for left_out in [
        "teeth",
        "planes",
        "reduction",
        "wear amount",
        "each",
        "feature",
        "at",
        "part",
        "when",
        "labels",
        "read with",
        "count",
        "file",
        "revision",
    ] {
        let without = |limits: &Limits| {
            let mut limits = limits.clone();
            limits.typed.retain(|key| !key.what.ends_with(left_out));
            for line in &mut limits.lines {
                line.typed.retain(|key| !key.what.ends_with(left_out));
            }
            limits
        };
        let silent = not_told(|old, new| revised(&without(old), &without(new)));
        assert!(!silent.is_empty(), "{left_out}");
    }
}

/// The file above has every key of the tables that the reader goes by: a key
/// that is added to them is added to it, or this falls.
#[test]
fn every_key_of_a_limits_file_stands_in_it() {
    let mut out = Diags::new();
    let tree = tree::read(&"limits.toml".into(), EVERY, &mut out).expect("a limits file");
    let mut missing = Vec::new();
    let top = tree.root.table().expect("a table");
    let document = &top.get("document").expect("the document").node;
    stands(&LIMITS, "", &[&tree.root], &mut missing);
    assert!(document.table().is_some());
    let Value::List(lines) = &top.get("line").expect("lines").node.value else { panic!("lines") };
    for (kind, shape) in LINE.kinds {
        let is = |node: &&Node| {
            let typed = node.table().and_then(|table| table.get("kind")).map(|entry| &entry.node);
            typed.is_some_and(|node| matches!(&node.value, Value::Text(text) if &**text == *kind))
        };
        let all: Vec<&Node> = lines.iter().filter(is).collect();
        stands(shape, kind, &all, &mut missing);
    }
    let (several, shared) = LINE.several.expect("lines under what they share");
    let blocks: Vec<&Node> = lines
        .iter()
        .filter(|node| node.table().is_some_and(|t| t.get(several).is_some()))
        .collect();
    stands(shared, several, &blocks, &mut missing);
    assert!(missing.is_empty(), "{missing:?}");
}

fn stands(shape: &Shape, path: &str, nodes: &[&Node], missing: &mut Vec<String>) {
    for key in shape.rows() {
        let under = |node: &&Node| node.table()?.get(key.name).map(|entry| entry.node.clone());
        let found: Vec<Node> = nodes.iter().filter_map(under).collect();
        let path = format!("{path} {}", key.name);
        if found.is_empty() {
            missing.push(path);
            continue;
        }
        match key.kind {
            Kind::Table(inner) => stands(inner, &path, &found.iter().collect::<Vec<_>>(), missing),
            Kind::Named(inner) => {
                let each = found.iter().filter_map(Node::table).flat_map(|table| &table.0);
                let each: Vec<&Node> = each.map(|entry| &entry.node).collect();
                stands(inner, &path, &each, missing);
            }
            _ => {}
        }
    }
}
