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

/// What one net makes of a cell: a score for each of the digits 0 to 9, no single
/// digit and empty, the higher the likelier. Those of letters, which the nets learned
/// too, are asked for by nothing: L and T stand beside results alone.
pub type Answer = [i32; DIGIT_CLASSES];

/// What stands in a cell, where both nets are sure of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Seen {
    Digit(u8),
    /// Struck out, overwritten, scribbled.
    NoDigit,
    Empty,
    Unsure,
}

/// What the two nets make of a cell, first the one that sees the ink alone.
pub fn look(patch: &Patch) -> [Answer; 2] {
    let [ink, whole] = nets();
    [ink.answer(&patch.ink), whole.answer(&patch.whole)]
}

/// What the cell shows, as far as the nets are sure.
pub fn seen(answers: &[Answer; 2]) -> Seen {
    match agreed(answers) {
        Some(NO_DIGIT) => Seen::NoDigit,
        Some(EMPTY) => Seen::Empty,
        Some(digit) => Seen::Digit(digit as u8),
        None => Seen::Unsure,
    }
}

/// Whether the cell may show the digit that was typed: not where each net finds
/// another class so much likelier.
pub fn may_be(answers: &[Answer; 2], typed: u8) -> bool {
    let typed = usize::from(typed);
    let leads = answers.each_ref().map(|scores| rival(scores, typed) - scores[typed]);
    leads.iter().any(|lead| *lead < EXCLUDED) || leads[0] + leads[1] < EXCLUDED_TOGETHER
}

/// Whether both nets find it likeliest that the cell is empty, by however little.
pub fn leans_empty(answers: &[Answer; 2]) -> bool {
    answers.iter().all(|scores| rival(scores, EMPTY) <= scores[EMPTY])
}

/// The class that both nets put first, each by the margin.
fn agreed(answers: &[Answer; 2]) -> Option<usize> {
    let [first, second] = answers.each_ref().map(|scores| {
        (0..DIGIT_CLASSES).find(|class| rival(scores, *class) + ACCEPTED <= scores[*class])
    });
    first.filter(|_| first == second)
}

/// The best score of another class.
fn rival(scores: &Answer, class: usize) -> i32 {
    let others = scores.iter().enumerate().filter(|(other, _)| *other != class);
    others.map(|(_, score)| *score).max().unwrap_or(i32::MIN / 2)
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
        let mut answer = [0; DIGIT_CLASSES];
        let scores = self.last.sums(&hidden);
        answer.iter_mut().zip(scores).for_each(|(score, found)| *score = found);
        answer
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
            let (fours, _) = take(outputs * 4).as_chunks();
            fours.iter().map(|four| i32::from_le_bytes(*four)).collect()
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
    use crate::scan::patch::tests::samples;

    /// PyTorch sums the same products in doubles, which hold them exactly.
    #[test]
    fn scores_are_those_that_the_training_came_to() {
        for sample in samples() {
            let digits = sample.scores.map(|scores| from_fn(|class| scores[class]));
            assert_eq!(look(&sample.patch), digits);
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

    fn likely(class: usize, score: i32) -> Answer {
        from_fn(|n| if n == class { score } else { 0 })
    }

    #[test]
    fn a_digit_counts_only_where_both_nets_say_it_by_the_margin() {
        let both = |a, b| seen(&[a, b]);
        assert_eq!(both(likely(7, ACCEPTED), likely(7, ACCEPTED)), Seen::Digit(7));
        assert_eq!(both(likely(7, ACCEPTED - 1), likely(7, 9_000)), Seen::Unsure);
        assert_eq!(both(likely(7, 9_000), likely(7, ACCEPTED - 1)), Seen::Unsure);
        assert_eq!(both(likely(7, 9_000), likely(1, 9_000)), Seen::Unsure);
        assert_eq!(both(likely(NO_DIGIT, 9_000), likely(NO_DIGIT, 9_000)), Seen::NoDigit);
        assert_eq!(both(likely(EMPTY, 9_000), likely(EMPTY, 9_000)), Seen::Empty);
    }

    #[test]
    fn what_was_typed_is_excluded_only_by_both_nets_together() {
        let may = |a, b, typed| may_be(&[a, b], typed);
        let half = EXCLUDED_TOGETHER / 2;
        assert!(!may(likely(7, half), likely(7, half), 1));
        assert!(may(likely(7, half), likely(7, half - 1), 1));
        assert!(may(likely(7, half), likely(7, half), 7));
        assert!(may(likely(7, 9_000), likely(7, EXCLUDED - 1), 1));
        // Each for its own reason, and still not what was typed.
        assert!(!may(likely(7, half), likely(EMPTY, half), 1));
    }

    #[test]
    fn a_cell_leans_to_empty_where_both_nets_put_that_first() {
        let both = |a, b| leans_empty(&[a, b]);
        assert!(both(likely(EMPTY, 1), likely(EMPTY, 1)));
        assert!(!both(likely(EMPTY, 9_000), likely(1, 1)));
        assert!(!both(likely(NO_DIGIT, 1), likely(EMPTY, 9_000)));
    }
}
