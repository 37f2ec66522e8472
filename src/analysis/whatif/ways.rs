//! The ways to bring one row in.

use super::reopens::{Work, of_part};
use crate::judge::mate::{Guard, Known, SecondStage, replaced};
use crate::judge::{BoxGroup, Context, EACH_ALONE, PartState, SideReadings, State, check};
use crate::model::Case;
use crate::model::id::PartId;
use crate::model::limits::{FitLine, Grade, Line, SizeLimits};
use crate::model::side::Side;
use crate::model::text::Stated;
use crate::quantity::{Exact, Window};
use crate::record::{RowHistory, Step};
use crate::sheet::{At, SheetSet};

/// One way to bring a row in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// `largest bore with this shaft: 1.3766`.
    pub words: String,
    /// The work that it takes, where the engine file lists any.
    pub works: Vec<Work>,
}

type Whole<'a> = (&'a Case, &'a SheetSet);

pub fn of_row(whole: Whole, (at, row): RowHistory, cx: &Context) -> Vec<Way> {
    let line = &whole.0.limits.lines[at.line.line];
    let Some(step) = row.last() else { return Vec::new() };
    match line.fit() {
        Some(fit) => of_fit(whole, (at, row), (line, fit), step, cx),
        None => of_reading(whole, &at, (line, step), cx),
    }
}

/// A reading, or what is worked out of several, needs another one: of a new
/// part, or after work.
fn of_reading(whole: Whole, at: &At, (line, step): (&Line, &Step), cx: &Context) -> Vec<Way> {
    let (rows, place) = (at.line, at.row.place);
    let feature = rows.groups.first().and_then(|group| group.feature);
    let part = whole.0.part_of(rows.line, feature);
    // Where the document says only `replace`, no work makes a used part serve.
    let replace = line.tolerance().is_some_and(|limits| limits.replace);
    let verdict = &step.verdict;
    let held = verdict.decisive.map_or(verdict.held.first(), |n| verdict.held.get(n));
    let inside = match held.map_or("reading", |held| held.name.subject()) {
        _ if replace => "a new part that reads inside".to_owned(),
        subject => format!("a {subject} inside"),
    };
    let words = format!("{inside}: {}", check(line).limits(cx).words);
    let reads = Way { words, works: Vec::new() };
    let mut ways = vec![reads];
    if let Some(part) = part {
        let name = &whole.0.engine.parts[part].name;
        for (changed, words) in
            [(true, format!("another of the {name}")), (false, format!("work on the {name}"))]
        {
            let works = of_part(whole, part, changed, feature, place);
            if changed || !replace && !works.is_empty() {
                ways.push(Way { words, works });
            }
        }
    }
    ways
}

fn of_fit(
    whole: Whole,
    (at, row): RowHistory,
    (line, fit): (&Line, &FitLine),
    step: &Step,
    cx: &Context,
) -> Vec<Way> {
    let (rows, place) = (at.line, at.row.place);
    let mut ways = Vec::new();
    for kept in Side::FIT {
        let mate = kept.mate();
        let feature = fit.part(mate).feature;
        let part = part_of(whole.0, fit, mate);
        let group = rows.groups.iter().find(|group| group.key == kept.into());
        let known = group.and_then(|group| known(step, group, kept, (line, fit)));
        let Some(known) = known else { continue };
        let works = of_part(whole, part, true, Some(feature), place);
        let guard = guard(step, kept, (line, fit), cx);
        let used = PartState::Reused;
        let (shaft, bore) = kept.of([(&known.state, &used), (&used, &known.state)]);
        let never_used = mate.of(replaced(fit, shaft, bore));
        let renewed = whole.0.engine.renews(feature) || never_used;
        let states = [PartState::Reused, PartState::New];
        for state in states.into_iter().skip(usize::from(renewed)) {
            let stage = (fit, &line.unit);
            let stage = SecondStage::of(stage, known.clone(), state.clone(), guard, cx.scope);
            let Some(stage) = stage else { continue };
            let words = match (stage.window(), &state) {
                (Some(window), PartState::Reused) => reused(window, mate, &row.state, line.places),
                (Some(window), _) => {
                    Some(new(window, mate, whole.0.engine.parts[part].name.as_str(), line.places))
                }
                (None, PartState::Reused) => {
                    let own = part_of(whole.0, fit, kept);
                    let own = &whole.0.engine.parts[own].name;
                    Some(format!("{} with this {kept} as it is ({own})", stage.none_serves()))
                }
                (None, _) => None,
            };
            ways.extend(words.map(|words| Way { words, works: works.clone() }));
        }
    }
    ways.extend(each_alone(whole, &row.state, (line, fit), place));
    ways.extend(
        fit.grades.iter().filter_map(|grade| of_grade(whole, (line, fit), grade, step, place)),
    );
    ways
}

fn part_of(case: &Case, fit: &FitLine, half: Side) -> PartId {
    case.engine.features[fit.part(half).feature].part
}

