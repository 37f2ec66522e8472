//! What stands against the readings of a row beside its verdict: who took
//! them, when and with what, and whether they may do what they do.

use super::index::RecordIndex;
use super::types::{Issue, Step};
use super::words::why_word;
use super::{changes, readings, uncertainty};
use crate::diag::Span;
use crate::judge::budget::expanded;
use crate::judge::repeat::{
    Agreement, Lack, Repeat, Statement, agreement, lacks, lacks_to_turn, turns,
};
use crate::judge::{BoxGroup, BoxKind, Provenance, SideReadings, State};
use crate::model::record::{Again, Boxes, Change, Mark, Why};
use crate::model::side::{BoxId, Group};
use crate::model::text::Text;
use crate::quantity::Exact;
use crate::quantity::date::Date;
use crate::sheet::{At, MarksKind, SheetBlock, needs_gauge};

/// The readings that a row is judged by: its own boxes, or one side of the row
/// whose boxes they are.
pub struct RowView<'b, 'a> {
    pub index: &'b RecordIndex<'a>,
    /// The row that prints the boxes.
    pub home: At<'a>,
    /// Of that row, one a side of each step.
    pub groups: Vec<&'a BoxGroup>,
    pub steps: &'b [Step],
}

impl<'a> RowView<'_, 'a> {
    /// The sides as they stand now.
    fn now(&self) -> impl Iterator<Item = (&'a BoxGroup, &SideReadings)> {
        let typed = self.steps.last().map_or(&[][..], |step| &step.sides);
        self.groups.iter().copied().zip(typed)
    }

    fn line(&self) -> &'a crate::model::limits::Line {
        &self.index.case.limits.lines[self.home.line.line]
    }

    /// Whether every reading was taken after the first writing.
    pub fn measured_again(&self) -> bool {
        let mut taken = self.now().flat_map(|(_, side)| side.taken()).peekable();
        taken.peek().is_some()
            && taken.all(|(_, source)| !matches!(source.why, None | Some(Why::Mistyped)))
    }
}

/// All of it, in the order of the questions above.
pub fn asks(seen: &RowView) -> Vec<Issue> {
    let mut asks = Vec::new();
    let mut add = |ask: Issue| {
        if !asks.contains(&ask) {
            asks.push(ask);
        }
    };
    for (group, side) in seen.now() {
        for (_, source) in side.taken() {
            gauges(seen, group, source).into_iter().for_each(&mut add);
            dates(seen, group, source).into_iter().for_each(&mut add);
        }
        changes::reopened(seen.index, &seen.home, group, side).into_iter().for_each(&mut add);
    }
    later(seen).into_iter().for_each(&mut add);
    repeats(seen).into_iter().for_each(&mut add);
    grades(seen).into_iter().for_each(&mut add);
    asks
}

/// Calibration, zero, and that a transfer gauge names what it was read with.
fn gauges(seen: &RowView, group: &BoxGroup, source: &Provenance) -> Vec<Issue> {
    let mut asks = Vec::new();
    if let Some((on, _)) = &source.on {
        asks.extend(source.gauges.iter().filter_map(|id| lapsed(seen.index, id, *on)));
    }
    let names: Vec<&str> = source.gauges.iter().map(Text::as_str).collect();
    let at = source.gauges.first().map(|gauge| gauge.at.clone());
    let mut ask = |state, why: String| asks.push(Issue { state, why, at: at.clone() });
    if let Some([before, after]) = source.zero {
        for (mark, when) in [(before, "before use"), (after, "after use")] {
            let why = format!("zero of {} {when}", names.join(" and "));
            match mark {
                Mark::Found => ask(
                    State::Hold,
                    format!("{why} was not right: what was read with it is on hold"),
                ),
                // What a whole sheet was read with is asked about once, at the sheet.
                Mark::Blank if source.why.is_some() => {
                    ask(State::Open, format!("{why} not looked at"));
                }
                Mark::Blank | Mark::Ok | Mark::NotApplicable => {}
            }
        }
    }
    let known = source.gauges.iter().filter_map(|id| seen.index.case.job.gauge(id.as_str()));
    let known: Vec<_> = known.collect();
    let sized = group.feature.is_some() && matches!(group.shape, BoxKind::Comb { .. });
    if sized && !known.is_empty() && known.iter().all(|gauge| gauge.transfer) {
        let why = format!(
            "{} only transfers a size: name the gauge it was read with",
            names.join(" and ")
        );
        ask(State::Open, why);
    }
    asks
}

