//! Codes of squares in a picture, looked for at several scales: a reader that
//! fails on a sharp, large picture may succeed on a smaller one, and one that
//! fails on a coarse, soft picture on a sharpened and larger one.

use rqrr::PreparedImage;

use super::grey::Grey;

/// The longest side that is looked at first: A4 at 300 dots an inch.
const FIRST: usize = 3_700;
/// A picture is not made smaller than this.
const LEAST: usize = 300;
/// A longer picture is fine enough as it is: A4 at 220 dots an inch.
const COARSE: usize = 2_600;
/// Gain of the difference from the surroundings, and how many times larger:
/// found by trying on pages at 150 and 200 dots an inch, blurred once and twice.
const SOFT: [(i32, usize); 4] = [(4, 1), (4, 2), (4, 3), (2, 3)];

/// The texts of all codes, each once, in the order found at the first scale
/// that shows any.
pub fn codes(grey: &Grey) -> Vec<String> {
    let longest = grey.width.max(grey.height);
    let first = longest.div_ceil(FIRST).max(1);
    let scales = [first, first * 2, first * 3, 1, first * 4];
    let mut tried = Vec::new();
    for scale in scales {
        if tried.contains(&scale) || grey.width / scale < LEAST && scale > first {
            continue;
        }
        tried.push(scale);
        let found = smaller(grey, scale);
        if !found.is_empty() {
            return found;
        }
    }
    if longest > COARSE { Vec::new() } else { soft(grey) }
}

fn smaller(grey: &Grey, scale: usize) -> Vec<String> {
    let size = (grey.width / scale, grey.height / scale);
    match scale {
        1 => read(size, |x, y| grey.dots[y * grey.width + x]),
        _ => read(size, |x, y| mean(grey, scale, x, y)),
    }
}

fn read((width, height): (usize, usize), dot: impl FnMut(usize, usize) -> u8) -> Vec<String> {
    if width < 21 || height < 21 {
        return Vec::new();
    }
    let mut picture = PreparedImage::prepare_from_greyscale(width, height, dot);
    let mut texts = Vec::new();
    for grid in picture.detect_grids() {
        if let Ok((_, text)) = grid.decode()
            && !texts.contains(&text)
        {
            texts.push(text);
        }
    }
    texts
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
fn soft(grey: &Grey) -> Vec<String> {
    let size = (grey.width / 3, grey.height / 3);
    if size.0 < LEAST / 3 || size.1 < LEAST / 3 {
        return Vec::new();
    }
    let (right, low) = (grey.width - size.0, grey.height - size.1);
    for (gain, times) in SOFT {
        let sharp = sharpened(grey, gain);
        for (left, top) in [(right, 0), (0, 0), (right, low), (0, low)] {
            let found = read((size.0 * times, size.1 * times), |x, y| {
                between(&sharp, times, left * times + x, top * times + y)
            });
            if !found.is_empty() {
                return found;
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
