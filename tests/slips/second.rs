//! Windows and ladders of the second stage. The check values are those of an
//! invented engine, worked out by hand; the rest is held against direct
//! judging.

use super::bench::{Bench, ROWS, bench, exact, figure};
use crate::judge::bench::by_gauges;
use benchleaf::judge::ladder::End;
use benchleaf::judge::mate::{Guard, Known, SecondStage, fit_limits_for, replaced};
use benchleaf::judge::{Context, PartState, SideReadings, State, Verdict, check};
use benchleaf::model::job::{Rule, Scope};
use benchleaf::model::limits::{FitLine, Kind, Line, Reduction};
use benchleaf::model::side::Side;
use benchleaf::quantity::{Exact, Length, Readings, Window, root_sum_square};
use proptest::prelude::*;

fn stage(
    reference: &str,
    half: Side,
    known: &[&str],
    is: PartState,
    mate: PartState,
) -> SecondStage {
    let bench = bench();
    let line = bench.line(reference);
    let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
    let readings: Vec<Option<Exact>> = known.iter().map(|text| Some(exact(text))).collect();
    let known = Known::of(half, &readings, Reduction::Worst, line.places, is).unwrap();
    let stage = (fit, &line.unit);
    SecondStage::of(stage, known, mate, Guard::default(), Scope::Service).unwrap()
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
    assert_eq!(stage("C", Side::Shaft, &fresh, New, New).window(), window("1.3745", "1.3760"));
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
    let oval = stage("C", Side::Shaft, &["1.3751", "1.3715"], PartState::Reused, PartState::New);
    assert_eq!(oval.window(), None);
    assert_eq!(oval.span(4), None);
    assert_eq!(oval.none_serves(), "no bore serves");
    // Worn out by itself.
    let worn = stage("C", Side::Shaft, &["1.3716", "1.3714"], PartState::Reused, PartState::Reused);
    assert_eq!(worn.window(), None);
}

/// The rung of a size, as a ladder would have it.
fn rung(stage: &SecondStage, end: End, size: &str) -> String {
    let rung = stage.rung(end, exact(size));
    let dagger = if rung.not_wear { " †" } else { "" };
    format!("{} {}{dagger}", rung.fit, rung.state)
}

#[test]
fn camshaft_rungs() {
    let stage =
        stage("C", Side::Shaft, &["1.3718", "1.3716"], PartState::Reused, PartState::Reused);
    assert_eq!(stage.span(4), Some((13_728, 13_766)));
    let tight = |size: &str| rung(&stage, End::Tight, size);
    assert_eq!(tight("1.3727"), "0.0009 L out, tight by 0.0001 †");
    assert_eq!(tight("1.3728"), "0.0010 L within service limits †");
    assert_eq!(tight("1.3738"), "0.0020 L within service limits †");
    // Where the new bore begins.
    assert_eq!(tight("1.3744"), "0.0026 L within service limits †");
    assert_eq!(tight("1.3745"), "0.0027 L within new limits");
    assert_eq!(tight("1.3748"), "0.0030 L within new limits");
    let loose = |size: &str| rung(&stage, End::Loose, size);
    assert_eq!(loose("1.3751"), "0.0035 L within new limits");
    assert_eq!(loose("1.3752"), "0.0036 L within service limits");
    assert_eq!(loose("1.3766"), "0.0050 L within service limits");
    assert_eq!(loose("1.3767"), "0.0051 L out, loose by 0.0001");
}

#[test]
fn the_bore_limit_ends_a_ladder() {
    let stage =
        stage("C", Side::Shaft, &["1.3731", "1.3730"], PartState::Reused, PartState::Reused);
    assert_eq!(stage.span(4).unwrap().1, 13_770);
    assert_eq!(rung(&stage, End::Loose, "1.3771"), "0.0041 L out, bore large by 0.0001");
}

/// U of 0.0003 draws both ends in, and what lies between is on hold.
#[test]
fn guarded() {
    let plain =
        stage("C", Side::Shaft, &["1.3718", "1.3716"], PartState::Reused, PartState::Reused);
    let u = exact("0.0003");
    let guarded = SecondStage { guard: Guard { tight: u, loose: u, mate: u }, ..plain.clone() };
    assert_eq!(guarded.window(), window("1.3731", "1.3763"));
    assert_eq!(guarded.accepting(), plain.window());
    assert_eq!(guarded.rung(End::Loose, exact("1.3764")).state, State::Hold);
    assert_eq!(guarded.rung(End::Loose, exact("1.3763")).state, State::Service);
    assert!(matches!(guarded.rung(End::Loose, exact("1.3767")).state, State::Out(_)));
}

