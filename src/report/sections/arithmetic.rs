//! The arithmetic of every row, worked, so that anybody can follow it.

use super::input::{ReportInput, words};
use crate::judge::{Measure, SideReadings};
use crate::record::{RowHistory, Step};
use crate::report::types::{Cell, Piece};

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut rows = Vec::new();
    for (at, row) in told.rows() {
        let Some(step) = row.last().filter(|step| !step.verdict.steps.is_empty()) else { continue };
        let mut worked = further_readings(told, (at, row));
        worked.extend(step.verdict.steps.iter().cloned());
        rows.push(vec![Cell::bold(&row.code), Cell::plain(worked.join("; "))]);
    }
    if rows.is_empty() {
        return vec![Piece::Paragraph("Nothing has been measured.".to_owned())];
    }
    vec![Piece::Table { columns: vec![words("row", 8), words("worked", 112)], rows }]
}

/// Every reading of a fit's part where its row, which shows the largest and
/// the smallest that govern, leaves some out: an oval skirt, a barrel at three
/// heights.
fn further_readings(told: &ReportInput, (at, row): RowHistory) -> Vec<String> {
    if told.case.limits.lines[at.line.line].fit().is_none() {
        return Vec::new();
    }
    let steps = row.steps.iter().flat_map(|step| step.sides.iter().map(move |side| (step, side)));
    steps
        .filter(|(step, side)| side.fresh && leaves_some_out(step, side))
        .map(|(_, side)| {
            let typed = side.boxes.iter().map(|one| one.as_ref().map_or("-", |typed| &typed.text));
            format!("{} read {}", side.key, typed.collect::<Vec<_>>().join(" "))
        })
        .collect()
}

fn leaves_some_out(step: &Step, side: &SideReadings) -> bool {
    let shown = [Measure::Smallest, Measure::Largest]
        .map(|which| step.verdict.figure(which(side.key.side())));
    side.boxes.iter().flatten().any(|typed| !shown.contains(&Some(typed.value)))
}
