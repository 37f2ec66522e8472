//! Every row that is not a fit, and every reading that was replaced.

use super::input::{ReportInput, words};
use crate::judge::{BoxKind, Measure, SideReadings};
use crate::model::record::{Mark, Why};
use crate::model::side::Group;
use crate::quantity::Unit;
use crate::record::{RowHistory, Step, why_word};
use crate::report::types::{Cell, Piece};
use crate::sheet::LineRows;

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut rows = Vec::new();
    for (at, row) in told.rows() {
        if at.line.scales.iter().any(|scale| scale.over.is_none() && scale.fits) {
            continue;
        }
        for (n, step) in row.steps.iter().enumerate() {
            rows.push(cells(told, (at, row), step, n));
        }
    }
    if rows.is_empty() {
        return vec![Piece::Paragraph("None.".to_owned())];
    }
    let columns = vec![
        words("row", 8),
        words("what, and where", 30),
        words("limits", 26),
        words("readings", 22),
        words("judged on", 18),
        words("margin", 10),
        words("state", 22),
    ];
    vec![Piece::Table { columns, rows }]
}

fn cells(told: &ReportInput, (at, row): RowHistory, step: &Step, n: usize) -> Vec<Cell> {
    let (line, name) = (at.line, &at.row.name);
    let last = n + 1 == row.steps.len();
    let what = match (n, name.is_empty()) {
        (0, true) => line.name.clone(),
        (0, false) => format!("{}: {name}", line.name),
        _ if last => format!("as left: {}", said(step)),
        _ => said(step),
    };
    let unit = &told.case.limits.lines[line.line].unit;
    // The figure of a single reading is the reading.
    let figures: Vec<String> = step
        .verdict
        .figures
        .iter()
        .filter(|figure| !matches!(figure.name, Measure::Reading | Measure::Number))
        .map(|figure| format!("{} {}", figure.name, figure.value))
        .collect();
    let state = if last {
        crate::record::state_words(row, step)
    } else {
        format!("was {}", step.verdict.state)
    };
    vec![
        // Every step says whose it is: a page may begin with any of them.
        Cell::bold(row.code.as_str()),
        Cell::plain(what),
        Cell::plain(if n == 0 { line.limits.as_str() } else { "" }),
        Cell::plain(with_unit(line, step, unit)),
        Cell::plain(figures.join(", ")),
        Cell::plain(
            step.verdict
                .margin
                .filter(|m| !m.is_negative())
                .map(|m| m.to_string())
                .unwrap_or_default(),
        ),
        Cell { text: state, bold: last && row.blocks() },
    ]
}

/// The readings with their unit; ticks, counts and blanks have none.
fn with_unit(line: &LineRows, step: &Step, unit: &Unit) -> String {
    let text = typed(line, step);
    let measured = line.has_boxes()
        && text.ends_with(|last: char| last.is_ascii_digit())
        && line.groups.iter().any(|group| {
            group.unit != Unit::read("number") && matches!(group.shape, BoxKind::Comb { .. })
        });
    if measured { format!("{text} {unit}") } else { text }
}

fn said(step: &Step) -> String {
    let why = step.why.map(why_word).unwrap_or_default();
    match step.what.as_str() {
        "" => why.to_owned(),
        what => format!("{why}, {what}"),
    }
}

/// The readings as typed, digit for digit.
fn typed(line: &LineRows, step: &Step) -> String {
    if !line.has_boxes() {
        return "readings of the same feature".to_owned();
    }
    let mut words = Vec::new();
    for side in &step.sides {
        let marks = line
            .groups
            .iter()
            .any(|group| group.key == side.key && matches!(group.shape, BoxKind::Marks { .. }));
        if marks {
            words.push(ticks(side.key, &side.marks));
            for (tooth, leaf, entered) in &side.leaves {
                let how = if *entered { "entered" } else { "refused" };
                words.push(format!("{tooth}: {leaf} {how}"));
            }
        } else {
            words.push(boxes(side));
        }
    }
    words.retain(|word| !word.is_empty());
    words.join(", ")
}

fn ticks(key: Group, marks: &[Mark]) -> String {
    let ok = marks.iter().filter(|mark| **mark == Mark::Ok).count();
    let crossed: Vec<String> = marks
        .iter()
        .enumerate()
        .filter(|(_, mark)| **mark == Mark::Found)
        .map(|(n, _)| (n + 1).to_string())
        .collect();
    let name = if key == Group::NoGo { "NO-GO refused" } else { "GO entered" };
    let mut words = format!("{name} at {ok} of {}", marks.len());
    if !crossed.is_empty() {
        words.push_str(&format!(", not at {}", crossed.join(", ")));
    }
    words
}

fn boxes(side: &SideReadings) -> String {
    let typed = side.boxes.iter().map(|b| b.as_ref().map_or("-", |typed| &*typed.text));
    let all: Vec<&str> = typed.collect();
    if all.iter().all(|text| *text == "-") { String::new() } else { all.join(" ") }
}

/// Readings that another replaced: both, who, when and why.
pub fn superseded(told: &ReportInput) -> Vec<Piece> {
    let mut rows = Vec::new();
    for (_, row) in told.rows().filter(|(at, _)| at.line.has_boxes()) {
        for pair in row.steps.windows(2) {
            let [before, after] = pair else { continue };
            for (was, now) in before.sides.iter().zip(&after.sides).filter(|(_, now)| now.fresh) {
                rows.push(vec![
                    Cell::bold(&row.code),
                    Cell::plain(now.key.word()),
                    Cell::plain(boxes(was)),
                    Cell::plain(boxes(now)),
                    Cell::plain(after.why.map(reason).unwrap_or_default()),
                    Cell::plain(&after.what),
                    Cell::plain(&after.who),
                ]);
            }
        }
    }
    if rows.is_empty() {
        return vec![Piece::Paragraph("None.".to_owned())];
    }
    let columns = vec![
        words("row", 8),
        words("boxes", 8),
        words("was", 16),
        words("replaced by", 16),
        words("why", 16),
        words("what was done", 24),
        words("who, when, gauge", 32),
    ];
    vec![Piece::Table { columns, rows }]
}

fn reason(why: Why) -> &'static str {
    why_word(why)
}
