//! Windows and ladders of the second stage. The check values are those of an
//! invented engine, worked out by hand; the rest is held against direct
//! judging.

use super::bench::{ROWS, bench, exact};
use super::oracle;
use benchleaf::judge::ladder::{End, Ladder};
use benchleaf::judge::window::{FitSizes, Guard, Known, Stage};
use benchleaf::judge::{PartState, RowRead, SideRead, State};
use benchleaf::model::engine::Side;
use benchleaf::model::job::Scope;
use benchleaf::model::line::{Kind, Reduction};
use benchleaf::quantity::{Exact, Length, Window};
use proptest::prelude::*;

fn stage(reference: &str, side: Side, known: &[&str], is: PartState, mate: PartState) -> Stage {
    let bench = bench();
    let line = bench.line(reference);
    let Kind::Fit(fit) = &line.kind else {
        panic!("a fit")
    };
    let readings: Vec<Option<Exact>> = known.iter().map(|text| Some(exact(text))).collect();
    let (shaft, bore) = match side {
        Side::Bore => (&mate, &is),
        _ => (&is, &mate),
    };
    Stage {
        sizes: FitSizes::of(fit, shaft, bore),
        known: Known::of(side, &readings, Reduction::Worst, line.places, is.clone()).unwrap(),
        mate,
        scope: Scope::Service,
        guard: Guard::default(),
    }
}

fn window(low: &str, high: &str) -> Option<Window> {
    Some(Window::of(exact(low), exact(high)))
}

#[test]
fn camshaft_windows() {
    use PartState::{New, Reused};
    let worn = ["1.3718", "1.3716"];
    let reused = stage("C", Side::Shaft, &worn, Reused, Reused);
    assert_eq!(reused.window(), window("1.3728", "1.3766"));
    let new = stage("C", Side::Shaft, &worn, Reused, New);
    assert_eq!(new.window(), window("1.3745", "1.3760"));
    let fresh = ["1.3732", "1.3732"];
    assert_eq!(
        stage("C", Side::Shaft, &fresh, New, New).window(),
        window("1.3745", "1.3760")
    );
    let reused = stage("C", Side::Shaft, &fresh, New, Reused);
    assert_eq!(reused.window(), window("1.3742", "1.3770"));
}

/// The mirror image: bore 1.3767/1.3768, so a shaft of 1.3768 - 0.0050 to
/// 1.3767 - 0.0010, and a new one to 1.3735 at most.
#[test]
fn camshaft_the_bore_first() {
    use PartState::{New, Reused};
    let bore = ["1.3767", "1.3768"];
    let reused = stage("C", Side::Bore, &bore, Reused, Reused);
    assert_eq!(reused.window(), window("1.3718", "1.3757"));
    let new = stage("C", Side::Bore, &bore, Reused, New);
    assert_eq!(new.window(), window("1.3725", "1.3735"));
    assert_eq!(reused.none_serves(), "no shaft serves");
}

#[test]
fn no_bore_serves() {
    // Readings further apart than the fit is wide: 1.3761 up to 1.3750.
    let oval = stage(
        "C",
        Side::Shaft,
        &["1.3751", "1.3715"],
        PartState::Reused,
        PartState::New,
    );
    assert_eq!(oval.window(), None);
    assert_eq!(oval.ladders(4), None);
    assert_eq!(oval.none_serves(), "no bore serves");
    // Worn out by itself.
    let worn = stage(
        "C",
        Side::Shaft,
        &["1.3716", "1.3714"],
        PartState::Reused,
        PartState::Reused,
    );
    assert_eq!(worn.window(), None);
}

fn shown(ladder: &Ladder) -> Vec<String> {
    ladder
        .rungs
        .iter()
        .map(|rung| {
            let gap = if rung.after_gap { ".. " } else { "" };
            let dagger = if rung.not_wear { " †" } else { "" };
            format!("{gap}{} {} {}{dagger}", rung.reading, rung.fit, rung.state)
        })
        .collect()
}

