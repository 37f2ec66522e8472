//! What the scans seem to say, for machines.

use super::compared::{Compared, OddBox, Stray};
use super::originals::Originals;
use serde::Serialize;

/// Name of the form of the output; a change that breaks a reader changes it.
pub const SCHEMA: &str = "benchleaf-scans-1";

#[derive(Serialize)]
struct ScansOut<'a> {
    schema: &'static str,
    sheet_set: &'a str,
    typed: bool,
    pages: usize,
    found: Vec<FoundOut<'a>>,
    refused: Vec<StrayOut<'a>>,
    superseded: Vec<StrayOut<'a>>,
    not_matched: Vec<StrayOut<'a>>,
    boxes: BoxesOut,
    differences: Vec<OddOut<'a>>,
    each: Vec<EachOut<'a>>,
}

#[derive(Serialize)]
struct FoundOut<'a> {
    page: &'a str,
    sheet: &'a str,
    scan: &'a str,
    corners: [(i64, i64); 4],
}

#[derive(Serialize)]
struct StrayOut<'a> {
    scan: &'a str,
    why: &'a str,
}

#[derive(Serialize)]
struct BoxesOut {
    all: usize,
    on_scans: usize,
    read: usize,
    alike: usize,
    empty: usize,
    not_legible: usize,
    not_found: usize,
    second_stage: usize,
}

#[derive(Serialize)]
struct OddOut<'a> {
    page: &'a str,
    sheet: &'a str,
    row: &'a str,
    side: &'a str,
    #[serde(rename = "box")]
    number: usize,
    scan: &'a str,
    what: &'static str,
    paper: Option<&'a str>,
    typed: Option<&'a str>,
    settled: Option<&'a str>,
}

#[derive(Serialize)]
struct EachOut<'a> {
    page: &'a str,
    row: &'a str,
    side: &'a str,
    #[serde(rename = "box")]
    number: usize,
    is: &'static str,
}

/// One object.
///
/// # Errors
/// None that a record can cause.
pub fn compared_json(
    set: &str,
    found: &Compared,
    originals: &Originals,
) -> serde_json::Result<String> {
    let boxes = &found.boxes;
    let out = ScansOut {
        schema: SCHEMA,
        sheet_set: set,
        typed: found.typed,
        pages: found.pages,
        found: found
            .found
            .iter()
            .map(|page| FoundOut {
                page: &page.page,
                sheet: &page.sheet,
                scan: &page.scan,
                corners: page.corners,
            })
            .collect(),
        refused: strays(&found.refused),
        superseded: strays(&originals.superseded),
        not_matched: strays(&originals.strays),
        boxes: BoxesOut {
            all: boxes.all,
            on_scans: boxes.shown,
            read: found.read(),
            alike: boxes.alike,
            empty: boxes.empty,
            not_legible: boxes.unread,
            not_found: boxes.lost,
            second_stage: boxes.second,
        },
        differences: found.odd.iter().map(odd).collect(),
        each: found
            .each
            .iter()
            .map(|one| EachOut {
                page: &one.page,
                row: &one.row,
                side: &one.side,
                number: one.number,
                is: one.made.word(),
            })
            .collect(),
    };
    serde_json::to_string_pretty(&out).map(|text| text + "\n")
}

fn strays(all: &[Stray]) -> Vec<StrayOut<'_>> {
    all.iter().map(|stray| StrayOut { scan: &stray.scan, why: &stray.why }).collect()
}

fn odd(odd: &OddBox) -> OddOut<'_> {
    OddOut {
        page: &odd.page,
        sheet: &odd.sheet,
        row: &odd.row,
        side: &odd.side,
        number: odd.number,
        scan: &odd.scan,
        what: odd.word(),
        paper: odd.says(),
        typed: odd.typed.as_deref(),
        settled: odd.settled.as_deref(),
    }
}
