//! Kinds that hold a least and a greatest figure against four limits: direct
//! readings, sizes, roundness, taper, spreads.

use super::acceptance::{Acceptance, Bound, Bounds, Mean, accept, note_inside_service, shown};
use super::measure::Measure;
use super::ranges;
use super::state::State;
use super::types::{Band, Context, Contribution, Look, PartState, PrintedLimits, Scale, Verdict};
use crate::model::job::{Rule, Scope};
use crate::model::limits::Line;
use crate::model::side::Group;
use crate::quantity::{Exact, Unit};

/// What is printed for the limit that is not there, where nothing but a new part
/// serves.
pub(super) const REPLACE: &str = "service: replace";

/// What one line holds against its four limits. It has no default: a kind says
/// all of it, or the compiler asks.
#[derive(Clone, Debug)]
pub(super) struct Extremes<'a> {
    /// Absent where nothing is written yet.
    pub least: Option<Mean>,
    pub greatest: Option<Mean>,
    /// How the figures came about, one step each; empty where a figure is a
    /// reading as it stands.
    pub workings: (String, String),
    /// The words for beyond the least and the greatest limit.
    pub beyond: (&'static str, &'static str),
    /// Names of the two figures.
    pub figures: (Measure, Measure),
    /// A box that counts is blank: it never passes.
    pub blank: bool,
    /// Whether a figure of some of the boxes is held while others are blank;
    /// not where it proves nothing (an average).
    pub partial_proves: bool,
    /// Of the gauges behind the least figure and behind the greatest.
    pub uncertainty: [&'a [Contribution]; 2],
}

/// The verdict on a least and a greatest figure of a part in that state.
pub(super) fn judge(
    line: &Line,
    limits: &Bounds,
    held: &Extremes,
    state: &PartState,
    cx: &Context,
) -> Verdict {
    let cx = &meeting(state, cx);
    let mut verdict = judge_once(line, limits, held, cx);
    note_inside_service(&mut verdict, cx, |service| judge_once(line, limits, held, service));
    verdict
}

/// A part marked new or reworked to a grade must meet its new limits, on a line
/// of any kind.
pub(super) fn meeting<'a>(state: &PartState, cx: &Context<'a>) -> Context<'a> {
    match state.meets_new() {
        true => Context { scope: Scope::New, ..*cx },
        false => *cx,
    }
}

fn judge_once(line: &Line, limits: &Bounds, held: &Extremes, cx: &Context) -> Verdict {
    let mut verdict = Verdict::of(State::Recorded);
    let none = held.uncertainty.iter().all(|budget| budget.is_empty());
    notes(&mut verdict, line, none, cx.rule);
    let show = |value| shown(value, line.places, false);
    let ends = [
        (held.least, Bound::least(limits), held.beyond.0, held.figures.0, &held.workings.0),
        (held.greatest, Bound::greatest(limits), held.beyond.1, held.figures.1, &held.workings.1),
    ];
    for ((mean, bound, beyond, figure, working), uncertainty) in
        ends.into_iter().zip(held.uncertainty)
    {
        let Some(mean) = mean else { continue };
        let acceptance =
            Acceptance { scope: cx.scope, rule: cx.rule, uncertainty, places: line.places };
        let assessment = accept(mean, &bound, &acceptance, beyond);
        let value = mean.shown(line.places);
        if verdict.figure(figure).is_none() {
            verdict.show_figure(figure, value);
        }
        if held.blank && !held.partial_proves {
            continue;
        }
        let figures = if working.is_empty() { show(value) } else { working.clone() };
        if bound.accepting(cx.scope).is_some() {
            verdict.steps.push(format!("{figure} {figures}{}", assessment.words(show)));
        }
        verdict.take(figure, &assessment, show);
        verdict.worsen(assessment.state);
    }
    if held.blank {
        verdict.worsen(State::Open);
    }
    let state = verdict.state.clone();
    verdict.part(None, state);
    verdict
}

/// What is printed wherever the line is used; `unstated`: no gauge of the row
/// states its uncertainty.
pub(super) fn notes(verdict: &mut Verdict, line: &Line, unstated: bool, rule: Rule) {
    if let Some(agreed) = &line.agreed {
        verdict.notes.push(format!("agreed: {agreed}"));
    }
    if rule == Rule::Guarded && unstated {
        verdict.notes.push("no gauge states its uncertainty: limits not drawn in".to_owned());
    }
}

