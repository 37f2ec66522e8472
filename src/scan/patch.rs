//! The piece of a scan that shows one cell of a comb, as the nets look at it:
//! paper 0, the darkest writing 255.

use super::grey::Grey;

/// Dots of a patch.
pub const ACROSS: usize = 24;
pub const DOWN: usize = 32;
pub const DOTS: usize = ACROSS * DOWN;

/// By what part of its size a cell is widened on every side.
const WIDER: f64 = 0.15;
/// How far about a cell its paper is looked at, in cells across and down.
const ABOUT: (f64, f64) = (0.6, 0.45);
/// How often, across and down.
const LOOKS: (usize, usize) = (32, 43);
/// Of a hundred looks so many are at paper or at what is darker.
const PAPER: usize = 75;
/// Of the dots within a cell the one that says how dark it is written.
const NTH_DARKEST: usize = 12;
/// Writing fainter than this is not made as dark as other writing: an empty cell
/// stays light.
const LEAST: u32 = 64;

/// A cell of a comb as printed, in millimetres from the page's top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    pub x: f64,
    pub y: f64,
    pub w: f64,
    pub h: f64,
}

/// What stands in a cell, row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Patch {
    /// As scanned, the printed lines in it.
    pub whole: [u8; DOTS],
    /// The printed lines taken out.
    pub ink: [u8; DOTS],
}

/// From millimetres on the printed page to dots of the picture, the middle of a
/// dot at whole numbers.
pub type At<'a> = &'a dyn Fn(f64, f64) -> (f64, f64);

/// The patches of the cells of one reading, which one pen wrote. The paper is
/// that about each: a shadow may lie across a reading.
pub fn cells(picture: &Grey, at: At<'_>, cells: &[Cell]) -> Vec<Patch> {
    let raw = |cell: &Cell| raw(picture, at, *cell, paper(picture, at, *cell));
    let raw: Vec<_> = cells.iter().map(raw).collect();
    let darkest = raw.iter().map(dark).max().unwrap_or(0);
    raw.iter().map(|raw| Patch::of(levelled(raw, darkest))).collect()
}

impl Patch {
    fn of(whole: [u8; DOTS]) -> Patch {
        let mut ink = whole;
        without_lines(&mut ink);
        Patch { whole, ink }
    }
}

/// The grey of the paper about a cell.
fn paper(picture: &Grey, at: At<'_>, cell: Cell) -> u8 {
    let (left, wide) = (cell.x - ABOUT.0 * cell.w, cell.w * (1.0 + 2.0 * ABOUT.0));
    let (top, high) = (cell.y - ABOUT.1 * cell.h, cell.h * (1.0 + 2.0 * ABOUT.1));
    let part = |n: usize, of: usize| (n as f64 + 0.5) / of as f64;
    let mut seen = [0; LOOKS.0 * LOOKS.1];
    for (n, seen) in seen.iter_mut().enumerate() {
        let x = left + wide * part(n % LOOKS.0, LOOKS.0);
        let y = top + high * part(n / LOOKS.0, LOOKS.1);
        let (x, y) = at(x, y);
        *seen = picture.nearest(x, y);
    }
    let nth = PAPER * seen.len() / 100;
    *seen.select_nth_unstable(nth).1
}

/// How much darker than the paper a cell is: of each dot the mean of nine looks.
fn raw(picture: &Grey, at: At<'_>, cell: Cell, paper: u8) -> [u8; DOTS] {
    let (w, h) = (cell.w * (1.0 + 2.0 * WIDER), cell.h * (1.0 + 2.0 * WIDER));
    let (left, top) = (cell.x - cell.w * WIDER, cell.y - cell.h * WIDER);
    let part = |dot: usize, look: usize, dots: usize| {
        (dot as f64 + (look as f64 + 0.5) / 3.0) / dots as f64
    };
    let mut dots = [0; DOTS];
    for (n, dot) in dots.iter_mut().enumerate() {
        let mut sum = 0.0;
        for look in 0..9 {
            let x = left + w * part(n % ACROSS, look % 3, ACROSS);
            let y = top + h * part(n / ACROSS, look / 3, DOWN);
            let (x, y) = at(x, y);
            sum += picture.between(x, y);
        }
        *dot = (f64::from(paper) - sum / 9.0 + 0.5).floor().clamp(0.0, 255.0) as u8;
    }
    dots
}

/// How dark a cell is written, its frame left aside.
fn dark(raw: &[u8; DOTS]) -> u8 {
    let mut inner: Vec<u8> =
        (7..25).flat_map(|row| &raw[row * ACROSS + 6..row * ACROSS + 18]).copied().collect();
    inner.sort_unstable();
    inner[inner.len() - NTH_DARKEST]
}

