//! Jobs with every kind of block, and their blank transcription taken apart:
//! what it asks for, as it is typed, and as it is written on paper.

use super::drawn::{Drawn, Table};
use super::tape::Tape;
use benchleaf::diag::Sources;

/// Adds what a drawn job has not: every kind of block, hold points, leaves,
/// and boxes that are only recorded.
pub fn widened(job: &mut Drawn, tape: &mut Tape) -> Sources {
    let table = |head: &str, keys: &[&str]| Table {
        head: head.to_owned(),
        keys: keys.iter().map(|key| (*key).to_owned()).collect(),
    };
    job.engine.push(table(
        "[parts.rings]",
        &["name = \"ring sets\"", "count = 4", "renewed = \"always\""],
    ));
    job.engine.push(table(
        "[conditions.bolted]",
        &["name = \"case bolted\"", "steps = [\"nuts\", \"bolts\"]", "with = \"torque wrench\""],
    ));
    let inch = job.engine[0].keys.iter().any(|key| key.contains("\"in\""));
    let (new, worn, leaves) = match inch {
        true => (
            "new = [0.0020, 0.0040]",
            "service-max = 0.0060",
            "[0.0015, 0.002, 0.004, 0.0045, 0.006, 0.0065]",
        ),
        false => {
            ("new = [0.05, 0.10]", "service-max = 0.15", "[0.04, 0.05, 0.10, 0.11, 0.15, 0.16]")
        }
    };
    let teeth = format!("teeth = {}", [2, 9, 31][tape.below(3)]);
    let line = |reference: &str, kind: &str, keys: &[&str]| {
        let head = [reference, "name = \"more\"", kind];
        table("[[line]]", &[&head, keys].concat())
    };
    job.limits.push(line(
        "ref = \"QQF\"",
        "kind = \"feeler\"",
        &["at = \"set-0\"", &teeth, "each = \"tooth\"", new, worn],
    ));
    job.limits.push(line("ref = \"QQR\"", "kind = \"recorded\"", &["labels = [\"A\", \"B\"]"]));
    job.job.insert(1, table("[feelers]", &[&format!("leaves = {leaves}")]));
    let mut blocks = vec![
        table("[[block]]", &["look-over = \"pump\"", "items = [\"cracks\", \"wear\", \"nicks\"]"]),
        table("[[block]]", &["look-over = \"stud\"", "items = [\"bent\"]", "at = \"set-0\""]),
        table("[[block]]", &["steps = \"build\"", "items = [\"nuts\"]", "with = \"wrench\""]),
        table("[[block]]", &["steps = \"first\"", "items = [\"seen\"]", "hold = true"]),
        table(
            "[[block]]",
            &[
                "steps = \"second\"",
                "items = [\"seen\", \"tried\"]",
                "at = \"set-0\"",
                "hold = true",
            ],
        ),
        table("[[block]]", &["condition = \"bolted\""]),
        table("[[block]]", &["write = \"facts\"", "items = [\"hours\", \"marks\"]"]),
        table("[[block]]", &["write = \"at each\"", "items = [\"number\"]", "at = \"set-0\""]),
        table(
            "[[block]]",
            &[
                "table = \"tests\"",
                "heads = [\"report\", \"result\"]",
                "ticks = \"result\"",
                "items = [\"shaft\", \"gear\"]",
            ],
        ),
        table(
            "[[block]]",
            &[
                "table = \"orders\"",
                "heads = [\"number\", \"when\"]",
                "widths = [2, 1]",
                "rows = 2",
                "none = true",
            ],
        ),
        table("[[block]]", &["renew = \"rings\""]),
        table("[[block]]", &["measure = [\"QQF\", \"QQR\"]"]),
    ];
    tape.shuffle(&mut blocks);
    let head = ["letter = \"WW\"", "title = \"Build\"", "order = 500", "revision = \"1\""];
    blocks.insert(0, table("[sheet]", &head));
    job.forms.push(("forms/form-9.toml".to_owned(), blocks));
    job.files()
}

/// For what something is written, and what stands in each of its boxes.
pub type Ink = ((String, String), Vec<Option<String>>);

/// One thing to fill in: a line of the transcription.
#[derive(Clone, Debug)]
pub struct Asked {
    pub sheet: String,
    pub key: String,
    pub line: usize,
    /// As typed where everything is answered.
    pub good: String,
    /// The same with one thing left blank, each in turn.
    pub blanks: Vec<String>,
    /// Blank is an answer: see [`FREE`].
    pub free: Option<&'static str>,
    /// What is written on paper: for what, in which of its boxes.
    pub ink: Vec<Ink>,
}

