//! Feelers of any shop against the rules said once more, in whole steps and by
//! trying every leaf: what is chosen, what a gap is judged, and that nothing
//! passes whose gap lies further past a limit than the rules allow.

use super::{Tape, cases, numbers};
use crate::judge::bench::{Bench, four, line, own_leaves, word};
use benchleaf::judge::{SideReadings, State, check, leaves};
use benchleaf::model::job::{Rule, Scope};
use benchleaf::model::limits::{FeelerLine, Kind, Line};
use benchleaf::model::record::Mark;
use benchleaf::model::side::Group;
use benchleaf::quantity::Exact;
use proptest::prelude::*;

/// One step of a common set, 0.001 in, in the steps used here.
const COMMON: i64 = 10;

/// All in ten-thousandths of an inch.
#[derive(Clone, Debug)]
struct Shop {
    leaves: Vec<i64>,
    /// New least and greatest, service least and greatest.
    limits: [Option<i64>; 4],
    scope: Scope,
    rule: Rule,
}

impl Shop {
    fn draw(tape: &mut Tape) -> Shop {
        let mut leaves: Vec<i64> = (0..tape.between(1, 9)).map(|_| tape.between(5, 80)).collect();
        let low = tape.between(6, 50);
        let high = low + tape.between(0, 30);
        // Leaves on the limits and a step beside them, as real sets have them.
        for near in [low, high, low - COMMON, high + COMMON, low - COMMON - 1, high + COMMON + 1] {
            if near > 0 && tape.one_in(3) {
                leaves.push(near);
            }
        }
        leaves.sort_unstable();
        leaves.dedup();
        let maybe = |tape: &mut Tape, limit: i64| (!tape.one_in(5)).then_some(limit);
        let wider = |tape: &mut Tape, limit: i64| tape.one_in(2).then_some(limit);
        let (below, above) = (tape.between(0, 5), tape.between(0, 12));
        let mut limits = [
            maybe(tape, low),
            maybe(tape, high),
            wider(tape, (low - below).max(1)),
            wider(tape, high + above),
        ];
        if limits.iter().all(Option::is_none) {
            limits[1] = Some(high);
        }
        let scope = if tape.one_in(3) { Scope::New } else { Scope::Service };
        let rule = if tape.one_in(3) { Rule::Guarded } else { Rule::Simple };
        Shop { leaves, limits, scope, rule }
    }

    fn line(&self) -> Line {
        let text = |limit: Option<i64>| {
            limit.map_or("-".to_owned(), |limit| Exact::steps(limit, 4).to_string())
        };
        line(Kind::Feeler(FeelerLine {
            at: None,
            part: None,
            teeth: 1,
            each: word("tooth"),
            limits: four(&self.limits.map(text).join(" ")),
        }))
    }

    fn bench(&self) -> Bench {
        let mut bench = Bench::new();
        bench.scope = self.scope;
        bench.rule = self.rule;
        let leaves: Vec<String> =
            self.leaves.iter().map(|leaf| Exact::steps(*leaf, 4).to_string()).collect();
        bench.leaves = own_leaves(&leaves.join(" "));
        bench
    }

    fn of(&self, scope: Scope) -> (Option<i64>, Option<i64>) {
        let [new_low, new_high, low, high] = self.limits;
        match scope {
            Scope::New => (new_low.or(low), new_high.or(high)),
            Scope::Service => (low.or(new_low), high.or(new_high)),
        }
    }

    /// GO and NO-GO for two limits; `None` where a leaf is lacking.
    fn pair(&self, (low, high): (Option<i64>, Option<i64>)) -> Option<[Option<i64>; 2]> {
        let mut go = None;
        if let Some(low) = low {
            let all = self.leaves.iter().copied();
            go = match self.rule {
                Rule::Simple => all.filter(|leaf| *leaf <= low && low - leaf <= COMMON).max(),
                Rule::Guarded => {
                    all.filter(|leaf| *leaf >= low && high.is_none_or(|high| *leaf < high)).min()
                }
            };
            go?;
        }
        let mut no_go = None;
        if let Some(high) = high {
            let thicker = self.leaves.iter().copied().filter(|leaf| go.is_none_or(|go| *leaf > go));
            no_go = match self.rule {
                Rule::Simple => thicker.filter(|leaf| *leaf >= high).min(),
                Rule::Guarded => thicker.filter(|leaf| *leaf <= high).max(),
            };
            no_go = no_go.filter(|leaf| self.rule == Rule::Guarded || leaf - high <= COMMON);
            no_go?;
        }
        Some([go, no_go])
    }

