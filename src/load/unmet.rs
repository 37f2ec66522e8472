//! Names in forms and in the engine's table of work that this engine and its
//! limits do not have. Forms serve many engines and tables are copied, so such
//! a name is no fault; one that is nearly a known name is told.

use super::suggest::slip_of;
use crate::diag::Diags;
use crate::model::engine::{Engine, Reopens};
use crate::model::form::{Content, Form, FormSet};
use crate::model::limits::Limits;
use crate::model::text::Text;

/// What can be named.
struct Known<'a> {
    parts: Vec<&'a str>,
    places: Vec<&'a str>,
    conditions: Vec<&'a str>,
    lines: Vec<&'a str>,
    blocks: Vec<&'a str>,
}

/// Notes every name that is not there and is nearly one that is.
pub fn notes(engine: &Engine, limits: &Limits, forms: &FormSet, out: &mut Diags) {
    let blocks = forms.forms.iter().flat_map(|form| &form.blocks);
    let known = Known {
        parts: engine.parts.iter().map(|part| part.id.as_str()).collect(),
        places: engine.places.iter().map(|set| set.id.as_str()).collect(),
        conditions: engine.conditions.iter().map(|condition| condition.id.as_str()).collect(),
        lines: limits.lines.iter().map(|line| line.reference.as_str()).collect(),
        blocks: blocks.filter_map(|block| block.id.as_ref().map(Text::as_str)).collect(),
    };
    for rework in &engine.reworks {
        for what in &rework.reopens {
            let then = format!("{} does not reopen it", rework.id);
            match what {
                Reopens::Line(line) => unmet("line", line, &known.lines, &then, out),
                Reopens::Block(block) => unmet("block", block, &known.blocks, &then, out),
                Reopens::Feature(_) => {}
            }
        }
    }
    forms.forms.iter().for_each(|form| known.form(form, out));
}

impl Known<'_> {
    fn form(&self, form: &Form, out: &mut Diags) {
        let part =
            |name: &Text, then: &str, out: &mut Diags| unmet("part", name, &self.parts, then, out);
        if let Some(name) = &form.part {
            part(name, &format!("sheet {} is left out", form.letter), out);
        }
        for block in &form.blocks {
            block.part.iter().for_each(|name| part(name, "the block is left out", out));
            for name in block.speaks_of() {
                part(name, "a change of it does not reopen these items", out);
            }
            let places = match &block.content {
                Content::LookOver { at, .. }
                | Content::Steps { at, .. }
                | Content::Write { at, .. } => at.as_ref(),
                Content::Condition { id } => {
                    unmet("condition", id, &self.conditions, "its steps are left out", out);
                    None
                }
                Content::Measure { lines, .. } => {
                    let gone = "it is left out";
                    lines.iter().for_each(|line| unmet("line", line, &self.lines, gone, out));
                    None
                }
                Content::Renew { parts, .. } => {
                    let gone = "it is not in the list";
                    parts.iter().flatten().for_each(|name| part(name, gone, out));
                    None
                }
                Content::Rest { .. }
                | Content::Table(_)
                | Content::Caution { .. }
                | Content::Note { .. } => None,
            };
            if let Some(at) = places {
                unmet("set of places", at, &self.places, "the block is left out", out);
            }
        }
    }
}

fn unmet(what: &str, name: &Text, known: &[&str], then: &str, out: &mut Diags) {
    if known.contains(&name.as_str()) {
        return;
    }
    if let Some(near) = slip_of(name.as_str(), known.iter().copied()) {
        let message = format!("there is no {what} {name}: {then}");
        out.note(&name.at, message, format!("did you mean {near}"));
    }
}