/// What may stay blank, and why.
const FREE: [(&str, &str); 3] = [
    ("remarks", "a remark is made where there is something to say"),
    ("initials", "who signs for the sheet's work answers for every item without initials"),
    ("part-temp", "taken where the bench is not at 20 degrees"),
];

/// What the program writes and nobody fills in.
const PRINTED: [&str; 4] = ["number", "printed", "pages", "sheet-set"];

fn free(key: &str) -> Option<&'static str> {
    FREE.iter().find(|(free, _)| *free == key).map(|(_, why)| *why)
}

/// A transcription taken apart: everything that it asks for.
pub fn asked(text: &str, job: &Drawn) -> Vec<Asked> {
    let mut all = Vec::new();
    let mut sheet = String::new();
    let mut turn = 0;
    for (line, whole) in text.lines().enumerate() {
        if let Some(letter) = whole.strip_prefix('[') {
            sheet = letter.split(']').next().unwrap().to_owned();
        }
        let Some((key, rest)) = whole.split_once(" = ").filter(|_| !whole.starts_with(['#', '[']))
        else {
            continue;
        };
        if PRINTED.contains(&key) {
            continue;
        }
        let (value, comment) = rest.split_once("  # ").unwrap_or((rest, ""));
        let mut one = Asked {
            sheet: sheet.clone(),
            key: key.to_owned(),
            line,
            good: String::new(),
            blanks: Vec::new(),
            free: free(key),
            ink: Vec::new(),
        };
        let of_sheet = format!("sheet {sheet}");
        let of_item = format!("{sheet} {key}");
        if let Some((row, group)) = key.split_once('.') {
            boxes(&mut one, job, (row, group, value), &mut turn);
        } else if key == "remarks" {
            one.good = "\"well\"".to_owned();
            one.ink.push(((of_sheet, "remarks".to_owned()), vec![Some("well".to_owned())]));
        } else if key == "initials" {
            fields(&mut one, value, |_, _| quoted("RW"));
            // Blank, whoever signs for the work answers for the list.
            one.blanks.clear();
            for ((of, span), _) in &mut one.ink {
                *of = format!("{sheet} {span}");
                *span = "initials".to_owned();
            }
        } else if value.starts_with("{ by") {
            fields(&mut one, value, |name, _| match name {
                "by" if key == "check" || key.starts_with("hold") => quoted("JA"),
                "by" => quoted("RW"),
                "on" => ("2026-03-02".to_owned(), vec!["2026-03-02".to_owned()]),
                "gauge" => quoted("MIC"),
                "zero" => ("\"vv\"".to_owned(), vec!["v".to_owned(); 2]),
                "part-temp" => ("20.0".to_owned(), vec!["20.0".to_owned()]),
                other => panic!("nobody knows the field {other}: {whole}"),
            });
            let named = one.ink.drain(..).collect::<Vec<_>>();
            for ((_, field), written) in named {
                one.ink.push(((of_sheet.clone(), format!("{key} {field}")), written));
            }
        } else if value.starts_with('{') {
            let count = comment.rsplit(", ").next().unwrap().trim_end_matches(" to renew");
            fields(&mut one, value, |name, _| match name {
                "count" => (count.to_owned(), vec![count.to_owned()]),
                _ => quoted("seen"),
            });
            one.ink.iter_mut().for_each(|((of, _), _)| of.clone_from(&of_item));
        } else if value.starts_with('[') {
            let inner = value.trim_matches(['[', ']']);
            let blank: Vec<&str> = inner.split(", ").collect();
            let good = |cell: &&str| if *cell == "\"-\"" { "v" } else { "seen" };
            let cells: Vec<&str> = blank.iter().map(good).collect();
            let joined = |left: Option<usize>| {
                let each = cells.iter().enumerate().map(|(n, cell)| match left == Some(n) {
                    true => blank[n].to_owned(),
                    false => quoted(cell).0,
                });
                format!("[{}]", each.collect::<Vec<_>>().join(", "))
            };
            one.good = joined(None);
            one.blanks = (0..cells.len()).map(|n| joined(Some(n))).collect();
            let written = cells.iter().map(|cell| Some((*cell).to_owned())).collect();
            one.ink.push(((of_item, "cells".to_owned()), written));
        } else if value == "\"\"" {
            one.good = "\"seen\"".to_owned();
            one.blanks = vec!["\"\"".to_owned(), "\"-\"".to_owned()];
            one.ink.push(((of_item, "words".to_owned()), vec![Some("seen".to_owned())]));
        } else {
            one.good = value.replace('-', "v");
            one.blanks = one_blank(&one.good);
            let marks = vec![Some("v".to_owned()); one.blanks.len()];
            one.ink.push(((of_item, "marks".to_owned()), marks));
        }
        all.push(one);
    }
    all
}

