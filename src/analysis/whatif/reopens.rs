//! What a piece of work would reopen, in words, before it is done.

use crate::model::Case;
use crate::model::engine::{Reopens, Rework};
use crate::model::id::{FeatureId, PartId};
use crate::sheet::{LineRows, Row, Sheet, SheetBlock, SheetSet};

/// Work on a part as the engine file lists it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// `camshaft changed`.
    pub name: String,
    /// `C1 C2 C3 camshaft in crankcase`, `T tappet faces`.
    pub reopens: Vec<String>,
}

/// The reworks of a part: its change, or what else is done to it, that reopen
/// the feature where one is asked for. At one place where the part sits there.
pub fn of_part(
    (case, set): (&Case, &SheetSet),
    part: PartId,
    changed: bool,
    feature: Option<FeatureId>,
    place: Option<(usize, usize)>,
) -> Vec<Work> {
    let reopens = |rework: &&Rework| {
        feature.is_none_or(|feature| {
            rework
                .reopens
                .iter()
                .any(|what| matches!(what, Reopens::Feature(own) if *own == feature))
        })
    };
    let own = case
        .engine
        .reworks
        .iter()
        .filter(|rework| rework.part == part && rework.part_changed == changed);
    let place = case.engine.place_of(part, place);
    if changed && own.clone().next().is_none() {
        let name = format!("{} changed", case.engine.parts[part].name);
        return vec![Work { name, reopens: all_of(case, set, part, place) }];
    }
    own.filter(reopens)
        .map(|rework| Work {
            name: rework.name.to_string(),
            reopens: rework.reopens.iter().flat_map(|what| words(set, what, place)).collect(),
        })
        .collect()
}

/// Everything that names the part: what its change opens where the engine's
/// table does not say less.
fn all_of(case: &Case, set: &SheetSet, part: PartId, place: Option<(usize, usize)>) -> Vec<String> {
    let of = |line: &&LineRows| {
        line.groups.iter().any(|group| case.part_of(line.line, group.feature) == Some(part))
    };
    let lines = set.sheets.iter().flat_map(Sheet::lines).filter(of);
    let mut words: Vec<String> = lines.map(|line| rows_here(line, place)).collect();
    for sheet in &set.sheets {
        for block in &sheet.blocks {
            let own = block.items().iter().any(|item| item.parts.contains(&part));
            if let Some((_, title)) = named(block).filter(|_| own) {
                words.push(format!("sheet {}: {title}", sheet.letter));
            }
        }
    }
    words
}

/// The codes of a line's rows at a place, and its name.
fn rows_here(line: &LineRows, place: Option<(usize, usize)>) -> String {
    let here = |row: &&Row| place.is_none() || row.place.is_none_or(|own| Some(own) == place);
    let codes: Vec<&str> = line.rows.iter().filter(here).map(|row| row.code.as_str()).collect();
    format!("{} {}", codes.join(" "), line.name)
}

fn words(set: &SheetSet, what: &Reopens, place: Option<(usize, usize)>) -> Vec<String> {
    let told = |line: &LineRows| rows_here(line, place);
    let lines = || set.sheets.iter().flat_map(Sheet::lines);
    match what {
        Reopens::Feature(feature) => {
            let of =
                |line: &&LineRows| line.groups.iter().any(|group| group.feature == Some(*feature));
            lines().filter(of).map(told).collect()
        }
        Reopens::Line(reference) => {
            lines().filter(|line| line.reference == reference.as_str()).map(told).collect()
        }
        Reopens::Block(id) => set
            .sheets
            .iter()
            .flat_map(|sheet| sheet.blocks.iter().map(move |block| (sheet, block)))
            .filter_map(|(sheet, block)| {
                let (own, title) = named(block)?;
                (own.as_deref() == Some(id.as_str()))
                    .then(|| format!("sheet {}: {title}", sheet.letter))
            })
            .collect(),
    }
}

/// The name by which work may reopen a block, and its title.
fn named(block: &SheetBlock) -> Option<(&Option<String>, &str)> {
    match block {
        SheetBlock::Marks(marks) => Some((&marks.id, &marks.title)),
        SheetBlock::Table(table) => Some((&table.id, &table.title)),
        SheetBlock::Write { id, title, .. } | SheetBlock::Renew { id, title, .. } => {
            Some((id, title))
        }
        SheetBlock::Measure(_) | SheetBlock::Caution(_) | SheetBlock::Note(_) => None,
    }
}