/// A gauge due before the date used; due on that day is valid.
pub fn lapsed(index: &RecordIndex, id: &Text, on: Date) -> Option<Issue> {
    let (due, _) = index.case.job.gauge(id.as_str())?.due.as_ref()?;
    (*due < on).then(|| Issue {
        state: State::Hold,
        why: format!(
            "gauge {id} was due for calibration on {due}, used on {on}: for the quality manager"
        ),
        at: Some(id.at.clone()),
    })
}

/// The order of dates: not before the engine was in the state in which the
/// feature is measured, a later reading not before the first nor before the job
/// was opened.
fn dates(seen: &RowView, group: &BoxGroup, source: &Provenance) -> Vec<Issue> {
    let Some((on, at)) = &source.on else { return Vec::new() };
    let (key, sheet) = (group.key, seen.home.sheet.1);
    let mut asks = Vec::new();
    let mut ask = |why: String, at: &Span| {
        asks.push(Issue { state: State::Query, why, at: Some(at.clone()) });
    };
    let before =
        |block: &SheetBlock| matches!(block, SheetBlock::Marks(m) if m.kind == MarksKind::Before);
    let work = seen.index.sign(&sheet.letter, "work").and_then(|work| work.on.as_ref());
    if let Some((done, _)) = work.filter(|(done, _)| on < done)
        && group.when.is_some()
        && sheet.blocks.iter().any(before)
    {
        ask(format!("{key} dated {on}, before the work it needs was done on {done}"), at);
    }
    if source.why.is_some() {
        let first = seen.index.sign_of(&sheet.letter, key.side().word(), &seen.home.row.code);
        if let Some((first, _)) =
            first.and_then(|sign| sign.on.as_ref()).filter(|(first, _)| on < first)
        {
            ask(format!("{key} dated {on}, before it was first measured on {first}"), at);
        }
        let opened = seen.index.case.job.opened.as_ref().filter(|(opened, _)| on < opened);
        if let Some((opened, _)) = opened {
            ask(format!("{key} dated {on}, before the job was opened on {opened}"), at);
        }
    }
    asks
}

/// What each later reading needs for its reason and does not have, as long as
/// it counts: what another entry replaced, or a change of part took away, holds
/// nothing any more, and nothing follows from it either.
fn later(seen: &RowView) -> Vec<Issue> {
    let mut asks = Vec::new();
    // By step: whether an entry of it lacks something, and whether it may be
    // judged from.
    let (mut lacking, mut sound) = (vec![false], vec![true]);
    for (n, step) in seen.steps.iter().enumerate().skip(1) {
        let mut sources = step.sides.iter().flat_map(SideReadings::taken);
        let rests = sources.any(|(_, source)| lacking.get(source.taken) == Some(&true));
        let mut whole = true;
        for entry in step.entries.iter().map(|n| &seen.index.record.again[*n]) {
            let before = Some(sound.as_slice()).filter(|_| !rests);
            let Some(missing) =
                missing(seen, n, entry, before).filter(|missing| !missing.is_empty())
            else {
                continue;
            };
            whole = false;
            if counts(seen, n, entry) {
                asks.push(Issue {
                    state: State::Hold,
                    why: format!("{}: {}", why_word(entry.why.0), missing.join("; ")),
                    at: Some(entry.at.clone()),
                });
            }
        }
        lacking.push(!whole);
        sound.push(whole && !rests);
    }
    asks
}

/// Whether what an entry wrote in step `n` still stands. An entry that says that
/// a part is another one counts until the part was changed after it.
fn counts(seen: &RowView, n: usize, entry: &Again) -> bool {
    let Some(last) = seen.steps.last() else { return false };
    let leaves = |entry: &Again| matches!(entry.boxes, Boxes::Leaves(_));
    let changes = matches!(entry.why.0, Why::PartChanged | Why::Reworked);
    let later = &seen.steps[n + 1..];
    let mut entries = later.iter().flat_map(|step| &step.entries);
    let replaced = entries.any(|n| leaves(&seen.index.record.again[*n]));
    let mine = |side: &&SideReadings| leaves(entry) || side.key == key_of(seen, entry);
    last.sides.iter().filter(mine).any(|side| {
        let of_part = side.began.iter().any(|began| *began <= n);
        let stands = side.taken().any(|(_, source)| source.taken == n || source.step == n);
        of_part && (changes || if leaves(entry) { !replaced } else { stands })
    })
}

/// The group that an entry writes, as the seen row names it.
fn key_of(seen: &RowView, entry: &Again) -> Group {
    // A row that borrows one side of another names it otherwise.
    let borrowed = seen.steps.last().and_then(|step| step.sides.first()).map(|side| side.key);
    match (seen.groups.as_slice(), borrowed) {
        ([group], Some(key)) if group.key == entry.key.0 => key,
        _ => entry.key.0,
    }
}

