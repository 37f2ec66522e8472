//! What holds whatever the engine, the limits and the readings: jobs made up
//! at random, from a tape of numbers that proptest shortens when one fails.
//! None of these has a source outside: each is a rule that must hold of itself.

pub mod asked;
mod boxes;
mod chain;
pub mod drawn;
mod edition;
mod effect;
mod every_kind;
mod everything;
mod feelers;
mod inward;
mod kinds;
mod looks;
mod monotone;
mod order;
mod paper;
mod parts;
mod scans;
mod tables;
mod tape;

use drawn::Drawn;
use proptest::prelude::*;
use tape::Tape;

/// Cases a property: as many as a few seconds take, fewer in a slow build; by
/// hand so many times as many as `BENCHLEAF_CASES` says.
fn cases(fast: u32) -> ProptestConfig {
    let times = std::env::var("BENCHLEAF_CASES").ok().and_then(|times| times.parse().ok());
    let fast = fast.saturating_mul(times.unwrap_or(1));
    let cases = if cfg!(debug_assertions) { fast.div_ceil(10) } else { fast };
    // As many that do not suit as there are cases, before it gives up.
    let max_global_rejects = cases.max(1024);
    ProptestConfig {
        cases,
        max_global_rejects,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// The numbers that one case is drawn from.
fn numbers() -> impl Strategy<Value = Tape> {
    proptest::collection::vec(any::<u32>(), 400).prop_map(Tape::new)
}

fn drawn() -> impl Strategy<Value = (Drawn, Tape)> {
    numbers().prop_map(|mut tape| (Drawn::job(&mut tape), tape))
}
