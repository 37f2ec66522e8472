//! Ladders as printed. Each has single steps near the edge that it decides,
//! the tight one at the small bore (or the large shaft) and the loose one at
//! the other, with the size beyond shown as out; from there no more than ten
//! steps at a time to the far edge, and both sides of every change of state.
//!
//! The word beside a size is the best that the row can then be, with the part on
//! record in it: its verdict if every reading of the mate were this one. So the
//! worse of the two words that a mechanic reads off is the verdict, and a
//! clearance past the new limits is never called new.

use super::types::{Step, Steps};
use crate::judge::State;
use crate::judge::ladder::End;
use crate::judge::mate::SecondStage;
use crate::model::side::Side;
use crate::quantity::Exact;
use std::collections::BTreeSet;

/// Single steps from the edge that a ladder decides, and from size to size
/// after them.
const NEAR: i64 = 10;
/// A window wider than this many tens goes by hundreds.
const TENS: i64 = 40;

/// The row's state if every reading of the mate were this one.
type Row<'a> = &'a dyn Fn(Exact) -> State;

/// The end that it is for, the first and the last size that serves.
type Ladder = (End, (i64, i64));

/// The tight and the loose ladder of a place.
pub fn ladders(stage: &SecondStage, places: u8, row: Row) -> Option<[Steps; 2]> {
    let span = stage.span(places)?;
    Some([End::Tight, End::Loose].map(|end| steps(stage, (end, span), places, row)))
}

fn steps(stage: &SecondStage, (end, span): Ladder, places: u8, row: Row) -> Steps {
    let (title, sum) = heading(stage, end, places);
    let mut above: Option<i64> = None;
    let steps = sizes(stage, (end, span), places, row).into_iter().map(|size| {
        let gap = above.is_some_and(|above| size - above > 1);
        above = Some(size);
        step(stage, end, Exact::steps(size, places), gap, places, row)
    });
    Steps { title, sum, steps: steps.collect() }
}

/// The sizes of a ladder in steps of the resolution.
fn sizes(stage: &SecondStage, (end, (first, last)): Ladder, places: u8, row: Row) -> BTreeSet<i64> {
    let small_side = (end == End::Tight) == (stage.known.side == Side::Shaft);
    let window = stage.accepting().unwrap_or_default();
    let (edge, out, inward) = match small_side {
        true => (first, window.low.map(|_| first - 1), 1),
        false => (last, window.high.map(|_| last + 1), -1),
    };
    let mut sizes: BTreeSet<i64> = [first, last].into();
    if out.is_some() {
        sizes.extend(out);
        sizes.extend(
            (0..=NEAR).map(|n| edge + n * inward).filter(|size| (first..=last).contains(size)),
        );
    }
    let word = |size: i64| row(Exact::steps(size, places)).rank();
    if last - first <= NEAR * TENS * NEAR {
        let changes = (first..last).filter(|size| word(*size) != word(size + 1));
        sizes.extend(changes.flat_map(|size| [size, size + 1]));
    }
    let stride = if (last - first) / NEAR > TENS { NEAR * NEAR } else { NEAR };
    between(&mut sizes, stride, inward);
    sizes
}

/// Fills what lies further apart than the stride, counted from the edge.
fn between(sizes: &mut BTreeSet<i64>, stride: i64, inward: i64) {
    let all: Vec<i64> = sizes.iter().copied().collect();
    for (low, high) in all.iter().zip(all.iter().skip(1)) {
        let count = (high - low - 1) / stride;
        let from = if inward > 0 { *low } else { *high };
        sizes.extend((1..=count).map(|n| from + n * stride * inward));
    }
}

fn heading(stage: &SecondStage, end: End, places: u8) -> (&'static str, String) {
    let known = &stage.known;
    let show = |size: Exact| format!("{size:.*}", usize::from(places));
    match (end, known.side) {
        (End::Tight, Side::Shaft) => ("Tight", format!("smallest bore − {}", show(known.largest))),
        (End::Loose, Side::Shaft) => ("Loose", format!("largest bore − {}", show(known.smallest))),
        (End::Tight, _) => ("Tight", format!("{} − largest shaft", show(known.smallest))),
        (End::Loose, _) => ("Loose", format!("{} − smallest shaft", show(known.largest))),
    }
}

/// Where it is out, by its own end first.
fn word(state: &State, end: End) -> String {
    let own = if end == End::Tight { "tight" } else { "loose" };
    match state {
        State::New => "new".to_owned(),
        State::Service => "service".to_owned(),
        State::Hold => "hold".to_owned(),
        State::Out(beyond) => {
            let first = beyond.iter().find(|beyond| beyond.side == own).or(beyond.first());
            let side = first.map(|beyond| beyond.side.as_str()).unwrap_or_default();
            format!("out: {}", side.split(' ').next().unwrap_or_default())
        }
        other => other.to_string(),
    }
}

fn step(stage: &SecondStage, end: End, size: Exact, gap: bool, places: u8, row: Row) -> Step {
    let rung = stage.rung(end, size);
    let state = row(size);
    Step {
        size: format!("{size:.*}", usize::from(places)),
        fit: rung.fit.show(places),
        word: word(&state, end),
        out: matches!(state, State::Out(_)),
        dagger: rung.not_wear,
        gap,
    }
}
