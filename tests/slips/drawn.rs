//! Lines whose limits are drawn at random too: windows and ladders against
//! direct judging, and that against a second judge written from the rules.

use super::bench::{ROWS, Row, figure, typed};
use super::second::{BENCH, agree, drawn};
use benchleaf::model::limits::{Kind, Line};
use benchleaf::model::text::{Limit, Number};
use benchleaf::quantity::{Exact, Length, Unit};
use proptest::prelude::*;

/// Steps from the line's own limits, and how wide each is; an absent one is
/// not published.
#[derive(Clone, Debug)]
struct Limits {
    shaft: (i64, i64),
    bore: (i64, i64),
    fit: (i64, i64),
    service: Option<i64>,
    wear: (Option<i64>, Option<i64>),
}

fn limits() -> impl Strategy<Value = Limits> {
    let part = || (-8i64..8, 0i64..14);
    let maybe = |most: i64| prop::option::of(0..most);
    let fit = (-6i64..8, 0i64..35);
    (part(), part(), fit, maybe(25), (maybe(25), maybe(25)))
        .prop_map(|(shaft, bore, fit, service, wear)| Limits { shaft, bore, fit, service, wear })
}

fn put(line: &Line, drawn: &Limits, unit: Length) -> Line {
    let known = line;
    let mut line = line.clone();
    let places = line.places;
    let step = |count: i64| Exact::steps(count * if unit == Length::Inch { 1 } else { 2 }, places);
    let Kind::Fit(fit) = &mut line.kind else { panic!("a fit") };
    let limit = |value: Exact| {
        let figure = Number { value, ..typed("0") };
        Some(Limit::new(figure, Unit::Length(unit)))
    };
    let of = |limit: &Option<Limit>| figure(limit, known).unwrap();
    let shaft = of(&fit.shaft.new_min) + step(drawn.shaft.0);
    let bore = of(&fit.bore.new_min) + step(drawn.bore.0);
    let (shaft_2, bore_2) = (shaft + step(drawn.shaft.1), bore + step(drawn.bore.1));
    let least = of(&fit.fit.new_min) + step(drawn.fit.0);
    let greatest = least + step(drawn.fit.1);
    fit.shaft.new_min = limit(shaft);
    fit.shaft.new_max = limit(shaft_2);
    fit.shaft.wear = drawn.wear.0.and_then(|n| limit(shaft - step(n)));
    fit.bore.new_min = limit(bore);
    fit.bore.new_max = limit(bore_2);
    fit.bore.wear = drawn.wear.1.and_then(|n| limit(bore_2 + step(n)));
    fit.fit.new_min = limit(least);
    fit.fit.new_max = limit(greatest);
    fit.fit.service_min = None;
    fit.fit.service_max = drawn.service.and_then(|n| limit(greatest + step(n)));
    line
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Random limits, both directions, both units, both scopes, new and
    /// reused.
    #[test]
    fn windows_and_ladders_of_random_lines_agree_with_judging(
        drawn in drawn(),
        limits in limits(),
    ) {
        BENCH.with(|bench| {
            let Row { reference, unit, .. } = ROWS[drawn.which];
            agree(&put(bench.line(reference), &limits, unit), &drawn, &bench.setting(drawn.scope))
        })?;
    }
}
