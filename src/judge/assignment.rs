//! Which spare goes to which place: the pairing of the greatest sum, exactly.

/// Pairs each row with a column so that the sum of the gains is the greatest
/// there is; every row has as many gains. With fewer columns than rows some
/// rows are left over. Shortest augmenting paths over whole numbers (Kuhn 1955,
/// Munkres 1957; from memory).
pub fn pairing(gains: &[Vec<i64>]) -> Vec<Option<usize>> {
    let real = gains.iter().map(Vec::len).min().unwrap_or_default();
    let wide = real.max(gains.len());
    let mut paths = Paths {
        gains,
        real,
        of_row: vec![0; gains.len() + 1],
        of_column: vec![0; wide + 1],
        row_at: vec![None; wide + 1],
    };
    for row in 0..gains.len() {
        paths.place(row);
    }
    let mut pairs = vec![None; gains.len()];
    for (column, row) in paths.row_at.iter().enumerate().take(real) {
        if let Some(row) = row {
            pairs[*row] = Some(column);
        }
    }
    pairs
}

/// Rows placed so far, with a price a row and a column: no gain is above the
/// sum of both prices, and every pair's is that sum. The last column is where a
/// row waits that is being placed.
struct Paths<'a> {
    gains: &'a [Vec<i64>],
    real: usize,
    of_row: Vec<i64>,
    of_column: Vec<i64>,
    row_at: Vec<Option<usize>>,
}

impl Paths<'_> {
    /// What keeps a row from a column; columns beyond the real ones gain
    /// nothing.
    fn short(&self, row: usize, column: usize) -> i64 {
        let gain = if column < self.real { self.gains[row][column] } else { 0 };
        self.of_row[row] + self.of_column[column] - gain
    }

    /// Finds room for one more row along the path that costs the least.
    fn place(&mut self, row: usize) {
        let waiting = self.row_at.len() - 1;
        self.row_at[waiting] = Some(row);
        let mut least = vec![i64::MAX; waiting];
        let mut from = vec![waiting; waiting];
        let mut done = vec![false; waiting + 1];
        let mut at = waiting;
        while let Some(row) = self.row_at[at] {
            done[at] = true;
            let mut next: Option<usize> = None;
            for column in (0..waiting).filter(|column| !done[*column]) {
                let short = self.short(row, column);
                if short < least[column] {
                    (least[column], from[column]) = (short, at);
                }
                if next.is_none_or(|next| least[column] < least[next]) {
                    next = Some(column);
                }
            }
            // There are no fewer columns than rows.
            let Some(next) = next else { return };
            let step = least[next];
            for column in 0..=waiting {
                match (done[column], self.row_at[column]) {
                    (true, Some(row)) => {
                        self.of_row[row] -= step;
                        self.of_column[column] += step;
                    }
                    _ if column < waiting => least[column] -= step,
                    _ => {}
                }
            }
            at = next;
        }
        while at != waiting {
            self.row_at[at] = self.row_at[from[at]];
            at = from[at];
        }
        self.row_at[waiting] = None;
        self.of_column[waiting] = 0;
    }
}
