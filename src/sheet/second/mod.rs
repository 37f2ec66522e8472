//! The second stage: once one side of a fit is recorded, what its mate may be
//! at each place, so that nothing is subtracted at the bench. From plain sizes
//! to texts; nothing is laid out here.

mod code;
mod steps;
mod types;
mod words;

use code::known;
pub use code::{row_code, sheet_code};
pub use types::{MateWindow, OnRecord, SecondLine, SecondPlace, SecondSheet, Step, Steps};

use super::expand::judge_context;
use super::types::{At, SheetSet, SignBox};
use crate::judge::mate::{Guard, SecondStage};
use crate::judge::{BoxGroup, PartState, SideReadings, State, check};
use crate::model::Case;
use crate::model::limits::Line;
use crate::model::side::Side;
use crate::model::text::capital;
use crate::quantity::{Exact, Readings};

/// The second-stage sheets of these rows in the order of the set; a sheet
/// whose rows have different sides on record becomes two.
pub fn second(case: &Case, set: &SheetSet, records: &[OnRecord]) -> Vec<SecondSheet> {
    let all: Vec<At> = set.rows().collect();
    let sheets = all.chunk_by(|one, next| one.sheet.0 == next.sheet.0);
    let halves = sheets.flat_map(|rows| Side::FIT.map(|half| (rows, half)));
    halves.filter_map(|(rows, half)| one(case, rows, half, records)).collect()
}

/// Of the rows of one sheet.
fn one(case: &Case, rows: &[At], half: Side, records: &[OnRecord]) -> Option<SecondSheet> {
    let (_, sheet) = rows.first()?.sheet;
    let lines = rows.chunk_by(|one, next| one.line.line == next.line.line);
    let lines: Vec<SecondLine> =
        lines.filter_map(|rows| second_line(case, rows, half, records)).collect();
    let places = || lines.iter().flat_map(|line| &line.places);
    places().next()?;
    let rows: Vec<(String, String)> =
        places().map(|place| (place.row.code.clone(), place.code.clone())).collect();
    let mut before = Vec::new();
    for place in places() {
        conditions(case, place, &mut before);
    }
    Some(SecondSheet {
        letter: sheet.letter.clone(),
        title: sheet.title.clone(),
        revision: sheet.revision.clone(),
        half,
        code: sheet_code(&sheet.letter, &rows),
        rows,
        before,
        lines,
        signs: signs(half),
    })
}

/// What the mate's feature needs before it is measured, each once.
fn conditions(case: &Case, place: &SecondPlace, before: &mut Vec<String>) {
    let condition = place.group.when.and_then(|when| case.engine.conditions.get(when));
    let Some(condition) = condition else { return };
    let steps: Vec<&str> = condition.steps.iter().map(|step| step.as_str()).collect();
    let words = match steps.as_slice() {
        [] => condition.name.to_string(),
        steps => format!("{}: {}", condition.name, steps.join("; ")),
    };
    if !before.contains(&words) {
        before.push(words);
    }
}

fn signs(half: Side) -> Vec<SignBox> {
    let sign = |key: &str, caption: String| SignBox {
        key: key.to_owned(),
        caption,
        gauges: false,
        lines: Vec::new(),
        zero: false,
    };
    let (known, mate) = (half, half.mate());
    vec![
        sign("compared", format!("{} code compared by", capital(known.word()))),
        sign("measured", format!("{} measured by", capital(mate.word()))),
        sign("check", "Checked by".to_owned()),
    ]
}

fn second_line(case: &Case, rows: &[At], half: Side, records: &[OnRecord]) -> Option<SecondLine> {
    let mut daggers = Vec::new();
    let line = rows.first()?.line;
    let places = rows.iter().filter_map(|at| {
        let record =
            records.iter().find(|record| record.code == at.row.code && record.half == half)?;
        place(case, at, record, &mut daggers)
    });
    let places: Vec<SecondPlace> = places.collect();
    (!places.is_empty()).then(|| SecondLine {
        name: line.name.clone(),
        limits: match &line.published {
            Some(number) => format!("{}, published as {number}", line.limits),
            None => line.limits.clone(),
        },
        agreed: line.agreed.clone(),
        daggers,
        places,
    })
}

