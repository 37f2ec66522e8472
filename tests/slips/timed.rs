//! Every slip at once, ten thousand rows: the figure is the order's, the rows
//! are those that `cargo bench --bench slips` times.

use super::bench::bench;
use super::harness::{Dice, ask, clean};
use super::made::{KINDS, slip};
use std::time::{Duration, Instant};

/// As shipped under a second; a build without optimisation gets ten times that.
const MOST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 10 } else { 1 });

#[test]
fn ten_thousand_rows_under_every_slip_in_a_second() {
    let bench = bench();
    let mut dice = Dice::new(0x5EED_0004);
    let mut rows = Vec::new();
    while rows.len() < 10_000 {
        let truth = clean(&mut dice, &bench);
        let kind = KINDS[dice.below(KINDS.len())];
        if let Some(made) = slip(&mut dice, &bench, kind, &truth) {
            rows.push((truth.line(&bench).0, made.texts));
        }
    }
    // The best of three: the machine may be busy with something else.
    let once = || {
        let started = Instant::now();
        let asked = rows.iter().filter(|(line, texts)| !ask(&bench, line, texts, None).is_empty());
        assert!(asked.count() > 5_000);
        started.elapsed()
    };
    let best = (0..3).map(|_| once()).min().unwrap();
    assert!(best < MOST, "{best:?}");
    println!("10,000 rows, every slip: {best:?}");
}
