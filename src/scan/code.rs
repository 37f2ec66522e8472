//! Codes of squares in a picture, looked for at several scales: a reader that
//! fails on a sharp, large picture may succeed on a smaller one, and one that
//! fails on a coarse, soft picture on a sharpened and larger one.

use image::Luma;
use rqrr::PreparedImage;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::thread;

use super::counted::{Counted, Stopped, Work};
use super::grey::Grey;

/// The name of the threads that look for codes: they say themselves what came
/// of it.
pub const THREAD: &str = "codes";

/// The longest side that is looked at first: A4 at 300 dots an inch.
const FIRST: usize = 3_700;
/// A picture is not made smaller than this.
const LEAST: usize = 300;
/// A longer picture is fine enough as it is: A4 at 220 dots an inch.
const COARSE: usize = 2_600;
/// Gain of the difference from the surroundings, and how many times larger:
/// found by trying on pages at 150 and 200 dots an inch, blurred once and twice.
const SOFT: [(i32, usize); 8] = [(4, 1), (4, 2), (4, 3), (2, 3), (3, 2), (2, 2), (6, 3), (1, 3)];

/// A larger picture is looked at smaller only: A4 at 400 dots an inch.
const LARGEST: usize = 16 << 20;
/// Work for each dot of one try. Over the tests' scans, 606 tries sharp and soft,
/// a try took four to seven; noise takes more than thirty, looking for codes
/// between what may be corners.
const WORK: u64 = 12;
/// As much as the first thread of a program has where it is not told.
const STACK: usize = 8 << 20;

const GIVEN_UP: &str = "too much in it looks like a code; nothing was found before it was given up";

/// A code and where it lies.
#[derive(Clone, Debug)]
pub struct Code {
    pub text: String,
    /// In dots of the picture, as the code is read: the upper left corner, the upper
    /// right, the lower right, the lower left.
    pub corners: [(f64, f64); 4],
}

impl Code {
    fn moved(mut self, to: impl Fn((f64, f64)) -> (f64, f64)) -> Code {
        self.corners = self.corners.map(to);
        self
    }
}

/// What came of a picture.
#[derive(Clone, Debug, Default)]
pub struct Codes {
    /// All codes, each text once, in the order found at the first scale that shows
    /// any.
    pub codes: Vec<Code>,
    /// Why there may be one that was not found.
    pub fault: Option<String>,
}

/// What was tried, and what may still be done.
struct Tries<'a> {
    left: &'a mut u64,
    fault: Option<String>,
}

/// Looks for codes; takes what is done off what may still be.
pub fn codes(grey: &Grey, left: &mut u64) -> Codes {
    let mut tries = Tries { left, fault: None };
    let codes = found(grey, &mut tries);
    let fault = tries.fault.filter(|_| codes.is_empty());
    Codes { codes, fault }
}

fn found(grey: &Grey, tries: &mut Tries<'_>) -> Vec<Code> {
    let longest = grey.width.max(grey.height);
    let first = longest.div_ceil(FIRST).max(1);
    let scales = [first, first * 2, first * 3, 1, first * 4];
    let mut tried = Vec::new();
    for scale in scales {
        if tried.contains(&scale) || grey.width / scale < LEAST && scale > first {
            continue;
        }
        tried.push(scale);
        let found = smaller(grey, scale, tries);
        if !found.is_empty() {
            return found;
        }
    }
    if longest > COARSE { Vec::new() } else { soft(grey, tries) }
}

fn smaller(grey: &Grey, scale: usize, tries: &mut Tries<'_>) -> Vec<Code> {
    let size = (grey.width / scale, grey.height / scale);
    let found = match scale {
        1 => tries.read(size, |x, y| grey.dots[y * grey.width + x]),
        _ => tries.read(size, |x, y| mean(grey, scale, x, y)),
    };
    // The middle of a dot that stands for several.
    let middle = (scale - 1) as f64 / 2.0;
    let to = |(x, y)| (x * scale as f64 + middle, y * scale as f64 + middle);
    found.into_iter().map(|code| code.moved(to)).collect()
}

