//! Every row that is not a fit, and every reading that was replaced.

use super::input::{ReportInput, words};
use crate::judge::{BoxGroup, BoxKind, Measure, SideReadings, State};
use crate::model::record::Mark;
use crate::model::side::{Group, Side};
use crate::quantity::Unit;
use crate::record::{History, RowHistory, Step, flags, said, state_word, state_words};
use crate::report::types::{Cell, Piece, TableGroup};
use crate::sheet::LineRows;

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let fits = |line: &LineRows| line.scales.iter().any(|scale| scale.over.is_none() && scale.fits);
    let rows: Vec<RowHistory> = told.rows().filter(|(at, _)| !fits(at.line)).collect();
    let of_line = |one: &RowHistory, next: &RowHistory| one.0.line.line == next.0.line.line;
    let groups: Vec<TableGroup> = rows
        .chunk_by(of_line)
        .map(|rows| {
            let mut group = group(rows[0].0.line);
            for run in rows.chunk_by(|one, next| quiet(told, *one) && quiet(told, *next)) {
                group.rows.extend(self::rows(told, run));
            }
            group
        })
        .collect();
    if groups.is_empty() {
        return vec![Piece::Paragraph("None.".to_owned())];
    }
    let columns = vec![
        words("row", 8),
        words("what, where, limits", 42),
        words("readings", 24),
        words("judged on", 26),
        words("margin", 9),
        words("state", 32),
    ];
    vec![Piece::Grouped { columns, groups }]
}

/// A line of several places has its name and its limits over them.
fn group(line: &LineRows) -> TableGroup {
    let alone = line.rows.len() == 1;
    let head = || {
        let name = crate::model::text::capital(&line.name);
        vec![Cell::bold(&line.reference), Cell::bold(name), Cell::plain(&line.limits)]
    };
    TableGroup { head: if alone { Vec::new() } else { head() }, rows: Vec::new() }
}

/// Whether a row has nothing to say of its own: read once, inside new limits and
/// not near one, or only recorded.
fn quiet(told: &ReportInput, (at, row): RowHistory) -> bool {
    let marks = |group: &BoxGroup| matches!(group.shape, BoxKind::Marks { .. });
    let [step] = row.steps.as_slice() else { return false };
    matches!(row.state, State::New | State::Recorded)
        && row.state == step.verdict.state
        && flags(step).is_empty()
        && row.asks.is_empty()
        && !at.line.groups.iter().any(marks)
        && mirror(told, (at, row)).is_none()
}

/// Every step of a row; rows that have nothing to say of their own stand in one, in
/// the order of their places, with the least margin of all.
fn rows(told: &ReportInput, run: &[RowHistory]) -> Vec<Vec<Cell>> {
    let [(at, row), .., last] = run else {
        let steps = run.iter().flat_map(|row| row.1.steps.iter().map(move |step| (*row, step)));
        return steps.enumerate().map(|(n, (row, step))| cells(told, row, step, n)).collect();
    };
    let steps = || run.iter().flat_map(|(_, row)| &row.steps);
    let unit = &told.case.limits.lines[at.line.line].unit;
    let each: Vec<String> = steps().map(|step| typed(at.line, step)).collect();
    let several = each.iter().any(|typed| typed.contains(' '));
    let read = match at.line.has_boxes() {
        true => each.join(if several { "; " } else { ", " }),
        false => typed(at.line, &row.steps[0]),
    };
    let places = last.1.code.strip_prefix(at.line.reference.as_str()).unwrap_or(&last.1.code);
    let margin = steps().filter_map(|step| step.verdict.margin).min();
    vec![vec![
        Cell::bold(format!("{}-{places}", row.code)),
        Cell::plain(format!("{} to {}", at.row.name, last.0.row.name)),
        Cell::plain(in_unit(at.line, read, unit)),
        Cell::plain(together(steps().map(figures))),
        Cell::plain(margin.map(|margin| margin.to_string()).unwrap_or_default()),
        Cell::plain(row.steps.last().map(|step| state_words(row, step)).unwrap_or_default()),
    ]]
}

/// `roundness 0.0002, 0.0001`: what they all begin with is said once.
fn together(each: impl Iterator<Item = String>) -> String {
    let each: Vec<String> = each.filter(|words| !words.is_empty()).collect();
    let Some(first) = each.first() else { return String::new() };
    let name = first.find(|c: char| c.is_ascii_digit()).map_or("", |at| &first[..at]);
    let alike = each.iter().all(|words| words.starts_with(name));
    let cut = |words: &String| words[if alike { name.len() } else { 0 }..].to_owned();
    let rest: Vec<String> = each.iter().map(cut).collect();
    format!("{}{}", if alike { name } else { "" }, rest.join(", "))
}

