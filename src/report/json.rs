//! The verdicts for machines.

use super::json_lines::lines;
use super::judged::{Ask, ChainStep, JudgedItem, JudgedRow};
use super::originals::{Original, Originals, Stray};
use super::sections::Told;
use super::types::Status;
use super::uncertainty::together;
use super::wear::History;
use crate::quantity::Exact;
use serde::Serialize;

/// Name of the form of the output; a change that breaks a reader changes it.
pub const SCHEMA: &str = "benchleaf-verdicts-1";

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
    asks: Vec<AskOut>,
    sheets: Vec<SheetOut>,
    rows: Vec<RowOut>,
    items: Vec<ItemOut>,
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
struct AskOut {
    state: &'static str,
    why: String,
}

#[derive(Serialize)]
struct SheetOut {
    letter: String,
    number: String,
    page: String,
    begun: bool,
    checked_by: Option<String>,
    asks: Vec<AskOut>,
}

#[derive(Serialize)]
struct RowOut {
    row: String,
    sheet: String,
    page: String,
    line: String,
    name: String,
    place: String,
    limits: String,
    state: String,
    flags: Vec<String>,
    /// Beyond a limit, where out: which side, by how much.
    out: Vec<(String, Option<String>)>,
    margin: Option<String>,
    chance: Option<String>,
    accepted: Option<String>,
    asks: Vec<AskOut>,
    causes: Vec<String>,
    remedies: Vec<String>,
    notes: Vec<String>,
    steps: Vec<StepOut>,
}

#[derive(Serialize)]
struct StepOut {
    why: Option<&'static str>,
    who: String,
    what: String,
    readings: Vec<SideOut>,
    /// Expanded, k = 2: root of the sum of squares, and what it is made of.
    uncertainty: Option<String>,
    budget: Vec<PartOut>,
    figures: Vec<(String, String)>,
    state: String,
    worked: Vec<String>,
}

#[derive(Serialize)]
struct SideOut {
    boxes: String,
    typed: Vec<Option<String>>,
    /// The readings brought to 20 °C, where any was taken away from it.
    at_20: Option<Vec<Option<String>>>,
}

#[derive(Serialize)]
struct PartOut {
    boxes: &'static str,
    gauge: String,
    expanded: String,
}

#[derive(Serialize)]
struct ItemOut {
    item: String,
    page: String,
    text: String,
    says: String,
    state: &'static str,
    asks: Vec<AskOut>,
}

/// The judged record as JSON text, ending with a line feed. Figures are
/// strings: the digits are the record.
pub fn json(told: &Told) -> Result<String, serde_json::Error> {
    let (head, judged) = (&told.set.head, told.judged);
    let verdicts = Verdicts {
        schema: SCHEMA,
        status: match judged.status {
            Status::Draft => "draft",
            Status::Incomplete => "incomplete",
            Status::Final => "final",
        },
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
        rows: judged.rows.iter().map(|row| self::row(told, row)).collect(),
        items: judged.items.iter().map(|item| self::item(told, item)).collect(),
        originals: told.originals.map(originals),
        wear: told.history.map(wear),
    };
    lines(&verdicts)
}

fn wear(history: &History) -> WearOut<'_> {
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
        hours: history.hours.map(|(old, new)| [old.to_string(), new.to_string()]),
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
        superseded: originals.superseded.iter().map(stray).collect(),
        not_matched: originals.strays.iter().map(stray).collect(),
    }
}

fn asks(asks: &[Ask]) -> Vec<AskOut> {
    asks.iter().map(|ask| AskOut { state: ask.state.word(), why: ask.why.clone() }).collect()
}

fn sheets(told: &Told) -> Vec<SheetOut> {
    let each = told.judged.sheets.iter().zip(&told.set.sheets);
    each.map(|(judged, sheet)| SheetOut {
        letter: sheet.letter.clone(),
        number: sheet.number.clone(),
        page: told.pages.sheet(&sheet.letter),
        begun: judged.begun,
        checked_by: judged.checked_by.clone(),
        asks: asks(&judged.asks),
    })
    .collect()
}

fn row(told: &Told, row: &JudgedRow) -> RowOut {
    use crate::judge::State;
    let line = &told.case.limits.lines[row.limit];
    let last = row.last();
    let verdict = last.map(|step| &step.verdict);
    RowOut {
        row: row.code.clone(),
        sheet: told.set.sheets[row.sheet].letter.clone(),
        page: told.pages.row(&row.code),
        line: line.reference.to_string(),
        name: line.name.to_string(),
        place: super::name_of(told.set, row),
        limits: super::line_of(told.set, row).limits.clone(),
        state: row.state.word().to_owned(),
        flags: verdict
            .map(|v| v.flags.iter().map(ToString::to_string).collect())
            .unwrap_or_default(),
        out: match &row.state {
            State::Out(beyonds) => {
                beyonds.iter().map(|b| (b.side.clone(), b.by.map(|by| by.to_string()))).collect()
            }
            _ => Vec::new(),
        },
        margin: verdict.and_then(|v| v.margin).map(|margin| margin.to_string()),
        chance: verdict.and_then(|v| v.chance).map(|chance| chance.to_string()),
        accepted: row.accepted.clone(),
        asks: asks(&row.asks),
        causes: verdict.map(|v| v.causes.clone()).unwrap_or_default(),
        remedies: verdict.map(|v| v.remedies.clone()).unwrap_or_default(),
        notes: verdict.map(|v| v.notes.clone()).unwrap_or_default(),
        steps: row.steps.iter().map(|each| step(each, line.places)).collect(),
    }
}

fn step(step: &ChainStep, places: u8) -> StepOut {
    StepOut {
        why: step.why.map(super::bench::why_word),
        who: step.who.clone(),
        what: step.what.clone(),
        readings: step
            .typed
            .iter()
            .zip(&step.read.sides)
            .map(|(side, read)| SideOut {
                at_20: side.sources.iter().any(|source| source.temperatures.is_some()).then(|| {
                    read.readings.iter().map(|value| value.map(|value| value.to_string())).collect()
                }),
                boxes: side.key.to_owned(),
                typed: side.boxes.iter().map(|b| b.as_ref().map(|t| t.text.to_string())).collect(),
            })
            .collect(),
        uncertainty: (!step.budget.is_empty()).then(|| together(&step.budget, places).to_string()),
        budget: step
            .budget
            .iter()
            .map(|part| PartOut {
                boxes: part.side,
                gauge: part.gauge.clone(),
                expanded: part.expanded.to_string(),
            })
            .collect(),
        figures: step
            .verdict
            .figures
            .iter()
            .map(|figure| (figure.name.to_owned(), figure.value.to_string()))
            .collect(),
        state: step.verdict.state.to_string(),
        worked: step.verdict.steps.clone(),
    }
}

fn item(told: &Told, item: &JudgedItem) -> ItemOut {
    let letter = &told.set.sheets[item.sheet].letter;
    ItemOut {
        item: format!("{letter} {}", item.number),
        page: told.pages.item(letter, item.number),
        text: item.text.clone(),
        says: item.says.clone(),
        state: item.state.word(),
        asks: asks(&item.asks),
    }
}