fn stage(case: &Case, line: &Line, record: &OnRecord, mate: PartState) -> Option<SecondStage> {
    let fit = line.fit()?;
    let side = (record.half, &record.side);
    let guard = Guard::of(side, &record.mate_budget, (line, fit), &judge_context(case));
    SecondStage::of((fit, &line.unit), known(line, record)?, mate, guard, case.job.scope)
}

/// The row's verdict if every reading of such a mate were `size`.
fn row_state(
    case: &Case,
    line: &Line,
    record: &OnRecord,
    (group, state): (&BoxGroup, &PartState),
    size: Exact,
) -> State {
    let boxes = group.labels.len();
    let mate = SideReadings {
        key: group.key,
        readings: Readings::new(line.unit.clone(), vec![Some(size); boxes]),
        state: state.clone(),
        uncertainty: vec![record.mate_budget.clone(); boxes],
        ..SideReadings::default()
    };
    let read = vec![record.side.clone(), mate];
    check(line).judge(&read, &judge_context(case)).state
}

fn place(
    case: &Case,
    at: &At,
    record: &OnRecord,
    daggers: &mut Vec<String>,
) -> Option<SecondPlace> {
    let line = &case.limits.lines[at.line.line];
    let mut stages = vec![stage(case, line, record, record.mate.clone())?];
    if record.mate.is_reused() {
        stages.extend(stage(case, line, record, PartState::New));
    }
    // The ladders are for the mate that is there; for a new one where that
    // cannot serve.
    let mate = record.half.mate();
    let groups = check(line).groups(&judge_context(case));
    let group = groups.into_iter().find(|group| group.key == mate.into())?;
    let served = stages.iter().find_map(|stage| {
        let row = |size| row_state(case, line, record, (&group, &stage.mate), size);
        Some((stage, steps::ladders(stage, line.places, &row)?))
    });
    let ladders_for = words::mate(served.as_ref().map_or(stages.first()?, |(stage, _)| stage));
    let ladders = served.map(|(_, ladders)| ladders);
    let dagger = dagger(stages.first()?, ladders.as_ref(), line.places);
    daggers.extend(dagger.filter(|words| !daggers.contains(words)));
    let known = &stages.first()?.known;
    let show = |size: Exact| format!("{size:.*}", usize::from(line.places));
    Some(SecondPlace {
        row: at.row.clone(),
        code: code::of_row(case, at, record)?,
        largest: show(known.largest),
        smallest: show(known.smallest),
        state: state_words(&record.state),
        windows: windows(&stages, line.places),
        ladders,
        ladders_for,
        group,
        answers: at.line.answers.clone(),
    })
}

/// One window where a reused mate and a new one may be the same.
fn windows(stages: &[SecondStage], places: u8) -> Vec<MateWindow> {
    let mut windows: Vec<MateWindow> =
        stages.iter().map(|stage| words::window(stage, places)).collect();
    let part = stages.first().map_or("", |stage| stage.known.side.mate().word());
    if let [reused, new] = windows.as_mut_slice()
        && reused.window == new.window
        && reused.serves
    {
        reused.mate = format!("any {part}");
        windows.truncate(1);
    }
    windows
}

fn state_words(state: &PartState) -> String {
    let grade = state.grade().map_or_else(String::new, |grade| format!(", {grade}"));
    format!("{}{grade}", state.word())
}

/// A reading past the new limit where wear cannot reach asks for a second look.
fn dagger(stage: &SecondStage, ladders: Option<&[Steps; 2]>, places: u8) -> Option<String> {
    let marked = ladders?.iter().flat_map(|ladder| &ladder.steps).any(|step| step.dagger);
    let half = stage.known.side;
    let (word, limit) = half.of([("under", stage.limits.b1), ("over", stage.limits.s2)]);
    let part = half.mate();
    let limit = format!("{:.*}", usize::from(places), limit?);
    marked.then(|| format!("† {word} {limit}, a new {part}'s limit on the side that wear cannot reach: measure again"))
}
