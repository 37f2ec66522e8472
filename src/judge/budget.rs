//! Whose uncertainty a figure is held under: that of the readings it rests on.

use super::side::SideReadings;
use super::types::Contribution;
use crate::model::job::Rule;
use crate::quantity::{Exact, Unit, root_sum_square, squared_exceeds};

/// The expanded uncertainties alone.
pub fn expanded(budget: &[Contribution]) -> Vec<Exact> {
    budget.iter().map(|part| part.expanded).collect()
}

fn size(budget: &[Contribution]) -> Exact {
    root_sum_square(&expanded(budget), 7)
}

/// The least certain of several budgets; empty where none states anything.
pub fn least_certain<B: AsRef<[Contribution]>>(budgets: impl Iterator<Item = B>) -> Option<B> {
    budgets.max_by_key(|budget| size(budget.as_ref()))
}

/// Of several figures with the gauges behind each, the budget of the one that
/// is judged: `figure`, the greatest or the least of them.
///
/// Of figures alike the least certain counts. Under guarded acceptance every
/// figure that its own uncertainty does not tell from the extreme counts too:
/// further off than that it cannot miss a limit that the extreme meets, since
/// (m + d)² > m² + d².
pub(super) fn behind<B: AsRef<[Contribution]>>(
    figures: impl Iterator<Item = (Exact, B)>,
    figure: Exact,
    rule: Rule,
) -> Option<B> {
    let counts = |own: Exact, budget: &[Contribution]| {
        let apart = own - figure;
        apart.is_zero() || rule == Rule::Guarded && !squared_exceeds(apart, &expanded(budget))
    };
    let counted = figures.filter(|(own, budget)| counts(*own, budget.as_ref()));
    least_certain(counted.map(|(_, budget)| budget))
}

/// The gauges behind a difference: both readings count, even where one gauge
/// took them (JCGM 100:2008, 5.1.2, equation 10, sensitivities 1 and -1).
pub(super) fn of_difference(one: &[Contribution], other: &[Contribution]) -> Vec<Contribution> {
    [one, other].concat()
}

impl SideReadings {
    /// The gauges behind one box: set 0 is the row's own, the others are those
    /// of the rows that read the same feature.
    pub(super) fn budget_of(&self, set: usize, n: usize) -> &[Contribution] {
        let budgets = match set.checked_sub(1) {
            None => Some(&self.uncertainty),
            Some(other) => self.also.get(other).map(|also| &also.uncertainty),
        };
        budgets.and_then(|budgets| budgets.get(n)).map_or(&[], Vec::as_slice)
    }

    /// Every box that is filled in, here or in another row of the same feature,
    /// with its reading in `unit` and the gauges behind it.
    pub(super) fn budgets(
        &self,
        unit: &Unit,
    ) -> impl Iterator<Item = (usize, Exact, &[Contribution])> {
        let all = std::iter::once(&self.readings).chain(self.also.iter().map(|a| &a.readings));
        all.enumerate().flat_map(move |(set, readings)| {
            let filled = readings.in_unit(unit).into_iter().enumerate();
            filled.filter_map(move |(n, reading)| Some((n, reading?, self.budget_of(set, n))))
        })
    }

    /// The gauges behind the smallest or the largest of the readings that
    /// count.
    pub(super) fn behind(
        &self,
        figure: Option<Exact>,
        unit: &Unit,
        rule: Rule,
        counts: impl Fn(usize) -> bool,
    ) -> &[Contribution] {
        let figures = self.budgets(unit).filter(|(n, ..)| counts(*n));
        let of = |figure| behind(figures.map(|(_, own, budget)| (own, budget)), figure, rule);
        figure.and_then(of).unwrap_or_default()
    }

    /// The gauges of the least certain reading of all that are filled in: what
    /// an average is held under, since a gauge errs alike at each reading.
    pub fn least_certain(&self) -> &[Contribution] {
        let Some(unit) = self.readings.unit() else { return &[] };
        least_certain(self.budgets(unit).map(|(.., budget)| budget)).unwrap_or_default()
    }
}