impl Tries<'_> {
    /// One try. A reader that fails on a picture, or does not come to an end,
    /// has found nothing, and says so.
    fn read(
        &mut self,
        (width, height): (usize, usize),
        dot: impl Fn(usize, usize) -> u8 + Sync,
    ) -> Vec<Code> {
        let dots = width * height;
        if width < 21 || height < 21 || dots > LARGEST || !self.may((width, height)) {
            return Vec::new();
        }
        let most = (dots as u64 * WORK + (1 << 20)).min(*self.left);
        let reader = || {
            let work = Work::new(most);
            let rows = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
            let dots = rows.map(|(x, y)| Luma([dot(x, y)])).collect();
            let counted = Counted { width, height, dots, work: work.clone() };
            (catch_unwind(AssertUnwindSafe(|| read(counted))), work.left())
        };
        let looked = thread::scope(|scope| {
            let named = thread::Builder::new().name(THREAD.to_owned()).stack_size(STACK);
            named.spawn_scoped(scope, reader).map(thread::ScopedJoinHandle::join)
        });
        let (looked, left) = match looked {
            Ok(Ok(looked)) => looked,
            Ok(Err(failed)) => (Err(failed), 0),
            Err(_) => return self.fail("there is no thread to look for codes"),
        };
        *self.left -= most - left;
        match looked {
            Ok(codes) => codes,
            Err(why) if why.is::<Stopped>() => self.fail(GIVEN_UP),
            Err(_) => self.fail("the reader of codes failed on it"),
        }
    }

    /// Whether what is left lets each dot be asked for once. A try that could not
    /// end takes the rest, and its picture need not be drawn.
    fn may(&mut self, (width, height): (usize, usize)) -> bool {
        let may = (width * height) as u64 <= *self.left;
        if !may {
            *self.left = 0;
            self.fail(GIVEN_UP);
        }
        may
    }

    fn fail(&mut self, fault: &str) -> Vec<Code> {
        self.fault.get_or_insert_with(|| fault.to_owned());
        Vec::new()
    }
}

fn read(dots: Counted) -> Vec<Code> {
    let mut picture = PreparedImage::prepare(dots);
    let mut codes: Vec<Code> = Vec::new();
    for grid in picture.detect_grids() {
        if let Ok((_, text)) = grid.decode()
            && !codes.iter().any(|code| code.text == text)
        {
            let corners = grid.bounds.map(|corner| (f64::from(corner.x), f64::from(corner.y)));
            codes.push(Code { text, corners });
        }
    }
    codes
}

/// Of a square of dots.
fn mean(grey: &Grey, scale: usize, x: usize, y: usize) -> u8 {
    let mut sum = 0;
    for row in 0..scale {
        let start = (y * scale + row) * grey.width + x * scale;
        sum += grey.dots[start..start + scale].iter().map(|dot| usize::from(*dot)).sum::<usize>();
    }
    (sum / (scale * scale)) as u8
}

/// A page has its code in a corner, whichever way up it lies.
fn soft(grey: &Grey, tries: &mut Tries<'_>) -> Vec<Code> {
    let size = (grey.width / 3, grey.height / 3);
    if size.0 < LEAST / 3 || size.1 < LEAST / 3 {
        return Vec::new();
    }
    let (right, low) = (grey.width - size.0, grey.height - size.1);
    for (gain, times) in SOFT {
        if !tries.may((size.0 * times, size.1 * times)) {
            return Vec::new();
        }
        let sharp = sharpened(grey, gain);
        for (left, top) in [(right, 0), (0, 0), (right, low), (0, low)] {
            let found = tries.read((size.0 * times, size.1 * times), |x, y| {
                between(&sharp, times, left * times + x, top * times + y)
            });
            if !found.is_empty() {
                let place = |at: f64, from: usize| from as f64 + at / times as f64;
                let to = |(x, y)| (place(x, left), place(y, top));
                return found.into_iter().map(|code| code.moved(to)).collect();
            }
        }
    }
    Vec::new()
}

/// Each dot drawn away from the mean of those around it.
fn sharpened(grey: &Grey, gain: i32) -> Grey {
    let (width, height) = (grey.width, grey.height);
    let across: Vec<u16> = grey
        .dots
        .chunks(width)
        .flat_map(|row| {
            (0..width).map(|x| {
                let beside = [row[x.saturating_sub(1)], row[x], row[(x + 1).min(width - 1)]];
                beside.iter().map(|dot| u16::from(*dot)).sum()
            })
        })
        .collect();
    let dot = |at: usize| {
        let (x, y) = (at % width, at / width);
        let rows = [y.saturating_sub(1), y, (y + 1).min(height - 1)];
        let sum: i32 = rows.iter().map(|row| i32::from(across[row * width + x])).sum();
        let own = i32::from(grey.dots[at]);
        (own + gain * (own - sum / 9)).clamp(0, 255) as u8
    };
    Grey { width, height, dots: (0..width * height).map(dot).collect() }
}

/// A dot of the picture drawn larger, weighed from the four around it.
fn between(grey: &Grey, times: usize, x: usize, y: usize) -> u8 {
    let dot = |x: usize, y: usize| {
        usize::from(grey.dots[y.min(grey.height - 1) * grey.width + x.min(grey.width - 1)])
    };
    let (left, right) = (times - x % times, x % times);
    let (up, down) = (times - y % times, y % times);
    let (x, y) = (x / times, y / times);
    let top = dot(x, y) * left + dot(x + 1, y) * right;
    let low = dot(x, y + 1) * left + dot(x + 1, y + 1) * right;
    ((top * up + low * down) / (times * times)) as u8
}
