//! Two small nets that look at a cell: whether the digit that was typed can be
//! the one on the paper. They add and multiply whole numbers alone, so that
//! every machine gives the same answers. `tests/reading/README.md` says what
//! they learned from, how their weights are made and how often they err.

use std::array::from_fn;
use std::sync::OnceLock;

use super::patch::{ACROSS, DOTS, DOWN, Patch};

/// For each net (first the one of the ink alone) and each layer: a factor (i32,
/// little endian) for each output, a bias (i32) for each, then the weights (i8)
/// by output, row, column and input.
const WEIGHTS: &[u8] = include_bytes!("digits.bin");

/// Layers that look at three by three dots: outputs, and every how many dots.
const LAYERS: [(usize, usize); 5] = [(12, 1), (32, 2), (48, 2), (64, 1), (64, 2)];
const HIDDEN: usize = 72;
const DIGIT_CLASSES: usize = 12;
const LETTER_CLASSES: usize = 4;
const OUTPUTS: usize = DIGIT_CLASSES + LETTER_CLASSES;
/// Sums are multiplied by their factor and divided by two to this power.
const SHIFT: u32 = 24;

/// No single digit: struck out, overwritten, a tick, a cross, a scribble.
const NO_DIGIT: usize = 10;
const EMPTY: usize = 11;

// The margins, in sixty-fourths of a nat. They were chosen on hands that neither
// the nets learned from nor the tests use, before the tests' hands were looked
// at, and stay as they are (`tests/reading/README.md`).
/// By so much both nets must prefer what they agree on.
const ACCEPTED: i32 = 340;
/// By so much the best rival must lead what was typed in each net, and in both
/// together.
const EXCLUDED: i32 = 256;
const EXCLUDED_TOGETHER: i32 = 1_300;

/// What one net makes of a cell: a score for each class, the higher the likelier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The digits 0 to 9, no single digit, empty.
    pub digits: [i32; DIGIT_CLASSES],
    /// L, T, neither, empty: asked at the end of a reading alone.
    pub letters: [i32; LETTER_CLASSES],
}

/// What a cell shows, as far as the nets are sure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seen<T> {
    One(T),
    /// Something, but not one digit or letter.
    Another,
    Empty,
    Unsure,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Letter {
    L,
    T,
}

/// What the two nets make of a cell, first the one that sees the ink alone.
pub fn look(patch: &Patch) -> [Answer; 2] {
    let [ink, whole] = nets();
    [ink.answer(&patch.ink), whole.answer(&patch.whole)]
}

/// The digit that the cell shows.
pub fn digit(answers: &[Answer; 2]) -> Seen<u8> {
    match agreed(answers.each_ref().map(|answer| &answer.digits[..])) {
        Some(NO_DIGIT) => Seen::Another,
        Some(EMPTY) => Seen::Empty,
        Some(digit) => Seen::One(digit as u8),
        None => Seen::Unsure,
    }
}

/// The letter that the last cell of a reading shows.
pub fn letter(answers: &[Answer; 2]) -> Seen<Letter> {
    match agreed(answers.each_ref().map(|answer| &answer.letters[..])) {
        Some(0) => Seen::One(Letter::L),
        Some(1) => Seen::One(Letter::T),
        Some(2) => Seen::Another,
        Some(_) => Seen::Empty,
        None => Seen::Unsure,
    }
}

/// Whether the cell may show the digit that was typed: not where each net finds
/// another class so much likelier.
pub fn may_be(answers: &[Answer; 2], typed: u8) -> bool {
    let scores = answers.each_ref().map(|answer| &answer.digits[..]);
    typed >= 10 || !excluded(scores, usize::from(typed))
}

pub fn may_be_letter(answers: &[Answer; 2], typed: Letter) -> bool {
    let scores = answers.each_ref().map(|answer| &answer.letters[..]);
    !excluded(scores, if typed == Letter::L { 0 } else { 1 })
}

/// The class that both nets put first, each by the margin.
fn agreed(scores: [&[i32]; 2]) -> Option<usize> {
    let [first, second] = scores.map(|scores| {
        let best = (0..scores.len()).max_by_key(|class| scores[*class])?;
        (rival(scores, best)? + ACCEPTED <= scores[best]).then_some(best)
    });
    first.filter(|_| first == second)
}

