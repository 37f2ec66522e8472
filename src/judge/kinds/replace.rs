//! A document may say only `replace`: nothing but a new part serves, whatever a
//! used one measures.

use super::around::around;
use crate::judge::bounds::REPLACE;
use crate::judge::kind::LineKind;
use crate::judge::mate;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::state::{Beyond, Flag, State};
use crate::judge::types::PartState;
use crate::model::limits::Line;
use crate::model::side::{Group, Side};

/// Whether a line says it of anything, of a grade too.
pub(crate) fn anywhere(line: &Line) -> bool {
    if let Some(fit) = line.fit() {
        let grades = fit.grades.iter().map(Some).chain([None]);
        return grades.flat_map(|grade| fit.replaced(grade)).any(|replaced| replaced);
    }
    let graded = line.size().is_some_and(|size| size.grades.iter().any(|g| g.limits.replace));
    graded || line.tolerance().is_some_and(|limits| limits.replace)
}

/// Whether a part of a row, in the state that it is in, is replaced.
fn is_replaced(line: &Line, side: &SideReadings, read: &[SideReadings]) -> bool {
    if let Some(fit) = line.fit() {
        let state = |of| PartState::of(side_of(read, of));
        let both = mate::replaced(fit, state(Side::Shaft), state(Side::Bore));
        return side.key.side().of(both);
    }
    match line.size() {
        Some(size) => size.replaced(side.state.grade()),
        None => line.tolerance().is_some_and(|limits| limits.replace),
    }
}

/// A kind of line whose used part never serves where the line says so.
pub(crate) fn replaced<'a>(kind: Box<dyn LineKind + 'a>, line: &'a Line) -> Box<dyn LineKind + 'a> {
    around(kind, move |kind, read, cx| {
        let mut verdict = kind.judge(read, cx);
        let mut told: Vec<String> = Vec::new();
        for side in read {
            if side.is_blank() || side.state.is_new() || !is_replaced(line, side, read) {
                continue;
            }
            // Shaft or bore; what has one limit for all its readings is one part.
            let named = Side::FIT.into_iter().find(|named| side.key == Group::from(*named));
            let part = named.map_or_else(|| "part".to_owned(), |side| side.to_string());
            if told.contains(&part) {
                continue;
            }
            let out = State::Out(vec![Beyond { side: format!("{part} not new"), by: None }]);
            let whole = verdict.parts.len() == 1;
            for part in verdict.parts.iter_mut().filter(|part| whole || part.side == named) {
                part.state = part.state.clone().worse(out.clone());
            }
            verdict.worsen(out);
            // Out in either scope.
            verdict.flags.retain(|flag| *flag != Flag::InsideService);
            verdict.notes.push(format!("{part}: {REPLACE}, nothing but a new part serves"));
            told.push(part);
        }
        verdict
    })
}
