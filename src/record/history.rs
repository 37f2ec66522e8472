//! The chain of a row: as found, then every later reading, each judged as it
//! stood. Nothing is taken out; the last step is what the record holds.

use super::index::{RecordIndex, who};
use super::types::Step;
use super::{changes, readings, temperature, uncertainty};
use crate::judge::{BoxGroup, Provenance, SideReadings, Verdict, check};
use crate::model::record::{Again, Mark, Why};
use crate::model::side::{BoxId, Group};
use crate::model::text::Text;
use crate::quantity::Readings;
use crate::sheet::At;

/// Every step of a row with boxes of its own, from the first day to the last.
/// Readings of a part that has gone are taken away before anything is read
/// after it, and at the end where nothing was.
pub fn own(index: &RecordIndex, at: &At) -> Vec<Step> {
    let groups: Vec<&BoxGroup> = at.line.own().collect();
    let mut sides: Vec<SideReadings> =
        groups.iter().map(|group| readings::first(index, at, group)).collect();
    // Most rows are read once.
    let mut steps = Vec::with_capacity(1);
    let mut cause = Cause::First;
    if let Some((later, gone)) = never_together(index, at, &sides) {
        let mut early = sides.clone();
        readings::wipe(&mut early[later]);
        steps.push(step(index, at, &early, &Cause::First));
        let earlier = 1 - later;
        sides[earlier].fresh = false;
        readings::take_away(index, at, groups[earlier], &mut sides[earlier], gone, 1);
        readings::written_in(&mut sides[later], 1);
        cause = Cause::Change(gone);
    }
    steps.push(step(index, at, &sides, &cause));
    let again = from_day_to_day(index, index.again(&at.row.code));
    let entry = |n: usize| &index.record.again[again[n]];
    let mut n = 0;
    while n < again.len() {
        let run = (n..again.len()).take_while(|m| same_occasion(entry(n), entry(*m))).count();
        for (side, group) in sides.iter_mut().zip(&groups) {
            side.fresh = false;
            for gone in changes::gone_by(index, at, group, entry(n)) {
                readings::take_away(index, at, group, side, gone, steps.len());
            }
            for m in n..n + run {
                readings::write(index, at, group, side, entry(m), steps.len());
            }
        }
        cause = Cause::Entries(&again[n..n + run]);
        steps.push(step(index, at, &sides, &cause));
        n += run;
    }
    let known = |sides: &[SideReadings]| sides.iter().map(|side| side.gone.len()).sum::<usize>();
    let before = known(&sides);
    if let Some(last) = left_unread(index, at, &mut sides, steps.len()) {
        steps.push(step(index, at, &sides, &Cause::Change(last)));
    } else if known(&sides) > before {
        // Nothing was there to take away, but the part is another: the step that
        // stands says so.
        steps.pop();
        steps.push(step(index, at, &sides, &cause));
    }
    steps
}

/// Two sides whose first readings are of parts that were never together: the
/// part of one had gone before the part of the other came. The side that was
/// read later, and the change that took the other away.
fn never_together(index: &RecordIndex, at: &At, sides: &[SideReadings]) -> Option<(usize, usize)> {
    let groups: Vec<&BoxGroup> = at.line.own().collect();
    let [one, other] = sides else { return None };
    if !one.is_written() || !other.is_written() {
        return None;
    }
    let change = |n: usize| &index.record.changes[n];
    let new = |n: &usize| change(*n).why.0 == Why::PartChanged;
    let day = |n: usize| change(n).on.as_ref().map(|(on, _)| *on);
    [(0, 1), (1, 0)].into_iter().find_map(|(earlier, later)| {
        let took = |n: &&usize| {
            let known = sides[earlier].gone.contains(n);
            !known && new(n) && changes::own_part(index, change(**n), at, groups[earlier])
        };
        let gone = *index.in_time.iter().find(took)?;
        let came = sides[later].changes.iter().any(|n| {
            new(n)
                && changes::own_part(index, change(*n), at, groups[later])
                && day(*n) >= day(gone)
        });
        (came && day(gone).is_some()).then_some((later, gone))
    })
}

/// What a step comes from.
enum Cause<'a> {
    First,
    /// Indices into `Record::again`.
    Entries(&'a [usize]),
    /// A change after which nothing was read, an index into `Record::changes`.
    Change(usize),
}

