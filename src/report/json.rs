//! The verdicts for machines.

use super::compared::Stray;
use super::json_lines::lines;
use super::originals::{Original, Originals};
use super::sections::ReportInput;
use crate::analysis::wear::Wear;
use crate::judge::{Flag, Measure, SideReadings, State};
use crate::quantity::Exact;
use crate::record::{Issue, JudgedItem, RowHistory, Step, together};
use serde::{Serialize, Serializer};
use std::fmt::Display;

/// Name of the form of the output; a change that breaks a reader changes it.
pub const SCHEMA: &str = "benchleaf-verdicts-2";

#[derive(Serialize)]
struct Verdicts<'a> {
    schema: &'static str,
    status: &'static str,
    sheet_set: &'a str,
    job: &'a str,
    engine: &'a str,
    serial: &'a str,
    limits: &'a str,
    document: &'a str,
    revision: &'a str,
    unit: &'a str,
    scope: &'a str,
    rule: &'a str,
    asks: Vec<AskOut<'a>>,
    sheets: Vec<SheetOut<'a>>,
    rows: Rows<'a>,
    items: Vec<ItemOut<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    originals: Option<OriginalsOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wear: Option<WearOut<'a>>,
}

/// Only where the job names an earlier one.
#[derive(Serialize)]
struct WearOut<'a> {
    earlier: &'a str,
    hours: Option<[String; 2]>,
    rows: Vec<WornOut<'a>>,
    left_out: &'a [String],
}

#[derive(Serialize)]
struct WornOut<'a> {
    boxes: &'a str,
    left: Vec<String>,
    found: Vec<String>,
    wear: String,
    per_100_h: Option<String>,
    grown: Option<&'a str>,
    asked: bool,
}

/// Only where scans are carried.
#[derive(Serialize)]
struct OriginalsOut {
    pages: Vec<OriginalOut>,
    missing: Vec<String>,
    doubled: Vec<String>,
    second_stage: Vec<OriginalOut>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    remarks: Vec<OriginalOut>,
    superseded: Vec<StrayOut>,
    not_matched: Vec<StrayOut>,
}

#[derive(Serialize)]
struct OriginalOut {
    page: String,
    sheet: String,
    reference: String,
    scans: Vec<String>,
}

#[derive(Serialize)]
struct StrayOut {
    scan: String,
    why: String,
}

#[derive(Serialize)]
struct AskOut<'a> {
    state: &'static str,
    why: &'a str,
}

#[derive(Serialize)]
struct SheetOut<'a> {
    letter: &'a str,
    number: &'a str,
    page: &'a str,
    begun: bool,
    checked_by: Option<&'a str>,
    asks: Vec<AskOut<'a>>,
}

#[derive(Serialize)]
struct RowOut<'a> {
    row: &'a str,
    sheet: &'a str,
    page: &'a str,
    line: &'a str,
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    published: Option<&'a str>,
    place: &'a str,
    limits: &'a str,
    state: &'static str,
    flags: Vec<Said<&'a Flag>>,
    /// Beyond a limit, where out: which side, by how much.
    out: Vec<(&'a str, Option<Said<Exact>>)>,
    margin: Option<Said<Exact>>,
    chance: Option<Said<Exact>>,
    accepted: Option<&'a str>,
    asks: Vec<AskOut<'a>>,
    causes: &'a [String],
    remedies: &'a [String],
    notes: &'a [String],
    steps: Vec<StepOut<'a>>,
}

/// A row is made when it is written, and not kept.
struct Rows<'a>(&'a ReportInput<'a>);

impl Serialize for Rows<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(self.0.rows().map(|row| self::row(self.0, row)))
    }
}

#[derive(Serialize)]
struct StepOut<'a> {
    why: Option<&'static str>,
    who: &'a str,
    what: &'a str,
    readings: Vec<SideOut<'a>>,
    /// Expanded, k = 2: root of the sum of squares, and what it is made of.
    uncertainty: Option<Said<Exact>>,
    budget: Vec<PartOut<'a>>,
    figures: Vec<(Said<Measure>, Said<Exact>)>,
    state: Said<&'a State>,
    worked: &'a [String],
}

#[derive(Serialize)]
struct SideOut<'a> {
    boxes: &'static str,
    typed: Vec<Option<&'a str>>,
    /// The readings brought to 20 °C, where any was taken away from it.
    at_20: Option<Vec<Option<Said<Exact>>>>,
}

#[derive(Serialize)]
struct PartOut<'a> {
    boxes: &'static str,
    gauge: &'a str,
    expanded: Said<Exact>,
}

#[derive(Serialize)]
struct ItemOut<'a> {
    item: String,
    page: &'a str,
    text: &'a str,
    says: &'a str,
    /// Of a row of a table: head and words of each box.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    boxes: &'a [(String, String)],
    state: &'static str,
    asks: Vec<AskOut<'a>>,
}

/// What a person would read, as a JSON string.
struct Said<T>(T);

impl<T: Display> Serialize for Said<T> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(&self.0)
    }
}

/// Bytes that a row of one step comes to, and the head of the whole: room made
/// beforehand, so that the text is not copied as it grows.
const ABOUT: usize = 800;

/// The judged record as JSON text, ending with a line feed. Figures are
/// strings: the digits are the record.
pub fn json(told: &ReportInput) -> Result<String, serde_json::Error> {
    let (head, judged) = (&told.set.head, told.judged);
    let verdicts = Verdicts {
        schema: SCHEMA,
        status: judged.status.word(),
        sheet_set: &told.set.number,
        job: &head.job,
        engine: &head.engine,
        serial: &head.serial,
        limits: &head.limits,
        document: &head.document,
        revision: &head.revision,
        unit: &head.unit,
        scope: &head.scope,
        rule: &head.rule,
        asks: asks(&judged.asks),
        sheets: sheets(told),
        rows: Rows(told),
        items: judged.items.iter().map(|item| self::item(told, item)).collect(),
        originals: told.originals.map(originals),
        wear: told.history.map(wear),
    };
    lines(&verdicts, ABOUT * (judged.rows.len() + 1))
}

