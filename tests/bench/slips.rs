//! How long slips take to be asked for: ten thousand rows, each with one.

#![allow(dead_code)] // rows of the tests, which use more of it

#[path = "../slips/bench.rs"]
mod bench;
#[path = "../slips/harness.rs"]
mod harness;
#[path = "../slips/made.rs"]
mod made;

use harness::{Dice, ask, clean};
use made::{KINDS, slip};
use std::time::Instant;

fn main() {
    let bench = bench::bench();
    let mut dice = Dice::new(0x5EED_0004);
    let mut rows = Vec::new();
    while rows.len() < 10_000 {
        let truth = clean(&mut dice, &bench);
        let kind = KINDS[dice.below(KINDS.len())];
        if let Some(made) = slip(&mut dice, &bench, kind, &truth) {
            rows.push((truth.line(&bench).0, made.texts));
        }
    }
    let started = Instant::now();
    let asked = rows.iter().filter(|(line, texts)| !ask(&bench, line, texts, None).is_empty());
    let asked = asked.count();
    println!(
        "{} rows, each with a slip, {asked} questioned: {:.2?}",
        rows.len(),
        started.elapsed()
    );
}
