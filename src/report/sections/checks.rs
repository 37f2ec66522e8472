//! What a check of a sheet could not have seen, since it came later, with who
//! accepted it; and the hold points, with who released them and when.

use super::input::{ReportInput, words};
use crate::model::record::{Again, Change, Why};
use crate::model::text::Text;
use crate::quantity::date::Date;
use crate::record::{item_code, who, why_word};
use crate::report::types::{Cell, Piece};
use crate::sheet::holds;

/// Of a sheet: who checked it and on which day.
fn check<'a>(told: &'a ReportInput, letter: &str) -> Option<(&'a str, &'a str)> {
    let sheet = told.judged.sheets.iter().find(|sheet| sheet.letter == letter)?;
    let sign = sheet.signed.iter().find(|sign| sign.key == "check")?;
    (!sign.on.is_empty()).then_some((sign.by.as_str(), sign.on.as_str()))
}

fn is_later(on: Option<Date>, check: Option<(&str, &str)>) -> bool {
    on.zip(check).is_some_and(|(on, (_, checked))| on.to_string().as_str() > checked)
}

/// Readings and look-overs dated after the check of their sheet. The check says
/// nothing of them: each has an acceptance of its own.
pub fn later(told: &ReportInput) -> Vec<Piece> {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for again in told.record.again.iter().filter(|again| again.why.0 != Why::Mistyped) {
        rows.extend(reading(told, again));
    }
    for change in &told.record.changes {
        rows.extend(looked_over(told, change));
    }
    if rows.is_empty() {
        return Vec::new();
    }
    let columns = vec![
        words("row, item", 12),
        words("later than the check", 30),
        words("by, when, gauge", 30),
        words("sheet checked", 22),
        words("accepted by", 16),
    ];
    vec![
        Piece::Heading("Later than the check of their sheet".to_owned()),
        Piece::Table { columns, rows },
    ]
}

fn reading(told: &ReportInput, again: &Again) -> Option<Vec<Cell>> {
    let (at, _) = told.rows().find(|(at, _)| at.row.code == again.row.as_str())?;
    let letter = &at.sheet.1.letter;
    let (checker, checked) = check(told, letter)?;
    let on = again.on.as_ref().map(|(date, _)| *date);
    if !is_later(on, Some((checker, checked))) {
        return None;
    }
    let by = again.by.as_ref().map(Text::as_str);
    Some(vec![
        Cell::bold(again.row.as_str()),
        Cell::plain(format!("{}, {}", again.key.0.word(), why_word(again.why.0))),
        Cell::plain(who(by, on, &again.gauges)),
        Cell::plain(format!("{letter} by {checker}, {checked}")),
        if told.record.stands(again) {
            accepted(by, again.inspector.as_ref())
        } else {
            let by = again.inspector.as_ref().map_or("nobody", Text::as_str);
            Cell::plain(format!("{by}; replaced since"))
        },
    ])
}

fn looked_over(told: &ReportInput, change: &Change) -> Option<Vec<Cell>> {
    let on = change.on.as_ref().map(|(date, _)| *date);
    let late = |code: &&Text| {
        item_code(code.as_str()).is_some_and(|(letter, _)| is_later(on, check(told, letter)))
    };
    let items: Vec<&str> = change.redone.iter().filter(late).map(Text::as_str).collect();
    let mut letters: Vec<&str> = items.iter().filter_map(|code| Some(item_code(code)?.0)).collect();
    letters.dedup();
    let checked = letters.iter().filter_map(|letter| {
        let (by, on) = check(told, letter)?;
        Some(format!("{letter} by {by}, {on}"))
    });
    let by = change.by.as_ref().map(Text::as_str);
    (!items.is_empty()).then(|| {
        vec![
            Cell::bold(items.join(", ")),
            Cell::plain(format!("looked over again, {}", why_word(change.why.0))),
            Cell::plain(who(by, on, &[])),
            Cell::plain(checked.collect::<Vec<_>>().join("; ")),
            accepted(by, change.inspector.as_ref()),
        ]
    })
}

/// A second person, or in bold that there was none.
fn accepted(by: Option<&str>, inspector: Option<&Text>) -> Cell {
    match inspector.map(Text::as_str).filter(|one| !one.is_empty()) {
        Some(one) if Some(one) == by => Cell::bold(format!("{one}, who did it")),
        Some(one) => Cell::plain(one),
        None => Cell::bold("nobody"),
    }
}

/// Every hold point with who released it and on which day.
pub fn hold_points(told: &ReportInput) -> Vec<Piece> {
    let mut rows = Vec::new();
    for (sheet, judged) in told.set.sheets.iter().zip(&told.judged.sheets) {
        for hold in holds(sheet) {
            let sign = judged.signed.iter().find(|sign| sign.key == hold.key);
            let (by, on) =
                sign.map(|sign| (sign.by.as_str(), sign.on.as_str())).unwrap_or_default();
            let said = |text: &str| match text {
                "" => Cell::bold("not released"),
                text => Cell::plain(text),
            };
            rows.push(vec![
                Cell::bold(&sheet.letter),
                Cell::plain(&sheet.title),
                Cell::plain(hold.title),
                said(by),
                if by.is_empty() { Cell::default() } else { Cell::plain(on) },
            ]);
        }
    }
    if rows.is_empty() {
        return Vec::new();
    }
    let columns = vec![
        words("sheet", 8),
        words("title", 30),
        words("hold point", 44),
        words("released by", 14),
        words("on", 14),
    ];
    vec![Piece::Heading("Hold points".to_owned()), Piece::Table { columns, rows }]
}
