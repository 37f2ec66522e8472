//! Rows of a line: where it lies, and codes that name one row each.

use super::types::{Row, Sheet};
use crate::diag::{Diag, Diags, Severity, Span};
use crate::model::Case;
use crate::model::engine::{Engine, Place, PlaceSet};
use crate::model::limits::Line;
use crate::model::text::Text;
use std::collections::BTreeMap;

/// A row for each place of the line.
pub fn rows(line: &Line, engine: &Engine) -> Vec<Row> {
    let code = |place: &str| format!("{}{place}", line.reference);
    let Some(set) = line.row_places(engine) else {
        return vec![Row { code: code(""), place: None, name: String::new(), reach: None }];
    };
    let PlaceSet { places, .. } = &engine.places[set];
    let row = |(n, place): (usize, &Place)| Row {
        code: code(place.code.as_str()),
        place: Some((set, n)),
        name: place.name.to_string(),
        reach: place.reach.as_ref().map(Text::to_string),
    };
    places.iter().enumerate().filter(|(n, _)| line.holds_at(Some(*n))).map(row).collect()
}

/// A row's code names one row of one sheet.
pub fn codes_are_single(case: &Case, sheets: &[Sheet], out: &mut Diags) {
    let mut seen: BTreeMap<&str, (&str, &Span)> = BTreeMap::new();
    for sheet in sheets {
        for rows in sheet.lines() {
            let at = &case.limits.lines[rows.line].at;
            for row in &rows.rows {
                if let Some((other, first)) = seen.insert(&row.code, (&sheet.letter, at)) {
                    let message = format!(
                        "row {} is printed twice, on sheets {other} and {}",
                        row.code, sheet.letter
                    );
                    out.push(
                        Diag::at(
                            Severity::Fault,
                            at,
                            message,
                            "a reference that makes the code its own, named by one form",
                        )
                        .also(first.clone(), "the other line"),
                    );
                }
            }
        }
    }
}