/// New is new by the mate's own gauges too: a bore new to 1.3760, less 0.0002.
#[test]
fn a_guarded_mate_is_new_only_inside_its_own_limits() {
    let plain =
        stage("C", Side::Shaft, &["1.3730", "1.3726"], PartState::Reused, PartState::Reused);
    let guard = Guard { mate: exact("0.0002"), ..Guard::default() };
    let guarded = SecondStage { guard, ..plain.clone() };
    assert_eq!(plain.rung(End::Loose, exact("1.3760")).state, State::New);
    assert_eq!(guarded.rung(End::Loose, exact("1.3758")).state, State::New);
    assert_ne!(guarded.rung(End::Loose, exact("1.3759")).state, State::New);
    // The tight end likewise: new from 1.3745 on.
    assert_eq!(plain.rung(End::Tight, exact("1.3745")).state, State::New);
    assert_eq!(guarded.rung(End::Tight, exact("1.3747")).state, State::New);
    assert_ne!(guarded.rung(End::Tight, exact("1.3746")).state, State::New);
}

#[test]
fn an_average_is_taken_outward() {
    let readings = ["1.3716", "1.3717", "1.3717"].map(|text| Some(exact(text)));
    let known = Known::of(Side::Shaft, &readings, Reduction::Average, 4, PartState::Reused);
    let known = known.unwrap();
    assert_eq!((known.smallest, known.largest), (exact("1.3716"), exact("1.3717")));
    let blank = [Some(exact("1.3716")), None];
    assert_eq!(Known::of(Side::Shaft, &blank, Reduction::Worst, 4, PartState::Reused), None);
}

