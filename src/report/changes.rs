//! Parts changed and reworked: what a change disturbs, which readings were
//! taken after it, and what it lacks.

use super::bench::{At, Bench, why_word};
use super::grades;
use super::judged::{Ask, Source, TypedSide};
use crate::judge::again::{Said, lacks};
use crate::judge::{Group, PartState, State};
use crate::model::engine::{Reopens, Rework};
use crate::model::line::Kind;
use crate::model::record::{Change, Why};
use crate::model::typed::Word;

/// A change with what it reopens.
pub struct Disturbed {
    /// As printed.
    pub name: String,
    pub reopens: Vec<Reopens>,
}

/// What a change disturbs: the rework of the engine's table that it names. A
/// part changed or ground to a grade without one reopens what the engine's only
/// such rework does, else all that is measured on the part.
pub fn disturbed(bench: &Bench, change: &Change) -> Disturbed {
    if let Some(rework) = rework_of(bench, change) {
        return Disturbed { name: rework.name.to_string(), reopens: rework.reopens.clone() };
    }
    let engine = &bench.case.engine;
    let part = part_of(bench, change);
    let measured = engine.features.iter().enumerate().filter(|(_, f)| Some(f.part) == part);
    let whole = change.why.0 == Why::PartChanged || change.grade.is_some();
    let of = grades::features(bench, change);
    let here =
        |feature: &usize| change.why.0 == Why::PartChanged || of.is_empty() || of.contains(feature);
    Disturbed {
        name: format!("{}, {}", change.part, why_word(change.why.0)),
        reopens: measured
            .filter(|(n, _)| whole && here(n))
            .map(|(n, _)| Reopens::Feature(n))
            .collect(),
    }
}

fn rework_of<'a>(bench: &Bench<'a>, change: &Change) -> Option<&'a Rework> {
    let reworks = &bench.case.engine.reworks;
    if let Some(id) = &change.rework {
        return reworks.iter().find(|known| known.id.text == id.text);
    }
    if change.why.0 == Why::Reworked && change.grade.is_none() {
        return None;
    }
    let part = part_of(bench, change);
    let changed = change.why.0 == Why::PartChanged;
    let mut like =
        reworks.iter().filter(|known| Some(known.part) == part && known.part_changed == changed);
    like.next().filter(|_| like.next().is_none())
}

fn part_of(bench: &Bench, change: &Change) -> Option<usize> {
    bench.case.engine.part(change.part.as_str())
}

/// Whether a change concerns a row's place: everywhere, unless it names some of
/// the places at which single parts of this name sit.
pub fn concerns(bench: &Bench, change: &Change, place: Option<(usize, usize)>) -> bool {
    let sits = part_of(bench, change).and_then(|part| bench.case.engine.parts[part].at);
    let Some((set, n)) = place.filter(|(set, _)| sits == Some(*set)) else { return true };
    let code = &bench.case.engine.places[set].places[n].code;
    change.places.is_empty() || change.places.iter().any(|at| at.text == code.text)
}

/// The boxes of a group that belong to a change: all, but for a row that has
/// one box a place.
pub fn boxes(bench: &Bench, change: &Change, at: &At, group: &Group) -> Vec<bool> {
    let count = group.labels.len();
    let line = &bench.case.limits.lines[at.line.1.line];
    let Kind::Spread(spread) = &line.kind else { return vec![true; count] };
    (0..count).map(|n| concerns(bench, change, Some((spread.at, n)))).collect()
}

/// The part that a group of boxes is measured on.
pub fn part_measured(bench: &Bench, at: &At, group: &Group) -> Option<usize> {
    let feature = group.feature.and_then(|feature| bench.case.engine.features.get(feature));
    feature.map(|feature| feature.part).or_else(|| bench.case.limits.lines[at.line.1.line].part())
}

/// Whether a change is of the part that a group is measured on.
pub fn own_part(bench: &Bench, change: &Change, at: &At, group: &Group) -> bool {
    let part = part_measured(bench, at, group);
    let own = part.is_some() && part == part_of(bench, change);
    let spared = change.why.0 == Why::Reworked && grades::spares(bench, change, group);
    own && !spared && concerns(bench, change, at.row.1.place)
}

/// The state that a change leaves what is measured in a group in: a new part's
/// grade is of some of its features, and the others are new without one.
pub fn state(bench: &Bench, change: &Change, group: &Group) -> PartState {
    let grade = change.grade.as_ref().filter(|_| !grades::spares(bench, change, group));
    match (grade, change.why.0) {
        (Some(grade), _) => PartState::Reworked { grade: Some(grade.to_string()) },
        (None, Why::PartChanged) => PartState::New,
        _ => PartState::Reworked { grade: None },
    }
}

