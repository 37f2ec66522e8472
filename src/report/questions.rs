//! The slips that a row shows by itself, and those across rows: what is asked
//! makes the row a query, and changes nothing that was typed.

use super::bench::{At, Bench};
use super::judged::{ChainStep, JudgedRow};
use super::line_of;
use crate::judge::slips::across::{self, RowSeen};
use crate::judge::slips::{Asked, BoxTyped, GaugeRange, RowTyped, SideTyped, question};
use crate::judge::{RowRead, State, check};
use crate::model::record::Why;
use std::collections::BTreeSet;

/// Questions every step of a row as it stood.
pub fn row(bench: &Bench, at: &At, steps: &mut [ChainStep]) {
    let line = &bench.case.limits.lines[at.line.1.line];
    let kind = check(line);
    let judge = |read: &RowRead| kind.judge(read, &bench.setting);
    let mut confirmed: BTreeSet<(&'static str, usize)> = BTreeSet::new();
    for n in 0..steps.len() {
        confirm(steps, n, &mut confirmed);
        let step = &steps[n];
        let gauges: Vec<Vec<GaugeRange>> =
            step.typed.iter().map(|side| ranges(bench, &side.gauges)).collect();
        let asked = question(line, &typed(step, &gauges, &confirmed), &bench.setting, &judge);
        apply(&mut steps[n], &asked);
    }
}

/// Boxes whose value was found again: no longer in question.
fn confirm(steps: &[ChainStep], n: usize, confirmed: &mut BTreeSet<(&'static str, usize)>) {
    let Some(before) = n.checked_sub(1).and_then(|n| steps.get(n)) else { return };
    let step = &steps[n];
    for (now, was) in step.typed.iter().zip(&before.typed) {
        for (i, (now_box, was_box)) in now.boxes.iter().zip(&was.boxes).enumerate() {
            let (Some(now_box), Some(was_box)) = (now_box, was_box) else { continue };
            let written = now.fresh && step.why == Some(Why::MeasuredAgain);
            if written && now_box.value == was_box.value {
                confirmed.insert((now.key, i));
            } else if now_box.value != was_box.value {
                confirmed.remove(&(now.key, i));
            }
        }
    }
}

fn ranges<'a>(bench: &Bench<'a>, ids: &[String]) -> Vec<GaugeRange<'a>> {
    let unit = bench.case.limits.document.unit;
    ids.iter()
        .filter_map(|id| bench.case.job.gauge(id))
        .filter_map(|gauge| {
            let (low, high) = gauge.range.as_ref()?;
            Some(GaugeRange {
                name: gauge.id.as_str(),
                low: low.value,
                high: high.value,
                unit: gauge.unit.unwrap_or(unit),
                transfer: gauge.transfer,
            })
        })
        .collect()
}

fn typed<'a>(
    step: &'a ChainStep,
    gauges: &'a [Vec<GaugeRange<'a>>],
    confirmed: &BTreeSet<(&'static str, usize)>,
) -> RowTyped<'a> {
    let sides = step.typed.iter().zip(&step.read.sides).zip(gauges).map(|((typed, read), gauges)| {
        let boxes = typed.boxes.iter().enumerate().map(|(n, typed_box)| {
            typed_box.as_ref().map(|value| BoxTyped {
                typed: value,
                gauges,
                confirmed: confirmed.contains(&(typed.key, n)),
            })
        });
        SideTyped {
            key: typed.key,
            boxes: boxes.collect(),
            state: read.state.clone(),
            uncertainty: read.uncertainty.clone(),
        }
    });
    RowTyped { sides: sides.collect() }
}

/// Nothing is judged while a question stands; the causes are all shown.
fn apply(step: &mut ChainStep, asked: &[Asked]) {
    if asked.is_empty() {
        return;
    }
    let held = asked.iter().all(|question| question.hold);
    step.verdict.state = if held { State::Hold } else { State::Query };
    step.verdict.flags.clear();
    step.verdict.margin = None;
    step.verdict.remedies.clear();
    step.verdict.causes.extend(asked.iter().map(|question| question.cause.clone()));
}

/// Slips that only several rows together show, asked of the readings that the
/// record holds now.
pub fn across(bench: &Bench, rows: &mut [JudgedRow]) {
    let asked: Vec<(usize, Asked)> = {
        let all: Vec<(usize, &JudgedRow, &ChainStep)> = rows
            .iter()
            .enumerate()
            .filter(|(_, row)| line_of(bench.set, row).has_boxes())
            .filter_map(|(n, row)| Some((n, row, row.last()?)))
            .collect();
        let none: Vec<Vec<GaugeRange>> = vec![Vec::new(); 4];
        let confirmed: Vec<_> = all.iter().map(|(_, row, _)| confirmed_boxes(row)).collect();
        let typed: Vec<RowTyped> = all
            .iter()
            .zip(&confirmed)
            .map(|((_, _, step), confirmed)| typed(step, &none, confirmed))
            .collect();
        let seen: Vec<RowSeen> = all
            .iter()
            .zip(&typed)
            .map(|((_, row, _), typed)| RowSeen {
                code: &row.code,
                line: &bench.case.limits.lines[row.limit],
                row: typed,
                sheet: row.sheet,
                place: row.row,
            })
            .collect();
        let asked = across::question(&seen, &bench.setting);
        asked.into_iter().map(|(n, asked)| (all[n].0, asked)).collect()
    };
    for (n, asked) in asked {
        let Some(step) = rows[n].steps.last_mut() else { continue };
        if step.verdict.causes.contains(&asked.cause) {
            continue;
        }
        apply(step, std::slice::from_ref(&asked));
        let state = step.verdict.state.clone();
        rows[n].state = rows[n].state.clone().worse(state);
    }
}

fn confirmed_boxes(row: &JudgedRow) -> BTreeSet<(&'static str, usize)> {
    let mut confirmed = BTreeSet::new();
    (0..row.steps.len()).for_each(|n| confirm(&row.steps, n, &mut confirmed));
    confirmed
}
