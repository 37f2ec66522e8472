//! The fit that two parts' limits give, held against the published one, and
//! which single slip would explain a difference.

use crate::judge::fit_limits::{FitLimits, minus};
use crate::quantity::Exact;

/// How a published fit stands to the one derived from its parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Published {
    Agrees,
    /// Inside the derived fit: parts are picked, selective assembly.
    Narrower,
    /// Beyond the derived fit on one side or both, and on neither inside it.
    Wider,
    /// Beyond it on one side and inside it on the other.
    Offset,
    /// Printed from large to small.
    Reversed,
    /// Parts or fit are not all published: nothing to compare.
    Unknown,
}

/// Compares the published fit with b1 - s2 .. b2 - s1.
pub fn published(limits: &FitLimits) -> Published {
    let (low, high) = (limits.new_least, limits.new_greatest);
    if matches!((low, high), (Some(low), Some(high)) if low > high) {
        return Published::Reversed;
    }
    let (least, greatest) = (derived_least(limits), derived_greatest(limits));
    let ends = [
        low.zip(least).map(|(published, derived)| published.cmp(&derived)),
        high.zip(greatest).map(|(published, derived)| derived.cmp(&published)),
    ];
    let mut known = ends.into_iter().flatten().peekable();
    if known.peek().is_none() {
        return Published::Unknown;
    }
    let (inside, beyond) = known.fold((false, false), |(inside, beyond), end| {
        (inside || end.is_gt(), beyond || end.is_lt())
    });
    match (inside, beyond) {
        (false, false) => Published::Agrees,
        (true, false) => Published::Narrower,
        (false, true) => Published::Wider,
        (true, true) => Published::Offset,
    }
}

pub(super) fn derived_least(limits: &FitLimits) -> Option<Exact> {
    minus(limits.b1, limits.s2)
}

pub(super) fn derived_greatest(limits: &FitLimits) -> Option<Exact> {
    minus(limits.b2, limits.s1)
}

/// The single corrections that would make the published fit agree and look
/// like a slip of the pen: `shaft largest 0.9961 for 0.0061 (one digit)`.
pub(super) fn likely(limits: &FitLimits, show: impl Fn(Exact, bool) -> String) -> Vec<String> {
    let (low, high) = (limits.new_least, limits.new_greatest);
    let (least, greatest) = (derived_least(limits), derived_greatest(limits));
    if let (Some(low), Some(high), Some(least), Some(greatest)) = (low, high, least, greatest)
        && (-high, -low) == (least, greatest)
        && !low.is_zero()
    {
        return vec!["the sign is lost: interference typed as clearance".to_owned()];
    }
    let low_agrees = low.zip(least).is_none_or(|(low, least)| low == least);
    let high_agrees = high.zip(greatest).is_none_or(|(high, greatest)| high == greatest);
    let sum = |a: Option<Exact>, b: Option<Exact>| Some(a? + b?);
    // Each with the limit beside it, which it must be near.
    let candidates = match (low_agrees, high_agrees) {
        (false, true) => vec![
            ("least fit", low, least, None),
            ("shaft largest", limits.s2, minus(limits.b1, low), limits.s1),
            ("bore smallest", limits.b1, sum(limits.s2, low), limits.b2),
        ],
        (true, false) => vec![
            ("greatest fit", high, greatest, None),
            ("shaft smallest", limits.s1, minus(limits.b2, high), limits.s2),
            ("bore largest", limits.b2, sum(limits.s1, high), limits.b1),
        ],
        _ => Vec::new(),
    };
    let slips = candidates.into_iter().filter_map(|(name, typed, right, beside)| {
        let (typed, right) = (typed?, right?);
        let near = |size: Exact| beside.is_none_or(|beside| is_near(size, beside));
        if !near(right) {
            return None;
        }
        // The fit has no limit beside it, and prints with its side.
        let fit = beside.is_none() && name.ends_with("fit");
        let words = format!("{name} {} for {}", show(right, fit), show(typed, fit));
        match slip(typed, right) {
            Some(slip) => Some(format!("{words} ({slip})")),
            None => (!near(typed)).then_some(words),
        }
    });
    slips.collect()
}

/// Within a tenth: the two limits of one part never lie further apart.
fn is_near(size: Exact, beside: Exact) -> bool {
    (size - beside).abs().times(10) < beside.abs()
}

/// How `typed` could have come about from `right`, where a single slip does.
pub(super) fn slip(typed: Exact, right: Exact) -> Option<&'static str> {
    if typed == right {
        return None;
    }
    if typed == -right {
        return Some("the sign is lost");
    }
    if typed.is_negative() != right.is_negative() {
        return None;
    }
    let tens = [10, 100, 1000];
    if tens.iter().any(|ten| typed.times(*ten) == right || right.times(*ten) == typed) {
        return Some("the point slipped");
    }
    let places = usize::from(typed.padded(0).places().max(right.padded(0).places()));
    let typed = digits(typed, places);
    let right = digits(right, places);
    let width = typed.len().max(right.len());
    let (typed, right) = (format!("{typed:0>width$}"), format!("{right:0>width$}"));
    let differ: Vec<usize> = typed
        .bytes()
        .zip(right.bytes())
        .enumerate()
        .filter_map(|(n, (a, b))| (a != b).then_some(n))
        .collect();
    let at = |text: &str, n: usize| text.as_bytes().get(n).copied();
    match differ[..] {
        [_] => Some("one digit"),
        [a, b]
            if b == a + 1 && at(&typed, a) == at(&right, b) && at(&typed, b) == at(&right, a) =>
        {
            Some("two digits exchanged")
        }
        _ => None,
    }
}

/// The digits of a figure without its point, at so many decimals.
fn digits(figure: Exact, places: usize) -> String {
    format!("{:.places$}", figure.abs()).replace('.', "")
}
