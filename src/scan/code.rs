//! Codes of squares in a picture, looked for at several scales: a reader that
//! fails on a sharp, large picture may succeed on a smaller one.

use rqrr::PreparedImage;

use super::grey::Grey;

/// The longest side that is looked at first: A4 at 300 dots an inch.
const FIRST: usize = 3_700;
/// A picture is not made smaller than this.
const LEAST: usize = 300;

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
        let found = at_scale(grey, scale);
        if !found.is_empty() {
            return found;
        }
    }
    Vec::new()
}

fn at_scale(grey: &Grey, scale: usize) -> Vec<String> {
    let (width, height) = (grey.width / scale, grey.height / scale);
    if width < 21 || height < 21 {
        return Vec::new();
    }
    let mut picture = match scale {
        1 => PreparedImage::prepare_from_greyscale(width, height, |x, y| {
            grey.dots[y * grey.width + x]
        }),
        _ => PreparedImage::prepare_from_greyscale(width, height, |x, y| mean(grey, scale, x, y)),
    };
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
