//! Every row of a report as a line of one table, which holds many reports.

mod cells;
mod columns;
mod lines;
mod moment;

pub use columns::{Column, Holds, SCHEMA, columns};
pub use lines::{Form, head, known};
pub use moment::{Ends, Moment, ends};

use super::sections::last_day;
use crate::analysis::wear::said_hours;
use crate::model::Case;
use crate::model::record::{Change, Record};
use crate::model::side::Side;
use crate::model::text::Text;
use crate::record::{History, Judged, JudgedItem, RowHistory, why_word};
use crate::sheet::{LineRows, SheetSet};
use cells::{Cell, figure, joined, said, text};
use columns::{MOMENT, PARTS, REPORT, ROW, SIDE, SIDES};
use std::collections::BTreeSet;

/// What is known of a report beside what its own files say.
#[derive(Clone, Debug)]
pub struct Proven {
    /// Its file below the folder.
    pub report: String,
    pub digest: String,
    /// Of the verdicts worked out anew.
    pub record: String,
    pub verified: Verified,
    pub fault: Option<String>,
    pub signed_by: Vec<String>,
    pub vouched: bool,
    pub status: &'static str,
}

/// Whether a report is what its own files give, and signed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verified {
    Good,
    /// Nothing is wrong with it, and nobody has signed.
    Unsigned,
    NotGood,
}

impl Verified {
    pub const fn word(self) -> &'static str {
        match self {
            Verified::Good => "good",
            Verified::Unsigned => "unsigned",
            Verified::NotGood => "not good",
        }
    }
}

/// A report's own files, judged.
#[derive(Clone, Copy)]
pub struct Worked<'a> {
    pub case: &'a Case,
    pub set: &'a SheetSet,
    pub judged: &'a Judged,
}

/// The lines of a report: its rows, then the parts that were renewed, then what
/// was changed.
pub fn table(form: Form, worked: Worked<'_>, proven: &Proven) -> String {
    let mut text = String::new();
    let report = report(worked, proven);
    let blank = Record::blank(&worked.set.number);
    let record = worked.case.record.as_ref().unwrap_or(&blank);
    let mut put = |row: [Cell; ROW.len()], moments: [Vec<Cell>; 2], parts: [Cell; PARTS.len()]| {
        let key = [Some(SCHEMA.to_owned()), Some(proven.digest.clone())];
        let cells = key.into_iter().chain(report.iter().cloned()).chain(row);
        let cells: Vec<Cell> = cells.chain(moments.into_iter().flatten()).chain(parts).collect();
        text.push_str(&form.line(&cells));
    };
    for row in worked.judged.rows_of(worked.set) {
        let (ends, history) = (ends(worked.case, row), row.1);
        let moments = [moment(&ends, &ends.found), moment(&ends, &ends.left)];
        put(self::row(worked, row, &ends), moments, parts(record, &ends.left));
        debug_assert_eq!(history.code, row.0.row.code);
    }
    let none = || [vec![None; WHEN], vec![None; WHEN]];
    for item in &worked.judged.items {
        if let Some((row, parts)) = renewed(worked, item) {
            put(row, none(), parts);
        }
    }
    for change in &record.changes {
        let mut left = vec![None; WHEN];
        left[0] = Some(why_word(change.why.0).to_owned());
        left[1] = said(&change.what);
        left[2] = Some(crate::record::who(
            change.by.as_ref().map(Text::as_str),
            change.on.as_ref().map(|(day, _)| *day),
            &[],
        ));
        put(changed(worked, change), [vec![None; WHEN], left], of_changes(&[change]));
    }
    text
}

/// Cells of one moment.
const WHEN: usize = MOMENT.len() + SIDES.len() * SIDE.len();

fn report(Worked { case, set, .. }: Worked<'_>, proven: &Proven) -> [Cell; REPORT.len()] {
    let head = &set.head;
    let hours = said_hours(case);
    let last = case.record.as_ref().and_then(last_day);
    [
        text(&proven.report),
        text(proven.verified.word()),
        proven.fault.clone(),
        joined(&proven.signed_by),
        text(if proven.vouched { "yes" } else { "no" }),
        text(&proven.record),
        text(proven.status),
        last.map(|day| day.to_string()),
        text(&head.job),
        text(&head.engine),
        text(&head.serial),
        said(&case.job.hours),
        figure(hours.since_new),
        figure(hours.since_overhaul),
        text(&head.limits),
        text(&head.document),
        text(&head.revision),
        text(&head.scope),
        text(&head.rule),
        text(&set.number),
    ]
}

