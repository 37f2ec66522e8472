//! Where a printed page lies in a picture: from the corners of its code outward by
//! the lines that are printed on it, and looked over at the end. What cannot be
//! placed is refused by a word.

mod lines;
mod map;

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
/// So many of a page's lines lie where they should, or the page is refused. Of the
/// tests' pages, distorted in every way, the least had 91 in a hundred, and pages
/// under another page's code had 45 at the most.
const SHARE: f64 = 0.7;
/// The same of one box.
const SHARE_OF_BOX: f64 = 0.6;
/// Fewer lines than this prove nothing.
const FEWEST: usize = 40;
const FEWEST_OF_BOX: usize = 8;

/// A page that was found in a picture.
#[derive(Clone, Debug)]
pub struct Placed {
    pub map: Map,
    /// How many of the lines in the picture lie where they should, of 1.
    pub share: f64,
}

/// Finds a printed page by its code.
///
/// # Errors
/// Why it was not found: its lines do not lie as they are printed.
pub fn place(picture: &Grey, code: &Code, printed: &Printed) -> Result<Placed, String> {
    let lost = || "its code of squares is too bent to go by".to_owned();
    let mut map = Map::of_corners(printed.code, code.corners).ok_or_else(lost)?;
    let size = |(x, y): (f64, f64)| length(x, y);
    let from_code = |piece: &Piece| {
        let (upper, lower) = (printed.code[0], printed.code[2]);
        size((piece.x - (upper.0 + lower.0) / 2.0, piece.y - (upper.1 + lower.1) / 2.0))
    };
    let mut before = 0.0;
    for reach in REACHES {
        let free = if reach < NEAR { PARALLEL } else { ALL };
        let near = || printed.pieces.iter().filter(|piece| from_code(piece) <= reach);
        for new in [NEW, KNOWN] {
            let within = |piece: &Piece| if from_code(piece) <= before { KNOWN } else { new };
            let sights = near().filter_map(|piece| seen(picture, &map, piece, within(piece)));
            let sights: Vec<Sight> = sights.collect();
            map = settled(map, sights, (code, printed), free).ok_or_else(lost)?;
        }
        before = reach;
        if !near().any(|_| true) {
            before = 0.0;
        }
    }
    for within in [KNOWN, KNOWN * 0.7] {
        let sights = printed.pieces.iter().filter_map(|piece| seen(picture, &map, piece, within));
        map = settled(map, sights.collect(), (code, printed), ALL).ok_or_else(lost)?;
    }
    if !map.faces(printed.size) {
        return Err("it would be seen from behind".to_owned());
    }
    let near = |n: usize| {
        let ((x, y), (across, down)) = (printed.code[n], code.corners[n]);
        let at = map.at(x, y);
        size((at.0 - across, at.1 - down)) < map.scale(x, y)
    };
    let own = near(0) && near(1) && near(3);
    let (there, inside) = there(picture, &map, &printed.pieces, (0.0, 0.0));
    if std::env::var("DBG").is_ok() {
        eprintln!("map {map:?} scale {} own {own}", map.scale(100.0, 100.0));
        for (c, p) in printed.code.iter().zip(code.corners) { eprintln!("code {c:?} seen {p:?} map {:?}", map.at(c.0, c.1)); }
        for piece in &printed.pieces { eprintln!("{piece:?} {:?}", piece.look(picture, &map, KNOWN)); }
    }
    if inside < FEWEST {
        return Err("too little of the page is in the picture".to_owned());
    }
    let share = there as f64 / inside as f64;
    match own && share >= SHARE {
        true => Ok(Placed { map, share }),
        false => Err(format!(
            "of the lines printed on it {:.0} in 100 lie where they should",
            (share * 100.0).floor()
        )),
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
fn settled(
    mut map: Map,
    mut sights: Vec<Sight>,
    (code, printed): (&Code, &Printed),
    free: usize,
) -> Option<Map> {
    let held = 0.05 * sights.len() as f64 + 1.0;
    let corners = corner_sights(printed.code, code.corners, held / 8.0);
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
        let all: Vec<Sight> = sights.iter().chain(&corners).copied().collect();
        map = map.fitted(&all, free, 1e-3)?;
    }
    Some(map)
}

/// How many pieces lie where they should when all are moved by some millimetres,
/// and how many are in the picture.
fn there(picture: &Grey, map: &Map, pieces: &[Piece], by: (f64, f64)) -> (usize, usize) {
    let (mut there, mut inside) = (0, 0);
    for piece in pieces {
        let own = if piece.level { by.1 } else { by.0 };
        match piece.look(picture, map, KNOWN) {
            Look::Outside => continue,
            Look::At(off) if (off - own).abs() <= THERE => there += 1,
            Look::At(_) | Look::Nothing => {}
        }
        inside += 1;
    }
    (there, inside)
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
        let (there, inside) = there(picture, &self.map, &own, by);
        let lies = inside == own.len()
            && inside >= FEWEST_OF_BOX
            && there as f64 >= SHARE_OF_BOX * inside as f64;
        let map = self.map;
        lies.then_some(move |x, y| map.at(x + by.0, y + by.1))
    }
}