#[test]
fn camshaft_ladders() {
    let stage = stage(
        "C",
        Side::Shaft,
        &["1.3718", "1.3716"],
        PartState::Reused,
        PartState::Reused,
    );
    let [tight, loose] = stage.ladders(4).unwrap();
    let tight = shown(&tight);
    assert_eq!(tight[0], "1.3727 0.0009 L out, tight by 0.0001 †");
    assert_eq!(tight[1], "1.3728 0.0010 L within service limits †");
    assert_eq!(tight[11], "1.3738 0.0020 L within service limits †");
    // Where the new bore begins is always shown.
    assert_eq!(tight[12], ".. 1.3744 0.0026 L within service limits †");
    assert_eq!(tight[13], "1.3745 0.0027 L within new limits");
    assert_eq!(tight[14], ".. 1.3748 0.0030 L within new limits");
    let loose = shown(&loose);
    let last = loose.len() - 1;
    assert_eq!(loose[last - 1], "1.3766 0.0050 L within service limits");
    assert_eq!(loose[last], "1.3767 0.0051 L out, loose by 0.0001");
    assert!(
        loose.contains(&"1.3751 0.0035 L within new limits".to_owned())
            || loose.contains(&".. 1.3751 0.0035 L within new limits".to_owned())
    );
    assert!(loose.contains(&"1.3752 0.0036 L within service limits".to_owned()));
    // Single steps down to ten below the edge.
    assert!(loose[last - 11].contains("1.3756"));
    assert!(
        loose[last - 10..]
            .iter()
            .all(|rung| !rung.starts_with(".."))
    );
}

#[test]
fn the_bore_limit_ends_a_ladder() {
    let stage = stage(
        "C",
        Side::Shaft,
        &["1.3731", "1.3730"],
        PartState::Reused,
        PartState::Reused,
    );
    let [_, loose] = stage.ladders(4).unwrap();
    let loose = shown(&loose);
    assert_eq!(
        loose.last().unwrap(),
        "1.3771 0.0041 L out, bore large by 0.0001"
    );
}

/// U of 0.0003 draws both ends in, and what lies between is on hold.
#[test]
fn guarded() {
    let plain = stage(
        "C",
        Side::Shaft,
        &["1.3718", "1.3716"],
        PartState::Reused,
        PartState::Reused,
    );
    let guarded = Stage {
        guard: Guard {
            fit: exact("0.0003"),
            mate: exact("0.0003"),
        },
        ..plain.clone()
    };
    assert_eq!(guarded.window(), window("1.3731", "1.3763"));
    assert_eq!(guarded.accepting(), plain.window());
    assert_eq!(guarded.rung(End::Loose, exact("1.3764")).state, State::Hold);
    assert_eq!(
        guarded.rung(End::Loose, exact("1.3763")).state,
        State::Service
    );
    assert!(matches!(
        guarded.rung(End::Loose, exact("1.3767")).state,
        State::Out(_)
    ));
}

#[test]
fn an_average_is_taken_outward() {
    let readings = ["1.3716", "1.3717", "1.3717"].map(|text| Some(exact(text)));
    let known = Known::of(
        Side::Shaft,
        &readings,
        Reduction::Average,
        4,
        PartState::Reused,
    );
    let known = known.unwrap();
    assert_eq!(
        (known.smallest, known.largest),
        (exact("1.3716"), exact("1.3717"))
    );
    let blank = [Some(exact("1.3716")), None];
    assert_eq!(
        Known::of(Side::Shaft, &blank, Reduction::Worst, 4, PartState::Reused),
        None
    );
}

