//! Spares on the shelf against the places that are out: all of them together,
//! since the best spare for one place may be the only one for another.

use super::reopens::{Work, of_part};
use crate::judge::assignment::pairing;
use crate::judge::mate::fit_limits_for;
use crate::judge::{Measure, PartState, State, Verdict, check, held_in};
use crate::model::Case;
use crate::model::id::FeatureId;
use crate::model::job::Scope;
use crate::model::limits::Line;
use crate::model::side::Side;
use crate::model::spare::Spare;
use crate::quantity::{Exact, Readings, Unit, nearest_inches};
use crate::record::{Judged, RowHistory};
use crate::sheet::{SheetSet, judge_context};

/// The pairing for one feature of one line.
#[derive(Clone, Debug)]
pub struct Shelf {
    /// `tappet body`.
    pub feature: String,
    /// Spares of that feature on the list.
    pub spares: usize,
    pub places: Vec<Paired>,
}

/// A place that is out, with the spare for it.
#[derive(Clone, Debug)]
pub struct Paired {
    pub code: String,
    /// The spare's mark, the verdict's state with it and the margin left.
    pub spare: Option<(String, String, String)>,
    /// How many of the spares would bring this place in by themselves.
    pub would_do: usize,
    pub works: Vec<Work>,
}

/// The state of a row with a spare in it, and the margin where it passes.
type Fitted = (State, Option<Exact>);

/// Decimals in which margins are counted: as many as a reading may have.
const FINE: u8 = 7;

/// Pairs the spares with the places that are out: first as many as can be
/// brought in, then with the greatest sum of margins.
pub fn shelf(case: &Case, set: &SheetSet, judged: &Judged, spares: &[Spare]) -> Vec<Shelf> {
    let mut found = Vec::new();
    for line in case.limits.typed_lines() {
        let Some(fit) = line.fit() else { continue };
        for (side, feature) in fit.features() {
            let single = |spare: &&Spare| spare.feature == feature && !is_whole(case, spare);
            let own: Vec<&Spare> = spares.iter().filter(single).collect();
            let out = |(at, row): &RowHistory| {
                at.line.reference == line.reference.as_str()
                    && matches!(row.state, State::Out(_))
                    && !row.is_accepted()
            };
            let rows: Vec<RowHistory> = judged.rows_of(set).filter(out).collect();
            if !own.is_empty() && !rows.is_empty() {
                found.push(pair((case, set), side, feature, &rows, &own));
            }
        }
    }
    found
}

fn pair(
    whole: (&Case, &SheetSet),
    side: Side,
    feature: FeatureId,
    rows: &[RowHistory],
    spares: &[&Spare],
) -> Shelf {
    let case = whole.0;
    let with = |row| spares.iter().map(|spare| with(case, row, (side, spare, 0))).collect();
    let with: Vec<Vec<Option<Fitted>>> = rows.iter().copied().map(with).collect();
    let margins: Vec<Vec<Option<Exact>>> =
        with.iter().map(|row| row.iter().map(|with| with.as_ref()?.1).collect()).collect();
    let pairs = pairing(&gains(&margins));
    let part = case.engine.features[feature].part;
    let places = rows.iter().enumerate().map(|(n, (at, row))| {
        let paired = pairs[n].filter(|m| margins[n][*m].is_some());
        let spare = paired.and_then(|m| {
            let (state, _) = with[n][m].as_ref()?;
            let margin = margins[n][m].map_or_else(String::new, |margin| margin.to_string());
            Some((spares[m].id.to_string(), state.to_string(), margin))
        });
        Paired {
            code: row.code.clone(),
            spare,
            would_do: margins[n].iter().flatten().count(),
            works: of_part(whole, part, true, Some(feature), at.row.place),
        }
    });
    let feature = case.engine.features[feature].name.to_string();
    Shelf { feature, spares: spares.len(), places: places.collect() }
}

/// What is left to the nearer end of the fit, whatever the parts' own limits
/// leave: a bore near its wear limit has that with any spare.
fn fit_margin(line: &Line, unit: &Unit, scope: Scope, verdict: &Verdict) -> Option<Exact> {
    let limits =
        fit_limits_for((line.fit()?, unit), &PartState::Reused, &PartState::Reused, scope)?;
    let loose =
        limits.greatest.zip(verdict.figure(Measure::Loosest)).map(|(most, loosest)| most - loosest);
    let tight = limits
        .least
        .zip(verdict.figure(Measure::Tightest))
        .map(|(least, tightest)| tightest - least);
    let margin = loose.into_iter().chain(tight).min()?;
    // Of rows held in millimetres too it is told and ranked in the line's unit.
    if *unit == line.unit { Some(margin) } else { Some(nearest_inches(margin, FINE)?.padded(0)) }
}

/// One fit inside is worth more than all margins together.
fn gains(margins: &[Vec<Option<Exact>>]) -> Vec<Vec<i64>> {
    let steps = |margin: &Option<Exact>| {
        margin.map(|margin| margin.in_steps(FINE).unwrap_or_default().max(0))
    };
    let margins: Vec<Vec<Option<i64>>> =
        margins.iter().map(|row| row.iter().map(steps).collect()).collect();
    let greatest = margins.iter().flatten().flatten().copied().max().unwrap_or_default();
    let inside = (greatest + 1).saturating_mul(i64::try_from(margins.len()).unwrap_or(i64::MAX));
    let gain = |margin: &Option<i64>| margin.map_or(0, |margin| inside.saturating_add(margin));
    margins.iter().map(|row| row.iter().map(gain).collect()).collect()
}

/// One part that serves all the places of its feature.
pub fn is_whole(case: &Case, spare: &Spare) -> bool {
    let feature = &case.engine.features[spare.feature];
    feature.at.is_some() && case.engine.parts[feature.part].at.is_none()
}

/// How a row stands with a spare in it. `None` where its mate is not measured.
pub fn with(
    case: &Case,
    (at, row): RowHistory,
    (of, spare, set): (Side, &Spare, usize),
) -> Option<Fitted> {
    let line = &case.limits.lines[at.line.line];
    let mut read = row.last()?.sides.clone();
    let side = read.iter_mut().find(|side| side.key == of.into())?;
    // Its gauges are those of the readings that it replaces.
    let figures = spare.read.get(set)?;
    let unit = line.unit.common(figures.unit()?)?;
    *side = side.in_unit(&unit);
    side.readings = Readings::new(unit.clone(), figures.in_unit(&unit));
    side.also.clear();
    let new = spare.new || case.engine.renews(spare.feature);
    side.state = if new { PartState::New } else { PartState::Reused };
    let verdict = check(line).judge(&read, &judge_context(case));
    let margin = fit_margin(line, &held_in(line, &read), case.job.scope, &verdict);
    let margin = margin.filter(|_| verdict.state.passes());
    Some((verdict.state, margin))
}
