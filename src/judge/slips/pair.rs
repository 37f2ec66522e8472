//! Readings of one part in one plane that are further apart than one part can
//! be.

use super::judge::{Judge, as_typed, differ};
use super::side::{Filled, Measured};
use super::signature::{Correction, Question, Slip, near, undo};
use crate::judge::side::SideReadings;
use crate::model::limits::Line;
use crate::quantity::{Exact, Unit};

/// Beyond this many times the roundness limit no cause is needed to ask.
const TIMES: i64 = 5;

/// Asks about every pair that is too far apart.
pub(super) fn apart(
    line: &Line,
    row: &[SideReadings],
    sides: &[Measured],
    judge: &Judge,
    asked: &mut Vec<Question>,
) {
    for part in sides.iter().filter(|part| part.paired) {
        let mut planes: Vec<usize> = part.filled.iter().map(|filled| filled.plane).collect();
        planes.dedup();
        for plane in planes {
            let pair: Vec<&Filled> =
                part.filled.iter().filter(|filled| filled.plane == plane).collect();
            let smallest = pair.iter().map(|filled| filled.value).min();
            let largest = pair.iter().map(|filled| filled.value).max();
            let (Some(smallest), Some(largest)) = (smallest, largest) else {
                continue;
            };
            let apart = largest - smallest;
            if apart > part.round.times(TIMES) {
                asked.extend(far_apart(part, &pair));
            } else if apart > part.round {
                asked.extend(with_cause((line, row), part, &pair, judge));
            }
        }
    }
}

type Cause<'p, 'a> = (&'p Filled<'a>, Correction);

/// Every slip in one box that, undone, brings it to its pair.
fn causes<'p, 'a>(part: &Measured<'a>, pair: &[&'p Filled<'a>]) -> Vec<Cause<'p, 'a>> {
    let near = near(part.unit);
    let undone = |filled: &&'p Filled<'a>| {
        let filled: &'p Filled<'a> = filled;
        let all = undo(filled.value, filled.text, part.unit, part.places);
        all.into_iter()
            .filter(|undone| part.lands(filled.at.index, undone.value, near))
            .map(move |undone| (filled, undone))
            .collect::<Vec<_>>()
    };
    pair.iter().flat_map(undone).collect()
}

/// Asked only where a cause lies inside the widest limits and undoing one of
/// them changes a verdict; then every one of them is shown.
fn with_cause(
    (line, row): (&Line, &[SideReadings]),
    part: &Measured,
    pair: &[&Filled],
    judge: &Judge,
) -> Vec<Question> {
    let mut causes = causes(part, pair);
    causes.retain(|(_, undone)| part.widest.holds(undone.value));
    if causes.is_empty() || causes.iter().any(|(filled, _)| filled.confirmed) {
        return Vec::new();
    }
    let typed = as_typed(row, line);
    let verdicts = judge.all(&typed, part.key);
    let changes = |(filled, undone): &Cause| {
        let other = with_reading(&typed, part, filled.at.index, undone.value);
        differ(&verdicts, &judge.all(&other, part.key))
    };
    if !causes.iter().any(changes) {
        return Vec::new();
    }
    causes.iter().map(|cause| ask(part, pair, cause)).collect()
}

/// Asked with a cause or with none.
fn far_apart(part: &Measured, pair: &[&Filled]) -> Vec<Question> {
    let mut causes = causes(part, pair);
    if causes.iter().any(|(_, undone)| part.widest.holds(undone.value)) {
        causes.retain(|(_, undone)| part.widest.holds(undone.value));
    }
    let odd = odd_ones(part, pair);
    let asked_about = |filled: &Filled| {
        odd.iter().any(|one| one.at.index == filled.at.index)
            || causes.iter().any(|(one, _)| one.at.index == filled.at.index)
    };
    if pair.iter().filter(|filled| asked_about(filled)).any(|filled| filled.confirmed) {
        return Vec::new();
    }
    let mut asked: Vec<Question> = causes.iter().map(|cause| ask(part, pair, cause)).collect();
    asked.extend(odd.iter().filter(|filled| part.is_clearance(filled.value)).map(|filled| {
        Question {
            slip: Slip::Clearance,
            cause: format!(
                "{} reads {}: a clearance written in a diameter's box",
                filled.at, filled.text
            ),
            boxes: vec![filled.at],
            likely: None,
            hold: false,
        }
    }));
    if asked.is_empty() {
        asked.push(no_cause(part, pair, &odd));
    }
    asked
}

/// Those of a pair that lie past the widest limits, or all of them where that
/// does not tell.
fn odd_ones<'p, 'a>(part: &Measured, pair: &[&'p Filled<'a>]) -> Vec<&'p Filled<'a>> {
    let odd = |filled: &&&Filled| !part.widest.holds(filled.value);
    let out: Vec<&Filled> = pair.iter().filter(odd).copied().collect();
    if out.is_empty() { pair.to_vec() } else { out }
}

fn no_cause(part: &Measured, pair: &[&Filled], odd: &[&Filled]) -> Question {
    let figures: Vec<&str> = pair.iter().map(|filled| filled.text).collect();
    let cause = format!(
        "{} readings {} are further apart than one part can be (limit {:.*}): no likely cause, \
         measure again",
        part.key,
        figures.join(" and "),
        usize::from(part.places),
        part.round
    );
    let boxes = odd.iter().map(|filled| filled.at).collect();
    Question { slip: Slip::Apart, cause, boxes, likely: None, hold: false }
}

fn ask(part: &Measured, pair: &[&Filled], (filled, undone): &Cause) -> Question {
    let likely = format!("{:.*}", usize::from(part.places), undone.value);
    let others: Vec<&str> = pair
        .iter()
        .filter(|other| other.at.index != filled.at.index)
        .map(|other| other.text)
        .collect();
    let cause = format!(
        "{} reads {} beside {}: {} would make it {likely}",
        filled.at,
        filled.text,
        others.join(" and "),
        undone.slip.in_words(part.unit)
    );
    let boxes = vec![filled.at];
    Question { slip: undone.slip, cause, boxes, likely: Some(likely), hold: false }
}

/// The same row with another reading in one box.
pub(super) fn with_reading(
    row: &[SideReadings],
    part: &Measured,
    index: usize,
    value: Exact,
) -> Vec<SideReadings> {
    let mut other = row.to_vec();
    if let Some(side) = other.iter_mut().find(|side| side.key == part.key) {
        side.readings.write(index, value, &Unit::Length(part.unit));
    }
    other
}
