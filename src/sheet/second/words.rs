//! Where the ends of a window come from, in words.

use super::types::MateWindow;
use crate::judge::PartState;
use crate::judge::window::SecondStage;
use crate::model::side::Side;
use crate::quantity::{Exact, Window};

#[derive(Clone, Copy, PartialEq, Eq)]
enum Edge {
    Low,
    High,
}

/// One end of a window, by each of what can decide it.
struct Ends {
    by_fit: Option<Exact>,
    by_own: Option<Exact>,
    /// `largest shaft + 0.0010`.
    sum: String,
    /// `new bore's least`.
    own: String,
}

/// The window of one kind of mate at the line's resolution.
pub fn window(stage: &SecondStage, places: u8) -> MateWindow {
    let window =
        stage.window().map(|window| at_resolution(window, places)).filter(|w| !w.is_empty());
    let mate = mate(stage);
    let Some(found) = window else {
        return MateWindow {
            mate,
            window: stage.none_serves().to_owned(),
            serves: false,
            from: vec![why_none(stage)],
        };
    };
    let show = |size: Exact| format!("{size:.*}", usize::from(places));
    let words = match (found.low, found.high) {
        (Some(low), Some(high)) => format!("{} to {}", show(low), show(high)),
        (Some(low), None) => format!("{} or larger", show(low)),
        (None, Some(high)) => format!("{} or smaller", show(high)),
        (None, None) => "no limits".to_owned(),
    };
    let edges = [("from", Edge::Low), ("to", Edge::High)];
    let from = edges.into_iter().filter_map(|(word, edge)| {
        told(stage, &ends(stage, edge, places), edge, places).map(|told| format!("{word}: {told}"))
    });
    let own = stage.guard.mate.is_zero() && found == new_limits(stage);
    let from = if own { vec!["its new limits".to_owned()] } else { from.collect() };
    MateWindow { mate, window: words, serves: true, from }
}

/// What the mate is made to.
fn new_limits(stage: &SecondStage) -> Window {
    stage.basis.own_new(stage.known.half.mate())
}

/// `reused bore`.
pub fn mate(stage: &SecondStage) -> String {
    let part = stage.known.half.mate();
    match &stage.mate {
        PartState::Reused | PartState::Arrived { reworked: false, .. } => format!("reused {part}"),
        PartState::New => format!("new {part}"),
        PartState::Reworked { .. } | PartState::Arrived { .. } => format!("reworked {part}"),
    }
}

fn at_resolution(window: Window, places: u8) -> Window {
    Window::new(window.low.map(|low| low.ceil(places)), window.high.map(|high| high.floor(places)))
}

fn why_none(stage: &SecondStage) -> String {
    let known = stage.known.half;
    let mate = stage.known.half.mate();
    if stage.known_must_be_new() {
        return format!("the {known} is to be replaced: nothing but a new one serves");
    }
    if stage.mate_must_be_new() {
        return "to be replaced: nothing but a new one serves".to_owned();
    }
    if !stage.known_serves() {
        return format!("the {known} is beyond its own limits");
    }
    match stage.mate.meets_new() {
        true => format!("what the fit allows lies outside a new {mate}'s limits"),
        false => format!("no size holds the fit at both ends of this {known}"),
    }
}

/// Both ends follow from the largest and the smallest reading on record: the
/// lower always from the largest.
fn ends(stage: &SecondStage, edge: Edge, places: u8) -> Ends {
    let (known, fit, own) = (&stage.known, stage.fit(), stage.mate_alone());
    let part = known.half;
    let (base, word) = match edge {
        Edge::Low => (known.largest, format!("largest {part}")),
        Edge::High => (known.smallest, format!("smallest {part}")),
    };
    let limit = match (known.half, edge) {
        (Side::Bore, Edge::Low) => fit.high.map(|high| -high),
        (Side::Bore, Edge::High) => fit.low.map(|low| -low),
        (_, Edge::Low) => fit.low,
        (_, Edge::High) => fit.high,
    };
    let inward = |by: Exact| if edge == Edge::Low { by } else { -by };
    let limit = limit.map(|limit| limit + inward(of_fit(stage, edge)));
    let by_own = if edge == Edge::Low { own.low } else { own.high };
    let sum = match limit {
        Some(limit) if limit.is_zero() => word,
        Some(limit) => {
            let sign = if limit.is_negative() { "−" } else { "+" };
            format!("{word} {sign} {:.*}", usize::from(places), limit.abs())
        }
        None => String::new(),
    };
    Ends {
        by_fit: limit.map(|limit| base + limit),
        by_own: by_own.map(|size| size + inward(stage.guard.mate)),
        sum,
        own: own_words(stage, edge, by_own),
    }
}

/// How far the end of the fit that ends a window is drawn in.
fn of_fit(stage: &SecondStage, edge: Edge) -> Exact {
    match (stage.known.half, edge) {
        (Side::Shaft, Edge::Low) | (Side::Bore, Edge::High) => stage.guard.tight,
        _ => stage.guard.loose,
    }
}

/// Which of the mate's own limits ends a window.
fn own_words(stage: &SecondStage, edge: Edge, limit: Option<Exact>) -> String {
    let basis = &stage.basis;
    let mate = stage.known.half.mate();
    let wear = match (mate, edge) {
        (Side::Bore, Edge::High) => basis.bore_wear,
        (Side::Shaft, Edge::Low) => basis.shaft_wear,
        _ => None,
    };
    match edge {
        _ if wear.is_some() && wear == limit => format!("{mate} wear limit"),
        Edge::Low => format!("least new {mate}"),
        Edge::High => format!("greatest new {mate}"),
    }
}

fn told(stage: &SecondStage, ends: &Ends, edge: Edge, places: u8) -> Option<String> {
    let show = |size: Exact| format!("{size:.*}", usize::from(places));
    let guarded = |by: Exact| match by.is_zero() {
        true => String::new(),
        false => format!(", drawn in by {}", show(by)),
    };
    let fit_governs = match (ends.by_fit, ends.by_own) {
        (None, None) => return None,
        (Some(_), None) => true,
        (None, Some(_)) => false,
        (Some(fit), Some(own)) if edge == Edge::Low => fit >= own,
        (Some(fit), Some(own)) => fit <= own,
    };
    if fit_governs {
        return Some(format!("{}{}", ends.sum, guarded(of_fit(stage, edge))));
    }
    Some(format!("{}{}", ends.own, guarded(stage.guard.mate)))
}
