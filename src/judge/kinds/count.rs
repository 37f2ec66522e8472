//! A number that must be exact.

use super::boxes;
use crate::judge::bounds::{self, whole_digits};
use crate::judge::kind::LineKind;
use crate::judge::measure::Measure;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::state::{Beyond, State};
use crate::judge::types::{BoxGroup, BoxKind, Context, PrintedLimits, ResultBox, Verdict};
use crate::model::limits::{CountLine, Line};
use crate::model::side::Side;
use crate::quantity::{Exact, Unit};

pub struct CountCheck<'a> {
    pub line: &'a Line,
    pub count: &'a CountLine,
}

impl LineKind for CountCheck<'_> {
    fn groups(&self, _: &Context) -> Vec<BoxGroup> {
        let whole = whole_digits([Exact::whole(self.count.exact.into())], 1);
        let shape = BoxKind::Comb { whole, places: 0, signed: false };
        let mut group = boxes::plain(self.line, &[], shape);
        group.title = "Number".to_owned();
        group.unit = Unit::Named("number".into());
        vec![group]
    }

    fn answers(&self, _: &Context) -> Vec<ResultBox> {
        Vec::new()
    }

    fn limits(&self, _: &Context) -> PrintedLimits {
        PrintedLimits { words: format!("exactly {}", self.count.exact), ..PrintedLimits::default() }
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let number =
            side_of(read, Side::Only).and_then(|side| side.readings.get(0, &self.line.unit));
        let Some(number) = number else {
            let mut verdict = Verdict::of(State::Recorded);
            verdict.part(None, State::Open);
            return verdict;
        };
        let exact = Exact::whole(self.count.exact.into());
        let state = match number == exact {
            true => State::New,
            false => State::Out(vec![Beyond { side: format!("{number}, not {exact}"), by: None }]),
        };
        let mut verdict = Verdict::of(State::Recorded);
        bounds::notes(&mut verdict, self.line, false, cx.rule);
        verdict.show_figure(Measure::Number, number);
        verdict.steps.push(format!("number {number}, exactly {exact}: {state}"));
        verdict.part(None, state);
        verdict
    }
}
