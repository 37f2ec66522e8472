//! The pairing of spares with places against scipy, and against the choice of
//! the best first.

use benchleaf::judge::assignment::pairing;

fn sum(gains: &[Vec<i64>], pairs: &[Option<usize>]) -> i64 {
    pairs.iter().zip(gains).filter_map(|(pair, row)| pair.map(|column| row[column])).sum()
}

/// `tests/tables/assignment.csv` was made with scipy 1.17.1,
/// `linear_sum_assignment(gains, maximize=True)`, on numbers from numpy's
/// default generator.
#[test]
fn five_hundred_cases_come_to_the_sum_of_scipy() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/tables/assignment.csv");
    let text = std::fs::read_to_string(path).expect("the table");
    let mut count = 0;
    for line in text.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |n: usize| cells[n].parse::<usize>().expect("a number");
        let (places, spares) = (number(0), number(1));
        let all: Vec<i64> = cells[2].split(' ').map(|gain| gain.parse().expect("a gain")).collect();
        let gains: Vec<Vec<i64>> = all.chunks(spares).map(<[i64]>::to_vec).collect();
        assert_eq!(gains.len(), places);
        let pairs = pairing(&gains);
        let used: Vec<usize> = pairs.iter().flatten().copied().collect();
        let mut once = used.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!((once.len(), used.len()), (places.min(spares), places.min(spares)), "{line}");
        assert_eq!(sum(&gains, &pairs), cells[3].parse::<i64>().expect("a sum"), "{line}");
        count += 1;
    }
    assert_eq!(count, 500);
}

#[test]
fn nothing_to_pair_is_no_pairs() {
    assert!(pairing(&[]).is_empty());
    assert_eq!(pairing(&[vec![], vec![]]), [None, None]);
}
