//! The code of a second-stage sheet: a digest of what it was printed from.

use super::types::OnRecord;
use crate::judge::PartState;
use crate::judge::mate::Known;
use crate::model::Case;
use crate::model::limits::Line;
use crate::quantity::Exact;
use crate::sheet::number;
use crate::sheet::types::{At, SheetSet};
use std::fmt::Write;

/// Four characters for one row, from its largest and smallest reading, the
/// part's state and grade, the limits' revision, and what decides the line
/// (its limits, its scope, its boxes). `None` for a row that is no fit.
pub fn row_code(case: &Case, set: &SheetSet, record: &OnRecord) -> Option<String> {
    of_row(case, &set.row(&record.code)?, record)
}

pub(super) fn of_row(case: &Case, at: &At, record: &OnRecord) -> Option<String> {
    let line = &case.limits.lines[at.line.line];
    let known = known(line, record)?;
    let (state, grade) = match &record.state {
        PartState::Reused => ("reused", ""),
        PartState::New => ("new", ""),
        PartState::NewTo { grade } => ("new", grade.as_str()),
        PartState::Arrived { grade, reworked: false } => ("arrived", grade.as_str()),
        PartState::Arrived { grade, reworked: true } => ("arrived, reworked", grade.as_str()),
        PartState::Reworked { grade } => ("reworked", grade.as_deref().unwrap_or_default()),
    };
    let digest = at.sheet.1.digests.iter().find(|(key, _)| *key == at.line.reference);
    let document = &case.limits.document;
    let mut text = format!("{}\n{}\n", record.code, record.half);
    let _ = writeln!(text, "{}", known.largest.padded(line.places));
    let _ = writeln!(text, "{}", known.smallest.padded(line.places));
    let _ = writeln!(text, "{state}\n{grade}");
    let _ = writeln!(text, "{}\n{}", document.number, document.revision);
    let _ = writeln!(text, "{}", digest.map(|(_, digest)| digest.as_str()).unwrap_or_default());
    Some(number::short(&text))
}

/// The extremes on record. An average is taken outward.
pub(super) fn known(line: &Line, record: &OnRecord) -> Option<Known> {
    let fit = line.fit()?;
    let readings: Vec<Option<Exact>> = record.readings.iter().copied().map(Some).collect();
    Known::of(record.half, &readings, fit.reduction, line.places, record.state.clone())
}

/// Four characters for a sheet, from those of its rows.
pub fn sheet_code(letter: &str, rows: &[(String, String)]) -> String {
    let mut text = format!("{letter} second\n");
    for (row, code) in rows {
        let _ = writeln!(text, "{row} {code}");
    }
    number::short(&text)
}
