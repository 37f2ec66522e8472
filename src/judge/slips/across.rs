//! Slips that only several rows together show: values in each other's boxes,
//! and copied columns.

use super::exchange::{ask_boxes, exchanged_boxes, like, whole_exchanged};
use super::side::Measured;
use super::signature::{Question, Slip};
use crate::judge::side::SideReadings;
use crate::judge::types::Context;
use crate::model::limits::{Gauges, Line};
use crate::model::side::BoxId;
use crate::model::text::Number;
use crate::quantity::Exact;
use std::collections::BTreeMap;

/// A row among the rows of a record, in paper order.
#[derive(Clone, Copy, Debug)]
pub struct RowSeen<'a> {
    pub code: &'a str,
    pub line: &'a Line,
    pub row: &'a [SideReadings],
    /// Which sheet it stands on.
    pub sheet: usize,
    /// Which of its line's places it is.
    pub place: usize,
}

/// As many identical readings as make a column suspect.
const COPIED: usize = 6;

/// Every question that rows raise together, each with the index of its row.
pub fn question(rows: &[RowSeen], cx: &Context) -> Vec<(usize, Question)> {
    let mut asked = exchanges(rows, cx);
    asked.extend(copied(rows));
    asked
}

/// Exchanges between neighbours on a sheet, and between two lines of a sheet
/// at the same place: intake and exhaust.
fn exchanges(rows: &[RowSeen], cx: &Context) -> Vec<(usize, Question)> {
    let measured = rows.iter().enumerate().filter_map(|(at, seen)| {
        let cx = &Context { place: Some(seen.place), ..*cx };
        let sides = Measured::of_row(seen.line, seen.row, cx);
        let odd = sides.iter().any(|side| side.filled.iter().any(|filled| side.stands_out(filled)));
        odd.then_some((at, sides))
    });
    let odd: Vec<(usize, Vec<Measured>)> = measured.collect();
    let mut asked = Vec::new();
    let mut by_place: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (n, (at, _)) in odd.iter().enumerate() {
        let seen = &rows[*at];
        let earlier = by_place.entry((seen.sheet, seen.place)).or_default();
        let before = n
            .checked_sub(1)
            .filter(|before| odd[*before].0 + 1 == *at && rows[odd[*before].0].sheet == seen.sheet);
        let reference = &seen.line.reference.text;
        let others = earlier
            .iter()
            .copied()
            .filter(|m| Some(*m) != before && rows[odd[*m].0].line.reference.text != *reference);
        for m in before.into_iter().chain(others) {
            between(rows, &odd[m], &odd[n], &mut asked);
        }
        earlier.push(n);
    }
    asked
}

fn between(
    rows: &[RowSeen],
    (one, ours): &(usize, Vec<Measured>),
    (other, theirs): &(usize, Vec<Measured>),
    asked: &mut Vec<(usize, Question)>,
) {
    let (code, other_code) = (rows[*one].code, rows[*other].code);
    for (mine, yours) in ours.iter().flat_map(|mine| theirs.iter().map(move |y| (mine, y))) {
        if !like(mine, yours) {
            continue;
        }
        // One column's boxes only: journals worn oval alike would otherwise
        // seem exchanged, one's A with the other's B.
        let column =
            exchanged_boxes(mine, yours).into_iter().filter(|(a, b)| a.at.index == b.at.index);
        for (a, b) in column {
            asked.push((*one, ask_boxes(a, b, other_code)));
            asked.push((*other, ask_boxes(b, a, code)));
        }
        let confirmed = mine.confirmed() || yours.confirmed();
        if !confirmed && whole_exchanged(mine, yours) {
            asked.push((*one, ask_whole(mine, yours, other_code)));
            asked.push((*other, ask_whole(yours, mine, code)));
        }
    }
}

fn ask_whole(mine: &Measured, theirs: &Measured, other_code: &str) -> Question {
    let likely = theirs.texts();
    let cause = format!(
        "{} reads {} and {other_code} {} reads {likely}: in each other's boxes",
        mine.key,
        mine.texts(),
        theirs.key
    );
    let boxes = mine.boxes();
    Question { slip: Slip::Exchanged, cause, boxes, likely: Some(likely), hold: false }
}

/// All that was read down one line's column.
#[derive(Default)]
struct Column {
    first: Option<Exact>,
    /// Every reading is the first one again.
    same: bool,
    count: usize,
    rows: Vec<(usize, Vec<BoxId>)>,
}

/// Columns of six or more readings without any spread: all the readings of one
/// side of a line on one sheet. For the quality manager: it is a question of
/// how the sheet was filled in, not of a reading.
fn copied(rows: &[RowSeen]) -> Vec<(usize, Question)> {
    let mut columns: BTreeMap<(usize, &str, &str), Column> = BTreeMap::new();
    for (at, seen) in rows.iter().enumerate() {
        if !matches!(seen.line.gauges(), Gauges::Needed(_)) {
            continue;
        }
        for side in seen.row {
            let key = (seen.sheet, seen.line.reference.as_str(), side.key.word());
            let column = columns.entry(key).or_insert(Column { same: true, ..Column::default() });
            let mut boxes = Vec::new();
            for (index, typed) in side.boxes.iter().enumerate() {
                let open = typed.as_ref().filter(|_| !side.is_confirmed(index));
                let Some(Number { value, .. }) = open else { continue };
                let first = *column.first.get_or_insert(*value);
                column.same &= first == *value;
                column.count += 1;
                boxes.push(BoxId { group: side.key, index });
            }
            column.rows.push((at, boxes));
        }
    }
    let suspect = columns.into_iter().filter(|(_, column)| column.same && column.count >= COPIED);
    suspect.flat_map(|((_, line, key), column)| hold(line, key, column)).collect()
}

fn hold(line: &str, key: &str, column: Column) -> Vec<(usize, Question)> {
    let value = column.first.unwrap_or_default();
    let cause = format!(
        "{line}: all {} {key} readings are {value}, no spread anywhere: copied? for the quality \
         manager",
        column.count
    );
    let ask = |(row, boxes): (usize, Vec<_>)| {
        let cause = cause.clone();
        (row, Question { slip: Slip::Copied, cause, boxes, likely: None, hold: true })
    };
    column.rows.into_iter().filter(|(_, boxes)| !boxes.is_empty()).map(ask).collect()
}
