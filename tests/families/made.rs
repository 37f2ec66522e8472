//! A job of a family with invented limits: what `benchleaf new --like` writes,
//! its lines given figures by their kind, and readings inside them.

use crate::cli::Script;
use crate::load::demo::sources;
use benchleaf::diag::{Diags, Severity, Sources};
use benchleaf::judge::proof;
use benchleaf::load;
use benchleaf::model::Case;
use benchleaf::quantity::Exact;
use benchleaf::sheet::{Pages, SheetSet, expand, transcription};
use std::collections::BTreeMap;

/// As they are asked for; two of them radials, one in millimetres.
pub const FAMILIES: [&str; 6] = [
    "flat-twin",
    "flat-four",
    "flat-six --unit mm",
    "in-line-four",
    "radial --cylinders 9",
    "radial --cylinders 14 --rows 2",
];

/// People, gauges and shop, as the filled-in transcriptions name them.
pub const JOB: &str = include_str!("job.toml");

/// A job of a family; the limits may be changed.
pub struct Made {
    pub files: Sources,
    /// What is typed for each line's boxes: shaft and bore, or one figure.
    good: BTreeMap<String, [String; 2]>,
}

impl Made {
    pub fn of(family: &str) -> Made {
        let script = Script::new();
        script.run(&format!("new job --like {family}")).status(0);
        let mut files = sources(&[]);
        files.put("engine.toml", script.read("job/engine.toml"));
        files.put("job.toml", JOB);
        let (limits, good) =
            given(&script.read("job/limits.toml"), &script.read("job/forms/kinds.toml"));
        files.put("limits.toml", limits);
        Made { files, good }
    }

    pub fn limits(&self) -> &str {
        self.files.get("limits.toml").expect("the limits")
    }

    pub fn put_limits(&mut self, text: &str) {
        self.files.put("limits.toml", text);
    }

    #[track_caller]
    pub fn expanded(&self) -> (Case, SheetSet) {
        let mut out = Diags::new();
        let case = load::case(&self.files, &mut out);
        let set = case.as_ref().and_then(|case| expand(case, &mut out));
        case.zip(set).unwrap_or_else(|| panic!("{}", out.render(&self.files, false)))
    }

    /// What keeps its sheets from being printed, and what is said beside it.
    pub fn faults(&self) -> Vec<String> {
        let mut out = Diags::new();
        if let Some(case) = load::case(&self.files, &mut out) {
            let proof = proof(&case.limits, &case.engine);
            let faults = proof.iter().filter(|diag| diag.severity == Severity::Fault);
            faults.for_each(|diag| out.push(diag.clone()));
            expand(&case, &mut out);
        }
        out.iter().map(|diag| diag.message.clone()).collect()
    }

    /// The blank transcription.
    pub fn blank(&self) -> String {
        transcription(&self.expanded().1, &Pages::default())
    }

    /// The figures of a row's boxes, as many as it has.
    pub fn figures(&self, set: &SheetSet, row: &str, key: &str) -> Vec<String> {
        let (turn, at) =
            set.rows().enumerate().find(|(_, at)| at.row.code == row).expect("a row of the sheets");
        let group = at.line.groups.iter().find(|group| group.key.word() == key).expect("its boxes");
        let [first, second] = &self.good[&at.line.reference];
        let figure = if key == "bore" { second } else { first };
        // No two neighbours alike: a copied column would be asked about.
        let places = figure.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let places = u8::try_from(places).expect("few decimals");
        let count = i64::try_from(group.labels.len().max(1)).expect("few boxes");
        let turn = i64::try_from(turn).expect("few rows");
        let own = Exact::read(figure).expect("a figure");
        let nudged = |n: i64| (own + Exact::steps((turn + n) % 2, places)).to_string();
        (0..count).map(nudged).collect()
    }
}

/// The limits with figures, and what is read inside them.
fn given(text: &str, kinds: &str) -> (String, BTreeMap<String, [String; 2]>) {
    let inch = text.contains("\nunit       = \"in\"");
    let (mut out, mut good) = (Vec::new(), BTreeMap::new());
    for (n, block) in text.split("[[line]]\n").enumerate() {
        if n == 0 {
            out.push(block.to_owned());
            continue;
        }
        // A comment over the next line, and the empty line before it.
        let end = block.find("\n\n").map_or(block.len(), |at| at + 1);
        let (own, rest) = block.split_at(end);
        let typed = |key: &str| {
            let line = own.lines().find(|line| line.split_whitespace().next() == Some(key))?;
            Some(line.split('"').nth(1).expect("a text").to_owned())
        };
        let mut given = String::new();
        if own.contains("\nshaft") {
            let (limits, read) = fit(own, inch, n);
            given = limits;
            good.insert(typed("ref").expect("a reference"), read);
        } else if let Some(reference) = typed("ref") {
            let (limits, read) = limits(kinds, typed, inch);
            given = format!("{own}{limits}\n");
            good.insert(reference, read);
        } else {
            // Lines that stand in one row each.
            for row in own.lines() {
                let Some(bare) = row.strip_suffix(" },") else {
                    given += &format!("{row}\n");
                    continue;
                };
                let in_row = |key: &str| {
                    let (_, value) = row.split_once(&format!(" {key} = \""))?;
                    Some(value.split('"').next().expect("a text").to_owned())
                };
                let key = |key: &str| in_row(key).or_else(|| typed(key));
                let (limits, read) = limits(kinds, key, inch);
                given += &format!("{bare}, {} }},\n", limits.replace('\n', ", "));
                good.insert(in_row("ref").expect("a reference"), read);
            }
        }
        out.push(given + rest);
    }
    (out.join("[[line]]\n"), good)
}

