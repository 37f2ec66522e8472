//! What a grade's name says of its figures: 0.006 undersize is every new limit
//! 0.006 smaller, on both sides of a fit alike.

use crate::quantity::Exact;

/// The amount and the way that a name tells: `0.006 undersize`, `0.010 over`.
/// `None` where it tells none.
pub(crate) fn shift(name: &str) -> Option<Exact> {
    let lower = name.to_lowercase();
    let amount = lower
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .find(|word| word.contains('.') && word.bytes().any(|b| b.is_ascii_digit()))?;
    let amount = Exact::read(&whole(amount)).ok()?;
    match (lower.contains("under"), lower.contains("over")) {
        (true, false) => Some(-amount),
        (false, true) => Some(amount),
        _ => None,
    }
}

/// `.006` is read as `0.006`.
fn whole(amount: &str) -> String {
    let amount = amount.trim_end_matches('.');
    match amount.strip_prefix('.') {
        Some(places) => format!("0.{places}"),
        None => amount.to_owned(),
    }
}
