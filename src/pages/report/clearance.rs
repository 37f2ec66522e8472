//! Lines that keep clear of the figures of a page.

use crate::layout::mark::{Mark, Run};

/// A place in millimetres from the top left corner of the page.
pub type PointMm = (f64, f64);

/// White kept around a figure, in millimetres.
const AROUND: f64 = 0.5;
/// A shorter piece of a line would be a speck.
const LEAST: f64 = 1.5;
/// Figures are looked up by bands of the page, this high.
const BAND: f64 = 6.0;

/// A figure with the white around it: left, top, right, bottom.
#[derive(Clone, Copy)]
struct Bounds(f64, f64, f64, f64);

/// Where the figures of a page stand.
pub struct Taken {
    bands: Vec<Vec<Bounds>>,
}

impl Taken {
    pub fn new(marks: &[Mark]) -> Taken {
        let mut taken = Taken { bands: Vec::new() };
        for mark in marks {
            if let Mark::Run(run) = mark
                && is_figure(&run.text)
            {
                taken.put(around(run));
            }
        }
        taken
    }

    fn put(&mut self, text: Bounds) {
        for band in band_of(text.1)..=band_of(text.3) {
            if self.bands.len() <= band {
                self.bands.resize(band + 1, Vec::new());
            }
            self.bands[band].push(text);
        }
    }

    /// What is left of a line, piece by piece.
    pub fn clear(&self, line: &[PointMm]) -> Vec<Vec<PointMm>> {
        let mut pieces: Vec<Vec<PointMm>> = Vec::new();
        for pair in line.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            for (start, end) in free(self.covered(from, to)) {
                let (a, b) = (between(from, to, start), between(from, to, end));
                match pieces.last_mut() {
                    Some(piece) if piece.last() == Some(&a) => piece.push(b),
                    _ => pieces.push(vec![a, b]),
                }
            }
        }
        join_ends(&mut pieces);
        pieces.retain(|piece| length(piece) >= LEAST);
        pieces
    }

    /// Shares of a straight line that lie on figures.
    fn covered(&self, from: PointMm, to: PointMm) -> Vec<(f64, f64)> {
        let (top, bottom) = (from.1.min(to.1), from.1.max(to.1));
        let bands = band_of(top)..=band_of(bottom);
        let texts = bands.filter_map(|band| self.bands.get(band)).flatten();
        texts.filter_map(|text| inside(*text, from, to)).collect()
    }
}

/// A size, a date, a code: words with a lone digit in them stay legible with a
/// stroke across.
fn is_figure(text: &str) -> bool {
    let digits = text.chars().filter(char::is_ascii_digit).count();
    digits > 1 || digits * 3 >= text.chars().count().max(1)
}

fn band_of(y: f64) -> usize {
    (y / BAND).max(0.0) as usize
}

fn around(run: &Run) -> Bounds {
    let (left, right) = run.ends();
    let (y, size) = (run.at.y.to_mm(), run.size.to_mm());
    Bounds(
        left.to_mm() - AROUND,
        y - size * 0.72 - AROUND,
        right.to_mm() + AROUND,
        y + size * 0.22 + AROUND,
    )
}

/// The share of a straight line inside a box (the slabs of Liang and Barsky).
fn inside(
    Bounds(left, top, right, bottom): Bounds,
    from: PointMm,
    to: PointMm,
) -> Option<(f64, f64)> {
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for (at, step, low, high) in
        [(from.0, to.0 - from.0, left, right), (from.1, to.1 - from.1, top, bottom)]
    {
        if step == 0.0 {
            if at < low || at > high {
                return None;
            }
            continue;
        }
        let (a, b) = ((low - at) / step, (high - at) / step);
        start = start.max(a.min(b));
        end = end.min(a.max(b));
    }
    (start < end).then_some((start, end))
}

/// The shares that no figure covers.
fn free(mut covered: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = Vec::new();
    let mut at = 0.0;
    for (start, end) in covered {
        if start > at {
            free.push((at, start));
        }
        at = end.max(at);
    }
    if at < 1.0 {
        free.push((at, 1.0));
    }
    free
}

/// Exact at the ends, so that pieces join.
fn between(from: PointMm, to: PointMm, share: f64) -> PointMm {
    if share == 1.0 {
        return to;
    }
    let part = |a: f64, b: f64| a + (b - a) * share;
    (part(from.0, to.0), part(from.1, to.1))
}

/// A closed line begins somewhere: its first and last piece are one.
fn join_ends(pieces: &mut Vec<Vec<PointMm>>) {
    let first = pieces.first().and_then(|piece| piece.first().copied());
    let last = pieces.last().and_then(|piece| piece.last().copied());
    if pieces.len() < 2 || first != last {
        return;
    }
    if let Some(mut tail) = pieces.pop() {
        tail.extend(pieces[0].iter().skip(1).copied());
        pieces[0] = tail;
    }
}

fn length(piece: &[PointMm]) -> f64 {
    let steps = piece.windows(2);
    steps.map(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_where_a_figure_stands_and_short_ends_go() {
        let taken =
            Taken { bands: vec![vec![Bounds(4.0, 0.0, 6.0, 2.0), Bounds(11.0, 0.0, 12.0, 2.0)]] };
        let pieces = taken.clear(&[(0.0, 1.0), (10.0, 1.0), (13.0, 1.0)]);
        assert_eq!(pieces.len(), 2);
        assert_eq!(pieces[0], [(0.0, 1.0), (4.0, 1.0)]);
        assert_eq!(pieces[1].last(), Some(&(11.0, 1.0)));
    }
}