/// Failures are mended, not kept in a file beside the test.
fn config(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

/// One place drawn at random: which line, which part is known, where both lie
/// from their least new size and how far apart their readings are.
#[derive(Clone, Debug)]
pub struct Drawn {
    pub which: usize,
    pub known: Side,
    pub known_new: bool,
    pub mate_new: bool,
    pub scope: Scope,
    pub known_at: (i64, i64),
    pub mate_at: (i64, i64),
}

pub fn drawn() -> impl Strategy<Value = Drawn> {
    let states = (any::<bool>(), any::<bool>(), any::<bool>(), prop::bool::weighted(0.2));
    let at = |apart: i64| (-20i64..40, 0..apart);
    (0..ROWS.len(), states, at(6), at(12)).prop_map(|(which, states, known_at, mate_at)| {
        let (bore, known_new, mate_new, new_scope) = states;
        Drawn {
            which,
            known: if bore { Side::Bore } else { Side::Shaft },
            known_new,
            mate_new,
            scope: if new_scope { Scope::New } else { Scope::Service },
            known_at,
            mate_at,
        }
    })
}

/// A drawn place made ready: the stage, the mate's extremes, and the row.
pub struct Made {
    pub stage: SecondStage,
    pub mate: (Exact, Exact),
    pub read: Vec<SideReadings>,
}

pub fn made(drawn: &Drawn, fit: &FitLine, line: &Line, uncertainty: &[Exact]) -> Made {
    let places = line.places;
    let times = if ROWS[drawn.which].unit == Length::Inch { 1 } else { 2 };
    let state = |new: bool| if new { PartState::New } else { PartState::Reused };
    let ends = |half: Side, (at, apart): (i64, i64)| {
        let part = if half == Side::Bore { &fit.bore } else { &fit.shaft };
        let low = figure(&part.new_min, line).unwrap() + Exact::steps(at * times, places);
        // An oval skirt is judged by its first box alone.
        let apart = if ROWS[drawn.which].oval && half == Side::Shaft { 0 } else { apart };
        (low, low + Exact::steps(apart * times, places))
    };
    let known = ends(drawn.known, drawn.known_at);
    let mate = ends(drawn.known.mate(), drawn.mate_at);
    let side = |half: Side, ends: (Exact, Exact), new: bool| SideReadings {
        key: half.into(),
        readings: Readings::new(line.unit.clone(), vec![Some(ends.0), Some(ends.1)]),
        state: state(new),
        uncertainty: vec![by_gauges(half, uncertainty); 2],
        ..SideReadings::default()
    };
    let sides = vec![
        side(drawn.known, known, drawn.known_new),
        side(drawn.known.mate(), mate, drawn.mate_new),
    ];
    let both = [uncertainty, uncertainty].concat();
    let stage = SecondStage {
        limits: fit_limits_for(
            (fit, &line.unit),
            &PartState::Reused,
            &PartState::Reused,
            drawn.scope,
        )
        .unwrap(),
        known: Known {
            side: drawn.known,
            smallest: known.0,
            largest: known.1,
            state: state(drawn.known_new),
        },
        mate: state(drawn.mate_new),
        scope: drawn.scope,
        guard: Guard {
            tight: root_sum_square(&both, places),
            loose: root_sum_square(&both, places),
            mate: root_sum_square(uncertainty, places),
        },
        replaced: replaced(fit, &PartState::Reused, &PartState::Reused),
    };
    Made { stage, mate, read: sides }
}

/// What direct judging says of the fit and the mate together.
fn fit_and_mate(verdict: &Verdict, known: Side) -> State {
    let of = |side: Option<Side>| {
        let part = verdict.parts.iter().find(|part| part.side == side);
        part.map_or(State::Recorded, |part| part.state.clone())
    };
    of(None).worse(of(Some(known.mate())))
}

/// The two rungs of a mate's extremes, together.
fn rungs(stage: &SecondStage, (small, large): (Exact, Exact)) -> State {
    let (tight, loose) = stage.known.side.of([(small, large), (large, small)]);
    stage.rung(End::Tight, tight).state.worse(stage.rung(End::Loose, loose).state)
}

fn known_state(verdict: &Verdict, known: Side) -> State {
    let part = verdict.parts.iter().find(|part| part.side == Some(known));
    part.map_or(State::Recorded, |part| part.state.clone())
}

/// Window, ladders and the second judge say what judging says.
pub fn agree(line: &Line, drawn: &Drawn, setting: &Context) -> Result<(), TestCaseError> {
    let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
    let Made { stage, mate, read } = made(drawn, fit, line, &[]);
    let verdict = check(line).judge(&read, setting);
    let oracle = super::oracle::judge(line, &read, setting);
    prop_assert_eq!(verdict.state.word(), oracle.state.word(), "{:?}", verdict);
    let window = stage.window();
    let inside = window.is_some_and(|w| w.holds(mate.0) && w.holds(mate.1));
    prop_assert_eq!(inside, verdict.state.passes(), "{:?} {:?}", window, verdict);
    if !matches!(known_state(&verdict, drawn.known), State::Out(_)) {
        let wanted = fit_and_mate(&verdict, drawn.known);
        prop_assert_eq!(rungs(&stage, mate).word(), wanted.word(), "{:?}", verdict);
    }
    Ok(())
}

proptest! {
    #![proptest_config(config(100_000))]

    /// Every line, both directions, both units, both scopes, new and reused:
    /// a mate inside the window passes beside the known part, one outside is
    /// out, and the two rungs together say what direct judging says of fit and
    /// mate. The oracle is a second judge written from the rules.
    #[test]
    fn windows_and_ladders_agree_with_judging(drawn in drawn()) {
        BENCH.with(|bench| {
            let line = bench.line(ROWS[drawn.which].reference);
            agree(line, &drawn, &bench.setting(drawn.scope))
        })?;
    }
}

proptest! {
    #![proptest_config(config(10_000))]

    /// The same under guarded acceptance: inside the drawn-in window passes,
    /// anything else is held or out.
    #[test]
    fn guarded_windows_agree_with_judging(drawn in drawn(), first in 1i64..5, second in 0i64..4) {
        BENCH.with(|bench| {
            let line = bench.line(ROWS[drawn.which].reference);
            let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
            let uncertainty = [first, second].map(|steps| Exact::steps(steps, line.places));
            let Made { stage, mate, read } = made(&drawn, fit, line, &uncertainty);
            let setting = Context { rule: Rule::Guarded, ..bench.setting(drawn.scope) };
            let verdict = check(line).judge(&read, &setting);
            if known_state(&verdict, drawn.known).passes() {
                let inside = stage.window().is_some_and(|w| w.holds(mate.0) && w.holds(mate.1));
                prop_assert_eq!(inside, verdict.state.passes(), "{:?}", verdict);
                let wanted = fit_and_mate(&verdict, drawn.known);
                // Which of hold and out comes first is a question of the row.
                prop_assert_eq!(rungs(&stage, mate).passes(), wanted.passes(), "{:?}", verdict);
            }
            Ok(())
        })?;
    }

    /// The rungs of any place that some mate serves: from the window's one end
    /// to its other each passes, and the next on either side is out.
    #[test]
    fn ladders_run_from_edge_to_edge(drawn in drawn()) {
        BENCH.with(|bench| {
            let line = bench.line(ROWS[drawn.which].reference);
            let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
            let Made { stage, .. } = made(&drawn, fit, line, &[]);
            let Some((first, last)) = stage.span(line.places) else {
                prop_assert_eq!(stage.window(), None);
                return Ok(());
            };
            let window = stage.window().unwrap();
            let size = |step: i64| Exact::steps(step, line.places);
            prop_assert_eq!((Some(size(first)), Some(size(last))), (window.low, window.high));
            for end in [End::Tight, End::Loose] {
                let state = |step: i64| stage.rung(end, size(step)).state;
                prop_assert!((first..=last).all(|step| state(step).passes()));
                prop_assert!(matches!(state(first - 1), State::Out(_)));
                prop_assert!(matches!(state(last + 1), State::Out(_)));
            }
            Ok(())
        })?;
    }
}

thread_local! {
    pub static BENCH: Bench = bench();
}