/// Later entries from the first day to the last; of one day in the order of the
/// file. One without a date, or of a reading mistyped, stays behind the one
/// before it.
fn from_day_to_day(index: &RecordIndex, again: &[usize]) -> Vec<usize> {
    let mut day = None;
    let mut dated: Vec<_> = again
        .iter()
        .map(|n| {
            let entry = &index.record.again[*n];
            let on = entry.on.as_ref().filter(|_| entry.why.0 != Why::Mistyped);
            day = on.map(|(on, _)| *on).or(day);
            (day, *n)
        })
        .collect();
    dated.sort_by_key(|(day, _)| *day);
    dated.into_iter().map(|(_, n)| n).collect()
}

/// Takes away what no entry of the row was written after: the last change that
/// left a box blank. Where none did, the sides are as fresh as they were.
fn left_unread(
    index: &RecordIndex,
    at: &At,
    sides: &mut [SideReadings],
    step: usize,
) -> Option<usize> {
    let fresh: Vec<bool> = sides.iter().map(|side| side.fresh).collect();
    sides.iter_mut().for_each(|side| side.fresh = false);
    let mut last = None;
    for n in &index.in_time {
        for (side, group) in sides.iter_mut().zip(at.line.own()) {
            if changes::disturbs(index, *n, at, group)
                && readings::take_away(index, at, group, side, *n, step)
            {
                last = Some(*n);
            }
        }
    }
    if last.is_none() {
        sides.iter_mut().zip(fresh).for_each(|(side, fresh)| side.fresh = fresh);
    }
    last
}

/// Entries that one person wrote on one day for one reason are one step.
fn same_occasion(first: &Again, other: &Again) -> bool {
    let date = |again: &Again| again.on.as_ref().map(|(date, _)| *date);
    let by = |again: &Again| again.by.as_ref().map(|by| by.text.clone());
    first.why.0 == other.why.0 && date(first) == date(other) && by(first) == by(other)
}

/// The steps of a row whose figures are the readings of one side of another
/// row; steps that left that side alone are passed over. Where that side is in
/// question nothing is judged here either.
pub fn borrowed(index: &RecordIndex, at: &At, home: &[Step], side: Group) -> Vec<Step> {
    let Some(group) = at.line.groups.first() else { return Vec::new() };
    let line = &index.case.limits.lines[at.line.line];
    let mut steps: Vec<Step> = Vec::new();
    let mut kept: Vec<usize> = Vec::new();
    let place = |from: &Step| from.sides.iter().position(|typed| typed.key == side);
    let writes = |n: usize| {
        let m = place(&home[n]).filter(|m| n == 0 || home[n].sides[*m].fresh)?;
        Some((n, m))
    };
    let written: Vec<(usize, usize)> = (0..home.len()).filter_map(writes).collect();
    for (n, m) in &written {
        let (from, m) = (&home[*n], *m);
        kept.push(*n);
        // What other rows hold of the feature now stands in the last step.
        let now = home.last().filter(|_| written.last().is_some_and(|last| last.0 == *n));
        let also = now.map_or_else(Vec::new, |last| last.sides[m].also.clone());
        let own = renumbered(&from.sides[m], group.key, &kept);
        let sides = vec![SideReadings { also, ..own }];
        let mut verdict = check(line).judge(&sides, &index.cx);
        let questioned: Vec<BoxId> = from
            .questioned
            .iter()
            .filter(|asked| asked.group == side)
            .map(|asked| BoxId { group: group.key, ..*asked })
            .collect();
        if !questioned.is_empty() {
            verdict.state = from.verdict.state.clone();
            verdict.unjudged();
            verdict.causes.clone_from(&from.verdict.causes);
        }
        let words = uncertainty::in_words(index, &verdict, line.places);
        verdict.steps.extend(words);
        steps.push(Step { sides, verdict, questioned, ..from.clone() });
    }
    steps
}

/// A side as it stands in a chain of fewer steps.
fn renumbered(side: &SideReadings, key: Group, kept: &[usize]) -> SideReadings {
    let place = |step: &usize| kept.iter().position(|n| n == step).unwrap_or_default();
    let step = |source: &Provenance| Provenance {
        step: place(&source.step),
        taken: place(&source.taken),
        ..source.clone()
    };
    SideReadings {
        key,
        uncertainty: side.uncertainty_of(key),
        sources: side.sources.iter().map(step).collect(),
        began: side.began.iter().map(place).collect(),
        ..side.clone()
    }
}

