//! A fit: the loosest end, largest bore less smallest shaft, held against the
//! maximum, and the tightest, smallest bore less largest shaft, against the
//! minimum. Both ends, always.

use super::boxes;
use super::part::{self, Behind, Own};
use crate::judge::acceptance::{
    Acceptance, Bound, Bounds, Ends, Mean, accept, note_inside_service, shown,
};
use crate::judge::bounds::{self, REPLACE, whole_digits, whole_of};
use crate::judge::fit_limits::FitLimits;
use crate::judge::kind::LineKind;
use crate::judge::mate::grade_named;
use crate::judge::measure::Measure;
use crate::judge::remedies::{self, Remedy};
use crate::judge::side::{SideReadings, side_of};
use crate::judge::state::State;
use crate::judge::types::{BoxGroup, Context, PartState, PrintedLimits, Range, ResultBox, Verdict};
use crate::judge::{budget, ranges};
use crate::model::engine::Feature;
use crate::model::job::{Rule, Scope};
use crate::model::limits::{FitLine, Grade, Line, Reduction, SizeLimits};
use crate::model::side::Side;
use crate::model::text::capital;
use crate::quantity::{Exact, Unit};

pub struct FitCheck<'a> {
    pub line: &'a Line,
    pub unit: &'a Unit,
    pub fit: &'a FitLine,
    pub limits: Bounds<'a>,
}

/// One part of the row as it is judged.
struct Measured<'r> {
    side: Side,
    ends: Option<Ends>,
    /// Of every reading of the part, those that do not govern the fit too.
    every: Option<Ends>,
    /// Every box is filled in.
    whole: bool,
    state: PartState,
    behind: Behind<'r>,
    blanks: Option<String>,
    /// The readings that count, for the arithmetic of an average.
    governing: Vec<Exact>,
}

impl LineKind for FitCheck<'_> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        let whole = whole_digits(self.sizes(), 1);
        let group = |side: Side, title| {
            let feature_index = self.part(side).feature;
            let mut group = boxes::of_feature(side, title, feature_index, self.line, whole, cx);
            if let Some(feature) = cx.engine.features.get(feature_index.0) {
                group.governs = (0..feature.boxes()).map(|n| feature.governs(n)).collect();
                let called = feature.called.as_ref().map_or(title, |called| called.as_str());
                group.title = format!("{}: {}", capital(called), feature.name);
                group.called = called.to_lowercase();
            }
            group
        };
        vec![group(Side::Shaft, "Shaft"), group(Side::Bore, "Bore")]
    }

    fn answers(&self, cx: &Context) -> Vec<ResultBox> {
        let whole = whole_of(&self.limits, 0);
        let answer = |label: &str, bound: Bound| ResultBox {
            label: label.to_owned(),
            whole,
            places: self.line.places,
            side: true,
            governs: bound.accepting(self.scope_before(None, cx)).is_some(),
        };
        let limits = &self.limits;
        match self.fit.reduction {
            Reduction::Worst => vec![
                answer("tightest", Bound::least(limits)),
                answer("loosest", Bound::greatest(limits)),
            ],
            Reduction::Average => vec![answer("average fit", Bound::greatest(limits))],
        }
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        let (before, scope) = (self.limits_before(None, cx), self.scope_before(None, cx));
        let parts = Side::FIT.map(|side| ranges::scale(&before, side, scope));
        let clearance = bounds::scale(None, &self.limits, true, scope);
        let graded = |grade: &Grade| {
            let called = Side::FIT.into_iter().zip([&grade.shaft_called, &grade.bore_called]);
            let called = called.filter_map(|(side, called)| Some((side, called.as_ref()?)));
            let mut name = grade.name.to_string();
            name.extend(called.map(|(side, called)| format!(", {side} {called}")));
            let [own, graded] = [None, Some(grade)].map(|grade| self.fit.replaced(grade));
            for (side, own, graded) in Side::FIT.map(|side| (side, side.of(own), side.of(graded))) {
                if graded && !own {
                    name.push_str(&format!(", {side} {REPLACE}"));
                }
            }
            (name, self.ranges_of(Some(grade), cx))
        };
        PrintedLimits {
            scales: parts.into_iter().flatten().chain(clearance).collect(),
            ranges: self.ranges_of(None, cx),
            graded: self.fit.grades.iter().map(graded).collect(),
            words: self.in_words(cx),
        }
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let mut verdict = self.judge_once(read, cx);
        note_inside_service(&mut verdict, cx, |service| self.judge_once(read, service));
        verdict
    }
}

