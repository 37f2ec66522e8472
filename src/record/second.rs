//! The second stage and the record: which rows can be printed, and whether the
//! rows typed from such a sheet still stand on the sizes that it was printed
//! from.

use super::index::RecordIndex;
use super::types::{Issue, Step};
use super::{history, questions, uncertainty};
use crate::diag::Span;
use crate::judge::{Contribution, SideReadings, State, check};
use crate::model::Case;
use crate::model::job::Rule;
use crate::model::record::{Record, SheetEntry, Why};
use crate::model::side::Side;
use crate::model::text::Text;
use crate::quantity::Exact;
use crate::quantity::date::Date;
use crate::sheet::second::{OnRecord, row_code, sheet_code};
use crate::sheet::{At, SheetSet, judge_context, plain_number};

/// What can be printed, and what cannot.
#[derive(Clone, Debug, Default)]
pub struct Ready {
    pub rows: Vec<OnRecord>,
    /// Row and why.
    pub waiting: Vec<(String, String)>,
}

/// The rows whose second stage can be printed: one side recorded whole, the
/// other blank. Of the sheets named in `only` every row that has one side
/// whole, from the side that was measured first (the shaft, where both dates
/// are the same).
pub fn ready(case: &Case, set: &SheetSet, only: Option<&[String]>) -> Ready {
    let blank = Record::blank(&set.number);
    let record = case.record.as_ref().unwrap_or(&blank);
    let index = RecordIndex::new(case, set, record, judge_context(case));
    let mut ready = Ready::default();
    for at in index.places.iter().filter(|at| is_fit(&index, at)) {
        let wanted = only.is_none_or(|letters| letters.contains(&at.sheet.1.letter));
        if !wanted {
            continue;
        }
        match one(&index, at, only.is_some()) {
            Ok(row) => ready.rows.push(row),
            Err(why) => ready.waiting.push((at.row.code.clone(), why)),
        }
    }
    ready
}

fn is_fit(index: &RecordIndex, at: &At) -> bool {
    index.case.limits.lines[at.line.line].fit().is_some()
}

fn one(index: &RecordIndex, at: &At, chosen: bool) -> Result<OnRecord, String> {
    if index.row(&at.row.code).is_some_and(|row| row.not_applicable.is_some()) {
        return Err("n.a.".to_owned());
    }
    let mut steps = history::own(index, at);
    let Some(last) = steps.last() else { return Err("no readings".to_owned()) };
    let whole = Side::FIT.map(|half| whole(last, half));
    let half = match whole {
        [true, true] if chosen => first_measured(&steps),
        [true, true] => return Err("shaft and bore are both measured".to_owned()),
        [true, false] => Side::Shaft,
        [false, true] => Side::Bore,
        [false, false] => return Err(blanks(last)),
    };
    let mate = half.mate();
    let begun = last.side(mate).is_some_and(|side| !side.is_blank());
    if begun && !chosen {
        return Err(format!("{mate} has been begun; --only prints its sheet all the same"));
    }
    without(index, at, &mut steps, mate);
    if let Some(step) =
        steps.last().filter(|step| matches!(step.verdict.state, State::Query | State::Hold))
    {
        let cause = step.verdict.causes.first().cloned().unwrap_or_default();
        return Err(format!("its {} is in question: {cause}", half));
    }
    let last = steps.last().ok_or("no readings")?;
    let row = on_record(index, at, last, half).ok_or("no readings")?;
    if index.case.job.rule == Rule::Guarded && row.mate_budget.is_empty() {
        let letter = &at.sheet.1.letter;
        return Err(format!(
            "guarded acceptance: name the {mate}'s gauges first, under [{letter}] {mate} = {{ gauge = … }}"
        ));
    }
    Ok(row)
}

fn whole(step: &Step, half: Side) -> bool {
    let side = step.side(half);
    side.is_some_and(|side| side.readings.is_whole())
}

fn blanks(step: &Step) -> String {
    let of = |half: Side| {
        let readings = step.side(half).map(|side| side.readings.taken().0);
        let readings = readings.unwrap_or_default();
        match readings.iter().filter(|reading| reading.is_some()).count() {
            0 => format!("{} blank", half),
            some => format!("{} has {some} of {} readings", half, readings.len()),
        }
    };
    format!("{}, {}", of(Side::Shaft), of(Side::Bore))
}

/// By the first readings: a repeat does not turn the order round.
fn first_measured(steps: &[Step]) -> Side {
    let Some(step) = steps.first() else { return Side::Shaft };
    match (measured_on(step, Side::Shaft), measured_on(step, Side::Bore)) {
        (Some(shaft), Some(bore)) if bore < shaft => Side::Bore,
        _ => Side::Shaft,
    }
}

