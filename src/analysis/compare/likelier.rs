//! Which of two readings of a box each rule of the slips thinks likelier: the
//! one that raises no question where the other does, whatever stands in the
//! other boxes of the row.

use super::difference::{Difference, Opinion, Which};
use crate::judge::slips::{Question, Slip, between};
use crate::model::limits::Gauges;
use crate::model::side::BoxId;
use crate::model::text::Number;
use crate::record::{RecordIndex, Step, history, questions};
use crate::sheet::At;

/// The rows of both transcriptions as first written.
pub struct Rows<'b, 'a> {
    indexes: [&'b RecordIndex<'a>; 2],
}

impl<'b, 'a> Rows<'b, 'a> {
    pub fn new(indexes: [&'b RecordIndex<'a>; 2]) -> Rows<'b, 'a> {
        Rows { indexes }
    }

    /// Asks every rule about boxes of one row in which both transcriptions hold
    /// a reading: one box, or two whose readings stand in each other's place,
    /// which no paper holds by halves.
    pub fn ask(&mut self, code: &str, places: &[BoxId], into: &mut Difference) {
        let Some(at) = &self.indexes[0].set.row(code) else { return };
        let steps = self.indexes.map(|index| history::own(index, at).into_iter().next());
        let [Some(one), Some(other)] = steps else { return };
        let read = |step: &Step| -> Option<Vec<Number>> {
            let of = |BoxId { group, index }: &BoxId| {
                let side = step.side(*group)?;
                side.boxes.get(*index)?.clone()
            };
            places.iter().map(of).collect()
        };
        let (Some(first), Some(second)) = (read(&one), read(&other)) else { return };
        let line = &self.indexes[0].case.limits.lines[at.line.line];
        into.slip = match (first.as_slice(), second.as_slice()) {
            // A number of things was counted, not read off a sleeve.
            _ if matches!(line.gauges(), Gauges::None) => None,
            ([first], [second]) => between(first, second, &line.unit, line.places),
            _ => Some(Slip::Exchanged.to_string()),
        };
        // Each reading among the other boxes of either transcription.
        let rows: Vec<[Vec<Question>; 2]> = [(0, &one), (1, &other)]
            .into_iter()
            .map(|(n, step)| {
                [&first, &second].map(|typed| self.asked(n, at, &put(step, places, typed), places))
            })
            .collect();
        into.rules = opinions(&rows);
        let state = |n: usize, step: &Step| {
            let index = self.indexes[n];
            let asked = questions::of_step(index, at, step);
            let hold = asked.iter().all(|asked| asked.hold);
            match asked.is_empty() {
                true => questions::verdict(index, at, step).state.to_string(),
                false => (if hold { "hold" } else { "query" }).to_owned(),
            }
        };
        let states = (state(0, &one), state(1, &put(&one, places, &second)));
        into.states = Some(states).filter(|(one, other)| one != other);
    }

    fn asked(&self, n: usize, at: &At, step: &Step, places: &[BoxId]) -> Vec<Question> {
        let all = questions::of_step(self.indexes[n], at, step);
        let about = |asked: &Question| places.iter().any(|place| asked.boxes.contains(place));
        all.into_iter().filter(about).collect()
    }
}

fn put(step: &Step, places: &[BoxId], typed: &[Number]) -> Step {
    let mut step = step.clone();
    for (BoxId { group, index }, typed) in places.iter().zip(typed) {
        let sides = step.sides.iter_mut().filter(|side| side.key == *group);
        for slot in sides.filter_map(|side| side.boxes.get_mut(*index)) {
            *slot = Some(typed.clone());
        }
    }
    step
}

/// A rule that asks of one reading and not of the other thinks the other
/// likelier, unless it thinks otherwise in the other transcription's row.
fn opinions(rows: &[[Vec<Question>; 2]]) -> Vec<Opinion> {
    let mut found: Vec<(Slip, Opinion)> = Vec::new();
    let mut torn: Vec<Slip> = Vec::new();
    for [first, second] in rows {
        let ways = [(first, second, Which::Second), (second, first, Which::First)];
        for (asked, other, likelier) in ways {
            for question in asked {
                let slip = question.slip;
                if other.iter().any(|other| other.slip == slip) {
                    continue;
                }
                match found.iter().find(|(known, _)| *known == slip) {
                    Some((_, opinion)) if opinion.likelier != likelier => torn.push(slip),
                    Some(_) => {}
                    None => {
                        let why = question.cause.clone();
                        found.push((slip, Opinion { rule: slip.to_string(), likelier, why }));
                    }
                }
            }
        }
    }
    found.into_iter().filter(|(slip, _)| !torn.contains(slip)).map(|(_, opinion)| opinion).collect()
}
