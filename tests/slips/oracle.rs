//! A second judge of fits, written from the rules and not from the program:
//! what the tests here hold questions, windows and ladders against.

use super::bench::figure;
use benchleaf::judge::{Beyond, Context, Part, PartState, SideReadings, State, Verdict, side_of};
use benchleaf::model::job::Scope;
use benchleaf::model::limits::{Kind, Line, SizeLimits};
use benchleaf::model::side::Side;
use benchleaf::quantity::Exact;

fn out(side: &str, by: Exact) -> State {
    State::Out(vec![Beyond { side: side.to_owned(), by: Some(by) }])
}

/// Smallest and largest of the boxes that count; `None` while one is blank.
fn extremes(side: &SideReadings, limits: &SizeLimits, setting: &Context) -> Option<(Exact, Exact)> {
    let feature = &setting.engine.features[limits.feature];
    let counted: Option<Vec<Exact>> = side
        .readings
        .taken()
        .0
        .iter()
        .enumerate()
        .filter(|(index, _)| feature.governs(*index))
        .map(|(_, reading)| *reading)
        .collect();
    let counted = counted?;
    Some((*counted.iter().min()?, *counted.iter().max()?))
}

fn part(
    side: Side,
    (line, limits): (&Line, &SizeLimits),
    (small, large): (Exact, Exact),
    state: &PartState,
    scope: Scope,
) -> State {
    let (low, high) =
        (figure(&limits.new_min, line).unwrap(), figure(&limits.new_max, line).unwrap());
    let strict = scope == Scope::New || *state != PartState::Reused;
    if low <= small && large <= high {
        return State::New;
    }
    match side {
        _ if strict && small < low => out("part small", low - small),
        _ if strict => out("part large", large - high),
        Side::Bore => match figure(&limits.wear, line) {
            Some(wear) if large > wear => out("bore large", large - wear),
            _ => State::Service,
        },
        _ => match figure(&limits.wear, line) {
            Some(wear) if small < wear => out("shaft small", wear - small),
            _ => State::Service,
        },
    }
}

/// Simple acceptance, both parts' limits given, states reused or new.
pub fn judge(line: &Line, read: &[SideReadings], setting: &Context) -> Verdict {
    let Kind::Fit(fit) = &line.kind else {
        panic!("the oracle judges fits");
    };
    let (Some(shaft), Some(bore)) = (side_of(read, Side::Shaft), side_of(read, Side::Bore)) else {
        panic!("both sides are there");
    };
    let scope = setting.scope;
    let shaft_ends = extremes(shaft, &fit.shaft, setting);
    let bore_ends = extremes(bore, &fit.bore, setting);
    let alone = |side, limits, ends: Option<(Exact, Exact)>, state| {
        ends.map_or(State::Open, |ends| part(side, (line, limits), ends, state, scope))
    };
    let shaft_state = alone(Side::Shaft, &fit.shaft, shaft_ends, &shaft.state);
    let bore_state = alone(Side::Bore, &fit.bore, bore_ends, &bore.state);
    let strict = scope == Scope::New
        || (shaft.state != PartState::Reused && bore.state != PartState::Reused);
    let fit_state = match (shaft_ends, bore_ends) {
        (Some((small_shaft, large_shaft)), Some((small_bore, large_bore))) => {
            let new =
                (figure(&fit.fit.new_min, line).unwrap(), figure(&fit.fit.new_max, line).unwrap());
            let greatest = match figure(&fit.fit.service_max, line) {
                Some(service) if !strict => service,
                _ => new.1,
            };
            let least = match figure(&fit.fit.service_min, line) {
                Some(service) if !strict => service,
                _ => new.0,
            };
            let (tightest, loosest) = (small_bore - large_shaft, large_bore - small_shaft);
            match (tightest < least, loosest > greatest) {
                (true, _) => out("tight", least - tightest),
                (_, true) => out("loose", loosest - greatest),
                _ if tightest >= new.0 && loosest <= new.1 => State::New,
                _ => State::Service,
            }
        }
        _ => State::Open,
    };
    let mut verdict =
        Verdict::of(fit_state.clone().worse(shaft_state.clone()).worse(bore_state.clone()));
    verdict.parts = vec![
        Part { side: None, state: fit_state },
        Part { side: Some(Side::Shaft), state: shaft_state },
        Part { side: Some(Side::Bore), state: bore_state },
    ];
    verdict
}