/// The change that a later reading belongs to, an index into the record's: the
/// latest not after it, of the part that the group is measured on, else one
/// that reopens the row.
pub fn of_reading(
    bench: &Bench,
    at: &At,
    group: &Group,
    why: Why,
    source: &Source,
) -> Option<usize> {
    let changes = || bench.record.changes.iter().enumerate().rev();
    let in_time = |change: &Change| match (&change.on, &source.on) {
        (Some((changed, _)), Some((read, _))) => changed <= read,
        _ => true,
    };
    let like = |change: &Change| change.why.0 == why && in_time(change);
    let own = changes().find(|(_, change)| like(change) && own_part(bench, change, at, group));
    let other = || {
        changes().find(|(_, change)| {
            like(change)
                && concerns(bench, change, at.row.1.place)
                && disturbed(bench, change).reopens.iter().any(|what| touches(what, at, group))
        })
    };
    own.or_else(other).map(|(n, _)| n)
}

/// Whether a group of boxes is among what is reopened.
fn touches(what: &Reopens, at: &At, group: &Group) -> bool {
    match what {
        Reopens::Feature(feature) => group.feature == Some(*feature),
        Reopens::Line(line) => line.as_str() == at.line.1.reference,
        Reopens::Block(_) => false,
    }
}

/// What every change disturbed and nobody has measured since.
pub fn reopened(bench: &Bench, at: &At, group: &Group, side: &TypedSide) -> Vec<Ask> {
    let mut asks = Vec::new();
    for (n, change) in bench.record.changes.iter().enumerate() {
        if !concerns(bench, change, at.row.1.place) {
            continue;
        }
        let disturbed = disturbed(bench, change);
        if !disturbed.reopens.iter().any(|what| touches(what, at, group)) {
            continue;
        }
        let applied = !own_part(bench, change, at, group) || side.changes.iter().any(|m| *m >= n);
        let boxes = boxes(bench, change, at, group);
        let mut concerned = side.sources.iter().zip(boxes).filter(|(_, here)| *here);
        if !applied || !concerned.all(|(source, _)| since(change, source)) {
            asks.push(Ask {
                state: State::Open,
                why: format!("{} reopened by {}: measure again", group.key, disturbed.name),
                at: Some(change.at.clone()),
            });
        }
    }
    asks
}

/// A first reading of the same day was taken of what was found.
fn since(change: &Change, source: &Source) -> bool {
    let (Some((changed, _)), Some((read, _))) = (&change.on, &source.on) else { return false };
    match source.why {
        None => read > changed,
        Some(_) => read >= changed,
    }
}

/// What a change lacks: what its reason needs, initials, a date, a grade that
/// the limits have, and the work's name where the engine file knows several.
pub fn lacking(bench: &Bench, change: &Change) -> Vec<Ask> {
    let word = |word: &'_ Option<Word>| word.as_ref().map(|w| w.as_str().to_owned());
    let owned =
        [&change.by, &change.what, &change.data, &change.number, &change.batch, &change.document]
            .map(word);
    let [by, what, data, number, batch, document] = &owned;
    let said = Said {
        by: by.as_deref(),
        what: what.as_deref(),
        data: data.as_deref(),
        number: number.as_deref(),
        batch: batch.as_deref(),
        document: document.as_deref(),
        ..Said::default()
    };
    let mut missing: Vec<String> =
        lacks(change.why.0, &said).iter().map(ToString::to_string).collect();
    if change.on.is_none() {
        missing.push("give the date".to_owned());
    }
    missing.extend(unnamed(bench, change));
    let ask = |state, why: String| Ask {
        state,
        why: format!("{}, {}: {why}", change.part, why_word(change.why.0)),
        at: Some(change.at.clone()),
    };
    let mut asks = Vec::new();
    if !missing.is_empty() {
        asks.push(ask(State::Open, missing.join("; ")));
    }
    asks.extend(grades::unknown(bench, change).map(|why| ask(State::Hold, why)));
    asks
}

fn unnamed(bench: &Bench, change: &Change) -> Option<String> {
    if change.rework.is_some() || change.why.0 == Why::PartChanged || change.grade.is_some() {
        return None;
    }
    let part = part_of(bench, change);
    let known =
        bench.case.engine.reworks.iter().filter(|r| Some(r.part) == part && !r.part_changed);
    let ids: Vec<&str> = known.map(|rework| rework.id.as_str()).collect();
    (!ids.is_empty()).then(|| format!("name the work, one of {}", ids.join(", ")))
}