fn excluded(scores: [&[i32]; 2], typed: usize) -> bool {
    let leads = scores.map(|scores| rival(scores, typed).map_or(0, |rival| rival - scores[typed]));
    leads.iter().all(|lead| *lead >= EXCLUDED) && leads[0] + leads[1] >= EXCLUDED_TOGETHER
}

/// The best score of another class.
fn rival(scores: &[i32], class: usize) -> Option<i32> {
    (0..scores.len()).filter(|other| *other != class).map(|other| scores[other]).max()
}

fn nets() -> &'static [Net; 2] {
    static NETS: OnceLock<[Net; 2]> = OnceLock::new();
    NETS.get_or_init(|| {
        let mut bytes = WEIGHTS;
        from_fn(|_| Net::taken(&mut bytes))
    })
}

struct Net {
    squares: [Layer; LAYERS.len()],
    full: Layer,
    last: Layer,
}

/// Outputs that are each a weighted sum of inputs.
struct Layer {
    inputs: usize,
    factors: Vec<i32>,
    biases: Vec<i32>,
    weights: Vec<i16>,
}

impl Net {
    fn taken(bytes: &mut &[u8]) -> Net {
        let mut channels = 1;
        let squares = LAYERS.map(|(outputs, _)| {
            let layer = Layer::taken(bytes, outputs, channels * 9);
            channels = outputs;
            layer
        });
        let (across, down) = LAYERS.iter().fold((ACROSS, DOWN), |(across, down), (_, step)| {
            (across.div_ceil(*step), down.div_ceil(*step))
        });
        let full = Layer::taken(bytes, HIDDEN, channels * across * down);
        Net { squares, full, last: Layer::taken(bytes, OUTPUTS, HIDDEN) }
    }

    fn answer(&self, dots: &[u8; DOTS]) -> Answer {
        let mut picture =
            Picture { across: ACROSS, down: DOWN, dots: dots.map(i16::from).to_vec() };
        for (layer, (_, step)) in self.squares.iter().zip(LAYERS) {
            picture = layer.squares(&picture, step);
        }
        let hidden: Vec<i16> = self.full.sums(&picture.dots).map(bounded).collect();
        let scores: Vec<i32> = self.last.sums(&hidden).collect();
        Answer {
            digits: from_fn(|class| scores[class]),
            letters: from_fn(|class| scores[DIGIT_CLASSES + class]),
        }
    }
}

/// Dots row by row, the channels of a dot side by side.
struct Picture {
    across: usize,
    down: usize,
    dots: Vec<i16>,
}

impl Picture {
    /// With a border of nothing.
    fn bordered(&self) -> Picture {
        let channels = self.dots.len() / (self.across * self.down);
        let (across, down) = (self.across + 2, self.down + 2);
        let mut dots = vec![0; across * down * channels];
        for (row, line) in self.dots.chunks_exact(self.across * channels).enumerate() {
            let start = ((row + 1) * across + 1) * channels;
            dots[start..start + line.len()].copy_from_slice(line);
        }
        Picture { across, down, dots }
    }
}

impl Layer {
    fn taken(bytes: &mut &[u8], outputs: usize, inputs: usize) -> Layer {
        let mut take = |count: usize| {
            let (taken, left) = bytes.split_at(count);
            *bytes = left;
            taken
        };
        let mut numbers = || -> Vec<i32> {
            let number = |four: &[u8]| i32::from_le_bytes([four[0], four[1], four[2], four[3]]);
            take(outputs * 4).chunks_exact(4).map(number).collect()
        };
        let (factors, biases) = (numbers(), numbers());
        let weights = take(outputs * inputs).iter().map(|byte| i16::from(*byte as i8)).collect();
        Layer { inputs, factors, biases, weights }
    }

    /// Looks at three by three dots at a time, with nothing beyond the edge.
    fn squares(&self, picture: &Picture, step: usize) -> Picture {
        let wide = picture.bordered();
        let channels = self.inputs / 9;
        let (across, down) = (picture.across.div_ceil(step), picture.down.div_ceil(step));
        let mut dots = Vec::with_capacity(across * down * self.factors.len());
        let mut seen = vec![0; self.inputs];
        for row in 0..down {
            for column in 0..across {
                for (n, line) in seen.chunks_exact_mut(channels * 3).enumerate() {
                    let start = ((row * step + n) * wide.across + column * step) * channels;
                    line.copy_from_slice(&wide.dots[start..start + line.len()]);
                }
                dots.extend(self.sums(&seen).map(bounded));
            }
        }
        Picture { across, down, dots }
    }

