//! Where the ends of a window come from, in words.

use super::types::MateWindow;
use crate::judge::mate::SecondStage;
use crate::model::side::Side;
use crate::quantity::{Exact, Window};

#[derive(Clone, Copy, PartialEq, Eq)]
enum Edge {
    Low,
    High,
}

impl Edge {
    fn of(self, window: Window) -> Option<Exact> {
        match self {
            Edge::Low => window.low,
            Edge::High => window.high,
        }
    }
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
    let from = edges
        .into_iter()
        .filter_map(|(word, edge)| told(stage, edge, places).map(|told| format!("{word}: {told}")));
    let own = stage.guard.mate.is_zero() && found == stage.mate_new();
    let from = if own { vec!["its new limits".to_owned()] } else { from.collect() };
    MateWindow { mate, window: words, serves: true, from }
}

/// `reused bore`.
pub fn mate(stage: &SecondStage) -> String {
    format!("{} {}", stage.mate.word(), stage.known.side.mate())
}

fn at_resolution(window: Window, places: u8) -> Window {
    Window::new(window.low.map(|low| low.ceil(places)), window.high.map(|high| high.floor(places)))
}

fn why_none(stage: &SecondStage) -> String {
    let known = stage.known.side;
    let mate = stage.known.side.mate();
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

/// Which of the mate's own limits ends a window.
fn own_words(stage: &SecondStage, edge: Edge) -> String {
    let limits = &stage.limits;
    let mate = stage.known.side.mate();
    let wear = match (mate, edge) {
        (Side::Bore, Edge::High) => limits.bore_wear,
        (Side::Shaft, Edge::Low) => limits.shaft_wear,
        _ => None,
    };
    match edge {
        _ if wear.is_some() && wear == edge.of(stage.mate_alone()) => format!("{mate} wear limit"),
        Edge::Low => format!("least new {mate}"),
        Edge::High => format!("greatest new {mate}"),
    }
}

/// `largest shaft + 0.0010`. Both ends follow from the largest and the smallest
/// reading on record: the lower always from the largest.
fn fit_words(stage: &SecondStage, edge: Edge, size: Exact, places: u8) -> String {
    let part = stage.known.side;
    let (limit, words) = match edge {
        Edge::Low => (size - stage.known.largest, format!("largest {part}")),
        Edge::High => (size - stage.known.smallest, format!("smallest {part}")),
    };
    if limit.is_zero() {
        return words;
    }
    let sign = if limit.is_negative() { "−" } else { "+" };
    format!("{words} {sign} {:.*}", usize::from(places), limit.abs())
}

/// What ends a window, and how far that is drawn in.
fn told(stage: &SecondStage, edge: Edge, places: u8) -> Option<String> {
    let own = edge.of(stage.by_own(stage.guard));
    let governs = |fit: &Exact| match edge {
        Edge::Low => own.is_none_or(|own| *fit >= own),
        Edge::High => own.is_none_or(|own| *fit <= own),
    };
    let fit = edge.of(stage.by_fit(stage.guard)).filter(governs);
    let (words, by) = match (fit, own, stage.known.side, edge) {
        (None, None, ..) => return None,
        (None, ..) => (own_words(stage, edge), stage.guard.mate),
        (Some(size), _, Side::Shaft, Edge::Low) | (Some(size), _, Side::Bore, Edge::High) => {
            (fit_words(stage, edge, size, places), stage.guard.tight)
        }
        (Some(size), ..) => (fit_words(stage, edge, size, places), stage.guard.loose),
    };
    Some(match by.is_zero() {
        true => words,
        false => format!("{words}, drawn in by {by:.*}", usize::from(places)),
    })
}
