//! A piece of a scan for the eye, straightened and in black and white, as a
//! photocopy of it would be.

use super::grey::Grey;

/// Dots in a millimetre: 150 in an inch.
pub const FINE: f64 = 6.0;
/// What is shown around a box, in millimetres.
pub const AROUND: f64 = 2.0;
/// Of the way from paper to the darkest dot, what is black: faint pencil beside
/// printed lines is.
const BLACK: f64 = 0.3;
/// What is no darker than the paper by this much is dirt.
const DIRT: f64 = 16.0;

/// Rows of dots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutOut {
    pub width: usize,
    pub height: usize,
    pub black: Vec<bool>,
}

impl CutOut {
    /// The piece about an area of the page, in millimetres.
    pub fn of(
        picture: &Grey,
        at: &dyn Fn(f64, f64) -> (f64, f64),
        (x, y, w, h): (f64, f64, f64, f64),
    ) -> CutOut {
        let side = |long: f64| ((long + AROUND * 2.0) * FINE).ceil() as usize;
        let (width, height) = (side(w), side(h));
        let mut dots = Vec::with_capacity(width * height);
        for row in 0..height {
            for column in 0..width {
                let (right, down) = (column as f64 / FINE, row as f64 / FINE);
                let (across, down) = at(x - AROUND + right, y - AROUND + down);
                dots.push(picture.within(across, down).unwrap_or(255.0));
            }
        }
        let mut sorted = dots.clone();
        sorted.sort_by(f64::total_cmp);
        let of = |share: usize| sorted.get(sorted.len() * share / 100).copied().unwrap_or(255.0);
        let (dark, paper) = (of(1), of(80));
        let cut = paper - ((paper - dark) * BLACK).max(DIRT);
        CutOut { width, height, black: dots.iter().map(|dot| *dot < cut).collect() }
    }

    /// Black stretches of each row: row, first dot and the one behind the last.
    pub fn stretches(&self) -> impl Iterator<Item = (usize, usize, usize)> {
        self.black.chunks(self.width.max(1)).enumerate().flat_map(|(row, dots)| {
            let mut found = Vec::new();
            let mut start = None;
            for (at, black) in dots.iter().chain([&false]).enumerate() {
                match (black, start) {
                    (true, None) => start = Some(at),
                    (false, Some(from)) => {
                        found.push((row, from, at));
                        start = None;
                    }
                    _ => {}
                }
            }
            found
        })
    }
}
