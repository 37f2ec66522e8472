//! The squares of a page's code: where light meets dark between them says where the
//! code lies to a fraction of a dot, far better than the corners that its reader
//! tells, and so how large the page is and how it is turned.

use crate::layout::mark::{Area, Mark};
use crate::layout::qr;
use crate::scan::Grey;

use super::map::{Map, Sight, length};

/// Where two squares meet of which one is dark.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Edge {
    x: f64,
    y: f64,
    /// From the dark square to the light one.
    out: (f64, f64),
}

#[derive(Clone, Debug)]
pub struct Squares {
    edges: Vec<Edge>,
    /// Upper left and lower right.
    low: (f64, f64),
    high: (f64, f64),
}

/// An edge is looked for within this, in millimetres: half a square.
const WITHIN: f64 = 0.45;
/// Steps in that, and along an edge.
const STEPS: i32 = 9;
const ALONG: [f64; 3] = [-0.2, 0.0, 0.2];
/// How much darker one side of an edge is than the other.
const DARKER: f64 = 30.0;

impl Squares {
    /// The black squares of a code are the only filled ones of just one module's
    /// height on a page.
    pub fn of(marks: &[Mark]) -> Option<Squares> {
        let bars = marks.iter().filter_map(|mark| match mark {
            Mark::Rect { area, pen: None, fill: true } if area.h == qr::MODULE => Some(*area),
            _ => None,
        });
        let bars: Vec<Area> = bars.collect();
        let (left, top) = (bars.iter().map(|b| b.x).min()?, bars.iter().map(|b| b.y).min()?);
        let (right, low) =
            (bars.iter().map(|b| b.x + b.w).max()?, bars.iter().map(|b| b.y + b.h).max()?);
        let module = qr::MODULE.um();
        let count = (right - left).um() / module;
        if right - left != low - top || count * module != (right - left).um() || count > 200 {
            return None;
        }
        let size = count as usize;
        let mut dark = vec![false; size * size];
        for bar in bars {
            let row = ((bar.y - top).um() / module) as usize;
            let from = ((bar.x - left).um() / module) as usize;
            let to = ((bar.x + bar.w - left).um() / module) as usize;
            dark[row * size + from..row * size + to].fill(true);
        }
        let is_dark = |column: usize, row: usize| {
            (1..=size).contains(&column)
                && (1..=size).contains(&row)
                && dark[(row - 1) * size + column - 1]
        };
        let (left, top, module) = (left.to_mm(), top.to_mm(), qr::MODULE.to_mm());
        let mut edges = Vec::new();
        // One beyond the code on each side is light.
        for row in 0..=size {
            for column in 0..=size {
                let here = is_dark(column, row);
                let middle = |n: usize| (n as f64 - 0.5) * module;
                if here != is_dark(column + 1, row) {
                    let (x, y) = (left + column as f64 * module, top + middle(row));
                    edges.push(Edge { x, y, out: (if here { 1.0 } else { -1.0 }, 0.0) });
                }
                if here != is_dark(column, row + 1) {
                    let (x, y) = (left + middle(column), top + row as f64 * module);
                    edges.push(Edge { x, y, out: (0.0, if here { 1.0 } else { -1.0 }) });
                }
            }
        }
        let side = module * size as f64;
        Some(Squares { edges, low: (left, top), high: (left + side, top + side) })
    }

    /// Corners of the code as the library that reads it tells them: upper left, upper
    /// right, lower right, lower left, those at the right and below one square
    /// farther out than the code.
    pub fn corners(&self) -> [(f64, f64); 4] {
        let module = qr::MODULE.to_mm();
        let (low, high) = (self.low, (self.high.0 + module, self.high.1 + module));
        [low, (high.0, low.1), high, (low.0, high.1)]
    }

    pub fn middle(&self) -> (f64, f64) {
        ((self.low.0 + self.high.0) / 2.0, (self.low.1 + self.high.1) / 2.0)
    }

    /// Every edge that the picture shows near its place.
    pub fn sights(&self, picture: &Grey, map: &Map, weight: f64) -> Vec<Sight> {
        self.edges.iter().filter_map(|edge| edge.sight(picture, map, weight)).collect()
    }

    /// How many of them that are, of 1.
    pub fn share(&self, picture: &Grey, map: &Map, near: f64) -> f64 {
        let sights = self.sights(picture, map, 1.0);
        let near = |sight: &&Sight| map.off(sight).abs() <= near * map.scale(sight.x, sight.y);
        sights.iter().filter(near).count() as f64 / self.edges.len().max(1) as f64
    }
}

impl Edge {
    /// Where dark turns to light, half way between what is on either side.
    fn sight(&self, picture: &Grey, map: &Map, weight: f64) -> Option<Sight> {
        let mut bright = Vec::with_capacity(STEPS as usize * 2 + 1);
        for n in -STEPS..=STEPS {
            let off = WITHIN * f64::from(n) / f64::from(STEPS);
            let mut sum = 0.0;
            for along in ALONG {
                let (x, y) = (
                    self.x + self.out.0 * off + self.out.1 * along,
                    self.y + self.out.1 * off + self.out.0 * along,
                );
                let (x, y) = map.at(x, y);
                sum += picture.within(x, y)?;
            }
            bright.push(sum);
        }
        let count = ALONG.len() as f64;
        let (dark, light) = (bright[0].min(bright[1]), bright[bright.len() - 1]);
        if light - dark < DARKER * count {
            return None;
        }
        let half = (dark + light) / 2.0;
        let crossings = bright.windows(2).enumerate();
        let mut crossings = crossings.filter(|(_, two)| two[0] < half && two[1] >= half);
        let (n, two) = crossings.next().filter(|_| crossings.next().is_none())?;
        let step = n as f64 + (half - two[0]) / (two[1] - two[0]) - f64::from(STEPS);
        let off = step * WITHIN / f64::from(STEPS);
        let at = |off: f64| map.at(self.x + self.out.0 * off, self.y + self.out.1 * off);
        let ((x, y), (from, to)) = (at(off), (at(-0.5), at(0.5)));
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let long = length(dx, dy).max(1e-9);
        let across = (dx / long, dy / long);
        let seen = across.0 * x + across.1 * y;
        Some(Sight { x: self.x, y: self.y, across, seen, weight })
    }
}