fn row(Worked { case, .. }: Worked<'_>, (at, row): RowHistory, ends: &Ends) -> [Cell; ROW.len()] {
    let line = &case.limits.lines[at.line.line];
    let verdict = row.last().map(|step| &step.verdict);
    let [new_min, new_max, service_min, service_max] = ends.limits;
    [
        text("row"),
        text(&row.code),
        text(&at.sheet.1.letter),
        text(line.reference.as_str()),
        text(line.kind_word()),
        text(line.name.as_str()),
        text(&at.row.name),
        size_of(case, at.line).map(|side| side.to_string()),
        text(&ends.unit.to_string()),
        text(&at.line.limits),
        figure(new_min),
        figure(new_max),
        figure(service_min),
        figure(service_max),
        text(row.state.word()),
        verdict.and_then(|verdict| joined(verdict.flags.iter().map(ToString::to_string))),
        joined(row.beyond().iter().map(|beyond| match beyond.by {
            Some(by) => format!("{} {by}", beyond.side),
            None => beyond.side.clone(),
        })),
        figure(verdict.and_then(|verdict| verdict.margin)),
        figure(verdict.and_then(|verdict| verdict.chance)),
        row.accepted.clone(),
        joined(row.asks.iter().map(|ask| format!("{}: {}", ask.state.word(), ask.why))),
        Some(row.steps.len().to_string()),
        joined(gauges(row)),
    ]
}

/// What the boxes of rows without a mate are the size of.
fn size_of(case: &Case, line: &LineRows) -> Option<Side> {
    let mut own = line.own().filter(|group| group.key == Side::Only.into());
    let feature = own.find_map(|group| group.feature)?;
    Some(case.engine.features[feature].side).filter(|side| *side != Side::Only)
}

/// Each gauge once, in the order of the alphabet.
fn gauges(row: &History) -> BTreeSet<&str> {
    let sides = row.steps.iter().flat_map(|step| &step.sides);
    let sources = sides.flat_map(|side| side.taken().map(|(_, source)| source));
    sources.flat_map(|source| &source.gauges).map(Text::as_str).collect()
}

fn moment(ends: &Ends, moment: &Option<Moment>) -> Vec<Cell> {
    let Some(moment) = moment else { return vec![None; WHEN] };
    let step = moment.step;
    let (least, most) = moment.ends.unzip();
    let own: [Cell; MOMENT.len()] = [
        step.why.and_then(|why| text(why_word(why))),
        text(&step.what),
        text(&step.who),
        text(step.verdict.state.word()),
        figure(least),
        figure(most),
        figure(moment.margin),
    ];
    let sides = SIDES.into_iter().flat_map(|side| moment::side(step, side, &ends.unit));
    own.into_iter().chain(sides).collect()
}

/// The parts that the readings of a moment are of, where the record changed
/// them.
fn parts(record: &Record, left: &Option<Moment>) -> [Cell; PARTS.len()] {
    let sides = left.iter().flat_map(|moment| &moment.step.sides);
    let changes: BTreeSet<usize> =
        sides.flat_map(|side| side.changes.iter().chain(&side.gone)).copied().collect();
    let changes: Vec<&Change> = changes.iter().filter_map(|n| record.changes.get(*n)).collect();
    of_changes(&changes)
}

fn of_changes(changes: &[&Change]) -> [Cell; PARTS.len()] {
    let all = |of: fn(&Change) -> &Option<Text>| {
        joined(changes.iter().filter_map(|change| said(of(change))).collect::<BTreeSet<_>>())
    };
    let document =
        changes.iter().flat_map(|change| [said(&change.document), said(&change.data)]).flatten();
    [
        None,
        all(|change| &change.number),
        all(|change| &change.batch),
        joined(document.collect::<BTreeSet<_>>()),
    ]
}

fn renewed(
    Worked { set, .. }: Worked<'_>,
    item: &JudgedItem,
) -> Option<([Cell; ROW.len()], [Cell; PARTS.len()])> {
    let parts = item.renewed.as_ref()?.each_ref().map(|said| text(said));
    let letter = &set.sheets[item.sheet].letter;
    let mut row = [const { None }; ROW.len()];
    row[0] = text("renewed");
    row[1] = Some(format!("{letter} {}", item.number));
    row[2] = text(letter);
    row[5] = text(&item.text);
    row[14] = text(item.state.word());
    Some((row, parts))
}

fn changed(Worked { case, .. }: Worked<'_>, change: &Change) -> [Cell; ROW.len()] {
    let part = case.engine.part(change.part.as_str()).map(|n| &case.engine.parts[n]);
    let mut row = [const { None }; ROW.len()];
    row[0] = text("change");
    row[1] = text(change.part.as_str());
    row[5] = part.and_then(|part| text(part.name.as_str()));
    let places: Vec<&str> = change.places.iter().map(Text::as_str).collect();
    row[6] = text(&places.join(" "));
    row
}