/// The day of the latest reading that a side holds.
fn measured_on(step: &Step, half: Side) -> Option<Date> {
    let side = step.side(half)?;
    side.taken().filter_map(|(_, source)| source.on.as_ref()).map(|(date, _)| *date).max()
}

/// The steps with one side blank, judged and questioned anew.
fn without(index: &RecordIndex, at: &At, steps: &mut [Step], of: Side) {
    let line = &index.case.limits.lines[at.line.line];
    for step in steps.iter_mut() {
        for side in step.sides.iter_mut().filter(|side| side.key == of.into()) {
            side.boxes.iter_mut().for_each(|typed| *typed = None);
            side.readings.wipe();
            side.also.clear();
        }
        step.questioned.clear();
        step.verdict = check(line).judge(&step.sides, &index.cx);
    }
    questions::row(index, at, steps);
}

/// A side as it stands after a step; the readings that govern its fit.
fn on_record(index: &RecordIndex, at: &At, step: &Step, half: Side) -> Option<OnRecord> {
    let side = step.side(half)?;
    let mate: Option<&SideReadings> = step.side(half.mate());
    let group = at.line.groups.iter().find(|group| group.key == half.into())?;
    let governs = |n: usize| group.governs.get(n).copied().unwrap_or(true);
    let readings = side.readings.in_unit(&group.unit).into_iter().enumerate();
    let governing = readings.filter(|(n, _)| governs(*n));
    let readings: Option<Vec<Exact>> = governing.map(|(_, reading)| reading).collect();
    Some(OnRecord {
        code: at.row.code.clone(),
        half,
        readings: readings.filter(|readings| !readings.is_empty())?,
        state: side.state.clone(),
        mate: mate.map(|mate| mate.state.clone()).unwrap_or_default(),
        side: side.clone(),
        mate_budget: mate_budget(index, at, step, half.mate()),
    })
}

/// The gauges behind the mate's readings. Before anything is read, those named
/// for it whose range holds any size that its limits name.
fn mate_budget(index: &RecordIndex, at: &At, step: &Step, mate: Side) -> Vec<Contribution> {
    let line = &index.case.limits.lines[at.line.line];
    if let Some(side) = step.side(mate).filter(|side| !side.readings.is_blank()) {
        return side.in_unit(&line.unit).least_certain().to_vec();
    }
    let group = at.line.groups.iter().find(|group| group.key == mate.into());
    let typed = step.side(mate);
    let Some((group, source)) = group.zip(typed.and_then(|side| side.sources.first())) else {
        return Vec::new();
    };
    let Some(fit) = line.fit() else { return Vec::new() };
    let part = fit.part(mate).in_unit(&line.unit);
    let sizes = part.map_or([None; 2], |part| [part.new_min, part.new_max]);
    let sizes = sizes.map(|limit| limit.map(|limit| limit.value));
    uncertainty::before_reading(index, &source.gauges, &line.unit, group.key, sizes)
}

/// A sheet's code as typed.
struct Stamp<'a> {
    code: String,
    half: Option<Side>,
    rows: Vec<(&'a str, String)>,
    at: &'a Span,
}

/// Reads `K4TX shaft: C1 7Q4T, C2 88F2`, or the code alone from the paper.
fn stamp(typed: &Text) -> Stamp<'_> {
    let text = typed.as_str();
    let (head, rows) = text.split_once(':').unwrap_or((text, ""));
    let mut words = head.split_whitespace();
    let code = words.next().map(plain_number).unwrap_or_default();
    let half = words.next().and_then(|word| Side::FIT.into_iter().find(|h| h.word() == word));
    let rows = rows.split(',').filter_map(|pair| {
        let (row, code) = pair.trim().split_once(char::is_whitespace)?;
        Some((row, plain_number(code)))
    });
    Stamp { code, half, rows: rows.collect(), at: &typed.at }
}

/// Letter and code of every second-stage sheet that the transcription names.
pub fn sheets_typed(record: &Record) -> Vec<(String, String)> {
    let of = |entry: &SheetEntry| {
        let letter = entry.letter.to_string();
        entry
            .second
            .iter()
            .map(move |typed| (letter.clone(), stamp(typed).code))
            .collect::<Vec<_>>()
    };
    let mut named: Vec<(String, String)> = record.sheets.iter().flat_map(of).collect();
    let symbol = |b: u8| b.is_ascii_uppercase() || b.is_ascii_digit();
    named.retain(|(_, code)| code.len() == 4 && code.bytes().all(symbol));
    named
}