/// `None` where the entry is of boxes that this row does not see. Whether it turns
/// an out into a pass is asked where the steps before it are given: those that
/// may be judged from.
fn missing(seen: &RowView, n: usize, entry: &Again, sound: Option<&[bool]>) -> Option<Vec<String>> {
    let m =
        seen.groups.iter().position(|group| [group.key, Group::Leaves].contains(&entry.key.0))?;
    let group = seen.groups[m];
    let why = entry.why.0;
    let changes = matches!(why, Why::PartChanged | Why::Reworked);
    let change = changes
        .then(|| {
            changes::of_reading(seen.index, &seen.home, group, why, &readings::of_again(entry, n))
        })
        .flatten()
        .map(|n| &seen.index.record.changes[n]);
    let gauges: Vec<&str> =
        entry.gauges.iter().map(Text::as_str).filter(|id| !id.is_empty()).collect();
    let said = said_of(seen.index, entry, change, &gauges);
    let mut lacking = lacks(why, &said);
    if changes {
        // A reading, too, whatever the reason for it.
        lacking.extend(lacks(Why::MeasuredAgain, &said));
    }
    if !needs_gauge(seen.line(), group) {
        lacking.retain(|lack| *lack != Lack::Gauge);
    }
    if changes && change.is_none() {
        return Some(vec![format!(
            "add the [[change]] of the part, why = \"{}\", dated not after it",
            why_word(why)
        )]);
    }
    let repeat =
        why == Why::MeasuredAgain || changes && repeats_itself(seen.steps, n, m, entry.index);
    let turned = |sound: &[bool]| turned(seen.steps, n, m, entry.index, sound);
    if let Some(out) = sound.filter(|_| repeat).and_then(turned) {
        let source = earlier(&seen.steps[out].sides[m], entry.index);
        let owned: Vec<&str> = source.gauges.iter().map(Text::as_str).collect();
        let earlier = Statement { by: Some(&source.by), gauges: &owned, ..Statement::default() };
        lacking.extend(lacks_to_turn(&earlier, &said));
    }
    lacking.sort();
    lacking.dedup();
    Some(lacking.iter().map(ToString::to_string).collect())
}

/// Whether a reading of a changed part replaces another of the same part: said
/// to be of the change once more, it is measured again all the same.
fn repeats_itself(steps: &[Step], n: usize, m: usize, index: Option<usize>) -> bool {
    let (before, now) = (&steps[n - 1].sides[m], &steps[n].sides[m]);
    let replaced =
        |at: usize| before.filled(at) && now.began.get(at).is_some_and(|began| *began < n);
    match index {
        Some(at) => replaced(at),
        None => (0..now.began.len()).any(replaced),
    }
}

/// The step that was out, where a reading turns it into a pass. Nothing is
/// looked at that was read of a part that has gone: before the mate was changed
/// only the part itself counts. What was in query, on hold or not done was no judgement, nor
/// is a step that lacks what it needs.
fn turned(
    steps: &[Step],
    n: usize,
    m: usize,
    index: Option<usize>,
    sound: &[bool],
) -> Option<usize> {
    let now = &steps[n];
    let began = |side: &SideReadings| side.began.iter().copied().max().unwrap_or_default();
    let row = now.sides.iter().map(began).max().unwrap_or_default();
    let own = match index {
        Some(at) => now.sides[m].began.get(at).copied(),
        None => now.sides[m].began.iter().copied().min(),
    };
    let key = now.sides[m].key;
    let judged = |step: &Step, whole: bool| -> Option<State> {
        let is = |state: &&State| state.passes() || matches!(state, State::Out(_));
        let question = matches!(step.verdict.state, State::Query | State::Hold);
        let part = || {
            step.verdict
                .parts
                .iter()
                .find(|part| part.side.map(Group::from) == Some(key))
                .map(|p| &p.state)
        };
        let of_row = Some(&step.verdict.state).filter(|_| whole).filter(is);
        of_row.or_else(|| part().filter(|_| !question).filter(is)).cloned()
    };
    let before = (own.unwrap_or_default()..n)
        .rev()
        .filter(|s| sound.get(*s).copied().unwrap_or(true))
        .find_map(|s| Some((s, judged(&steps[s], s >= row)?)));
    let ((s, before), after) = before.zip(judged(now, true))?;
    turns(&before, &after).then_some(s)
}

/// Where the reading came from that an entry replaces.
fn earlier(side: &SideReadings, index: Option<usize>) -> Provenance {
    let at = index.or_else(|| side.taken().map(|(n, _)| n).next()).unwrap_or_default();
    side.sources.get(at).cloned().unwrap_or_default()
}

