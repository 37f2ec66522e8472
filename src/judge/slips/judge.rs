//! What a row's readings are judged to be: by the row itself, and by the rows of
//! roundness and taper that have no boxes and use the same readings.

use crate::judge::check;
use crate::judge::side::SideReadings;
use crate::judge::state::State;
use crate::judge::types::{Context, Verdict};
use crate::model::limits::Line;
use crate::model::side::Group;
use crate::quantity::Readings;

/// Readings as typed brought to 20 °C, as they are judged.
pub type AtTwenty<'a> = &'a dyn Fn(&[SideReadings]) -> Vec<SideReadings>;

/// Judges a row of readings as typed.
pub(super) struct Judge<'a> {
    pub line: &'a Line,
    pub cx: &'a Context<'a>,
    pub at_twenty: AtTwenty<'a>,
}

impl Judge<'_> {
    /// The verdict of the row itself.
    pub fn own(&self, typed: &[SideReadings]) -> Verdict {
        check(self.line).judge(&(self.at_twenty)(typed), self.cx)
    }

    /// That, and the verdict of every row that uses the readings of one side.
    pub fn all(&self, typed: &[SideReadings], key: Group) -> Vec<Verdict> {
        let read = (self.at_twenty)(typed);
        let own = check(self.line).judge(&read, self.cx);
        let side = read.iter().find(|side| side.key == key);
        let borrowed = self.borrowing(key).filter_map(|line| {
            let kind = check(line);
            let key = kind.groups(self.cx).first()?.key;
            let sides = vec![SideReadings { key, ..side?.clone() }];
            Some(kind.judge(&sides, self.cx))
        });
        std::iter::once(own).chain(borrowed).collect()
    }

    /// Lines without boxes of their own on the feature of a side.
    fn borrowing(&self, key: Group) -> impl Iterator<Item = &Line> {
        let feature = match self.line.fit() {
            Some(fit) => Some(fit.part(key.side()).feature),
            None => self.line.feature(),
        };
        let lines = self.cx.limits.lines.iter();
        lines.filter(move |line| {
            let borrows = |f| line.feature() == Some(f) && !line.reads(f);
            feature.is_some_and(borrows) && line.holds_at(self.cx.place)
        })
    }
}

/// A row as it is typed, in the unit of its line and before any correction for
/// temperature.
pub fn as_typed(row: &[SideReadings], line: &Line) -> Vec<SideReadings> {
    let side = |side: &SideReadings| SideReadings {
        key: side.key,
        readings: Readings::new(line.unit.clone(), side.values()),
        state: side.state.clone(),
        uncertainty: side.uncertainty.clone(),
        ..SideReadings::default()
    };
    row.iter().map(side).collect()
}

/// Whether verdicts on the same rows, the readings' own first, say different
/// things of one of them. Two outs are both outs: a slip in one of them hides
/// nothing, and a question would. So a row that is out either way is asked
/// about only for what it would hide of another row.
pub(super) fn differ(typed: &[Verdict], undone: &[Verdict]) -> bool {
    let out = |verdict: &Verdict| matches!(verdict.state, State::Out(_));
    let mut pairs = typed.iter().zip(undone);
    match (typed, undone) {
        ([own, ..], [other, ..]) if out(own) && out(other) => {
            pairs.any(|(typed, undone)| !out(typed) && out(undone))
        }
        _ => pairs.any(|(typed, undone)| differs(typed, undone)),
    }
}

fn differs(one: &Verdict, other: &Verdict) -> bool {
    if matches!((&one.state, &other.state), (State::Out(_), State::Out(_))) {
        return false;
    }
    let words = |verdict: &Verdict| -> Vec<_> {
        verdict.parts.iter().map(|part| (part.side, part.state.word())).collect()
    };
    one.state.word() != other.state.word() || words(one) != words(other)
}
