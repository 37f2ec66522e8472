//! A judged row in words: its state, what stands beside it, and why it was
//! measured again.

use super::types::{History, Step};
use crate::judge::{Flag, Measure, State, Verdict};
use crate::model::record::Why;
use crate::quantity::Exact;

/// The state with what stands beside it, as printed.
pub fn state_words(row: &History, step: &Step) -> String {
    if let Some(accepted) = row.accepted.as_ref().filter(|_| row.is_accepted()) {
        return format!("{}, {accepted}", row.state);
    }
    let mut words = state_word(&row.state, &step.verdict);
    if let Some(why) = &row.not_applicable {
        words.push_str(&format!(": {why}"));
    }
    for flag in flags(step) {
        words.push_str(&format!(", {flag}"));
    }
    words
}

/// A state as printed: a number that is right is inside no limits, it is correct.
pub fn state_word(state: &State, verdict: &Verdict) -> String {
    match verdict.figure(Measure::Number) {
        Some(_) if *state == State::New => "count correct".to_owned(),
        _ => state.to_string(),
    }
}

/// By how much a row is out where a hold, which is worse, stands in the state's
/// place: out at one end, inside by less than the uncertainty at another.
fn out_on_hold(verdict: &Verdict) -> Option<String> {
    let margin = verdict.margin.filter(|margin| margin.is_negative())?;
    let limit = verdict.against.as_ref().filter(|_| verdict.state == State::Hold)?;
    Some(format!("out by {} at {limit}", -margin))
}

/// The chance of being inside as printed: an uncertainty has no more digits than a
/// whole per cent. A close row's lies between 2 and 98 %, so none is printed as
/// certain.
pub fn inside(chance: Exact) -> String {
    format!("about {} % likely inside", chance.times(100).nearest(0))
}

/// What stands beside a state in words, each once; a close row says its chance
/// of being inside.
pub fn flags(step: &Step) -> Vec<String> {
    let mut words: Vec<String> = out_on_hold(&step.verdict).into_iter().collect();
    for flag in &step.verdict.flags {
        let word = match (flag, step.verdict.chance) {
            (Flag::Close, Some(chance)) => match &step.verdict.close_to {
                Some(limit) => format!("close to {limit}, {}", inside(chance)),
                None => format!("close, {}", inside(chance)),
            },
            _ => flag.to_string(),
        };
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words
}

/// The reason as typed and as printed.
pub fn why_word(why: Why) -> &'static str {
    why.word()
}

/// Why a step came about and what was done: `part changed, new camshaft`.
pub fn said(step: &Step) -> String {
    let why = step.why.map(why_word).unwrap_or_default();
    match step.what.as_str() {
        "" => why.to_owned(),
        what => format!("{why}, {what}"),
    }
}