/// What stands against a row that was typed from a second-stage sheet: its
/// sizes have changed since the sheet was printed.
pub fn stale(index: &RecordIndex, at: &At, steps: &[Step], asks: &mut Vec<Issue>) {
    let letter = &at.sheet.1.letter;
    let Some(entry) = index.entry(letter) else { return };
    if entry.second.is_empty() || !is_fit(index, at) {
        return;
    }
    let stamps: Vec<Stamp> = entry.second.iter().map(stamp).collect();
    let code = at.row.code.as_str();
    let names =
        |stamp: &&Stamp| stamp.rows.is_empty() || stamp.rows.iter().any(|(row, _)| *row == code);
    let Some(stamp) = stamps.iter().rfind(names) else { return };
    if let Some(why) = against(index, at, steps, stamp) {
        asks.push(Issue { state: State::Query, why, at: Some(stamp.at.clone()) });
    }
}

fn against(index: &RecordIndex, at: &At, steps: &[Step], stamp: &Stamp) -> Option<String> {
    let (letter, row) = (&at.sheet.1.letter, at.row.code.as_str());
    let sheet = format!("second-stage sheet {letter}·2 {}", stamp.code);
    let halves: Vec<Side> = Side::FIT
        .into_iter()
        .filter(|half| stamp.half.is_none_or(|known| known == *half))
        .filter(|half| measured(steps, half.mate()))
        .collect();
    let half = halves.first()?;
    let Some((_, printed)) = stamp.rows.iter().find(|(code, _)| *code == row) else {
        let same =
            halves.iter().any(|half| whole_sheet(index, at, *half).as_deref() == Some(&stamp.code));
        return (!same).then(|| {
            format!(
                "{sheet}: not the code of the sizes on record for the whole sheet; copy the line with the code of each row from sheets-second.toml, or print it again and measure on that"
            )
        });
    };
    let rows: Vec<(String, String)> =
        stamp.rows.iter().map(|(r, c)| ((*r).to_owned(), c.clone())).collect();
    if sheet_code(letter, &rows) != stamp.code {
        return Some(format!(
            "{sheet}: its code does not go with those of its rows: copy the line again as it was written"
        ));
    }
    let now: Vec<(OnRecord, String)> =
        halves.iter().filter_map(|half| code_now(index, at, steps, *half)).collect();
    if now.iter().any(|(_, code)| code == printed) {
        return None;
    }
    let sizes = match now.first() {
        Some((record, code)) => format!("{}, code {code}", sizes(record)),
        None => format!("{} blank", half),
    };
    Some(format!(
        "{sheet} is stale: {row} was printed with {printed}, the record now has {sizes}; print the second stage again and measure on that"
    ))
}

fn measured(steps: &[Step], half: Side) -> bool {
    let side = steps.last().and_then(|step| step.side(half));
    side.is_some_and(|side| !side.is_blank())
}

/// The side on record as it counts for the mate's readings, and its code.
fn code_now(
    index: &RecordIndex,
    at: &At,
    steps: &[Step],
    half: Side,
) -> Option<(OnRecord, String)> {
    let record = on_record(index, at, when_measured(steps, half)?, half)?;
    let code = row_code(index.case, index.set, &record)?;
    Some((record, code))
}

/// The last step that bears on the mate's readings. A part reworked or changed
/// after they were taken does not make the sheet that they were taken on stale:
/// its sizes were right on that day.
fn when_measured(steps: &[Step], half: Side) -> Option<&Step> {
    let measured = steps.last().and_then(|step| measured_on(step, half.mate()));
    let later = |step: &Step| {
        let fresh = step.sides.iter().any(|side| side.key == half.into() && side.fresh);
        let work = matches!(step.why, Some(Why::Reworked | Why::PartChanged));
        fresh
            && match (measured_on(step, half), measured) {
                (Some(on), Some(measured)) => work && on > measured,
                // A change took its sizes away.
                (None, _) => true,
                _ => false,
            }
    };
    let count = steps.iter().skip(1).position(later).map_or(steps.len(), |n| n + 1);
    steps.get(count.checked_sub(1)?)
}

/// The code that a sheet with all its rows would have now.
fn whole_sheet(index: &RecordIndex, at: &At, half: Side) -> Option<String> {
    let all = index.places.iter();
    let on_sheet = all.filter(|other| other.sheet.0 == at.sheet.0 && is_fit(index, other));
    let rows = on_sheet.filter_map(|other| {
        let steps = history::own(index, other);
        let (record, code) = code_now(index, other, &steps, half)?;
        Some((record.code, code))
    });
    let rows: Vec<(String, String)> = rows.collect();
    (!rows.is_empty()).then(|| sheet_code(&at.sheet.1.letter, &rows))
}

fn sizes(record: &OnRecord) -> String {
    let part = record.half;
    let ends = (record.readings.iter().max(), record.readings.iter().min());
    let state = record.state.word();
    match ends {
        (Some(largest), Some(smallest)) => {
            format!("largest {part} {largest}, smallest {smallest}, {state}")
        }
        _ => format!("{part} blank"),
    }
}