/// Both parts out of their own limits: no mate helps either of them.
fn each_alone(
    whole: Whole,
    state: &State,
    (line, fit): (&Line, &FitLine),
    place: Option<(usize, usize)>,
) -> Option<Way> {
    let State::Out(beyond) = state else { return None };
    let out = |half: &Side| beyond.iter().any(|beyond| beyond.side.starts_with(half.word()));
    if !Side::FIT.iter().all(out) {
        return None;
    }
    let both = Side::FIT.map(|half| {
        let own = new_limits(fit.part(half), line);
        let part = part_of(whole.0, fit, half);
        let works = of_part(whole, part, true, Some(fit.part(half).feature), place);
        (new(own, half, whole.0.engine.parts[part].name.as_str(), line.places), works)
    });
    let [(shaft, mut works), (bore, more)] = both;
    works.extend(more);
    let words = format!("{EACH_ALONE}: {shaft}, and {bore}");
    Some(Way { words, works })
}

/// The readings that govern, as the second stage takes them.
fn known(
    step: &Step,
    group: &BoxGroup,
    half: Side,
    (line, fit): (&Line, &FitLine),
) -> Option<Known> {
    let side = step.side(half)?;
    let figures = side.readings.in_unit(&line.unit);
    let governing = figures.into_iter().zip(&group.governs).filter(|(_, governs)| **governs);
    let readings: Vec<Option<Exact>> = governing.map(|(reading, _)| reading).collect();
    Known::of(half, &readings, fit.reduction, line.places, side.state.clone())
}

fn guard(step: &Step, kept: Side, (line, fit): (&Line, &FitLine), cx: &Context) -> Guard {
    let Some(known) = step.side(kept) else { return Guard::default() };
    let mate = step.side(kept.mate()).map(|mate| mate.in_unit(&line.unit));
    let mate = mate.as_ref().map_or(&[][..], SideReadings::least_certain);
    Guard::of((kept, known), mate, (line, fit), cx)
}

fn show(size: Exact, places: u8) -> String {
    format!("{size:.*}", usize::from(places))
}

/// The end that the row is out at: `largest bore with this shaft: 1.3766`.
fn reused(window: Window, mate: Side, state: &State, places: u8) -> Option<String> {
    let State::Out(beyond) = state else { return None };
    let out = |word: &str| beyond.iter().any(|beyond| beyond.side.starts_with(word));
    let kept = mate.mate();
    let smaller = (mate == Side::Bore) == out("loose");
    let with = format!("{mate} that would bring it in with this {kept}");
    let both = window
        .low
        .zip(window.high)
        .map(|(low, high)| format!(" (from {} to {})", show(low, places), show(high, places)));
    let both = both.unwrap_or_default();
    match (smaller, window.low, window.high) {
        (true, _, Some(high)) => Some(format!("largest {with}: {}{both}", show(high, places))),
        (false, Some(low), _) => Some(format!("smallest {with}: {}{both}", show(low, places))),
        _ => None,
    }
}

/// New limits of a part in the unit of its line.
fn new_limits(part: &SizeLimits, line: &Line) -> Window {
    let part = part.in_unit(&line.unit);
    let value = |limit: Option<Stated>| limit.map(|limit| limit.value);
    part.map_or(Window::default(), |part| Window::new(value(part.new_min), value(part.new_max)))
}

fn new(window: Window, mate: Side, part: &str, places: u8) -> String {
    match (window.low, window.high) {
        (Some(low), Some(high)) => {
            format!("new {part}: {mate} from {} to {}", show(low, places), show(high, places))
        }
        (Some(low), None) => format!("new {part}: {mate} no smaller than {}", show(low, places)),
        (None, Some(high)) => format!("new {part}: {mate} no larger than {}", show(high, places)),
        (None, None) => format!("new {part}: its limits are not stated"),
    }
}

/// Both parts to a grade of the limits: the part that is cut must have the
/// metal for it.
fn of_grade(
    whole: Whole,
    (line, fit): (&Line, &FitLine),
    grade: &Grade,
    step: &Step,
    place: Option<(usize, usize)>,
) -> Option<Way> {
    let places = line.places;
    let reaches = |half: Side, limit: Option<Exact>| {
        let side = step.side(half)?;
        let all = side.readings.present(&line.unit);
        let (least, most) = (*all.iter().min()?, *all.iter().max()?);
        Some(half.of([least >= limit?, most <= limit?]))
    };
    let mut sizes = Vec::new();
    let mut works: Vec<Work> = Vec::new();
    let mut lacks = None;
    for (half, own) in Side::FIT.into_iter().zip([&grade.shaft, &grade.bore]) {
        let Some(own) = own else { continue };
        let feature = fit.part(half).feature;
        let part = part_of(whole.0, fit, half);
        let renewed = whole.0.engine.parts[part].always_renewed;
        let name = &whole.0.engine.features[feature].name;
        let own = new_limits(own, line);
        if let (Some(low), Some(high)) = (own.low, own.high) {
            sizes.push(format!("{name} {} to {}", show(low, places), show(high, places)));
        }
        let limit = half.of([own.low, own.high]);
        if !renewed && reaches(half, limit) == Some(false) {
            lacks = Some(format!("; the {name} has not the metal left for it"));
        }
        works.extend(of_part(whole, part, renewed, Some(feature), place));
    }
    let whole_part = "; a grade belongs to all places of the feature on one part";
    let words = format!(
        "grade {}: {}{}{whole_part}",
        grade.name,
        sizes.join(", "),
        lacks.unwrap_or_default()
    );
    (!sizes.is_empty()).then_some(Way { words, works })
}
