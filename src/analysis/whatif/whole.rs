//! A spare that serves several places at once, such as a camshaft: it is
//! fitted at all of them or not at all, so each is held against every place.

use super::reopens::{Work, of_part};
use super::shelf::{is_whole, with};
use crate::judge::State;
use crate::model::Case;
use crate::model::id::{FeatureId, PartId};
use crate::model::side::Side;
use crate::model::spare::Spare;
use crate::quantity::Exact;
use crate::record::{Judged, RowHistory};
use crate::sheet::SheetSet;

/// The spares of one part, the best first: the most fits inside, then the
/// greatest sum of margins.
#[derive(Clone, Debug)]
pub struct Whole {
    /// `camshaft`.
    pub part: String,
    /// Codes of its rows that are out now.
    pub out: Vec<String>,
    pub spares: Vec<Fitted>,
    pub works: Vec<Work>,
}

/// One spare at all its places.
#[derive(Clone, Debug)]
pub struct Fitted {
    pub id: String,
    /// How many of the fits would be inside.
    pub inside: usize,
    /// Row, the state with it in, the margin left where it is inside.
    pub places: Vec<(String, String, Option<Exact>)>,
    /// What the list does not say of it: `crankpin`.
    pub not_listed: Vec<String>,
}

impl Fitted {
    fn sum(&self) -> Exact {
        self.places.iter().filter_map(|(_, _, margin)| *margin).sum()
    }
}

/// The whole parts on the shelf of which a row is out.
pub fn whole(case: &Case, set: &SheetSet, judged: &Judged, spares: &[Spare]) -> Vec<Whole> {
    let part_of = |spare: &Spare| case.engine.features[spare.feature].part;
    let whole: Vec<&Spare> = spares.iter().filter(|spare| is_whole(case, spare)).collect();
    let mut parts: Vec<PartId> = whole.iter().map(|spare| part_of(spare)).collect();
    parts.sort_unstable();
    parts.dedup();
    let mut found = Vec::new();
    for part in parts {
        let rows = rows((case, set), judged, part);
        let out: Vec<String> = rows
            .iter()
            .filter(|((_, row), ..)| matches!(row.state, State::Out(_)) && !row.is_accepted())
            .map(|((_, row), ..)| row.code.clone())
            .collect();
        if out.is_empty() {
            continue;
        }
        let mut ids: Vec<&str> = Vec::new();
        for spare in whole.iter().filter(|spare| part_of(spare) == part) {
            if !ids.contains(&spare.id.as_str()) {
                ids.push(spare.id.as_str());
            }
        }
        let own = |id: &str| {
            let own =
                whole.iter().filter(|spare| part_of(spare) == part && spare.id.as_str() == id);
            own.copied().collect::<Vec<&Spare>>()
        };
        let mut fitted: Vec<Fitted> =
            ids.iter().map(|id| fitted(case, &rows, id, &own(id))).collect();
        fitted.sort_by_key(|one| std::cmp::Reverse((one.inside, one.sum())));
        let name = case.engine.parts[part].name.to_string();
        let works = of_part((case, set), part, true, None, None);
        found.push(Whole { part: name, out, spares: fitted, works });
    }
    found
}

/// The fits that a part has a side of: row, side and feature.
fn rows<'a>(
    (case, set): (&Case, &'a SheetSet),
    judged: &'a Judged,
    part: PartId,
) -> Vec<(RowHistory<'a>, Side, FeatureId)> {
    let side = |row: RowHistory<'a>| {
        let fit = case.limits.lines[row.0.line.line].fit()?;
        let own = fit.features().into_iter().find(|(_, n)| case.engine.features[*n].part == part);
        own.map(|(key, feature)| (row, key, feature))
    };
    judged.rows_of(set).filter_map(side).collect()
}

fn fitted(case: &Case, rows: &[(RowHistory, Side, FeatureId)], id: &str, own: &[&Spare]) -> Fitted {
    let mut fitted =
        Fitted { id: id.to_owned(), inside: 0, places: Vec::new(), not_listed: Vec::new() };
    for ((at, row), side, feature) in rows {
        let Some(spare) = own.iter().find(|spare| spare.feature == *feature) else {
            let name = case.engine.features[*feature].name.to_string();
            if !fitted.not_listed.contains(&name) {
                fitted.not_listed.push(name);
            }
            continue;
        };
        // A reading that may be a slip decides nothing.
        if row.state == State::Query {
            let why = "in query: settle its readings first".to_owned();
            fitted.places.push((row.code.clone(), why, None));
            continue;
        }
        let place = at.row.place.map_or(0, |(_, place)| place);
        let Some((state, margin)) = with(case, (*at, row), (*side, spare, place)) else {
            fitted.places.push((row.code.clone(), "mate not measured".to_owned(), None));
            continue;
        };
        fitted.inside += usize::from(state.passes());
        fitted.places.push((row.code.clone(), state.to_string(), margin));
    }
    fitted
}