fn levelled(raw: &[u8; DOTS], darkest: u8) -> [u8; DOTS] {
    let level = (u32::from(darkest) * 5 / 4).clamp(LEAST, 255);
    raw.map(|dot| ((u32::from(dot) * 255 + level / 2) / level).min(255) as u8)
}

/// Where the frame's lines stand in a patch that is cut aright, and how far
/// beside it they are looked for.
const UPRIGHT: (usize, usize) = (2, 21);
const LEVEL: (usize, usize) = (3, 28);
const ASIDE: [isize; 5] = [0, -1, 1, -2, 2];

/// Takes the frame's lines out: across each, no dot stays darker than what
/// stands on both sides of it leads to expect, so that a stroke which crosses a
/// line stays whole.
fn without_lines(dots: &mut [u8; DOTS]) {
    erase(dots, UPRIGHT, (ACROSS, 1), (DOWN, ACROSS), 6..DOWN - 6);
    erase(dots, LEVEL, (DOWN, ACROSS), (ACROSS, 1), 5..ACROSS - 5);
}

/// One pair of lines; `across` and `along` each say how many dots there are in a
/// direction and how far apart they lie; the lines are looked for within `seen`.
fn erase(
    dots: &mut [u8; DOTS],
    lines: (usize, usize),
    across: (usize, usize),
    along: (usize, usize),
    seen: std::ops::Range<usize>,
) {
    let sum = |line: usize| -> u32 {
        seen.clone().map(|n| u32::from(dots[line * across.1 + n * along.1])).sum()
    };
    let mut best = (0, None);
    for aside in ASIDE {
        let pair = (lines.0.checked_add_signed(aside), lines.1.checked_add_signed(aside));
        let (Some(low), Some(high)) = pair else { continue };
        let both = sum(low) + sum(high);
        if best.1.is_none() || both > best.0 {
            best = (both, Some((low, high)));
        }
    }
    let Some((low, high)) = best.1 else { return };
    for line in [low, high] {
        for n in 0..along.0 {
            let dot = |at: usize| u32::from(dots[at * across.1 + n * along.1]);
            let before = line.checked_sub(2).map(dot);
            let after = (line + 2 < across.0).then(|| dot(line + 2));
            let (Some(before), Some(after)) = (before.or(after), after.or(before)) else {
                continue;
            };
            for (step, parts) in [(0, (3, 1)), (1, (2, 2)), (2, (1, 3))] {
                let Some(at) = (line + step).checked_sub(1).filter(|at| *at < across.0) else {
                    continue;
                };
                let expected = ((before * parts.0 + after * parts.1 + 2) / 4) as u8;
                let dot = &mut dots[at * across.1 + n * along.1];
                *dot = (*dot).min(expected);
            }
        }
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use std::array::from_fn;

    const SIZE: (usize, usize) = (96, 128);
    const CELL: Cell = Cell { x: 0.0, y: 0.0, w: 5.6, h: 8.6 };

    /// What `tests/reading/agree.py` kept of a cell: Python's patches and scores.
    pub struct Sample {
        pub picture: Grey,
        numbers: [f64; 6],
        paper: u8,
        pub patch: Patch,
        pub scores: [[i32; 16]; 2],
    }

    impl Sample {
        fn at(&self, x: f64, y: f64) -> (f64, f64) {
            let [a, b, cx, cy, aside, down] = self.numbers;
            let (x, y) = (x - CELL.w / 2.0 + aside, y - CELL.h / 2.0 + down);
            (x * a - y * b + cx, x * b + y * a + cy)
        }
    }

    pub fn samples() -> Vec<Sample> {
        let bytes: &[u8] = include_bytes!("../../tests/reading/agree.bin");
        let dots = SIZE.0 * SIZE.1;
        let samples = bytes.chunks_exact(dots + 48 + 1 + 2 * DOTS + 128).map(|sample| {
            let (picture, rest) = sample.split_at(dots);
            let (numbers, rest) = rest.split_at(48);
            let (paper, rest) = rest.split_at(1);
            let (whole, rest) = rest.split_at(DOTS);
            let (ink, scores) = rest.split_at(DOTS);
            let (eights, fours) = (numbers.as_chunks().0, scores.as_chunks().0);
            let score = |n: usize| i32::from_le_bytes(fours[n]);
            Sample {
                picture: Grey { width: SIZE.0, height: SIZE.1, dots: picture.to_vec() },
                numbers: from_fn(|n| f64::from_le_bytes(eights[n])),
                paper: paper[0],
                patch: Patch { whole: from_fn(|n| whole[n]), ink: from_fn(|n| ink[n]) },
                scores: from_fn(|net| from_fn(|n| score(net * 16 + n))),
            }
        });
        samples.collect()
    }

    /// Python rounds as it does: a dot may come out one grey of the scan apart.
    #[test]
    fn patches_are_those_that_the_nets_learned_from() {
        let samples = samples();
        assert_eq!(samples.len(), 10);
        for sample in &samples {
            let at = |x, y| sample.at(x, y);
            let raw = raw(&sample.picture, &at, CELL, sample.paper);
            let level = (u32::from(dark(&raw)) * 5 / 4).clamp(LEAST, 255);
            let whole = levelled(&raw, dark(&raw));
            let apart = |(a, b): (&u8, &u8)| u32::from(a.abs_diff(*b));
            let differ: Vec<u32> = whole.iter().zip(&sample.patch.whole).map(apart).collect();
            assert!(differ.iter().all(|by| *by <= 255_u32.div_ceil(level)), "{differ:?}");
            assert!(differ.iter().filter(|by| **by > 0).count() < 8, "{differ:?}");
        }
    }

    #[test]
    fn lines_are_taken_out_as_the_nets_learned_it() {
        for sample in samples() {
            assert!(Patch::of(sample.patch.whole) == sample.patch);
        }
    }

    /// A cell cut up to two dots out of place loses its lines all the same; a
    /// stroke across them and one within stay.
    #[test]
    fn lines_out_of_place_are_taken_out_and_strokes_stay() {
        for (right, down) in [(0, 0), (2, 0), (-2, 1), (1, -2), (-1, 2)] {
            let mut dots = [0; DOTS];
            let mut dark = |x: isize, y: isize| dots[y as usize * ACROSS + x as usize] = 200;
            for y in 3..29 {
                dark(2 + right, y + down);
                dark(21 + right, y + down);
            }
            for x in 2..22 {
                dark(x + right, 3 + down);
                dark(x + right, 28 + down);
            }
            // Across the line at the right, and upright within.
            (15..24).for_each(|x| dark(x, 14));
            (8..22).for_each(|y| dark(11, y));
            let Patch { ink, .. } = Patch::of(dots);
            for y in 0..DOWN {
                for x in 0..ACROSS {
                    let stays = (y == 14 && x > 14) || (x == 11 && (8..22).contains(&y));
                    let dot = ink[y * ACROSS + x];
                    let right_so = if stays { dot >= 100 } else { dot <= 50 };
                    assert!(right_so, "{right} {down}: {x} {y} {dot}");
                }
            }
        }
    }

    /// The program looks at other dots of the paper than the training did.
    #[test]
    fn paper_is_found_nearly_as_the_nets_learned_it() {
        for sample in samples() {
            let found = paper(&sample.picture, &|x, y| sample.at(x, y), CELL);
            assert!(found.abs_diff(sample.paper) <= 3, "{found} {}", sample.paper);
        }
    }

    #[test]
    fn an_empty_cell_is_not_made_dark_and_places_beyond_the_picture_do_no_harm() {
        let grain = |n: usize| 226 + (n * 7919 % 9) as u8;
        let picture = Grey { width: 200, height: 200, dots: (0..40_000).map(grain).collect() };
        let away =
            [(8.0, 100.0), (8.0, -1e12), (8.0, 1e300), (f64::NAN, 0.0), (f64::INFINITY, f64::MAX)];
        for (scale, aside) in away {
            let at = |x: f64, y: f64| (x * scale + aside, y * scale + aside);
            let (x, y) = at(0.0, 0.0);
            assert_eq!(picture.within(x, y).is_some(), aside == 100.0, "{aside}");
            for patch in cells(&picture, &at, &[CELL, Cell { x: 5.6, ..CELL }]) {
                assert!(patch.whole.iter().all(|dot| *dot < 60), "{scale} {aside}");
            }
        }
        assert_eq!(cells(&picture, &|x, y| (x, y), &[]), []);
    }

    /// Writing of one pen is as dark in one cell as in the next: a cell with a
    /// speck beside one with a digit stays light.
    #[test]
    fn the_cells_of_a_reading_share_their_level() {
        let mut picture = Grey { width: 120, height: 90, dots: vec![230; 120 * 90] };
        for y in 20..60 {
            for x in 24..29 {
                picture.dots[y * 120 + x] = 40;
            }
            picture.dots[y * 120 + 68] = 200;
        }
        let at = |x: f64, y: f64| (x * 7.87 + 4.0, y * 7.87 + 4.0);
        let found = cells(&picture, &at, &[CELL, Cell { x: 5.6, ..CELL }]);
        let darkest: Vec<_> = found.iter().map(|cell| cell.whole.iter().max()).collect();
        assert_eq!(darkest.len(), 2);
        assert!(darkest[0] > Some(&200) && darkest[1] < Some(&40), "{darkest:?}");
    }
}