fn quoted(text: &str) -> (String, Vec<String>) {
    (format!("\"{text}\""), vec![text.to_owned()])
}

/// A table on one line: every field answered, and each blank in turn; of a
/// table in it each of its own.
fn fields(one: &mut Asked, value: &str, good: impl Fn(&str, &str) -> (String, Vec<String>)) {
    let parts = apart(value);
    let typed: Vec<(String, Vec<String>)> = parts
        .iter()
        .map(|(name, blank)| match blank.starts_with('{') {
            true => (blank.replace("\"\"", &good(name, "").0), Vec::new()),
            false => good(name, blank),
        })
        .collect();
    let joined = |left: Option<usize>, with: &str| {
        let each = parts.iter().zip(&typed).enumerate().map(|(n, ((name, _), (typed, _)))| {
            format!("{name} = {}", if left == Some(n) { with } else { typed })
        });
        format!("{{ {} }}", each.collect::<Vec<_>>().join(", "))
    };
    one.good = joined(None, "");
    for (n, (name, blank)) in parts.iter().enumerate() {
        if blank.starts_with('{') {
            for (inner, _) in apart(blank) {
                let (typed, written) = good(name, "");
                let whole = joined(None, "");
                one.blanks
                    .push(whole.replace(&format!("{inner} = {typed}"), &format!("{inner} = \"\"")));
                let written = written.into_iter().map(Some).collect();
                one.ink.push(((String::new(), format!("{name} {inner}")), written));
            }
            continue;
        }
        match *name {
            "zero" => one.blanks.extend(["\"v-\"", "\"-v\"", "\"\""].map(|z| joined(Some(n), z))),
            name if free(name).is_some() => {}
            _ => one.blanks.push(joined(Some(n), blank)),
        }
        let written = typed[n].1.iter().cloned().map(Some).collect();
        one.ink.push(((String::new(), (*name).to_owned()), written));
    }
}

/// The fields of a table, one that is a table itself in one piece.
fn apart(value: &str) -> Vec<(&str, &str)> {
    let mut rest = value.strip_prefix("{ ").unwrap().strip_suffix(" }").unwrap();
    let mut parts = Vec::new();
    while let Some((name, after)) = rest.split_once(" = ") {
        let end = match after.starts_with('{') {
            true => after.find('}').unwrap() + 1,
            false => after.find(", ").unwrap_or(after.len()),
        };
        parts.push((name, &after[..end]));
        rest = after[end..].trim_start_matches(", ");
    }
    parts
}

/// Every mark blank in turn.
fn one_blank(marks: &str) -> Vec<String> {
    let places = marks.char_indices().filter(|(_, mark)| *mark == 'v').map(|(at, _)| at);
    places.map(|at| format!("{}-{}", &marks[..at], &marks[at + 1..])).collect()
}

fn boxes(one: &mut Asked, job: &Drawn, (row, group, value): (&str, &str, &str), turn: &mut i64) {
    let at = (row.to_owned(), group.to_owned());
    if value != "[]" {
        one.good = value.replace('-', "v");
        one.blanks = one_blank(&one.good);
        one.ink.push((at, vec![Some("v".to_owned()); one.blanks.len()]));
        return;
    }
    let figures: Vec<String> = match job.inside(&at, turn) {
        Some(figures) => figures,
        None => vec!["1.5".to_owned(), "1.6".to_owned()],
    };
    one.good = format!("[{}]", figures.join(", "));
    for n in 0..figures.len() {
        let mut left = figures.clone();
        left[n] = "\"-\"".to_owned();
        one.blanks.push(format!("[{}]", left.join(", ")));
    }
    one.ink.push((at, figures.into_iter().map(Some).collect()));
}

/// The whole transcription, one of its lines otherwise.
pub fn typed(blank: &str, all: &[Asked], other: Option<(usize, &str)>) -> String {
    let mut lines: Vec<String> = blank.lines().map(str::to_owned).collect();
    for one in all {
        let value = other.filter(|(line, _)| *line == one.line).map_or(&*one.good, |(_, v)| v);
        lines[one.line] = format!("{} = {value}", one.key);
    }
    lines.join("\n") + "\n"
}
