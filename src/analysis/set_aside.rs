//! Parts set aside: those that wait for a decision, and those that were taken
//! out for good. What the record says of each, for the tag wired to it.

use crate::judge::{BoxKind, SideReadings, State};
use crate::model::Case;
use crate::model::engine::Part;
use crate::model::id::PartId;
use crate::model::record::{Change, Record, Why};
use crate::model::side::Group;
use crate::model::text::{Number, Text};
use crate::record::{History, Judged, RowHistory, Step};
use crate::sheet::{LineRows, MarksKind, Row, Sheet, SheetBlock, SheetSet};

/// Why a part is set aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Disposition {
    /// Out or on hold: nothing is decided yet.
    Quarantine,
    /// Another part took its place.
    Scrap,
}

/// One part set aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aside {
    pub disposition: Disposition,
    /// Of the first row or item that names it: `C2`, `L 3`.
    pub code: String,
    pub part: String,
    /// In words; empty for a part that all places share.
    pub place: String,
    /// Caption and what the record says.
    pub said: Vec<(String, String)>,
}

/// The part behind a row, and its place where single parts of its name sit.
type PartAt = (Option<PartId>, Option<(usize, usize)>);

/// Quarantine first, in the order of the sheets; then scrap, in the order of
/// the record. A row in query asks for another reading, not for a decision; an
/// out accepted on data has had its decision.
pub fn set_aside(case: &Case, set: &SheetSet, record: &Record, judged: &Judged) -> Vec<Aside> {
    let mut all: Vec<(PartAt, Aside)> = Vec::new();
    for (at, row) in judged.rows_of(set).filter(|(_, row)| waits(row)) {
        for (part, name) in concerned(case, (at, row)) {
            let said = row_said((at, row));
            match all.iter_mut().find(|(known, _)| *known == part && part.0.is_some()) {
                Some((_, aside)) => aside.said.extend(said),
                None => {
                    let place = if part.1.is_some() { at.row.name.clone() } else { String::new() };
                    let code = row.code.clone();
                    all.push((
                        part,
                        Aside {
                            disposition: Disposition::Quarantine,
                            code,
                            part: name,
                            place,
                            said,
                        },
                    ));
                }
            }
        }
    }
    let mut all: Vec<Aside> = all.into_iter().map(|(_, aside)| aside).collect();
    all.extend(found(set, judged));
    let changed = record.changes.iter().enumerate();
    let changed = changed.filter(|(_, change)| change.why.0 == Why::PartChanged);
    all.extend(changed.flat_map(|(n, _)| scrapped(case, set, record, judged, n)));
    all
}

/// Out and not accepted, or read and on hold.
fn waits(row: &History) -> bool {
    let read = row.last().is_some_and(|step| step.sides.iter().any(|s| s.taken().next().is_some()));
    match row.state {
        State::Out(_) => !row.is_accepted(),
        State::Hold => read,
        _ => false,
    }
}

/// Whose part a side of a row is read on; the line's own where it names one.
fn part_of(case: &Case, line: &LineRows, row: &Row, key: Group) -> PartAt {
    let group = line.groups.iter().find(|group| group.key == key);
    let part = case.part_of(line.line, group.and_then(|group| group.feature));
    (part, part.and_then(|part| case.engine.place_of(part, row.place)))
}

/// The parts of a row that wait: those that are out by themselves; both of a
/// fit where it alone is out, for either may be changed.
fn concerned(case: &Case, (at, row): RowHistory) -> Vec<(PartAt, String)> {
    let line = at.line;
    let Some(step) = row.last() else { return Vec::new() };
    let parts = &step.verdict.parts;
    let out = |side: &&SideReadings| {
        parts.iter().any(|part| {
            part.side.map(Group::from) == Some(side.key) && matches!(part.state, State::Out(_))
        })
    };
    let mut sides: Vec<&SideReadings> = step.sides.iter().filter(out).collect();
    if sides.is_empty() {
        sides = step.sides.iter().collect();
    }
    let mut found: Vec<(PartAt, String)> = Vec::new();
    for side in sides {
        let part = part_of(case, line, at.row, side.key);
        let named = |id| {
            let whole: &Part = &case.engine.parts[id];
            if part.1.is_some() { whole.single() } else { &whole.name }.to_string()
        };
        let name = part.0.map_or_else(|| line.name.clone(), named);
        if !found.iter().any(|(known, _)| *known == part) {
            found.push((part, name));
        }
    }
    found
}

