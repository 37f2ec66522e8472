//! Ladders as printed. Each has single steps near the edge that it decides,
//! the tight one at the small bore (or the large shaft) and the loose one at
//! the other, steps of ten from there to its far end, and every place where the
//! state changes.

use super::types::{Step, Steps};
use crate::judge::ladder::{End, Ladder, Rung};
use crate::judge::window::Stage;
use crate::judge::{Half, State};
use crate::quantity::Exact;

/// Single steps from the edge that a ladder decides.
const NEAR: i64 = 10;

/// The tight and the loose ladder of a place.
pub fn ladders(stage: &Stage, places: u8) -> Option<[Steps; 2]> {
    let [tight, loose] = stage.ladders(places)?;
    Some([steps(stage, &tight, places), steps(stage, &loose, places)])
}

fn steps(stage: &Stage, ladder: &Ladder, places: u8) -> Steps {
    let (title, sum) = heading(stage, ladder.end, places);
    let small_side = (ladder.end == End::Tight) == (stage.known.half == Half::Shaft);
    let kept = kept(&ladder.rungs, small_side, places);
    let mut above: Option<i64> = None;
    let steps = kept.into_iter().map(|rung| {
        let here = rung.reading.in_steps(places);
        let gap = matches!((above, here), (Some(above), Some(here)) if here - above > 1);
        above = here;
        step(rung, gap, places)
    });
    Steps { title, sum, steps: steps.collect() }
}

fn heading(stage: &Stage, end: End, places: u8) -> (&'static str, String) {
    let known = &stage.known;
    let show = |size: Exact| format!("{size:.*}", usize::from(places));
    match (end, known.half) {
        (End::Tight, Half::Shaft) => ("Tight", format!("smallest bore − {}", show(known.largest))),
        (End::Loose, Half::Shaft) => ("Loose", format!("largest bore − {}", show(known.smallest))),
        (End::Tight, Half::Bore) => ("Tight", format!("{} − largest shaft", show(known.smallest))),
        (End::Loose, Half::Bore) => ("Loose", format!("{} − smallest shaft", show(known.largest))),
    }
}

/// The rungs that are printed.
fn kept(rungs: &[Rung], small_side: bool, places: u8) -> Vec<&Rung> {
    let at = |rung: &Rung| rung.reading.in_steps(places);
    let serves = |rung: &&Rung| !matches!(rung.state, State::Out(_));
    let good: Vec<&Rung> = rungs.iter().filter(serves).collect();
    let (Some(first), Some(last)) = (good.first().and_then(|r| at(r)), good.last().and_then(|r| at(r))) else {
        return rungs.iter().collect();
    };
    let edge = if small_side { first } else { last };
    let keep = |n: usize, rung: &Rung| {
        let Some(here) = at(rung) else { return true };
        let near = (here - edge).abs() <= NEAR;
        let stride = (here - edge) % NEAR == 0;
        let beyond = matches!(rung.state, State::Out(_));
        let ends = here == first || here == last || beyond;
        let differs = |other: Option<&Rung>| {
            other.is_some_and(|other| {
                let next = at(other).is_some_and(|other| (other - here).abs() == 1);
                next && word(other) != word(rung) && serves(&other) && serves(&rung)
            })
        };
        let before = n.checked_sub(1).and_then(|n| rungs.get(n));
        near || stride || ends || differs(before) || differs(rungs.get(n + 1))
    };
    let kept = rungs.iter().enumerate().filter(|(n, rung)| keep(*n, rung));
    kept.map(|(_, rung)| rung).collect()
}

fn word(rung: &Rung) -> String {
    match &rung.state {
        State::New => "new".to_owned(),
        State::Service => "service".to_owned(),
        State::Hold => "hold".to_owned(),
        State::Out(beyond) => {
            let side = beyond.first().map(|beyond| beyond.side.as_str()).unwrap_or_default();
            format!("out: {}", side.split(' ').next().unwrap_or_default())
        }
        other => other.to_string(),
    }
}

fn step(rung: &Rung, gap: bool, places: u8) -> Step {
    Step {
        size: format!("{:.*}", usize::from(places), rung.reading),
        fit: rung.fit.show(places),
        word: word(rung),
        out: matches!(rung.state, State::Out(_)),
        dagger: rung.not_wear,
        gap,
    }
}