fn state_of(new: bool) -> PartState {
    if new {
        PartState::New
    } else {
        PartState::Reused
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20_000))]

    /// Every line, both directions, both units, both scopes, new and reused:
    /// a mate inside the window passes beside the known part, one outside is
    /// out, and the two rungs together say what direct judging says of fit and
    /// mate.
    #[test]
    fn windows_and_ladders_agree_with_judging(
        which in 0..ROWS.len(),
        known_is_bore in any::<bool>(),
        known_new in any::<bool>(),
        mate_new in any::<bool>(),
        new_scope in prop::bool::weighted(0.2),
        known_at in -20i64..40,
        known_apart in 0i64..6,
        mate_at in -20i64..40,
        mate_apart in 0i64..12,
    ) {
        let bench = bench();
        let line = bench.line(ROWS[which].reference);
        let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
        let scope = if new_scope { Scope::New } else { Scope::Service };
        let places = line.places;
        let times = if ROWS[which].unit == Length::Inch { 1 } else { 2 };
        let from = |part: &benchleaf::model::line::PartLimits, at: i64, apart: i64| {
            let low = part.new_min.as_ref().unwrap().value + Exact::steps(at * times, places);
            (low, low + Exact::steps(apart * times, places))
        };
        let (side, known_part, mate_part) = if known_is_bore {
            (Side::Bore, &fit.bore, &fit.shaft)
        } else {
            (Side::Shaft, &fit.shaft, &fit.bore)
        };
        let (smallest, largest) = from(known_part, known_at, known_apart);
        let (small, large) = from(mate_part, mate_at, mate_apart);
        let (known_state, mate_state) = (state_of(known_new), state_of(mate_new));
        let read = |key, ends: (Exact, Exact), state: &PartState| SideRead {
            key,
            readings: vec![Some(ends.0), Some(ends.1)],
            state: state.clone(),
            ..SideRead::default()
        };
        // An oval skirt is judged by its first box alone.
        let oval = |side: Side, ends: (Exact, Exact)| {
            if ROWS[which].oval && side == Side::Shaft { (ends.0, ends.0) } else { ends }
        };
        let (smallest, largest) = oval(side, (smallest, largest));
        let mate_side = if known_is_bore { Side::Shaft } else { Side::Bore };
        let (small, large) = oval(mate_side, (small, large));
        let sides = if known_is_bore {
            vec![
                read("shaft", (small, large), &mate_state),
                read("bore", (smallest, largest), &known_state),
            ]
        } else {
            vec![
                read("shaft", (smallest, largest), &known_state),
                read("bore", (small, large), &mate_state),
            ]
        };
        let verdict = oracle::judge(line, &RowRead { sides }, &bench.setting(scope));
        let part = |name: &str| {
            verdict.parts.iter().find(|part| part.name == name).unwrap().state.clone()
        };
        let stage = Stage {
            sizes: FitSizes::of(fit, &PartState::Reused, &PartState::Reused),
            known: Known { side, smallest, largest, state: known_state },
            mate: mate_state,
            scope,
            guard: Guard::default(),
        };
        let inside = stage.window().is_some_and(|w| w.holds(small) && w.holds(large));
        prop_assert_eq!(inside, verdict.state.passes(), "{:?} {:?}", stage.window(), verdict);

        let (known_name, mate_name) =
            if known_is_bore { ("bore", "shaft") } else { ("shaft", "bore") };
        if !matches!(part(known_name), State::Out(_)) {
            let (tight_at, loose_at) = if known_is_bore { (large, small) } else { (small, large) };
            let rungs = stage
                .rung(End::Tight, tight_at)
                .state
                .worse(stage.rung(End::Loose, loose_at).state);
            let wanted = part("fit").worse(part(mate_name));
            prop_assert_eq!(rungs.word(), wanted.word(), "{:?}", verdict);
        }
        // The edges of each ladder are the window's, and its rungs go up.
        if let Some([tight, loose]) = stage.ladders(places) {
            for ladder in [tight, loose] {
                let passing: Vec<Exact> = ladder
                    .rungs
                    .iter()
                    .filter(|rung| rung.state.passes())
                    .map(|rung| rung.reading)
                    .collect();
                let window = stage.window().unwrap();
                prop_assert_eq!(passing.first().copied(), window.low);
                prop_assert_eq!(passing.last().copied(), window.high);
                prop_assert!(ladder.rungs.is_sorted_by(|a, b| a.reading < b.reading));
                prop_assert!(matches!(ladder.rungs[0].state, State::Out(_)));
                prop_assert!(matches!(ladder.rungs.last().unwrap().state, State::Out(_)));
            }
        }
    }
}
