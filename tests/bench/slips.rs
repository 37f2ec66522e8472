//! How long slips take to be asked for: ten thousand rows, each with one, under
//! every slip at once. The order's figure is under a second; the best of five
//! is held to it, since the machine may be busy with something else.

#![allow(dead_code)] // rows of the tests, which use more of it

#[path = "../slips/bench.rs"]
mod bench;
#[path = "../slips/harness.rs"]
mod harness;
#[path = "../slips/made.rs"]
mod made;

use harness::{ask, slipped};
use std::process::ExitCode;
use std::time::{Duration, Instant};

const MOST: Duration = Duration::from_secs(1);

fn main() -> ExitCode {
    let bench = bench::bench();
    let rows = slipped(&bench);
    let once = || {
        let started = Instant::now();
        let asked = rows.iter().filter(|(line, texts)| !ask(&bench, line, texts, None).is_empty());
        (asked.count(), started.elapsed())
    };
    let runs: Vec<(usize, Duration)> = (0..5).map(|_| once()).collect();
    let best = runs.iter().map(|(_, took)| *took).min().unwrap_or_default();
    let (rows, asked) = (rows.len(), runs[0].0);
    println!("{rows} rows, each with a slip, {asked} questioned: {best:.2?}, best of five");
    if best < MOST { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
