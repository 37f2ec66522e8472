//! Rows of a line: where it lies, and codes that name one row each.

use super::types::{Row, Sheet};
use crate::diag::{Diag, Diags, Loc, Weight};
use crate::model::Case;
use crate::model::engine::{Engine, Place, PlaceSet};
use crate::model::line::{Kind, Line};
use crate::model::typed::Word;
use std::collections::BTreeMap;

/// The place set of a line; the shaft's and the bore's must be the same.
pub fn places_of(line: &Line, engine: &Engine, out: &mut Diags) -> Option<Option<usize>> {
    let of_feature = |feature: usize| engine.features[feature].at;
    Some(match &line.kind {
        Kind::Fit(fit) => {
            let (shaft, bore) = (of_feature(fit.shaft.feature), of_feature(fit.bore.feature));
            if shaft != bore {
                out.fault(
                    &line.at,
                    format!(
                        "the shaft and the bore of line {} lie at different places",
                        line.reference
                    ),
                    "features that occur at the same places",
                );
                return None;
            }
            shaft
        }
        Kind::Size(size) => of_feature(size.feature),
        Kind::Roundness(round) => of_feature(round.feature),
        Kind::Taper(taper) => of_feature(taper.feature),
        Kind::Reading(reading) => reading.at,
        Kind::Spread(_) => None,
        Kind::Feeler(feeler) => feeler.at,
        Kind::Count(count) => count.at,
        Kind::Recorded(recorded) => recorded.at,
    })
}

pub fn rows(line: &Line, engine: &Engine, places: Option<usize>) -> Vec<Row> {
    let code = |place: &str| format!("{}{place}", line.reference);
    let Some(set) = places else {
        return vec![Row {
            code: code(""),
            place: None,
            name: String::new(),
            reach: None,
        }];
    };
    let PlaceSet { places, .. } = &engine.places[set];
    let row = |(n, place): (usize, &Place)| Row {
        code: code(place.code.as_str()),
        place: Some((set, n)),
        name: place.name.to_string(),
        reach: place.reach.as_ref().map(Word::to_string),
    };
    places.iter().enumerate().map(row).collect()
}

/// A row's code names one row of one sheet.
pub fn codes_are_single(case: &Case, sheets: &[Sheet], out: &mut Diags) {
    let mut seen: BTreeMap<&str, (&str, &Loc)> = BTreeMap::new();
    for sheet in sheets {
        for rows in sheet.lines() {
            let at = &case.limits.lines[rows.line].at;
            for row in &rows.rows {
                if let Some((other, first)) = seen.insert(&row.code, (&sheet.letter, at)) {
                    let wrong = format!(
                        "row {} is printed twice, on sheets {other} and {}",
                        row.code, sheet.letter
                    );
                    out.push(
                        Diag::at(
                            Weight::Fault,
                            at,
                            wrong,
                            "a reference that makes the code its own, named by one form",
                        )
                        .also(first.clone(), "the other line"),
                    );
                }
            }
        }
    }
}
