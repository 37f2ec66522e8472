//! Rows near a limit: what was held, the limit beside it, and what is left
//! between them.

use super::input::{ReportInput, words};
use super::readings::figures;
use crate::judge::{Measurand, Measure, State, Verdict};
use crate::quantity::Unit;
use crate::record::{RowHistory, inside};
use crate::report::types::{Cell, Column, Piece};
use crate::sheet::LineRows;

/// One figure beside its limit.
#[derive(Clone, Debug)]
pub struct Near {
    /// `bore 1.3768`; a reading as it stands.
    pub figure: String,
    pub limit: String,
    /// To the limit that the job holds it to.
    pub left: String,
    /// `at limit`, the chance of being inside, or neither.
    pub how: String,
}

impl Near {
    /// With the unit behind both where it is not the document's.
    fn of(held: &Measurand, unit: &str) -> Near {
        let [figure, limit] = held.shown.clone().map(|shown| format!("{shown}{unit}"));
        let figure = match held.name {
            Measure::Reading | Measure::Number => figure,
            name => format!("{name} {figure}"),
        };
        let chance = held.chance.map(inside);
        let chance = chance.or_else(|| held.close.then(|| "close".to_owned()));
        let at = held.at_limit.then(|| "at limit".to_owned());
        let how: Vec<String> = at.into_iter().chain(chance).collect();
        Near {
            figure,
            limit,
            left: held.margin.map(|margin| margin.to_string()).unwrap_or_default(),
            how: how.join(", "),
        }
    }

    fn cells(&self) -> [Cell; 4] {
        [&self.figure, &self.limit, &self.left, &self.how].map(Cell::plain)
    }

    /// `bore 1.3768, limit 1.3770, 0.0002 left, about 90 % likely inside`.
    pub fn in_words(&self) -> String {
        let left = Some(&self.left).filter(|left| !left.is_empty());
        let left = left.map(|left| format!("{left} left"));
        let how = Some(self.how.clone()).filter(|how| !how.is_empty());
        let limit = format!("limit {}", self.limit);
        let all = [Some(self.figure.clone()), Some(limit), left, how];
        all.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// A unit that is not the document's, to stand behind a figure.
fn unit(told: &ReportInput, line: &LineRows) -> String {
    let unit = &told.case.limits.lines[line.line].unit;
    let own =
        *unit == Unit::Length(told.case.limits.document.unit) || *unit == Unit::read("number");
    if own { String::new() } else { format!(" {unit}") }
}

fn is_near(held: &Measurand) -> bool {
    held.at_limit || held.close
}

/// Every figure of a passing row that is at a limit or nearer to one than its
/// uncertainty.
fn near(verdict: &Verdict, unit: &str) -> Vec<Near> {
    let mut all: Vec<Near> = Vec::new();
    let held = verdict.held.iter().filter(|held| is_near(held));
    for near in held.map(|held| Near::of(held, unit)) {
        if !all.iter().any(|other| other.in_words() == near.in_words()) {
            all.push(near);
        }
    }
    all
}

/// Rows at or near a limit that nobody is asked about.
pub fn rows<'a>(
    told: &'a ReportInput,
    of: impl Fn(&State) -> bool + 'a,
) -> impl Iterator<Item = (RowHistory<'a>, Vec<Near>)> + 'a {
    let rows = told.rows().filter(move |(_, row)| row.state.passes() && of(&row.state));
    rows.filter_map(|(at, row)| {
        let near = near(&row.last()?.verdict, &unit(told, at.line));
        (!near.is_empty()).then_some(((at, row), near))
    })
}

fn columns() -> Vec<Column> {
    vec![
        words("row", 6),
        words("what, and where", 46),
        words("figure", 21),
        words("limit", 12),
        words("left", 8),
        words("how near", 29),
    ]
}

fn named(told: &ReportInput, (at, row): RowHistory, near: &[Near]) -> Vec<Vec<Cell>> {
    let line = &told.case.limits.lines[at.line.line];
    let name = at.named(line.name.as_str());
    let each = near.iter().enumerate().map(|(n, near)| {
        // Every line says whose it is: a page may begin with any of them.
        let name = if n == 0 { name.as_str() } else { "" };
        [Cell::bold(&row.code), Cell::plain(name)].into_iter().chain(near.cells()).collect()
    });
    each.collect()
}

/// The appendix: what is inside its new limits and near one of them. Where the
/// first page has no list of what is left within service limits, that too.
pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let served = told.has_section("summary");
    let wanted = move |state: &State| *state == State::New || !served && *state == State::Service;
    let found = rows(told, wanted);
    let rows: Vec<Vec<Cell>> = found.flat_map(|(row, near)| named(told, row, &near)).collect();
    if rows.is_empty() {
        return vec![Piece::Paragraph("None.".to_owned())];
    }
    vec![Piece::Table { columns: columns(), rows }]
}

/// Every row that is left within service limits: its figure nearest to a limit,
/// that limit and what is left, and whatever else is near one.
pub fn left_in_service(told: &ReportInput) -> Option<Piece> {
    let served = told.rows().filter(|(_, row)| row.state == State::Service);
    let rows: Vec<Vec<Cell>> = served
        .flat_map(|(at, row)| {
            let verdict = row.last().map(|step| &step.verdict);
            let unit = unit(told, at.line);
            let nearest = verdict.and_then(|verdict| verdict.held.get(verdict.decisive?));
            let mut all: Vec<Near> =
                nearest.map(|held| Near::of(held, &unit)).into_iter().collect();
            for near in verdict.map(|verdict| near(verdict, &unit)).unwrap_or_default() {
                if !all.iter().any(|other| other.in_words() == near.in_words()) {
                    all.push(near);
                }
            }
            if let Some(step) = row.last().filter(|_| all.is_empty()) {
                // Leaves and marks: nothing is subtracted.
                let (figure, how) = (figures(step), at.line.limits.clone());
                all.push(Near { figure, limit: String::new(), left: String::new(), how });
            }
            named(told, (at, row), &all)
        })
        .collect();
    (!rows.is_empty()).then(|| Piece::Table { columns: columns(), rows })
}
