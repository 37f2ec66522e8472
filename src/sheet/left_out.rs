//! What forms and the engine's table of work name and this engine or its limits
//! do not have, for the list of what was left out. Blocks and sheets that are
//! left out whole are listed where that is decided.

use crate::model::Case;
use crate::model::engine::Reopens;
use crate::model::form::{Block, Content, Form};
use crate::model::text::Text;

/// Parts that a printed block names beside its items, and parts of its list of
/// renewed ones.
pub fn of_block(case: &Case, form: &Form, block: &Block) -> Vec<String> {
    let renewed = match &block.content {
        Content::Renew { parts: Some(parts), .. } => parts.as_slice(),
        _ => &[],
    };
    let gone = |part: &&Text| case.engine.part(part.as_str()).is_none();
    let all = block.speaks_of().chain(renewed).filter(gone);
    all.map(|part| format!("sheet {}: the engine has no part {part}", form.letter)).collect()
}

/// Lines and blocks that work would reopen.
pub fn of_reworks(case: &Case) -> Vec<String> {
    let blocks = || case.forms.forms.iter().flat_map(|form| &form.blocks);
    let has = |id: &Text| {
        blocks().any(|block| block.id.as_ref().is_some_and(|own| own.as_str() == id.as_str()))
    };
    let mut gone = Vec::new();
    for rework in &case.engine.reworks {
        for what in &rework.reopens {
            match what {
                Reopens::Line(line) if case.limits.line(line.as_str()).is_none() => {
                    gone.push(format!("rework {}: the limits have no line {line}", rework.id));
                }
                Reopens::Block(block) if !has(block) => {
                    gone.push(format!("rework {}: the forms have no block {block}", rework.id));
                }
                _ => {}
            }
        }
    }
    gone
}
