//! The size of one feature: the smallest reading against the least limit, the
//! largest against the greatest, shaft or bore alike.

use super::{boxes, part};
use crate::judge::acceptance::{Bounds, Mean, shown};
use crate::judge::bounds::{self, Extremes, REPLACE};
use crate::judge::kind::LineKind;
use crate::judge::measure::Measure;
use crate::judge::ranges;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::state::State;
use crate::judge::types::{BoxGroup, Context, PartState, PrintedLimits, ResultBox, Verdict};
use crate::model::job::Scope;
use crate::model::limits::{Line, Reduction, SizeGrade, SizeLine, Tolerance};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit};

pub struct SizeCheck<'a> {
    pub line: &'a Line,
    pub unit: &'a Unit,
    pub size: &'a SizeLine,
    pub limits: Bounds<'a>,
}

impl LineKind for SizeCheck<'_> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        let whole = bounds::whole_of(&self.limits, 1);
        vec![boxes::of_feature(Side::Only, "Size", self.size.feature, self.line, whole, cx)]
    }

    fn answers(&self, _: &Context) -> Vec<ResultBox> {
        match self.size.reduction {
            Reduction::Worst => Vec::new(),
            Reduction::Average => {
                vec![ResultBox::of_figure("average", bounds::whole_of(&self.limits, 1), self.line)]
            }
        }
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        // A part that is always renewed must meet its new limits.
        let scope = if cx.engine.renews(self.size.feature) { Scope::New } else { cx.scope };
        let cx = &Context { scope, ..*cx };
        let graded = |grade: &SizeGrade| {
            let limits = grade.limits.in_unit(self.unit).unwrap_or_default();
            let last = grade.limits.replace && !self.size.limits.replace;
            let replaced = if last { format!(", {REPLACE}") } else { String::new() };
            (format!("{}{replaced}", grade.name), ranges::of_limits(&limits, scope))
        };
        PrintedLimits {
            graded: self.size.grades.iter().map(graded).collect(),
            ..bounds::printed(self.line, &self.limits, Some(Side::Only.into()), cx)
        }
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let groups = self.groups(cx);
        let labels = groups.first().map_or(&[][..], |group| &group.labels);
        let side = side_of(read, Side::Only);
        let sets = boxes::sets(side, labels.len(), self.unit);
        let blanks = boxes::blanks(labels, &sets[0]);
        let average_of = self.size.reduction == Reduction::Average;
        let present = boxes::together(&sets, average_of, |_| true);
        let ends = [present.iter().min().copied(), present.iter().max().copied()];
        let unit = self.unit;
        let of = |end| side.map_or(&[][..], |s| s.behind(end, unit, cx.rule, |_| true));
        let uncertainty = match average_of {
            false => ends.map(of),
            true => [side.map_or(&[][..], SideReadings::least_certain); 2],
        };
        let mut held = Extremes {
            beyond: ("small", "large"),
            figures: (Measure::Smallest(Side::Only), Measure::Largest(Side::Only)),
            blank: blanks.is_some() || present.is_empty(),
            partial_proves: true,
            least: present.iter().min().copied().map(Mean::one),
            greatest: present.iter().max().copied().map(Mean::one),
            workings: Default::default(),
            uncertainty,
        };
        if self.size.reduction == Reduction::Average {
            average(&mut held, &present, self.line.places);
        }
        let state = PartState::of(side);
        let limits = of_grade(self.size, state).and_then(|limits| limits.in_unit(self.unit));
        let mut verdict = match limits {
            Some(limits) => bounds::judge(self.line, &limits, &held, state, cx),
            None => self.no_grade(state),
        };
        let out = matches!(verdict.state, State::Out(_)) && cx.scope == Scope::Service;
        if out && state.is_new() && cx.engine.renews(self.size.feature) {
            verdict.notes.push(part::renewed("size"));
        }
        verdict.notes.extend(blanks);
        verdict
    }
}

impl SizeCheck<'_> {
    fn no_grade(&self, state: &PartState) -> Verdict {
        let mut verdict = Verdict::of(State::Hold);
        let Some(name) = state.grade() else { return verdict };
        let line = &self.line.reference;
        verdict.notes.push(format!("line {line} has no grade `{name}`: name the limits to use"));
        verdict
    }
}

/// The limits of a part in that state: its grade's where the line has grades;
/// `None` where it has grades and not this one.
pub(crate) fn of_grade<'a>(size: &'a SizeLine, state: &PartState) -> Option<&'a Tolerance> {
    match state.grade() {
        Some(name) if !size.grades.is_empty() => {
            let mut grades = size.grades.iter();
            grades.find(|grade| grade.name.as_str() == name).map(|grade| &grade.limits)
        }
        _ => Some(&size.limits),
    }
}

/// The mean of all boxes stands for both figures; a part of them proves
/// nothing.
fn average(held: &mut Extremes, present: &[Exact], places: u8) {
    held.least = Mean::of(present);
    held.greatest = held.least;
    held.figures = (Measure::Average(Side::Only), Measure::Average(Side::Only));
    held.partial_proves = false;
    let Some(mean) = held.least else { return };
    let readings: Vec<String> = present.iter().map(|r| shown(*r, places, false)).collect();
    let value = shown(mean.shown(places), places, false);
    let working = format!("({}) / {} = {value}", readings.join(" + "), mean.count);
    held.workings = (working.clone(), working);
}
