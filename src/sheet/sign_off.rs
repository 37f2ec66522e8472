//! Who signs a sheet, and for what.

use super::types::{SheetBlock, SignBox};
use crate::judge::{BoxGroup, BoxKind};
use crate::model::Case;
use crate::model::form::{Form, SIGN_KEYS};
use crate::model::limits::{Gauges, Line};
use crate::model::side::Side;
use crate::model::text::capital;

/// As `SIGN_KEYS` has their keys.
const CAPTIONS: [&str; 5] = [
    "Looked over, done by",
    "Shaft measured by",
    "Bore measured by",
    "Readings taken by",
    "Checked by",
];

pub fn signs(case: &Case, form: &Form, blocks: &[SheetBlock]) -> Vec<SignBox> {
    let mut keys: Vec<&str> = Vec::new();
    let mut add = |key| {
        if !keys.contains(&key) {
            keys.push(key);
        }
    };
    for block in blocks {
        match block {
            SheetBlock::Measure(measure) => {
                for group in measure.lines.iter().flat_map(|line| &line.groups) {
                    if group.own {
                        add(group.key.side().word());
                    }
                }
            }
            SheetBlock::Caution(_) | SheetBlock::Note(_) => {}
            _ => add("work"),
        }
    }
    if case.job.second_person {
        add("check");
    }
    let said = |key: &str| form.signs.iter().find(|(k, _)| k.as_str() == key);
    SIGN_KEYS
        .iter()
        .zip(CAPTIONS)
        .filter(|(key, _)| keys.contains(*key))
        .map(|(key, caption)| SignBox {
            key: (*key).to_owned(),
            caption: match said(key) {
                Some((_, caption)) => caption.to_string(),
                None => by_name(case, blocks, key).unwrap_or_else(|| caption.to_owned()),
            },
            gauges: gauged(case, blocks, key),
            lines: lines(case, blocks, key),
            zero: read_off(case, blocks, key),
        })
        .collect()
}

/// `Piston measured by`, where the engine file has one name for all boxes of a
/// side.
fn by_name(case: &Case, blocks: &[SheetBlock], key: &str) -> Option<String> {
    let mut names = under(case, blocks, key).map(|(_, group)| group.called.as_str());
    let name = names.next().filter(|name| *name != key)?;
    let one = Side::FIT.iter().any(|side| side.word() == key) && names.all(|other| other == name);
    one.then(|| format!("{} measured by", capital(name)))
}

/// Work is done with what its block says; leaves are a gauge too.
fn gauged(case: &Case, blocks: &[SheetBlock], key: &str) -> bool {
    let with = |b: &SheetBlock| matches!(b, SheetBlock::Marks(marks) if marks.with.is_some());
    match key {
        "work" => blocks.iter().any(with),
        _ => under(case, blocks, key).any(|(line, _)| !matches!(line.gauges(), Gauges::None)),
    }
}

/// The lines that are read with gauges under a key, where there are several.
fn lines(case: &Case, blocks: &[SheetBlock], key: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (line, _) in under(case, blocks, key) {
        let known = lines.iter().any(|known| known == line.reference.as_str());
        if !known && !matches!(line.gauges(), Gauges::None) {
            lines.push(line.reference.to_string());
        }
    }
    match lines.as_slice() {
        [_, _, ..] => lines,
        _ => Vec::new(),
    }
}

/// Whether anything under this key is read off a gauge that has a zero.
fn read_off(case: &Case, blocks: &[SheetBlock], key: &str) -> bool {
    under(case, blocks, key).any(|(line, group)| needs_gauge(line, group))
}

/// Everything that is read under a key.
fn under<'a>(
    case: &'a Case,
    blocks: &'a [SheetBlock],
    key: &'a str,
) -> impl Iterator<Item = (&'a Line, &'a BoxGroup)> {
    let lines = blocks.iter().flat_map(|block| match block {
        SheetBlock::Measure(measure) => measure.lines.as_slice(),
        _ => &[],
    });
    lines.flat_map(move |rows| {
        let own =
            rows.groups.iter().filter(move |group| group.own && group.key.side().word() == key);
        own.map(|group| (&case.limits.lines[rows.line], group))
    })
}

/// Counts and what is only recorded are read without a gauge; leaves are named
/// where they are used, and nothing is read off them.
pub fn needs_gauge(line: &Line, group: &BoxGroup) -> bool {
    matches!(line.gauges(), Gauges::Needed(_)) && matches!(group.shape, BoxKind::Comb { .. })
}
