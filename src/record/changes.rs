//! Parts changed and reworked: which readings were taken after a change, which
//! are of a part that has gone, and what a change lacks.

use super::grades;
use super::index::RecordIndex;
use super::types::Issue;
use super::words::why_word;
use crate::judge::repeat::{Statement, lacks};
use crate::judge::{BoxGroup, PartState, Provenance, SideReadings, State};
use crate::model::id::PartId;
use crate::model::record::{Again, Change, Why};
use crate::model::text::Text;
use crate::sheet::At;

fn part_of(index: &RecordIndex, change: &Change) -> Option<PartId> {
    index.case.engine.part(change.part.as_str())
}

/// Whether a change concerns a row's place: everywhere, unless it names some of
/// the places at which single parts of this name sit.
pub fn concerns(index: &RecordIndex, change: &Change, place: Option<(usize, usize)>) -> bool {
    let engine = &index.case.engine;
    let own = part_of(index, change).and_then(|part| engine.place_of(part, place));
    own.is_none_or(|(set, n)| engine.places[set].places[n].is_among(&change.places))
}

/// The boxes of a group that belong to a change: all, but for a row that has
/// one box a place.
pub fn boxes(index: &RecordIndex, change: &Change, at: &At, group: &BoxGroup) -> Vec<bool> {
    let count = group.labels.len();
    let line = &index.case.limits.lines[at.line.line];
    let engine = &index.case.engine;
    match (line.row_places(engine), line.place_set(engine)) {
        (None, Some(set)) => (0..count).map(|n| concerns(index, change, Some((set, n)))).collect(),
        _ => vec![true; count],
    }
}

/// Whether change `n` reopens a group of boxes.
pub fn disturbs(index: &RecordIndex, n: usize, at: &At, group: &BoxGroup) -> bool {
    concerns(index, &index.record.changes[n], at.row.place)
        && index.disturbed[n].boxes(index.case, at, group)
}

/// Whether a change is of the part that a group is measured on.
pub fn own_part(index: &RecordIndex, change: &Change, at: &At, group: &BoxGroup) -> bool {
    let part = index.case.part_of(at.line.line, group.feature);
    let own = part.is_some() && part == part_of(index, change);
    let spared = change.why.0 == Why::Reworked && grades::spares(index, change, group);
    own && !spared && concerns(index, change, at.row.place)
}

/// The state that a change leaves what is measured in a group in: a new part's
/// grade is of some of its features, and the others are new without one.
pub fn state(index: &RecordIndex, change: &Change, group: &BoxGroup) -> PartState {
    let grade = change.grade.as_ref().filter(|_| !grades::spares(index, change, group));
    match (grade, change.why.0) {
        (Some(grade), Why::PartChanged) => PartState::NewTo { grade: grade.to_string() },
        (Some(grade), _) => PartState::Reworked { grade: Some(grade.to_string()) },
        (None, Why::PartChanged) => PartState::New,
        _ => PartState::Reworked { grade: None },
    }
}

/// The change that a later reading belongs to, an index into the record's: the
/// latest not after it, of the part that the group is measured on, one that
/// reopens the group before one that does not; else one that reopens the row.
pub fn of_reading(
    index: &RecordIndex,
    at: &At,
    group: &BoxGroup,
    why: Why,
    source: &Provenance,
) -> Option<usize> {
    let in_time = |change: &Change| match (&change.on, &source.on) {
        (Some((changed, _)), Some((read, _))) => changed <= read,
        _ => true,
    };
    let like = |n: &usize| {
        let change = &index.record.changes[*n];
        change.why.0 == why && in_time(change)
    };
    let own = |n: &usize| own_part(index, &index.record.changes[*n], at, group);
    let reopens = |n: &usize| disturbs(index, *n, at, group);
    let all: Vec<usize> = index.in_time.iter().rev().copied().filter(like).collect();
    let find = |is: &dyn Fn(&usize) -> bool| all.iter().copied().find(|n| is(n));
    find(&|n| own(n) && reopens(n)).or_else(|| find(&own)).or_else(|| find(&reopens))
}

/// The changes that had taken the readings of a group away by a later entry:
/// those of its day and before. What was mistyped was read before it was typed.
pub fn gone_by(index: &RecordIndex, at: &At, group: &BoxGroup, entry: &Again) -> Vec<usize> {
    let gone = |n: &&usize| {
        let dates = index.record.changes[**n].on.as_ref().zip(entry.on.as_ref());
        let before = dates.is_some_and(|((changed, _), (read, _))| changed <= read);
        before && entry.why.0 != Why::Mistyped && disturbs(index, **n, at, group)
    };
    index.in_time.iter().filter(gone).copied().collect()
}

