//! A document may say only `replace`: nothing but a new part serves, whatever a
//! used one measures.

use super::around::around;
use crate::judge::bounds::REPLACE;
use crate::judge::kind::LineKind;
use crate::judge::state::{Beyond, State};
use crate::judge::types::PartState;
use crate::model::limits::Line;
use crate::model::side::{Group, Side};

/// The sides of a line's rows whose part is replaced; where a line has one
/// limit for all of its readings, every side.
pub(crate) fn sides(line: &Line) -> Vec<Option<Side>> {
    match line.fit() {
        Some(fit) => {
            let parts = [(Side::Shaft, fit.shaft.replace), (Side::Bore, fit.bore.replace)];
            parts.into_iter().filter_map(|(side, replace)| replace.then_some(Some(side))).collect()
        }
        None if line.tolerance().is_some_and(|limits| limits.replace) => vec![None],
        None => Vec::new(),
    }
}

/// A kind of line whose used part never serves, on the sides named.
pub(crate) fn replaced<'a>(
    kind: Box<dyn LineKind + 'a>,
    replaced: Vec<Option<Side>>,
) -> Box<dyn LineKind + 'a> {
    around(kind, move |kind, read, cx| {
        let mut verdict = kind.judge(read, cx);
        for side in read {
            let asked = |of: &Option<Side>| of.is_none_or(|of| side.key == of.into());
            if side.is_blank() || side.state == PartState::New || !replaced.iter().any(asked) {
                continue;
            }
            let out = State::Out(vec![Beyond { side: format!("{} not new", side.key), by: None }]);
            let whole = verdict.parts.len() == 1;
            for part in verdict
                .parts
                .iter_mut()
                .filter(|part| whole || part.side.map(Group::from) == Some(side.key))
            {
                part.state = part.state.clone().worse(out.clone());
            }
            verdict.worsen(out);
            verdict.notes.push(format!("{}: {REPLACE}, nothing but a new part serves", side.key));
        }
        verdict
    })
}