/// Limits of a line that is no fit, by its kind or the first kind of its way, and
/// a figure inside them.
fn limits(
    kinds: &str,
    key: impl Fn(&str) -> Option<String>,
    inch: bool,
) -> (&'static str, [String; 2]) {
    let of_way = || {
        let (_, way) = kinds.split_once(&format!("[ways.{}]", key("way")?))?;
        Some(way.split_once("lines = [\"")?.1.split('"').next()?.to_owned())
    };
    match key("kind").or_else(of_way).as_deref() {
        Some("reading") => reading(key("unit").as_deref(), key("resolution"), inch),
        Some("spread") => ("new-max = 7", ["500".to_owned(), String::new()]),
        Some("roundness" | "taper") => {
            let limits = if inch { "new-max = 0.0005" } else { "new-max = 0.010" };
            (limits, [String::new(), String::new()])
        }
        other => panic!("nobody gives limits to {other:?}"),
    }
}

/// Shaft, bore and clearance that agree, about a size of the line's own.
fn fit(own: &str, inch: bool, n: usize) -> (String, [String; 2]) {
    let (places, step) = if inch { (4, 5) } else { (3, 10) };
    let n = i64::try_from(n).expect("few lines");
    let size = if inch { 10_000 + n * 1_370 } else { 25_000 + n * 1_370 };
    let at = |steps: i64| Exact::steps(size + steps * step, places).to_string();
    let loose = |steps: i64| format!("\"{}L\"", Exact::steps(steps * step, places));
    let [shaft, bore] = ["shaft", "bore"].map(|side| format!("\n{side:<5} = {{ feature = \""));
    let side = |text: String, head: &str, limits: String| {
        let from = text.find(head).expect("a side of the fit");
        let to = from + text[from..].find(" }").expect("its end");
        format!("{}, {limits}{}", &text[..to], &text[to..])
    };
    let text =
        side(own.to_owned(), &shaft, format!("new = [{}, {}], wear = {}", at(0), at(2), at(-2)));
    let text = side(text, &bore, format!("new = [{}, {}]", at(4), at(6)));
    let fit = format!("new = [{}, {}], service = {}", loose(2), loose(6), loose(8));
    (format!("{text}fit   = {{ {fit} }}\n"), [at(1), at(5)])
}

fn reading(
    unit: Option<&str>,
    resolution: Option<String>,
    inch: bool,
) -> (&'static str, [String; 2]) {
    let (limits, read) = match (unit, resolution.as_deref()) {
        (Some("lbf" | "N"), Some("0.1")) => ("new = [9.0, 10.0]\nservice-min = 8.5", "9.5"),
        (Some("lbf" | "N"), _) => ("new = [68, 76]\nservice-min = 64", "70"),
        (Some(_), _) => ("new = [12.0, 40.0]", "20.0"),
        (None, _) if inch => ("new = [0.0040, 0.0080]\nservice-max = 0.0120", "0.0050"),
        (None, _) => ("new = [0.100, 0.200]\nservice-max = 0.300", "0.150"),
    };
    (limits, [read.to_owned(), String::new()])
}

/// The limits with one line's figures taken out again.
pub fn without_limits(text: &str, reference: &str) -> String {
    let from = text.find(&format!("\"{reference}\"\n")).expect("the line");
    let to = from + text[from..].find("\n\n").map_or(text.len() - from, |at| at + 1);
    let kept = text[from..to]
        .lines()
        .filter(|line| !["new", "service", "fit"].iter().any(|limit| line.starts_with(limit)));
    let kept: String = kept.map(|line| format!("{line}\n")).collect();
    format!("{}{kept}{}", &text[..from], &text[to..])
}

/// The table of each kind of part, as it is written.
pub fn kinds(files: &Sources) -> BTreeMap<String, String> {
    let text = files.get("forms/kinds.toml").expect("the kinds");
    let (kinds, _) = text.split_once("\n[ways.").expect("the ways of measuring");
    let tables = kinds.split("\n[kinds.").skip(1);
    let table = |table: &str| {
        let (name, keys) = table.split_once(']').expect("its name");
        (name.to_owned(), keys.to_owned())
    };
    tables.map(table).collect()
}