/// What every change disturbed and nobody has measured since.
pub fn reopened(index: &RecordIndex, at: &At, group: &BoxGroup, side: &SideReadings) -> Vec<Issue> {
    let mut asks = Vec::new();
    for n in 0..index.record.changes.len() {
        if !disturbs(index, n, at, group) {
            continue;
        }
        let change = &index.record.changes[n];
        // A reading of a later change of the same part is of this one too.
        let later = index.in_time.iter().skip_while(|m| **m != n);
        let mut own = later.filter(|m| own_part(index, &index.record.changes[**m], at, group));
        let applied = !own_part(index, change, at, group) || own.any(|m| side.changes.contains(m));
        let boxes = boxes(index, change, at, group);
        let mut concerned = side.sources.iter().zip(boxes).filter(|(_, here)| *here);
        if !applied || !concerned.all(|(source, _)| since(change, source)) {
            asks.push(Issue {
                state: State::Open,
                why: format!(
                    "{} reopened by {}: measure again",
                    group.key, index.disturbed[n].name
                ),
                at: Some(change.at.clone()),
            });
        }
    }
    asks
}

/// A first reading of the same day was taken of what was found.
fn since(change: &Change, source: &Provenance) -> bool {
    let (Some((changed, _)), Some((read, _))) = (&change.on, &source.on) else { return false };
    match source.why {
        None => read > changed,
        Some(_) => read >= changed,
    }
}

/// Whether the part of a change was itself changed later, at all its places.
fn superseded(index: &RecordIndex, n: usize) -> bool {
    let change = &index.record.changes[n];
    let mut later = index.in_time.iter().skip_while(|m| **m != n).skip(1);
    later.any(|m| {
        let other = &index.record.changes[*m];
        let covers = |at: &Text| other.places.iter().any(|place| place.text == at.text);
        let everywhere = other.places.is_empty()
            || !change.places.is_empty() && change.places.iter().all(covers);
        other.why.0 == Why::PartChanged
            && other.on.is_some()
            && other.part.text == change.part.text
            && everywhere
    })
}

/// What a change lacks: what its reason needs, initials, a date, a grade that
/// the limits have, and the work's name where the engine file knows several. Of
/// a part that was itself changed since only the date matters.
pub fn lacking(index: &RecordIndex, n: usize) -> Vec<Issue> {
    let change = &index.record.changes[n];
    let word = |word: &'_ Option<Text>| word.as_ref().map(|w| w.as_str().to_owned());
    let owned =
        [&change.by, &change.what, &change.data, &change.number, &change.batch, &change.document]
            .map(word);
    let [by, what, data, number, batch, document] = &owned;
    let said = Statement {
        by: by.as_deref(),
        what: what.as_deref(),
        data: data.as_deref(),
        number: number.as_deref(),
        batch: batch.as_deref(),
        document: document.as_deref(),
        ..Statement::default()
    };
    let gone = superseded(index, n);
    let mut missing: Vec<String> = Vec::new();
    if !gone {
        missing.extend(lacks(change.why.0, &said).iter().map(ToString::to_string));
    }
    if change.on.is_none() {
        missing.push("give the date".to_owned());
    }
    if !gone {
        missing.extend(unnamed(index, change));
    }
    let ask = |state, why: String| Issue {
        state,
        why: format!("{}, {}: {why}", change.part, why_word(change.why.0)),
        at: Some(change.at.clone()),
    };
    let mut asks = Vec::new();
    if !missing.is_empty() {
        asks.push(ask(State::Open, missing.join("; ")));
    }
    let unknown = grades::unknown(index, change).filter(|_| !gone);
    asks.extend(unknown.map(|why| ask(State::Hold, why)));
    asks
}

fn unnamed(index: &RecordIndex, change: &Change) -> Option<String> {
    if change.rework.is_some() || change.why.0 == Why::PartChanged || change.grade.is_some() {
        return None;
    }
    let part = part_of(index, change);
    let known =
        index.case.engine.reworks.iter().filter(|r| Some(r.part) == part && !r.part_changed);
    let ids: Vec<&str> = known.map(|rework| rework.id.as_str()).collect();
    (!ids.is_empty()).then(|| format!("name the work, one of {}", ids.join(", ")))
}
