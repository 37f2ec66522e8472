//! The slips that a row shows by itself, and those across rows: what is asked
//! makes the row a query, and changes nothing that was typed.

use super::bench::{At, RecordIndex};
use super::chain;
use super::judged::Step;
use super::rows::Chains;
use super::uncertainty;
use crate::judge::slips::across::{self, RowSeen};
use crate::judge::slips::{BoxTyped, GaugeRange, Question, RowTyped, SideTyped, question};
use crate::judge::{SideReadings, State, Verdict, check};
use crate::model::record::Why;
use crate::model::side::BoxId;
use std::collections::BTreeSet;

/// Boxes whose value was found again: no longer in question.
type Confirmed = BTreeSet<BoxId>;

/// Of a step: the gauges of every box of every side.
type Ranges<'b> = Vec<Vec<Vec<GaugeRange<'b>>>>;

/// Questions every step of a row as it stood.
pub fn row(bench: &RecordIndex, at: &At, steps: &mut [Step]) {
    let line = &bench.case.limits.lines[at.line.1.line];
    let groups = chain::own_groups(at);
    for n in 0..steps.len() {
        let confirmed = confirmed(&steps[..=n]);
        let step = &steps[n];
        let warm = |read: &[SideReadings]| chain::at_twenty(bench, at, &groups, &step.sides, read);
        let ranges = ranges(bench, step);
        let asked = question(line, &typed(step, &ranges, &confirmed), &bench.setting, &warm);
        apply(&mut steps[n], &asked);
    }
}

/// What a step raises by itself, as if nothing had been measured again.
pub fn of_step(bench: &RecordIndex, at: &At, step: &Step) -> Vec<Question> {
    let line = &bench.case.limits.lines[at.line.1.line];
    let groups = chain::own_groups(at);
    let warm = |read: &[SideReadings]| chain::at_twenty(bench, at, &groups, &step.sides, read);
    let ranges = ranges(bench, step);
    question(line, &typed(step, &ranges, &Confirmed::new()), &bench.setting, &warm)
}

/// The verdict on the readings of a step as they stand in its boxes.
pub fn verdict(bench: &RecordIndex, at: &At, step: &Step) -> Verdict {
    let line = &bench.case.limits.lines[at.line.1.line];
    let read = typed(step, &ranges(bench, step), &Confirmed::new()).read(line);
    let read = chain::at_twenty(bench, at, &chain::own_groups(at), &step.sides, &read);
    check(line).judge(&read, &bench.setting)
}

/// The boxes that the last of some steps leaves confirmed: measured again, the
/// same value found, and not written otherwise since.
fn confirmed(steps: &[Step]) -> Confirmed {
    let mut confirmed = Confirmed::new();
    for (n, pair) in steps.windows(2).enumerate() {
        let [before, step] = pair else { continue };
        for (now, was) in step.sides.iter().zip(&before.sides) {
            for (i, source) in now.sources.iter().enumerate().filter(|(_, s)| s.step == n + 1) {
                let value = |side: &SideReadings| side.boxes[i].as_ref().map(|typed| typed.value);
                let again = source.why == Some(Why::MeasuredAgain) && step.why == source.why;
                if again && value(now).is_some() && value(now) == value(was) {
                    confirmed.insert(BoxId { group: now.key, index: i });
                } else {
                    confirmed.remove(&BoxId { group: now.key, index: i });
                }
            }
        }
    }
    confirmed
}

fn ranges<'b>(bench: &'b RecordIndex, step: &'b Step) -> Ranges<'b> {
    let gauges = |side: &'b SideReadings| {
        let each = side.sources.iter().map(|source| {
            let known = source.gauges.iter().filter_map(|id| bench.case.job.gauge(id.as_str()));
            known.filter_map(|gauge| uncertainty::range(bench, gauge)).collect()
        });
        each.collect()
    };
    step.sides.iter().map(gauges).collect()
}

fn typed<'a>(step: &'a Step, ranges: &'a Ranges<'a>, confirmed: &Confirmed) -> RowTyped<'a> {
    let sides = step.sides.iter().zip(ranges).map(|(typed, ranges)| {
        let boxes = typed.boxes.iter().zip(ranges).enumerate().map(|(n, (typed_box, gauges))| {
            typed_box.as_ref().map(|value| BoxTyped {
                typed: value,
                gauges,
                confirmed: confirmed.contains(&BoxId { group: typed.key, index: n }),
            })
        });
        SideTyped {
            key: typed.key,
            boxes: boxes.collect(),
            state: typed.state.clone(),
            uncertainty: typed.uncertainty.clone(),
        }
    });
    RowTyped { sides: sides.collect() }
}

/// Nothing is judged while a question stands; the causes are all shown.
fn apply(step: &mut Step, asked: &[Question]) {
    for question in asked {
        let state = if question.hold { State::Hold } else { State::Query };
        step.verdict.state = step.verdict.state.clone().worse(state);
        step.verdict.unjudged();
        if !step.verdict.causes.contains(&question.cause) {
            step.verdict.causes.push(question.cause.clone());
        }
        for place in &question.boxes {
            if !step.questioned.contains(place) {
                step.questioned.push(*place);
            }
        }
    }
}

/// Slips that only several rows together show, asked of the readings that the
/// record holds now.
pub fn across<'a>(bench: &RecordIndex<'a>, places: &[At<'a>], chains: &mut Chains<'a>) {
    let asked: Vec<(&str, Question)> = {
        let all: Vec<(&At, &[Step], &Step)> = places
            .iter()
            .filter_map(|at| {
                let steps = chains.get(at.row.1.code.as_str())?;
                Some((at, steps.as_slice(), steps.last()?))
            })
            .collect();
        let ranges: Vec<Ranges> =
            all.iter().map(|(_, _, step)| self::ranges(bench, step)).collect();
        let typed: Vec<RowTyped> = all
            .iter()
            .zip(&ranges)
            .map(|((_, steps, step), ranges)| typed(step, ranges, &confirmed(steps)))
            .collect();
        let seen: Vec<RowSeen> = all
            .iter()
            .zip(&typed)
            .map(|((at, _, _), typed)| RowSeen {
                code: &at.row.1.code,
                line: &bench.case.limits.lines[at.line.1.line],
                row: typed,
                sheet: at.sheet.0,
                place: at.row.0,
            })
            .collect();
        let asked = across::question(&seen, &bench.setting);
        asked.into_iter().map(|(n, asked)| (all[n].0.row.1.code.as_str(), asked)).collect()
    };
    for (code, asked) in asked {
        if let Some(step) = chains.get_mut(code).and_then(|steps| steps.last_mut()) {
            apply(step, std::slice::from_ref(&asked));
        }
    }
}