fn cells(told: &ReportInput, (at, row): RowHistory, step: &Step, n: usize) -> Vec<Cell> {
    let (line, name) = (at.line, &at.row.name);
    let last = n + 1 == row.steps.len();
    let alone = line.rows.len() == 1;
    let what = match n {
        0 if alone => format!("{}: {}", at.named(&line.name), line.limits),
        0 => name.clone(),
        _ if last => format!("as left: {}", said(step)),
        _ => said(step),
    };
    let unit = &told.case.limits.lines[line.line].unit;
    let mirror = mirror(told, (at, row));
    let judged_on = match mirror {
        Some(other) => format!("as {other}, reversed"),
        None => figures(step),
    };
    let margin = step.verdict.margin.filter(|m| !m.is_negative() && mirror.is_none());
    let state = if last {
        state_words(row, step)
    } else {
        format!("was {}", state_word(&step.verdict.state, &step.verdict))
    };
    vec![
        // Every step says whose it is: a page may begin with any of them.
        Cell::bold(row.code.as_str()),
        Cell::plain(what),
        Cell::plain(with_unit(line, step, unit)),
        Cell::plain(judged_on),
        Cell::plain(margin.map(|m| m.to_string()).unwrap_or_default()),
        Cell { text: state, bold: last && row.blocks() },
    ]
}

/// What is worked out of the readings, the least and the greatest of one thing
/// together. The figure of a single reading is the reading.
pub fn figures(step: &Step) -> String {
    let verdict = &step.verdict;
    let mut words: Vec<String> = Vec::new();
    for figure in &verdict.figures {
        let (name, value) = (figure.name, figure.value);
        let to = |most| verdict.figure(most).map(|most| format!("{value} to {most}"));
        let said = match name {
            Measure::Reading | Measure::Number => None,
            Measure::Smallest(Side::Only) => to(Measure::Largest(Side::Only)),
            Measure::LeastTaper => to(Measure::MostTaper).map(|span| format!("taper {span}")),
            Measure::Largest(Side::Only)
                if verdict.figure(Measure::Smallest(Side::Only)).is_some() =>
            {
                None
            }
            Measure::MostTaper if verdict.figure(Measure::LeastTaper).is_some() => None,
            name => Some(format!("{name} {value}")),
        };
        words.extend(said);
    }
    words.join(", ")
}

/// The row that says the same with the other sign: a taper that is negative is
/// the choke beside it, and is told there.
fn mirror<'a>(told: &'a ReportInput, (at, row): RowHistory) -> Option<&'a str> {
    let ends = |row: &History| {
        let verdict = &row.last()?.verdict;
        verdict.figure(Measure::LeastTaper).zip(verdict.figure(Measure::MostTaper))
    };
    let (least, most) = ends(row)?;
    let feature = at.line.groups.first()?.feature?;
    let negative = !least.is_positive() && !most.is_positive() && least.is_negative();
    let mut others = told.rows().filter(|_| negative);
    let found = others.find(|(other, history)| {
        let same = other.line.groups.first().and_then(|group| group.feature) == Some(feature);
        same && other.row.place == at.row.place && ends(history) == Some((-most, -least))
    });
    found.map(|(other, _)| other.row.code.as_str())
}

/// The readings with their unit; ticks, counts and blanks have none.
fn with_unit(line: &LineRows, step: &Step, unit: &Unit) -> String {
    in_unit(line, typed(line, step), unit)
}

fn in_unit(line: &LineRows, text: String, unit: &Unit) -> String {
    let measured = line.has_boxes()
        && text.ends_with(|last: char| last.is_ascii_digit())
        && line.groups.iter().any(|group| {
            group.unit != Unit::read("number") && matches!(group.shape, BoxKind::Comb { .. })
        });
    if measured { format!("{text} {unit}") } else { text }
}

/// The readings as typed, digit for digit.
fn typed(line: &LineRows, step: &Step) -> String {
    if !line.has_boxes() {
        return "of the same feature".to_owned();
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

/// Readings that another replaced: both, each with who, when and with what, and
/// why.
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
                    Cell::plain(taken(was)),
                    Cell::plain(boxes(now)),
                    Cell::plain(&after.who),
                    Cell::plain(said(after)),
                ]);
            }
        }
    }
    if rows.is_empty() {
        return vec![Piece::Paragraph("None.".to_owned())];
    }
    let columns = vec![
        words("row", 6),
        words("boxes", 5),
        words("was", 25),
        words("first by, on, with", 19),
        words("replaced by", 25),
        words("then by, on, with", 22),
        words("why, and what was done", 34),
    ];
    vec![Piece::Table { columns, rows }]
}

/// Who took the readings of a side, when and with what; each once.
fn taken(side: &SideReadings) -> String {
    let mut all: Vec<String> = Vec::new();
    for (_, source) in side.taken() {
        let words = source.in_words();
        if !words.is_empty() && !all.contains(&words) {
            all.push(words);
        }
    }
    all.join("; ")
}