impl<'a> FitCheck<'a> {
    fn in_words(&self, cx: &Context) -> String {
        let mut words = bounds::in_words(self.line, &self.limits, true, cx);
        for side in Side::FIT {
            let part = self.part(side);
            let stated = part.in_unit(self.unit);
            let worn = stated.and_then(|stated| stated.wear.zip(stated.wear_amount));
            if let Some((wear, amount)) = worn {
                let show = |value| shown(value, self.line.places, false);
                let (wear, amount) = (show(wear.value), show(amount.value));
                words.push_str(&format!(", {side} worn by {amount} from new, {wear}"));
            }
            if part.replace {
                words.push_str(&format!(", {side} {REPLACE}"));
            }
        }
        words
    }

    fn fit_limits(&self, scope: Scope, grade: Option<&Grade>) -> Option<FitLimits> {
        FitLimits::of(self.fit, self.unit, scope, grade)
    }

    /// Whether this side's part is renewed whatever it measures.
    fn renewed(&self, side: Side, grade: Option<&Grade>, cx: &Context) -> bool {
        cx.engine.renews(self.part(side).feature) || side.of(self.fit.replaced(grade))
    }

    /// Two parts that are both renewed must meet the new fit.
    fn scope_before(&self, grade: Option<&Grade>, cx: &Context) -> Scope {
        match Side::FIT.iter().all(|side| self.renewed(*side, grade, cx)) {
            true => Scope::New,
            false => cx.scope,
        }
    }

    fn ranges_of(&self, grade: Option<&Grade>, cx: &Context) -> Vec<Range> {
        let (limits, scope) = (self.limits_before(grade, cx), self.scope_before(grade, cx));
        let of = |side| ranges::of_part(&limits, side, scope, self.renewed(side, grade, cx));
        let mut rows = of(Side::Shaft);
        rows.extend(of(Side::Bore));
        rows
    }

    /// The limits that the sheet shows before anything is measured.
    fn limits_before(&self, grade: Option<&Grade>, cx: &Context) -> FitLimits {
        let limits = self.fit_limits(self.scope_before(grade, cx), grade).unwrap_or_default();
        Side::FIT
            .into_iter()
            .fold(limits, |limits, side| limits.renewing(side, self.renewed(side, grade, cx)))
    }