/// `new 68 to 76 lbf, service from 64 lbf`; one side only is said.
pub(super) fn in_words(line: &Line, limits: &Bounds, fit: bool, cx: &Context) -> String {
    let (least, greatest) = (Bound::least(limits), Bound::greatest(limits));
    let unit = match &line.unit {
        Unit::Length(length) if *length == cx.limits.document.unit => String::new(),
        unit => format!(" {unit}"),
    };
    let show = |value| shown(value, line.places, fit);
    let accepting = (least.accepting(cx.scope), greatest.accepting(cx.scope));
    // Where nothing is held on the other side, a limit says which it is.
    let (min, max) = match accepting {
        (Some(_), None) => (" min", ""),
        (None, Some(_)) => ("", " max"),
        _ => ("", ""),
    };
    let span = |word: &str, low: Option<Exact>, high: Option<Exact>| match (low, high) {
        (Some(low), Some(high)) => Some(format!("{word} {} to {}{unit}", show(low), show(high))),
        (Some(low), None) if min.is_empty() => Some(format!("{word} from {}{unit}", show(low))),
        (Some(low), None) => Some(format!("{word} {}{unit}{min}", show(low))),
        (None, Some(high)) if max.is_empty() => Some(format!("{word} to {}{unit}", show(high))),
        (None, Some(high)) => Some(format!("{word} {}{unit}{max}", show(high))),
        (None, None) => None,
    };
    let mut words: Vec<String> =
        [span("new", least.new, greatest.new), span("service", least.service, greatest.service)]
            .into_iter()
            .flatten()
            .collect();
    if let Some(amount) = &limits.wear_amount {
        words.push(format!("worn by {} from new{unit}", show(amount.value)));
    }
    if limits.replace {
        words.push(REPLACE.to_owned());
    }
    if accepting == (None, None) {
        words.push("no limit: not judged".to_owned());
    }
    words.join(", ")
}

/// The limits as they are printed: a scale over a group of boxes, or over the
/// results, the ranges, the words.
pub(super) fn printed(
    line: &Line,
    limits: &Bounds,
    over: Option<Group>,
    cx: &Context,
) -> PrintedLimits {
    PrintedLimits {
        scales: scale(over, limits, false, cx.scope).into_iter().collect(),
        ranges: ranges::of_limits(limits, cx.scope),
        graded: Vec::new(),
        words: in_words(line, limits, false, cx),
    }
}

/// The bands of four limits, from the least to the greatest figure.
pub(super) fn scale(
    over: Option<Group>,
    limits: &Bounds,
    fits: bool,
    scope: Scope,
) -> Option<Scale> {
    if limits.is_open() {
        return None;
    }
    let (least, greatest) = (Bound::least(limits), Bound::greatest(limits));
    let mut bands = Vec::new();
    let mut band = |from: Option<Exact>, to: Option<Exact>, word: &str, look| {
        if from != to || from.is_none() {
            bands.push(Band { from, to, word: word.to_owned(), look });
        }
    };
    let (low, high) = (least.accepting(scope), greatest.accepting(scope));
    if low.is_some() {
        band(None, low, "out", Look::Hatched);
    }
    // A side with only a service limit is never better than service.
    if least.is_service_only()
        || greatest.is_service_only()
        || (least.new.is_none() && greatest.new.is_none())
    {
        band(low, high, "service", Look::Plain);
    } else {
        let new_low = least.new.max(low);
        let new_high = greatest.new.into_iter().chain(high).min();
        if new_low != low {
            band(low, new_low, "service", Look::Plain);
        }
        band(new_low, new_high, "new", Look::Heavy);
        if new_high != high {
            band(new_high, high, "service", Look::Plain);
        }
    }
    if high.is_some() {
        band(high, None, "out", Look::Hatched);
    }
    Some(Scale { over, bands, fits, note: None })
}

/// Digits before the point of the largest limit; at least `least`.
pub(super) fn whole_of(limits: &Bounds, least: u8) -> u8 {
    whole_digits(limits.all().map(|limit| limit.value), least)
}

/// Digits before the point of the largest of some figures; at least `least`.
pub(super) fn whole_digits(figures: impl IntoIterator<Item = Exact>, least: u8) -> u8 {
    let mut bound = Exact::whole(1);
    let mut digits = 0u8;
    let largest = figures.into_iter().map(Exact::abs).max().unwrap_or(Exact::ZERO);
    while largest >= bound && digits < 7 {
        digits += 1;
        bound = bound.times(10);
    }
    digits.max(least)
}
