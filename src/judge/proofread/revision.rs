//! What differs between two editions of a limits file, in words: every key
//! that either was read by, whatever it is called.

use crate::model::limits::{Limits, Line};
use crate::model::text::TypedKey;

/// Every difference, the document first, then line by line in the newer order.
pub fn revised(old: &Limits, new: &Limits) -> Vec<String> {
    let mut said = Vec::new();
    differences("", &old.typed, &new.typed, &mut said);
    for line in new.typed_lines() {
        let title = format!("{} {}", line.reference, line.name);
        match old.line(line.reference.as_str()).map(|n| &old.lines[n]) {
            None => said.push(format!("{title}: a new line")),
            Some(was) => differences(&format!("{title}: "), &was.typed, &line.typed, &mut said),
        }
    }
    for line in old.typed_lines().filter(|line| new.line(line.reference.as_str()).is_none()) {
        said.push(format!("{} {}: the line is withdrawn", line.reference, line.name));
    }
    let order = |limits: &Limits, other: &Limits| {
        let both = |line: &&Line| other.line(line.reference.as_str()).is_some();
        let lines = limits.typed_lines().filter(both);
        lines.map(|line| line.reference.to_string()).collect::<Vec<_>>()
    };
    if order(old, new) != order(new, old) {
        said.push("the lines stand in another order".to_owned());
    }
    said
}

fn differences(title: &str, old: &[TypedKey], new: &[TypedKey], said: &mut Vec<String>) {
    let of = |all: &[TypedKey], what: &str| {
        all.iter().find(|key| key.what == what).map(|key| key.text.clone())
    };
    let gone = old.iter().filter(|key| of(new, &key.what).is_none());
    for key in new.iter().chain(gone) {
        let what = format!("{title}{}", key.what);
        match (of(old, &key.what), of(new, &key.what)) {
            (was, is) if was == is => {}
            (Some(was), Some(is)) => said.push(format!("{what} was {was}, is {is}")),
            (Some(was), None) => said.push(format!("{what} was {was}, is no longer given")),
            (None, Some(is)) => said.push(format!("{what} was not given, is {is}")),
            (None, None) => {}
        }
    }
}