fn wear(history: &Wear) -> WearOut<'_> {
    let all = |readings: &[Exact]| readings.iter().map(ToString::to_string).collect();
    let rows = history.worn.iter().map(|worn| WornOut {
        boxes: &worn.name,
        left: all(&worn.left),
        found: all(&worn.found),
        wear: worn.wear.to_string(),
        per_100_h: worn.rate.map(|rate| rate.to_string()),
        grown: worn.grown.as_ref().map(|grown| grown.words.as_str()),
        asked: worn.grown.as_ref().is_some_and(|grown| grown.asked),
    });
    WearOut {
        earlier: &history.earlier,
        hours: history.hours.ok().map(|(old, new)| [old.to_string(), new.to_string()]),
        rows: rows.collect(),
        left_out: &history.left_out,
    }
}

fn originals(originals: &Originals) -> OriginalsOut {
    let page = |page: &Original| OriginalOut {
        page: page.page.clone(),
        sheet: page.sheet.clone(),
        reference: page.reference.clone(),
        scans: page.scans.clone(),
    };
    let stray = |stray: &Stray| StrayOut { scan: stray.scan.clone(), why: stray.why.clone() };
    OriginalsOut {
        pages: originals.pages.iter().map(page).collect(),
        missing: originals.missing().map(|page| page.page.clone()).collect(),
        doubled: originals.doubled().map(|page| page.page.clone()).collect(),
        second_stage: originals.second.iter().map(page).collect(),
        remarks: originals.remarks.iter().map(page).collect(),
        superseded: originals.superseded.iter().map(stray).collect(),
        not_matched: originals.strays.iter().map(stray).collect(),
    }
}

fn asks(asks: &[Issue]) -> Vec<AskOut<'_>> {
    asks.iter().map(|ask| AskOut { state: ask.state.word(), why: &ask.why }).collect()
}

fn sheets<'a>(told: &'a ReportInput) -> Vec<SheetOut<'a>> {
    let each = told.judged.sheets.iter().zip(&told.set.sheets);
    each.map(|(judged, sheet)| SheetOut {
        letter: &sheet.letter,
        number: &sheet.number,
        page: told.pages.sheet(&sheet.letter),
        begun: judged.begun,
        checked_by: judged.checked_by.as_deref(),
        asks: asks(&judged.asks),
    })
    .collect()
}

fn row<'a>(told: &'a ReportInput, (at, row): RowHistory<'a>) -> RowOut<'a> {
    let line = &told.case.limits.lines[at.line.line];
    let verdict = row.last().map(|step| &step.verdict);
    RowOut {
        row: &row.code,
        sheet: &at.sheet.1.letter,
        page: told.pages.row(&row.code),
        line: line.reference.as_str(),
        name: line.name.as_str(),
        published: at.line.published.as_deref(),
        place: &at.row.name,
        limits: &at.line.limits,
        state: row.state.word(),
        flags: verdict.map(|v| v.flags.iter().map(Said).collect()).unwrap_or_default(),
        out: row.beyond().iter().map(|b| (b.side.as_str(), b.by.map(Said))).collect(),
        margin: verdict.and_then(|v| v.margin).map(Said),
        chance: verdict.and_then(|v| v.chance).map(Said),
        accepted: row.accepted.as_deref(),
        asks: asks(&row.asks),
        causes: verdict.map(|v| v.causes.as_slice()).unwrap_or_default(),
        remedies: verdict.map(|v| v.remedies.as_slice()).unwrap_or_default(),
        notes: verdict.map(|v| v.notes.as_slice()).unwrap_or_default(),
        steps: row.steps.iter().map(|each| step(told, each, line.places)).collect(),
    }
}

fn step<'a>(told: &'a ReportInput, step: &'a Step, places: u8) -> StepOut<'a> {
    let gauges = &told.case.job.gauges;
    let budget = step.verdict.budget();
    let parts = budget.iter().map(|part| PartOut {
        boxes: part.group.word(),
        gauge: gauges[part.gauge].id.as_str(),
        expanded: Said(part.expanded),
    });
    let figures = step.verdict.figures.iter().map(|figure| (Said(figure.name), Said(figure.value)));
    StepOut {
        why: step.why.map(crate::record::why_word),
        who: &step.who,
        what: &step.what,
        readings: step.sides.iter().map(side).collect(),
        uncertainty: (!budget.is_empty()).then(|| Said(together(budget, places))),
        budget: parts.collect(),
        figures: figures.collect(),
        state: Said(&step.verdict.state),
        worked: &step.verdict.steps,
    }
}

fn side(side: &SideReadings) -> SideOut<'_> {
    let warm = side.sources.iter().any(|source| source.temperatures.is_some());
    SideOut {
        boxes: side.key.word(),
        typed: side.boxes.iter().map(|b| b.as_ref().map(|typed| &*typed.text)).collect(),
        at_20: warm.then(|| side.readings.taken().0.iter().map(|value| value.map(Said)).collect()),
    }
}

fn item<'a>(told: &'a ReportInput, item: &'a JudgedItem) -> ItemOut<'a> {
    let letter = &told.set.sheets[item.sheet].letter;
    ItemOut {
        item: format!("{letter} {}", item.number),
        page: told.pages.item(letter, item.number),
        text: &item.text,
        says: &item.says,
        boxes: &item.cells,
        state: item.state.word(),
        asks: asks(&item.asks),
    }
}