fn row_said((at, row): RowHistory) -> Vec<(String, String)> {
    let Some(step) = row.last() else { return Vec::new() };
    let mut said = vec![(row.code.clone(), format!("{}: {}", at.line.name, row.state))];
    said.extend(figures(step));
    said.extend(
        row.asks
            .iter()
            .filter(|ask| ask.state == State::Hold)
            .map(|ask| ("on hold".to_owned(), ask.why.clone())),
    );
    said
}

/// What stands in the boxes of each side, with who read it.
fn figures(step: &Step) -> Vec<(String, String)> {
    let each = step.sides.iter().filter_map(|side| {
        let boxes = readings(side)?;
        let (_, source) = side.taken().next()?;
        let mut said = vec![boxes, source.in_words()];
        said.retain(|words| !words.is_empty());
        Some((side.key.to_string(), said.join(", ")))
    });
    each.collect()
}

fn readings(side: &SideReadings) -> Option<String> {
    let typed =
        |value: &Option<Number>| value.as_ref().map_or("-".to_owned(), |v| v.text.to_string());
    let blank = side.boxes.iter().all(Option::is_none);
    (!blank).then(|| side.boxes.iter().map(typed).collect::<Vec<_>>().join(" "))
}

/// What was found and nobody has decided about.
fn found(set: &SheetSet, judged: &Judged) -> Vec<Aside> {
    let waiting = judged.items.iter().filter(|item| item.state == State::Hold);
    let each = waiting.flat_map(|item| {
        let letter = &set.sheets[item.sheet].letter;
        item.found.iter().filter(|found| found.done.is_empty()).map(move |found| {
            let mut said = vec![("found".to_owned(), found.what.clone())];
            if !found.by.is_empty() {
                said.push(("by".to_owned(), found.by.clone()));
            }
            Aside {
                disposition: Disposition::Quarantine,
                code: format!("{letter} {}", item.number),
                part: item.text.clone(),
                place: found.place.clone(),
                said,
            }
        })
    });
    each.collect()
}

/// A tag for every part that a change took out.
fn scrapped(case: &Case, set: &SheetSet, record: &Record, judged: &Judged, n: usize) -> Vec<Aside> {
    let change = &record.changes[n];
    let Some(part) = case.engine.part(change.part.as_str()) else { return Vec::new() };
    let whole = &case.engine.parts[part];
    let places: Vec<Option<(usize, usize)>> = match whole.at {
        None => vec![None],
        Some(places) => {
            let all = case.engine.places[places].places.iter().enumerate();
            let named = all.filter(|(_, place)| place.is_among(&change.places));
            named.map(|(n, _)| Some((places, n))).collect()
        }
    };
    let tag = |place: Option<(usize, usize)>| {
        let at = (Some(part), place);
        let name = place.map(|(set, n)| &case.engine.places[set].places[n]);
        let mut said = last_read(case, set, record, judged, n, at);
        said.extend(taken_out(change));
        Aside {
            disposition: Disposition::Scrap,
            code: code(case, set, at).unwrap_or_else(|| {
                let sheet = sheet_of(set, part).into_iter();
                let own = sheet.chain(name.map(|place| place.code.to_string()));
                own.collect::<Vec<_>>().join("/")
            }),
            part: if place.is_some() { whole.single() } else { &whole.name }.to_string(),
            place: name.map(|n| n.name.to_string()).unwrap_or_default(),
            said,
        }
    };
    places.into_iter().map(tag).collect()
}

/// The code of the part's position tag.
fn code(case: &Case, set: &SheetSet, at: PartAt) -> Option<String> {
    let mut lines = set.sheets.iter().flat_map(Sheet::lines).filter(|line| line.has_boxes());
    lines.find_map(|line| {
        let own = line.own();
        let row = own.flat_map(|group| line.rows.iter().map(move |row| (row, group.key)));
        let mut here = row.filter(|(row, key)| part_of(case, line, row, *key) == at);
        let (row, _) = here.next()?;
        Some(if at.1.is_some() { row.code.clone() } else { line.reference.clone() })
    })
}

