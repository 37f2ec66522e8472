//! Parts always renewed, parts changed and reworked, work sent out.

use super::input::{ReportInput, words};
use crate::model::engine::Reopens;
use crate::model::record::Change;
use crate::model::text::Text;
use crate::record::{Disturbed, disturbed, who, why_word};
use crate::report::types::{Cell, Piece};

fn said(word: Option<&Text>) -> String {
    word.map(Text::to_string).unwrap_or_default()
}

fn none() -> Vec<Piece> {
    vec![Piece::Paragraph("None.".to_owned())]
}

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut rows = Vec::new();
    for item in &told.judged.items {
        let Some([count, number, batch, document]) = &item.renewed else { continue };
        let letter = &told.set.sheets[item.sheet].letter;
        rows.push(vec![
            Cell::bold(format!("{letter} {}", item.number)),
            Cell::plain(&item.text),
            Cell::plain(count),
            Cell::plain(number),
            Cell::plain(batch),
            Cell::plain(document),
            Cell { text: item.says.clone(), bold: item.blocks() },
        ]);
    }
    if rows.is_empty() {
        return none();
    }
    let columns = vec![
        words("item", 9),
        words("part, how many fitted", 30),
        words("renewed", 10),
        words("part number", 20),
        words("serial or batch", 18),
        words("source document", 24),
        words("record", 14),
    ];
    vec![Piece::Table { columns, rows }]
}

pub fn changes(told: &ReportInput) -> Vec<Piece> {
    let rows: Vec<Vec<Cell>> = told
        .record
        .changes
        .iter()
        .zip(disturbed::all(told.case, told.record))
        .map(|(change, disturbed)| {
            let places: Vec<&str> = change.places.iter().map(Text::as_str).collect();
            let part = told.case.engine.part(change.part.as_str());
            let part = part.map(|n| &told.case.engine.parts[n]);
            let name = part.map_or_else(|| change.part.to_string(), |part| part.name.to_string());
            // Without places every one of them was changed or worked on.
            let all = part.filter(|part| places.is_empty() && part.count > 1);
            let which = all.map_or_else(|| places.join(", "), |part| format!("all {}", part.count));
            let data = [said(change.data.as_ref()), said(change.document.as_ref())];
            vec![
                Cell::bold(format!("{name} {which}").trim_end().to_owned()),
                Cell::plain(why_word(change.why.0)),
                Cell::plain(said(change.what.as_ref())),
                Cell::plain(said(change.number.as_ref())),
                Cell::plain(said(change.batch.as_ref())),
                Cell::plain(
                    data.iter().filter(|d| !d.is_empty()).cloned().collect::<Vec<_>>().join("; "),
                ),
                Cell::plain(reopened(told, &disturbed)),
                Cell::plain(by(change)),
            ]
        })
        .collect();
    if rows.is_empty() {
        return none();
    }
    let columns = vec![
        words("part", 18),
        words("why", 8),
        words("what was done", 22),
        words("part number", 10),
        words("serial or batch", 10),
        words("source document, data", 17),
        words("reopened", 30),
        words("by", 16),
    ];
    vec![Piece::Table { columns, rows }]
}

/// Who did it and when, and who accepted it.
fn by(change: &Change) -> String {
    let on = change.on.as_ref().map(|(date, _)| *date);
    let mut words = who(change.by.as_ref().map(Text::as_str), on, &[]);
    if let Some(inspector) = &change.inspector {
        words.push_str(&format!(", seen by {inspector}"));
    }
    words
}

/// What a change reopened, in words.
fn reopened(told: &ReportInput, disturbed: &Disturbed) -> String {
    if disturbed.whole {
        return "all that names it".to_owned();
    }
    let word = |what: &Reopens| match what {
        Reopens::Feature(feature) => told.case.engine.features[*feature].name.to_string(),
        Reopens::Line(line) => format!("line {line}"),
        Reopens::Block(block) => block.as_str().replace('-', " "),
    };
    if disturbed.reopens.is_empty() {
        return format!("nothing ({})", disturbed.name);
    }
    disturbed.reopens.iter().map(word).collect::<Vec<_>>().join(", ")
}

pub fn outside(told: &ReportInput) -> Vec<Piece> {
    let rows: Vec<Vec<Cell>> = told
        .record
        .outside
        .iter()
        .map(|work| {
            vec![
                Cell::bold(work.what.to_string()),
                Cell::plain(said(work.who.as_ref())),
                Cell::plain(said(work.certificate.as_ref())),
                Cell::plain(work.on.as_ref().map(|(date, _)| date.to_string()).unwrap_or_default()),
                Cell::plain(said(work.result.as_ref())),
            ]
        })
        .collect();
    let columns = vec![
        words("what", 32),
        words("by whom", 24),
        words("certificate", 24),
        words("date", 12),
        words("result, as quoted", 32),
    ];
    vec![Piece::Table { columns, rows }]
}