    fn sums(&self, inputs: &[i16]) -> impl Iterator<Item = i32> {
        let rows = self.weights.chunks_exact(self.inputs);
        rows.zip(self.factors.iter().zip(&self.biases)).map(move |(row, (factor, bias))| {
            // No sum leaves 32 bits (a test below): checking each would take longer
            // than adding it.
            let products = row.iter().zip(inputs).map(|(w, x)| i32::from(*w) * i32::from(*x));
            let sum = i64::from(products.fold(*bias, i32::wrapping_add));
            ((sum * i64::from(*factor) + (1 << (SHIFT - 1))) >> SHIFT) as i32
        })
    }
}

/// An output that the next layer takes in.
fn bounded(sum: i32) -> i16 {
    sum.clamp(0, 255) as i16
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scan::patch::agreed::samples;

    fn answer(scores: &[i32; OUTPUTS]) -> Answer {
        Answer {
            digits: from_fn(|class| scores[class]),
            letters: from_fn(|class| scores[DIGIT_CLASSES + class]),
        }
    }

    /// PyTorch sums the same products in doubles, which hold them exactly.
    #[test]
    fn scores_are_those_that_the_training_came_to() {
        for sample in samples() {
            assert_eq!(look(&sample.patch), sample.scores.each_ref().map(answer));
        }
    }

    #[test]
    fn the_weights_are_used_up_and_no_sum_can_leave_its_32_bits() {
        let mut bytes = WEIGHTS;
        for _ in 0..2 {
            let net = Net::taken(&mut bytes);
            for layer in net.squares.iter().chain([&net.full, &net.last]) {
                for (row, bias) in layer.weights.chunks_exact(layer.inputs).zip(&layer.biases) {
                    let most: i64 = row.iter().map(|w| i64::from(w.unsigned_abs()) * 255).sum();
                    assert!(most + i64::from(bias.unsigned_abs()) < i64::from(i32::MAX));
                }
                assert!(layer.factors.iter().all(|factor| *factor > 0 && *factor < 1 << SHIFT));
            }
        }
        assert_eq!(bytes.len(), 0);
    }

    fn cell(first: [i32; DIGIT_CLASSES], second: [i32; DIGIT_CLASSES]) -> [Answer; 2] {
        [first, second].map(|digits| Answer { digits, letters: [0; LETTER_CLASSES] })
    }

    fn likely(class: usize, score: i32) -> [i32; DIGIT_CLASSES] {
        from_fn(|n| if n == class { score } else { 0 })
    }

    #[test]
    fn a_digit_counts_only_where_both_nets_say_it_by_the_margin() {
        let both = |a, b| digit(&cell(a, b));
        assert_eq!(both(likely(7, ACCEPTED), likely(7, ACCEPTED)), Seen::One(7));
        assert_eq!(both(likely(7, ACCEPTED - 1), likely(7, 9_000)), Seen::Unsure);
        assert_eq!(both(likely(7, 9_000), likely(7, ACCEPTED - 1)), Seen::Unsure);
        assert_eq!(both(likely(7, 9_000), likely(1, 9_000)), Seen::Unsure);
        assert_eq!(both(likely(NO_DIGIT, 9_000), likely(NO_DIGIT, 9_000)), Seen::Another);
        assert_eq!(both(likely(EMPTY, 9_000), likely(EMPTY, 9_000)), Seen::Empty);
    }

    #[test]
    fn what_was_typed_is_excluded_only_by_both_nets_together() {
        let may = |a, b, typed| may_be(&cell(a, b), typed);
        let half = EXCLUDED_TOGETHER / 2;
        assert!(!may(likely(7, half), likely(7, half), 1));
        assert!(may(likely(7, half), likely(7, half - 1), 1));
        assert!(may(likely(7, half), likely(7, half), 7));
        assert!(may(likely(7, 9_000), likely(7, EXCLUDED - 1), 1));
        // Each for its own reason, and still not what was typed.
        assert!(!may(likely(7, half), likely(EMPTY, half), 1));
        // Nothing but a digit can be asked for.
        assert!(may(likely(7, 9_000), likely(7, 9_000), 10));
    }
}