/// The letter of the sheet on which a part that nobody measures is looked over.
fn sheet_of(set: &SheetSet, part: PartId) -> Option<String> {
    let looks = |block: &SheetBlock| match block {
        SheetBlock::Marks(marks) if marks.kind == MarksKind::LookOver => {
            marks.items.iter().any(|item| item.parts.contains(&part))
        }
        _ => false,
    };
    let sheet = set.sheets.iter().find(|sheet| sheet.blocks.iter().any(looks))?;
    Some(sheet.letter.clone())
}

/// The last readings of the part that went, with what they were judged to be:
/// taken after the change that fitted it, and before its own.
fn last_read(
    case: &Case,
    set: &SheetSet,
    record: &Record,
    judged: &Judged,
    n: usize,
    at: PartAt,
) -> Vec<(String, String)> {
    let fitted = fitted_by(case, record, at);
    let gone = record.changes[n].on.as_ref().map(|(date, _)| *date);
    let mut said = Vec::new();
    for (here, row) in judged.rows_of(set).filter(|(here, _)| here.line.has_boxes()) {
        let line = here.line;
        for (m, group) in line.own().enumerate() {
            if matches!(group.shape, BoxKind::Words)
                || part_of(case, line, here.row, group.key) != at
            {
                continue;
            }
            let known =
                |side: &SideReadings, m: usize| side.gone.contains(&m) || side.changes.contains(&m);
            // A change that lets these readings stand does not tell them apart.
            let last = row.last().and_then(|step| step.sides.get(m));
            let told = |n: usize| last.is_some_and(|side| known(side, n));
            let earlier = fitted.iter().take_while(|m| **m != n).copied();
            let before = earlier.filter(|m| told(*m)).last();
            let of_old = |step: &&Step| {
                let here = |side: &SideReadings| {
                    fitted.iter().copied().rfind(|m| known(side, *m)) == before
                };
                let mut sources = step.sides.iter().flat_map(SideReadings::taken);
                let late = sources.any(|(_, source)| {
                    let read = source.on.as_ref().map(|(date, _)| *date);
                    read.zip(gone).is_some_and(|(read, gone)| read > gone)
                });
                step.sides.get(m).is_some_and(here) && !late
            };
            let read = |step: &&Step| step.sides.get(m).and_then(readings).is_some();
            let mut steps = row.steps.iter().rev().filter(of_old);
            let Some(step) = steps.find(read) else { continue };
            let Some(boxes) = step.sides.get(m).and_then(readings) else { continue };
            let state = &step.verdict.state;
            said.push((row.code.clone(), format!("{} {boxes}: {state}", group.key)));
        }
    }
    said
}

/// The changes that each fitted another part in this place, from the first day
/// to the last.
fn fitted_by(case: &Case, record: &Record, at: PartAt) -> Vec<usize> {
    let place = at.1.map(|(set, n)| &case.engine.places[set].places[n]);
    let fitted = |n: &usize| {
        let change = &record.changes[*n];
        change.why.0 == Why::PartChanged
            && case.engine.part(change.part.as_str()) == at.0
            && place.is_none_or(|place| place.is_among(&change.places))
    };
    crate::record::in_time(record).into_iter().filter(fitted).collect()
}

fn taken_out(change: &Change) -> Vec<(String, String)> {
    let word = |word: &Option<Text>| word.as_ref().map(Text::to_string).unwrap_or_default();
    let on = change.on.as_ref().map(|(date, _)| *date);
    let instead = [&change.number, &change.batch, &change.document].map(word);
    let instead: Vec<String> = instead.into_iter().filter(|word| !word.is_empty()).collect();
    let said = [
        ("taken out", crate::record::who(change.by.as_ref().map(Text::as_str), on, &[])),
        ("done", word(&change.what)),
        ("in its place", instead.join(", ")),
    ];
    said.into_iter()
        .filter(|(_, text)| !text.is_empty())
        .map(|(caption, text)| (caption.to_owned(), text))
        .collect()
}
