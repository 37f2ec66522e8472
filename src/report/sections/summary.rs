//! The first page: whose engine it is, what needs a person, what was out as
//! found and what was done, what was renewed, and what is left with less than
//! new limits.

use super::exceptions;
use super::input::{ReportInput, words};
use super::near;
use super::people::engine;
use crate::model::text::Text;
use crate::record::{JudgedItem, RowHistory, Step, said, state_words, why_word};
use crate::report::types::{Cell, Piece};

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let pairs = engine(told).into_iter().filter(|(caption, _)| !HEAD.contains(&caption.as_str()));
    let mut pieces = vec![Piece::Pairs(pairs.collect())];
    pieces.push(Piece::Paragraph(exceptions::summary(told)));
    pieces.extend(exceptions::listed(told));
    if let Some(found) = found(told) {
        pieces.push(Piece::Heading("Out or in question as found, and what was done".to_owned()));
        pieces.push(found);
    }
    let renewed = renewed(told);
    if !renewed.is_empty() {
        pieces.push(Piece::Heading("Renewed, changed and reworked".to_owned()));
        pieces.extend(renewed.into_iter().map(Piece::Paragraph));
    }
    if let Some(left) = near::left_in_service(told) {
        pieces.push(Piece::Heading("Left within service limits, and what is left".to_owned()));
        pieces.push(left);
    }
    pieces
}

/// What the head of every page has.
const HEAD: [&str; 2] = ["Engine", "Serial"];

/// Rows that did not pass as they were found or at any time since, and what was
/// found at items.
fn found(told: &ReportInput) -> Option<Piece> {
    let mut rows: Vec<Vec<Cell>> = told.rows().filter_map(|row| of_row(told, row)).collect();
    rows.extend(told.judged.items.iter().flat_map(|item| of_item(told, item)));
    let columns = vec![
        words("row", 6),
        words("what, and where", 31),
        words("as found", 34),
        words("what was done", 46),
        words("as left, or by whom", 28),
    ];
    (!rows.is_empty()).then_some(Piece::Table { columns, rows })
}

fn of_row(told: &ReportInput, (at, row): RowHistory) -> Option<Vec<Cell>> {
    let [before @ .., last] = row.steps.as_slice() else { return None };
    let (n, bad) = before.iter().enumerate().find(|(_, step)| !step.verdict.state.passes())?;
    let line = &told.case.limits.lines[at.line.line];
    let mut as_found = bad.verdict.state.to_string();
    if let Some(cause) = bad.verdict.causes.first() {
        as_found = format!("{as_found}: {cause}");
    }
    let done: Vec<String> = row.steps[n + 1..].iter().map(done).collect();
    Some(vec![
        Cell::bold(&row.code),
        Cell::plain(at.named(line.name.as_str())),
        Cell::plain(as_found),
        Cell::plain(done.join("; ")),
        Cell { text: state_words(row, last), bold: row.blocks() },
    ])
}

/// `measured again by JA`; a change with its words.
fn done(step: &Step) -> String {
    let again = step.what.is_empty() || step.why.is_some_and(|why| !why.is_of_part());
    match (again, step.why) {
        (true, Some(why)) if !step.who.is_empty() => format!("{} ({})", why_word(why), step.who),
        _ => said(step),
    }
}

fn of_item(told: &ReportInput, item: &JudgedItem) -> Vec<Vec<Cell>> {
    let letter = &told.set.sheets[item.sheet].letter;
    let each = item.found.iter().map(|found| {
        let place = match found.place.as_str() {
            "" => String::new(),
            place => format!(", {place}"),
        };
        vec![
            Cell::bold(format!("{letter} {}", item.number)),
            Cell::plain(format!("{}{place}", item.text)),
            Cell::plain(&found.what),
            Cell::plain(&found.done),
            Cell::plain(&found.by),
        ]
    });
    each.collect()
}

/// What was renewed as always, in one paragraph, then each change of a part.
fn renewed(told: &ReportInput) -> Vec<String> {
    let all = told.judged.items.iter().filter(|item| item.renewed.is_some() && !item.blocks());
    let all: Vec<&str> = all.map(|item| item.text.as_str()).collect();
    let mut lines = Vec::new();
    if !all.is_empty() {
        lines.push(format!("Renewed as always: {}.", all.join("; ")));
    }
    for change in &told.record.changes {
        let part = told.case.engine.part(change.part.as_str());
        let name = part.map(|n| told.case.engine.parts[n].name.to_string());
        let places: Vec<&str> = change.places.iter().map(Text::as_str).collect();
        let name = name.unwrap_or_else(|| change.part.to_string());
        let name = format!("{name} {}", places.join(", ")).trim_end().to_owned();
        let text = |word: &Option<Text>| word.as_ref().map(Text::to_string);
        let number = text(&change.number).map(|number| format!("part number {number}"));
        let words = [
            Some(why_word(change.why.0).to_owned()),
            text(&change.what),
            number,
            text(&change.batch),
            text(&change.document),
            text(&change.data),
        ];
        let words: Vec<String> = words.into_iter().flatten().collect();
        lines.push(format!("{}: {}.", crate::model::text::capital(&name), words.join(", ")));
    }
    lines
}