    /// What a gap is, tried with both leaves and every one in `further`.
    fn expected(&self, gap: i64, further: &[i64]) -> &'static str {
        let (low, high) = self.of(self.scope);
        let Some(two) = self.pair((low, high)) else { return "hold" };
        let tried: Vec<i64> = two.into_iter().flatten().chain(further.iter().copied()).collect();
        let entered = tried.iter().copied().filter(|leaf| *leaf <= gap).max();
        let refused = tried.iter().copied().filter(|leaf| *leaf > gap).min();
        let met = |[go, no_go]: [Option<i64>; 2]| {
            go.is_none_or(|go| entered.is_some_and(|leaf| leaf >= go))
                && no_go.is_none_or(|no| refused.is_some_and(|leaf| leaf <= no))
        };
        if low.is_some_and(|low| refused.is_some_and(|leaf| leaf <= low))
            || high.is_some_and(|high| entered.is_some_and(|leaf| leaf > high))
        {
            return "out";
        }
        if !met(two) {
            return "open";
        }
        let [new_low, new_high, service_low, service_high] = self.limits;
        let service_only = (new_low.is_none() && service_low.is_some())
            || (new_high.is_none() && service_high.is_some());
        let new = self.pair(self.of(Scope::New));
        let has_new = new_low.is_some() || new_high.is_some();
        match new.filter(|_| has_new && !service_only).is_some_and(met) {
            true => "within new limits",
            false => "within service limits",
        }
    }

    /// The verdict on a gap: a leaf no thicker than it enters.
    fn judged(&self, gap: i64, further: &[i64]) -> State {
        let (line, bench) = (self.line(), self.bench());
        let mark = |right: bool| if right { Mark::Ok } else { Mark::Found };
        let two = self.pair(self.of(self.scope)).unwrap_or_default();
        let side = |key, leaf: Option<i64>, right: &dyn Fn(i64) -> bool| SideReadings {
            key,
            marks: leaf.map(|leaf| mark(right(leaf))).into_iter().collect(),
            ..SideReadings::default()
        };
        let mut go = side(Group::Go, two[0], &|leaf| leaf <= gap);
        let no_go = side(Group::NoGo, two[1], &|leaf| leaf > gap);
        go.leaves = further.iter().map(|leaf| (1, Exact::steps(*leaf, 4), *leaf <= gap)).collect();
        check(&line).judge(&[go, no_go], &bench.setting()).state
    }
}

proptest! {
    #![proptest_config(cases(40_000))]

    #[test]
    fn the_leaves_and_the_verdict_are_the_rules((mut tape, gap) in (numbers(), 1i64..100)) {
        let shop = Shop::draw(&mut tape);
        let further: Vec<i64> = (0..tape.between(0, 2)).map(|_| tape.between(5, 80)).collect();
        let (line, bench) = (shop.line(), shop.bench());
        let Kind::Feeler(feeler) = &line.kind else { unreachable!() };
        let chosen = leaves(feeler, &bench.setting()).ok().map(|set| {
            [set.leaves.go, set.leaves.no_go]
                .map(|leaf| leaf.and_then(|leaf| leaf.engraved.in_steps(4)))
        });
        prop_assert_eq!(chosen, shop.pair(shop.of(shop.scope)), "{:?}", shop);
        let state = shop.judged(gap, &further);
        prop_assert_eq!(state.word(), shop.expected(gap, &further), "{:?} {} {:?}", shop, gap, further);
        // What passes lies inside, or no further out than a step of a common set.
        let (low, high) = shop.of(shop.scope);
        let past = if shop.rule == Rule::Simple { COMMON } else { 0 };
        if state.passes() {
            prop_assert!(low.is_none_or(|low| gap >= low - past), "{:?} {}", shop, gap);
            prop_assert!(high.is_none_or(|high| gap < high + past.max(1)), "{:?} {}", shop, gap);
        }
    }

    /// A gap further inside is never judged worse, one further past a limit
    /// never better.
    #[test]
    fn a_gap_goes_one_way((mut tape, gap, by) in (numbers(), 1i64..100, 1i64..40)) {
        let mut shop = Shop::draw(&mut tape);
        // One side alone: away from it is inside.
        let least = tape.one_in(2);
        let mut either = shop.limits.into_iter();
        let (a, b, c, d) = (either.next(), either.next(), either.next(), either.next());
        let kept = |there: bool, limit: Option<Option<i64>>| limit.flatten().filter(|_| there);
        shop.limits = [kept(least, a), kept(!least, b), kept(least, c), kept(!least, d)];
        prop_assume!(shop.limits.iter().any(Option::is_some));
        let further: Vec<i64> = (0..tape.between(0, 2)).map(|_| tape.between(5, 80)).collect();
        let (near, far) = if least { (gap, gap + by) } else { (gap + by, gap) };
        let (near, far) = (shop.judged(near, &further), shop.judged(far, &further));
        prop_assert!(far.rank() <= near.rank(), "{:?} {:?} {:?}", shop, near, far);
    }
}