    fn part(&self, side: Side) -> &'a SizeLimits {
        self.fit.part(side)
    }

    /// Every size limit of the line, grades included.
    fn sizes(&self) -> Vec<Exact> {
        let graded = self.fit.grades.iter().flat_map(|grade| [&grade.shaft, &grade.bore]);
        let parts = [&self.fit.shaft, &self.fit.bore].into_iter().chain(graded.flatten());
        let parts = parts.filter_map(|part| part.in_unit(self.unit));
        parts
            .flat_map(|part| [part.new_min, part.new_max, part.wear])
            .flatten()
            .map(|limit| limit.value)
            .collect()
    }

    fn measured<'r>(&self, side: Side, read: &'r [SideReadings], cx: &Context) -> Measured<'r> {
        let of_side = side_of(read, side);
        let feature = cx.engine.features.get(self.part(side).feature.0);
        let count = feature.map_or(0, Feature::boxes);
        let sets = boxes::sets(of_side, count, self.unit);
        let average = self.fit.reduction == Reduction::Average;
        let labels = feature.map(Feature::labels).unwrap_or_default();
        let counts = |n: usize| feature.is_none_or(|feature| feature.governs(n));
        let governing = boxes::together(&sets, average, counts);
        let every = boxes::together(&sets, average, |_| true);
        let blank = of_side.is_none_or(SideReadings::is_blank);
        let blanks = boxes::blanks(&labels, &sets[0]);
        Measured {
            side,
            ends: self.reduced(&governing),
            every: self.reduced(&every),
            whole: count > 0 && blanks.is_none(),
            state: of_side.map(|read| read.state.clone()).unwrap_or_default(),
            behind: self.behind(of_side, (&governing, &every), counts, cx.rule),
            blanks: match blank {
                true => Some(format!("{side} not measured")),
                false => blanks.map(|blanks| format!("{side} {blanks}")),
            },
            governing,
        }
    }

    fn behind<'r>(
        &self,
        side: Option<&'r SideReadings>,
        (governing, every): (&[Exact], &[Exact]),
        counts: impl Fn(usize) -> bool,
        rule: Rule,
    ) -> Behind<'r> {
        let Some(side) = side else { return Behind::default() };
        if self.fit.reduction == Reduction::Average {
            return Behind {
                governing: [side.least_certain(); 2],
                every: [side.least_certain(); 2],
            };
        }
        let unit = self.unit;
        let of = |readings: &[Exact], counts: &dyn Fn(usize) -> bool| {
            [readings.iter().min(), readings.iter().max()]
                .map(|end| side.behind(end.copied(), unit, rule, counts))
        };
        Behind { governing: of(governing, &counts), every: of(every, &|_| true) }
    }

    fn reduced(&self, governing: &[Exact]) -> Option<Ends> {
        match self.fit.reduction {
            Reduction::Worst => Some(Ends {
                smallest: Mean::one(*governing.iter().min()?),
                largest: Mean::one(*governing.iter().max()?),
            }),
            Reduction::Average => {
                let mean = Mean::of(governing)?;
                Some(Ends { smallest: mean, largest: mean })
            }
        }
    }

    fn judge_once(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let shaft = self.measured(Side::Shaft, read, cx);
        let bore = self.measured(Side::Bore, read, cx);
        let mut verdict = Verdict::of(State::Recorded);
        let unstated = [&shaft, &bore].iter().all(|part| part.behind.is_empty());
        bounds::notes(&mut verdict, self.line, unstated, cx.rule);
        if shaft.every.is_none() && bore.every.is_none() {
            verdict.worsen(State::Open);
            return verdict;
        }
        let grade = self.grade_of(&shaft.state, &bore.state, &mut verdict);
        let named = grade.flatten();
        let Some(limits) = grade.and_then(|grade| self.fit_limits(cx.scope, grade)) else {
            verdict.worsen(State::Hold);
            return verdict;
        };
        self.show_figures(&mut verdict, &shaft, &bore);
        self.judge_fit(&mut verdict, &shaft, &bore, cx);
        let fit_decides = shaft.whole && bore.whole;
        for part in [&shaft, &bore] {
            self.judge_part(&mut verdict, part, (fit_decides, named), &limits, cx);
        }
        if let State::Out(beyond) = &verdict.state
            && let (Some(of_shaft), Some(of_bore)) = (&shaft.ends, &bore.ends)
            && fit_decides
        {
            let remedy = Remedy {
                limits: &limits,
                shaft: (of_shaft, shaft.state.meets_new()),
                bore: (of_bore, bore.state.meets_new()),
                renewed: Side::FIT.map(|side| self.renewed(side, named, cx)),
                to_replace: [(Side::Shaft, &shaft), (Side::Bore, &bore)]
                    .map(|(side, part)| side.of(self.fit.replaced(named)) && !part.state.is_new()),
                scope: cx.scope,
                places: self.line.places,
            };
            verdict.remedies = remedies::of_fit(&remedy, beyond);
        }
        verdict
    }

    /// The grade that the row is judged to; `None` and a hold where a part
    /// was reworked to a grade that the limits do not have.
    fn grade_of(
        &self,
        shaft: &PartState,
        bore: &PartState,
        verdict: &mut Verdict,
    ) -> Option<Option<&'a Grade>> {
        let Some((side, name)) = grade_named(shaft, bore) else { return Some(None) };
        let grade = self.fit.grade(side, name);
        if grade.is_none() {
            let line = &self.line.reference;
            verdict
                .notes
                .push(format!("line {line} has no grade `{name}`: name the limits to use"));
        }
        grade.map(Some)
    }

    fn show_figures(&self, verdict: &mut Verdict, shaft: &Measured, bore: &Measured) {
        let places = self.line.places;
        let average = self.fit.reduction == Reduction::Average;
        for part in [shaft, bore] {
            verdict.steps.extend(self.averaging(part).filter(|_| average));
            let Some(ends) = &part.ends else { continue };
            let mut show = |name, mean: Mean| verdict.show_figure(name, mean.shown(places));
            if average {
                show(Measure::Average(part.side), ends.smallest);
            } else {
                show(Measure::Smallest(part.side), ends.smallest);
                show(Measure::Largest(part.side), ends.largest);
            }
        }
        verdict.notes.extend(shaft.blanks.iter().chain(&bore.blanks).cloned());
    }

    /// The sum and the division of one part's average, as a step.
    fn averaging(&self, part: &Measured) -> Option<String> {
        let mean = Mean::of(&part.governing)?;
        let show = |value| shown(value, self.line.places, false);
        let readings: Vec<String> = part.governing.iter().map(|r| show(*r)).collect();
        let value = show(mean.shown(self.line.places));
        let (key, count) = (part.side, mean.count);
        Some(format!("average {key} ({}) / {count} = {value}", readings.join(" + ")))
    }

    fn judge_fit(&self, verdict: &mut Verdict, shaft: &Measured, bore: &Measured, cx: &Context) {
        let (Some(shaft_ends), Some(bore_ends)) = (&shaft.ends, &bore.ends) else {
            verdict.part(None, State::Open);
            return;
        };
        let whole = shaft.whole && bore.whole;
        let average = self.fit.reduction == Reduction::Average;
        if average && !whole {
            verdict.part(None, State::Open);
            return;
        }
        // Two parts that must meet their new limits must meet the new fit.
        let both_new = shaft.state.meets_new() && bore.state.meets_new();
        let scope = if both_new { Scope::New } else { cx.scope };
        let (rule, places) = (cx.rule, self.line.places);
        let bounds = [Bound::greatest(&self.limits), Bound::least(&self.limits)];
        let ends = [
            (Measure::Loosest, "loose", bore_ends.largest, shaft_ends.smallest),
            (Measure::Tightest, "tight", bore_ends.smallest, shaft_ends.largest),
        ];
        let gauges = [
            budget::of_difference(shaft.behind.governing[0], bore.behind.governing[1]),
            budget::of_difference(shaft.behind.governing[1], bore.behind.governing[0]),
        ];
        let mut state = State::Recorded;
        for (((name, side, larger, smaller), bound), uncertainty) in
            ends.into_iter().zip(bounds).zip(&gauges)
        {
            let acceptance = Acceptance { scope, rule, uncertainty, places };
            let mean = larger.less(smaller);
            let value = mean.shown(places);
            verdict.show_figure(name, value);
            let assessment = accept(mean, &bound, &acceptance, side);
            let fit = |value| shown(value, places, true);
            let size = |mean: Mean| shown(mean.shown(places), places, false);
            verdict.steps.push(format!(
                "{name} {} - {} = {}{}",
                size(larger),
                size(smaller),
                fit(value),
                assessment.words(fit),
            ));
            verdict.take(name, &assessment, fit);
            state = state.worse(assessment.state);
        }
        if !whole {
            state = state.worse(State::Open);
        }
        verdict.part(None, state);
    }

    fn judge_part(
        &self,
        verdict: &mut Verdict,
        part: &Measured,
        (fit_decides, grade): (bool, Option<&Grade>),
        limits: &FitLimits,
        cx: &Context,
    ) {
        let own = Own {
            side: part.side,
            state: &part.state,
            every: part.every.as_ref(),
            fit_decides,
            whole: part.whole,
            average: self.fit.reduction == Reduction::Average,
        };
        let acceptance = Acceptance {
            scope: cx.scope,
            rule: cx.rule,
            uncertainty: &[],
            places: self.line.places,
        };
        part::judge(verdict, &own, part.ends.as_ref(), limits, &acceptance, &part.behind);
        let out = verdict.parts.last().is_some_and(|part| matches!(part.state, State::Out(_)));
        let renewed = own.state.is_new() && self.renewed(own.side, grade, cx);
        if out && renewed && cx.scope == Scope::Service {
            verdict.notes.push(part::renewed(own.side));
        }
    }
}