fn step(index: &RecordIndex, at: &At, sides: &[SideReadings], cause: &Cause) -> Step {
    let line = &index.case.limits.lines[at.line.line];
    let mut sides = sides.to_vec();
    for (side, group) in sides.iter_mut().zip(at.line.own()) {
        side.readings = Readings::new(line.unit.clone(), side.values());
        side.uncertainty = uncertainty::of_boxes(index, group, side);
    }
    let sides = at_twenty(index, at, &sides, &sides);
    let verdict = verdict(index, at, &sides);
    let entries: &[usize] = if let Cause::Entries(entries) = cause { entries } else { &[] };
    let (why, who, what) = match (cause, entries.first()) {
        (Cause::Change(n), _) => {
            let change = &index.record.changes[*n];
            let on = change.on.as_ref().map(|(date, _)| *date);
            let what = change.what.as_ref().map(Text::to_string).unwrap_or_default();
            (Some(change.why.0), who(change.by.as_ref().map(Text::as_str), on, &[]), what)
        }
        (_, Some(n)) => {
            let entry = &index.record.again[*n];
            let what = step_what(index, at, entry);
            (Some(entry.why.0), step_who(index, entries), what)
        }
        (_, None) => (None, first_who(&sides), String::new()),
    };
    Step { why, who, what, entries: entries.to_vec(), sides, verdict, questioned: Vec::new() }
}

/// The verdict on readings, with the arithmetic that led to them and the
/// uncertainty that they were held under.
pub fn verdict(index: &RecordIndex, at: &At, sides: &[SideReadings]) -> Verdict {
    let line = &index.case.limits.lines[at.line.line];
    let mut verdict = check(line).judge(sides, &index.cx);
    let warm =
        at.line.own().zip(sides).flat_map(|(g, side)| temperature::in_words(index, at, g, side));
    verdict.steps = warm.chain(verdict.steps).collect();
    let words = uncertainty::in_words(index, &verdict, line.places);
    verdict.steps.extend(words);
    // As many verdicts are kept as a job has rows.
    verdict.steps.shrink_to_fit();
    verdict.held.shrink_to_fit();
    verdict
}

/// Readings as they were taken from those sources, brought to 20 °C.
pub fn at_twenty(
    index: &RecordIndex,
    at: &At,
    taken: &[SideReadings],
    read: &[SideReadings],
) -> Vec<SideReadings> {
    let mut read = read.to_vec();
    for ((side, taken), group) in read.iter_mut().zip(taken).zip(at.line.own()) {
        side.readings.corrected(|n, value| match taken.sources.get(n) {
            Some(source) => temperature::at_twenty(index, at, group, source, value),
            None => value,
        });
    }
    read
}

fn step_who(index: &RecordIndex, entries: &[usize]) -> String {
    let Some(first) = entries.first().map(|n| &index.record.again[*n]) else {
        return String::new();
    };
    let entries = || entries.iter().map(|n| &index.record.again[*n]);
    let mut gauges: Vec<Text> = Vec::new();
    for gauge in entries().flat_map(|entry| &entry.gauges) {
        if !gauges.iter().any(|known| known.text == gauge.text) {
            gauges.push(gauge.clone());
        }
    }
    let mut said =
        who(first.by.as_ref().map(Text::as_str), first.on.as_ref().map(|(date, _)| *date), &gauges);
    if let Some(zero) = zero(first.zero) {
        said.push_str(&format!(", {zero}"));
    }
    if let Some(inspector) = entries().find_map(|entry| entry.inspector.as_ref()) {
        said.push_str(&format!(", seen by {inspector}"));
    }
    said
}

/// Both looks at the zero were right; anything else is asked about.
fn zero(looked: Option<[Mark; 2]>) -> Option<&'static str> {
    (looked == Some([Mark::Ok; 2])).then_some("zero right before and after")
}

fn first_who(sides: &[SideReadings]) -> String {
    let said =
        |side: &SideReadings| side.sources.first().map_or_else(String::new, Provenance::in_words);
    let each: Vec<(Group, String)> = sides
        .iter()
        .map(|side| (side.key, said(side)))
        .filter(|(_, said)| !said.is_empty())
        .collect();
    match each.as_slice() {
        [(_, said)] => said.clone(),
        several => several
            .iter()
            .map(|(key, said)| format!("{key}: {said}"))
            .collect::<Vec<_>>()
            .join("; "),
    }
}

/// What was done: the words of the entry, or of the change it belongs to.
fn step_what(index: &RecordIndex, at: &At, entry: &Again) -> String {
    let group = at.line.own().find(|group| group.key == entry.key.0);
    let change = group
        .filter(|_| matches!(entry.why.0, Why::Reworked | Why::PartChanged))
        .and_then(|group| {
            changes::of_reading(index, at, group, entry.why.0, &readings::of_again(entry, 0))
        });
    let change = change.and_then(|n| index.record.changes[n].what.as_ref());
    entry.note.as_ref().or(change).map(Text::to_string).unwrap_or_default()
}
