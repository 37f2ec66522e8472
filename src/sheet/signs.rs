//! Who signs a sheet, and for what.

use super::types::{SheetBlock, SignBox};
use crate::model::form::Form;

pub fn signs(form: &Form, blocks: &[SheetBlock], second: bool) -> Vec<SignBox> {
    let mut keys: Vec<&str> = Vec::new();
    let mut add = |key| {
        if !keys.contains(&key) {
            keys.push(key);
        }
    };
    for block in blocks {
        match block {
            SheetBlock::Measure(measure) => {
                for group in measure.lines.iter().flat_map(|line| &line.groups) {
                    if group.own {
                        add(sign_key(group.key));
                    }
                }
            }
            SheetBlock::Caution(_) | SheetBlock::Note(_) => {}
            _ => add("work"),
        }
    }
    let holds = |block: &SheetBlock| matches!(block, SheetBlock::Marks(marks) if marks.hold);
    if second || blocks.iter().any(holds) {
        add("check");
    }
    let order = ["work", "shaft", "bore", "read", "check"];
    let said = |key: &str| form.signs.iter().find(|(k, _)| k.as_str() == key);
    order
        .iter()
        .filter(|key| keys.contains(*key))
        .map(|key| SignBox {
            key: (*key).to_owned(),
            caption: said(key).map_or_else(|| caption(key).to_owned(), |(_, c)| c.to_string()),
        })
        .collect()
}

/// The sign-off that a group of boxes belongs to.
pub(crate) fn sign_key(group: &str) -> &'static str {
    match group {
        "shaft" => "shaft",
        "bore" => "bore",
        _ => "read",
    }
}

fn caption(key: &str) -> &'static str {
    match key {
        "shaft" => "Shaft measured by",
        "bore" => "Bore measured by",
        "read" => "Readings taken by",
        "check" => "Checked by",
        _ => "Looked over, done by",
    }
}
