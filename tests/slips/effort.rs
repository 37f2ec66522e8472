//! Every slip at once, ten thousand rows, by how often a row is judged for it.
//! `cargo bench --bench slips` has the time.

use super::bench::bench;
use super::harness::{ask_counted, slipped};

/// A row is judged as it stands and once for each likely slip undone. The most
/// seen is 9; a look at every pair of boxes by every slip would take hundreds.
const MOST: usize = 16;

#[test]
fn ten_thousand_rows_are_judged_a_few_times_each() {
    let bench = bench();
    let (mut asked, mut judged, mut most) = (0, 0, 0);
    for (line, texts) in slipped(&bench) {
        let (questions, times) = ask_counted(&bench, line, &texts, None);
        asked += usize::from(!questions.is_empty());
        judged += times;
        most = most.max(times);
    }
    println!("10,000 rows: {asked} questioned, judged {judged} times, {most} at most for one");
    assert!(asked > 5_000, "{asked}");
    assert!(most <= MOST, "{most}");
}
