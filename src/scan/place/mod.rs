//! Where a printed page lies in a picture: from the corners of its code outward by
//! the lines that are printed on it, and looked over at the end. What cannot be
//! placed is refused by a word.

mod lines;
mod map;
mod squares;

pub use lines::Printed;
pub use map::Map;

use super::code::Code;
use super::grey::Grey;
use lines::{Look, Piece};
use map::{ALL, PARALLEL, Sight, corner_sights, length};

/// How far from the middle of the code lines are looked for, in millimetres, step
/// by step: what is known of a part of a page says enough of half as much again.
const REACHES: [f64; 8] = [45.0, 65.0, 95.0, 130.0, 180.0, 240.0, 300.0, 400.0];
/// Up to here a map that keeps parallels is near enough, and is decided by fewer
/// lines.
const NEAR: f64 = 100.0;
/// A line that is new to the map lies within this; less than half the way from a
/// comb's divider to the next.
const NEW: f64 = 2.3;
/// One that the map knows already lies within this.
const KNOWN: f64 = 0.9;
/// What lies no farther from its place lies there: half a pen's breadth, and what
/// paper, printer and glass add. Common practice, no source.
const THERE: f64 = 0.35;
/// So many of a page's lines lie where they should, level and upright alike, or the
/// page is refused.
const SHARE: f64 = 0.7;
/// The same of one box, and of the edges in the code.
const SHARE_OF_BOX: f64 = 0.6;
/// Fewer lines than this prove nothing.
const FEWEST: usize = 12;
const FEWEST_OF_BOX: usize = 3;

/// A page that was found in a picture.
#[derive(Clone, Debug)]
pub struct Placed {
    pub map: Map,
}

/// Finds a printed page by its code.
///
/// # Errors
/// Why it was not found: its lines do not lie as they are printed.
pub fn place(picture: &Grey, code: &Code, printed: &Printed) -> Result<Placed, String> {
    let lost = || "its code of squares is too bent to go by".to_owned();
    let squares = &printed.code;
    let mut map = Map::of_corners(squares.corners(), code.corners).ok_or_else(lost)?;
    for _ in 0..3 {
        let corners = corner_sights(squares.corners(), code.corners, 0.5);
        let edges = squares.sights(picture, &map, 1.0);
        map = settled(map, edges, &corners, PARALLEL).ok_or_else(lost)?;
    }
    let middle = squares.middle();
    let from_code = |piece: &Piece| length(piece.x - middle.0, piece.y - middle.1);
    let mut before = 0.0;
    for reach in REACHES {
        let free = if reach < NEAR { PARALLEL } else { ALL };
        for new in [NEW, KNOWN] {
            let near = printed.pieces.iter().filter(|piece| from_code(piece) <= reach);
            let within = |piece: &Piece| if from_code(piece) <= before { KNOWN } else { new };
            let sights = near.filter_map(|piece| seen(picture, &map, piece, within(piece)));
            let held = squares.sights(picture, &map, 0.3);
            map = settled(map, sights.collect(), &held, free).ok_or_else(lost)?;
        }
        before = reach;
    }
    for within in [KNOWN, KNOWN * 0.7] {
        let sights = printed.pieces.iter().filter_map(|piece| seen(picture, &map, piece, within));
        let held = squares.sights(picture, &map, 0.1);
        map = settled(map, sights.collect(), &held, ALL).ok_or_else(lost)?;
    }
    if !map.faces(printed.size) {
        return Err("it would be seen from behind".to_owned());
    }
    let there = Directions::of(&printed.pieces, |piece| lies(picture, &map, piece, (0.0, 0.0)));
    if there.inside.iter().any(|inside| *inside < FEWEST) {
        return Err("too little of the page is in the picture".to_owned());
    }
    let share = there.share().min(squares.share(picture, &map, THERE) * SHARE / SHARE_OF_BOX);
    match share >= SHARE {
        true => Ok(Placed { map }),
        false => Err(format!(
            "of the lines printed on it {:.0} in 100 lie where they should",
            (share * 100.0).floor()
        )),
    }
}

