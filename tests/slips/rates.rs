//! Ten thousand transcriptions of the demonstration's fits, typed once, each
//! field wrong at the rate of single entry: 0.29 % (Garza and others, 2023, a
//! review; seen in its abstract). Which slip it then is: all kinds alike, no
//! source.

use super::bench::bench;
use super::counted::{caught, changes};
use super::harness::{Dice, clean, worn};
use super::made::{KINDS, slip};

const TRANSCRIPTIONS: usize = 10_000;
/// The demonstration has 48 fits of four boxes or more.
const ROWS: usize = 48;
const FIELDS: usize = 4;
/// Of ten thousand fields.
const WRONG: usize = 29;

#[test]
fn transcriptions_at_the_published_rate() {
    let bench = bench();
    let mut dice = Dice::new(0x5EED_0005);
    let (mut slips, mut changing, mut knowable, mut asked) = (0, 0, 0, 0);
    let (mut with_slip, mut misleading) = (0, 0);
    for _ in 0..TRANSCRIPTIONS {
        let (before, mut unasked) = (slips, false);
        for _ in 0..ROWS {
            if (0..FIELDS).all(|_| dice.below(10_000) >= WRONG) {
                continue;
            }
            let (truth, made) = loop {
                let kind = KINDS[dice.below(KINDS.len())];
                let old = dice.below(4) == 0;
                let truth = if old { worn(&mut dice, &bench) } else { clean(&mut dice, &bench) };
                if let Some(made) = slip(&mut dice, &bench, kind, &truth) {
                    break (truth, made);
                }
            };
            slips += 1;
            if !changes(&bench, &truth, &made.texts) {
                continue;
            }
            changing += 1;
            let (caught, _) = caught(&bench, &truth, &made, slips % 2 == 0);
            knowable += usize::from(made.knowable);
            asked += usize::from(made.knowable && caught);
            unasked |= !caught;
        }
        with_slip += usize::from(slips > before);
        misleading += usize::from(unasked);
    }
    println!(
        "{TRANSCRIPTIONS} transcriptions, {with_slip} with a slip, {slips} slips: {changing} change \
         a verdict, {knowable} of them knowable, {asked} asked about; {misleading} transcriptions \
         keep one that is not asked about"
    );
    // 48 rows of 4 fields at 0.0029: 0.5566 slipped rows a transcription.
    assert!((5_200..6_000).contains(&slips), "{slips}");
    assert!(knowable > 1_500, "{knowable}");
    assert!(asked * 1000 >= knowable * 990, "{asked} of {knowable}");
}
