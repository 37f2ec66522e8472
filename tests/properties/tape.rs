//! The numbers that a case is drawn from.

/// Numbers to draw from; after the last come noughts.
#[derive(Clone)]
pub struct Tape {
    numbers: Vec<u32>,
    at: usize,
}

impl std::fmt::Debug for Tape {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "a tape read to {}", self.at)
    }
}

impl Tape {
    pub fn new(numbers: Vec<u32>) -> Tape {
        Tape { numbers, at: 0 }
    }

    pub fn below(&mut self, many: usize) -> usize {
        let number = self.numbers.get(self.at).copied().unwrap_or(0);
        self.at += 1;
        number as usize % many
    }

    /// From `low` to `high`, both included.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        low + i64::try_from(self.below(usize::try_from(high - low + 1).unwrap())).unwrap()
    }

    pub fn one_in(&mut self, many: usize) -> bool {
        self.below(many) == many - 1
    }

    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for at in (1..list.len()).rev() {
            list.swap(at, self.below(at + 1));
        }
    }
}