/// Level and upright pieces apart: a page that is wrong in one direction alone has
/// all the lines of the other where they should be.
#[derive(Default)]
struct Directions {
    there: [usize; 2],
    inside: [usize; 2],
}

impl Directions {
    /// `lies` says whether a piece lies where it should, `None` where it is not in
    /// the picture.
    fn of(pieces: &[Piece], lies: impl Fn(&Piece) -> Option<bool>) -> Directions {
        let mut found = Directions::default();
        for piece in pieces {
            let Some(lies) = lies(piece) else { continue };
            let direction = usize::from(piece.level);
            found.inside[direction] += 1;
            found.there[direction] += usize::from(lies);
        }
        found
    }

    /// Of the direction that has fewer where they should be.
    fn share(&self) -> f64 {
        let share = |n: usize| self.there[n] as f64 / self.inside[n].max(1) as f64;
        share(0).min(share(1))
    }
}

/// Whether a piece lies where it should when all are moved by some millimetres.
fn lies(picture: &Grey, map: &Map, piece: &Piece, by: (f64, f64)) -> Option<bool> {
    let own = if piece.level { by.1 } else { by.0 };
    match piece.look(picture, map, KNOWN) {
        Look::Outside => None,
        Look::At(off) => Some((off - own).abs() <= THERE),
        Look::Nothing => Some(false),
    }
}

fn seen(picture: &Grey, map: &Map, piece: &Piece, within: f64) -> Option<Sight> {
    match piece.look(picture, map, within) {
        Look::At(off) => Some(piece.sight(map, off, 1.0)),
        Look::Outside | Look::Nothing => None,
    }
}

/// The map that most of what was seen agrees on: what lies far off counts less and
/// less (the biweight of Beaton and Tukey, 1974).
fn settled(mut map: Map, mut sights: Vec<Sight>, held: &[Sight], free: usize) -> Option<Map> {
    for _ in 0..5 {
        let mut offs: Vec<f64> = sights.iter().map(|sight| map.off(sight).abs()).collect();
        offs.sort_by(f64::total_cmp);
        let middle = offs.get(offs.len() / 2).copied().unwrap_or_default();
        // 4.685 times 1.4826 times the middle one.
        let far = (middle * 6.9).clamp(1.5, 24.0);
        for sight in &mut sights {
            let off = map.off(sight) / far;
            let inner = (1.0 - off * off).max(0.0);
            sight.weight = inner * inner;
        }
        let all: Vec<Sight> = sights.iter().chain(held).copied().collect();
        map = map.fitted(&all, free, 1e-3)?;
    }
    Some(map)
}

impl Placed {
    /// The map about one box, put right by the box's own lines where the paper is
    /// not flat. `None` where they do not lie there.
    pub fn about(
        &self,
        picture: &Grey,
        printed: &Printed,
        (x, y, w, h): (f64, f64, f64, f64),
    ) -> Option<impl Fn(f64, f64) -> (f64, f64) + use<>> {
        const EDGE: f64 = 0.3;
        let within = |piece: &&Piece| {
            (x - EDGE..=x + w + EDGE).contains(&piece.x)
                && (y - EDGE..=y + h + EDGE).contains(&piece.y)
        };
        let own: Vec<Piece> = printed.pieces.iter().filter(within).copied().collect();
        let middle = |level: bool| {
            let offs = own.iter().filter(|piece| piece.level == level);
            let offs = offs.map(|piece| piece.look(picture, &self.map, KNOWN));
            let mut offs: Vec<f64> = offs
                .filter_map(|look| match look {
                    Look::At(off) => Some(off),
                    Look::Outside | Look::Nothing => None,
                })
                .collect();
            offs.sort_by(f64::total_cmp);
            offs.get(offs.len() / 2).copied().unwrap_or_default()
        };
        let by = (middle(false), middle(true));
        let found = Directions::of(&own, |piece| lies(picture, &self.map, piece, by));
        let whole = found.inside.iter().sum::<usize>() == own.len();
        let enough = found.inside.iter().all(|inside| *inside >= FEWEST_OF_BOX);
        let lies = whole && enough && found.share() >= SHARE_OF_BOX;
        let map = self.map;
        lies.then_some(move |x, y| map.at(x + by.0, y + by.1))
    }
}