fn said_of<'a>(
    index: &RecordIndex,
    entry: &'a Again,
    change: Option<&'a Change>,
    gauges: &'a [&'a str],
) -> Statement<'a> {
    let word = |word: &'a Option<Text>| word.as_ref().map(Text::as_str);
    let of_change = |pick: fn(&Change) -> &Option<Text>| {
        change.and_then(|c| pick(c).as_ref()).map(Text::as_str)
    };
    Statement {
        by: word(&entry.by),
        dated: entry.on.is_some(),
        gauges,
        second: word(&entry.inspector),
        inspector: entry.inspector.as_ref().is_some_and(|by| index.is_inspector(by.as_str())),
        what: word(&entry.note).or(of_change(|c| &c.what)),
        data: of_change(|c| &c.data),
        number: of_change(|c| &c.number),
        batch: of_change(|c| &c.batch),
        document: of_change(|c| &c.document),
    }
}

/// A reading of one box in the order taken, with its uncertainties.
struct Taken {
    value: Exact,
    uncertainty: Vec<Exact>,
    questioned: bool,
}

/// Repeats of one box that differ by more than both uncertainties hold, until a
/// further one agrees with any before it.
fn repeats(seen: &RowView) -> Vec<Issue> {
    let mut asks = Vec::new();
    for (m, group) in seen.groups.iter().enumerate() {
        for n in 0..group.labels.len() {
            let taken = taken(seen, m, n);
            let Some((last, before)) = taken.split_last() else { continue };
            let agreements = before.iter().map(|earlier| {
                agreement(&Repeat {
                    earlier: earlier.value,
                    later: last.value,
                    earlier_uncertainty: &earlier.uncertainty,
                    later_uncertainty: &last.uncertainty,
                    was_query: earlier.questioned,
                })
            });
            let agreements: Vec<Agreement> = agreements.collect();
            if agreements.contains(&Agreement::Agree) || !agreements.contains(&Agreement::Disagree)
            {
                continue;
            }
            let earlier: Vec<String> = before
                .iter()
                .filter(|t| !t.questioned)
                .map(|taken| taken.value.to_string())
                .collect();
            asks.push(Issue {
                state: State::Hold,
                why: format!(
                    "{} {} measured again {} differs from {} by more than both uncertainties: measure once more, another person or another gauge",
                    group.key, n + 1, last.value, earlier.join(" and ")
                ),
                at: None,
            });
        }
    }
    asks
}

/// Every reading of a box since its part was changed or reworked. One mistyped
/// was never read.
fn taken(seen: &RowView, m: usize, n: usize) -> Vec<Taken> {
    let mut all: Vec<Taken> = Vec::new();
    let began = seen.steps.last().and_then(|step| step.sides[m].began.get(n).copied());
    for (s, step) in seen.steps.iter().enumerate().skip(began.unwrap_or_default()) {
        let side = &step.sides[m];
        let Some(source) = side.sources.get(n).filter(|source| source.step == s) else { continue };
        let unit = &seen.groups[m].unit;
        let Some(value) = step.sides[m].readings.get(n, unit) else { continue };
        if step.why == Some(Why::Mistyped) {
            all.pop();
        }
        let key = seen.groups[m].key;
        let parts = uncertainty::of(seen.index, &source.gauges, unit, key, value);
        all.push(Taken {
            value,
            uncertainty: expanded(&parts),
            questioned: step.questioned.contains(&BoxId { group: side.key, index: n }),
        });
    }
    all
}

/// Shaft and bore of one row go to one grade of its line, whatever each of them
/// is called.
fn grades(seen: &RowView) -> Vec<Issue> {
    let grade = |side: &SideReadings| Some((side.key, side.state.grade()?.to_owned()));
    let named: Vec<(Group, String)> = seen.now().filter_map(|(_, side)| grade(side)).collect();
    let of_line = |(group, name): &(Group, String)| {
        let grade = seen.line().fit()?.grade(group.side(), name);
        grade.map(|grade| grade.name.as_str())
    };
    let one = |other: &(Group, String)| {
        other.1 == named[0].1 || of_line(other).is_some() && of_line(other) == of_line(&named[0])
    };
    let mixed = !named.iter().all(one);
    let words: Vec<String> = named.iter().map(|(key, grade)| format!("{key} {grade}")).collect();
    let why = format!("mixed grades, {}: one grade of the line for both", words.join(" and "));
    mixed.then_some(Issue { state: State::Hold, why, at: None }).into_iter().collect()
}
