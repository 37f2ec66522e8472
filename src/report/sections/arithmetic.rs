//! The arithmetic of every row, worked, so that anybody can follow it.

use super::input::{ReportInput, words};
use crate::report::types::{Cell, Piece};

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut rows = Vec::new();
    for (_, row) in told.rows() {
        let Some(step) = row.last().filter(|step| !step.verdict.steps.is_empty()) else { continue };
        rows.push(vec![Cell::bold(&row.code), Cell::plain(step.verdict.steps.join("; "))]);
    }
    if rows.is_empty() {
        return vec![Piece::Paragraph("Nothing has been measured.".to_owned())];
    }
    vec![Piece::Table { columns: vec![words("row", 8), words("worked", 112)], rows }]
}
