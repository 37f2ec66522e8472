//! What the forms' texts can say: every template, and the names it can use.

use crate::model::Case;
use crate::model::form::Content;
use crate::model::typed::Word;
use crate::wording::Context;
use std::collections::BTreeSet;

/// Every template of the forms, for compiling in one batch.
pub fn texts(case: &Case) -> Vec<&Word> {
    let mut texts: Vec<&Word> = Vec::new();
    for form in &case.forms.forms {
        texts.push(&form.title);
        texts.extend(&form.subtitle);
        for block in &form.blocks {
            match &block.content {
                Content::LookOver { title, items, .. } | Content::Write { title, items, .. } => {
                    texts.push(title);
                    texts.extend(items);
                }
                Content::Steps { title, items, with, .. } => {
                    texts.push(title);
                    texts.extend(items);
                    texts.extend(with);
                }
                Content::Measure { title, note, .. } => {
                    texts.extend(title);
                    texts.extend(note);
                }
                Content::Rest { title } | Content::Renew { title, .. } => texts.push(title),
                Content::Caution { text } | Content::Note { text } => texts.push(text),
                Content::Condition { .. } => {}
            }
        }
    }
    texts
}

/// The names that a form's text can use.
pub fn context(case: &Case) -> Context {
    let (engine, job, document) = (&case.engine, &case.job, &case.limits.document);
    let mut context = Context::new();
    for (name, text) in [
        ("engine.maker", engine.maker.to_string()),
        ("engine.model", engine.model.to_string()),
        ("engine.serial", job.serial.to_string()),
        ("engine.unit", engine.unit.to_string()),
        ("job.work_order", job.work_order.to_string()),
        ("job.hours", job.hours.as_ref().map(Word::to_string).unwrap_or_default()),
        ("job.owner", job.owner.as_ref().map(Word::to_string).unwrap_or_default()),
        ("job.shop", job.shop.name.to_string()),
        ("limits.title", document.title.to_string()),
        ("limits.number", document.number.to_string()),
        ("limits.revision", document.revision.to_string()),
    ] {
        context.put(name, text);
    }
    for part in &engine.parts {
        let id = part.id.as_str().replace('-', "_");
        context.put(format!("count.{id}"), part.count.to_string());
    }
    context
}

pub fn printed_lines(case: &Case) -> BTreeSet<&str> {
    let has = |part: &Option<Word>| {
        part.as_ref().is_none_or(|part| case.engine.part(part.as_str()).is_some())
    };
    let forms = case.forms.forms.iter().filter(|form| has(&form.part));
    let blocks = forms.flat_map(|form| form.blocks.iter().filter(|block| has(&block.part)));
    blocks
        .flat_map(|block| match &block.content {
            Content::Measure { lines, .. } => lines.as_slice(),
            _ => &[],
        })
        .map(Word::as_str)
        .collect()
}
