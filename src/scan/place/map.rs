//! The map from millimetres on a printed page to dots of its picture: that of a
//! plane seen from anywhere, so that a photograph is placed like a scan.

/// Parameters of a map; a map that keeps parallels has the first six.
pub const ALL: usize = 8;
pub const PARALLEL: usize = 6;

/// Millimetres are counted from the middle of a page, in hundreds, so that all
/// parameters are of one order.
const MIDDLE: (f64, f64) = (105.0, 148.0);
const UNIT: f64 = 100.0;

/// `x = (a u + b v + c) / (g u + h v + 1)`, `y = (d u + e v + f) / (g u + h v + 1)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Map([f64; ALL]);

/// A place of the page that was seen in the picture, as far as one direction
/// goes: a line says nothing of where along it one is.
#[derive(Clone, Copy, Debug)]
pub struct Sight {
    pub x: f64,
    pub y: f64,
    /// Across the line, in dots, of length 1.
    pub across: (f64, f64),
    /// Where it was seen, in dots along `across` from the picture's corner.
    pub seen: f64,
    pub weight: f64,
}

fn from_middle(x: f64, y: f64) -> (f64, f64) {
    ((x - MIDDLE.0) / UNIT, (y - MIDDLE.1) / UNIT)
}

impl Map {
    /// The map by which corners on the page lie at these of the picture, as nearly
    /// as one that keeps parallels can.
    pub fn of_corners(page: [(f64, f64); 4], picture: [(f64, f64); 4]) -> Option<Map> {
        let start = Map([0.0; ALL]);
        start.fitted(&corner_sights(page, picture, 1.0), PARALLEL, 0.0)
    }

    /// Millimetres to dots.
    pub fn at(&self, x: f64, y: f64) -> (f64, f64) {
        let (u, v) = from_middle(x, y);
        let [a, b, c, d, e, f, g, h] = self.0;
        let depth = g * u + h * v + 1.0;
        ((a * u + b * v + c) / depth, (d * u + e * v + f) / depth)
    }

    /// Dots in a millimetre about a place.
    pub fn scale(&self, x: f64, y: f64) -> f64 {
        let (left, right) = (self.at(x - 1.0, y), self.at(x + 1.0, y));
        let (up, down) = (self.at(x, y - 1.0), self.at(x, y + 1.0));
        (length(right.0 - left.0, right.1 - left.1) + length(down.0 - up.0, down.1 - up.1)) / 4.0
    }

    /// Whether the page is seen from its printed side, and in front of the lens, at
    /// every corner of it.
    pub fn faces(&self, (width, height): (f64, f64)) -> bool {
        let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
        corners.iter().all(|(x, y)| {
            let (u, v) = from_middle(*x, *y);
            let [.., g, h] = self.0;
            let (here, right, down) = (self.at(*x, *y), self.at(x + 1.0, *y), self.at(*x, y + 1.0));
            let turn =
                (right.0 - here.0) * (down.1 - here.1) - (right.1 - here.1) * (down.0 - here.0);
            g * u + h * v + 1.0 > 0.3 && turn > 0.0
        })
    }

    /// One step nearer to what was seen: weighted least squares over the first
    /// `free` parameters, held to what they are by `hold`. `None` where what was
    /// seen decides nothing.
    pub fn fitted(&self, sights: &[Sight], free: usize, hold: f64) -> Option<Map> {
        let mut normal = [[0.0; ALL + 1]; ALL];
        for sight in sights {
            let (slopes, at) = self.slopes(sight);
            let off = sight.seen - at;
            for row in 0..free {
                for column in 0..free {
                    normal[row][column] += sight.weight * slopes[row] * slopes[column];
                }
                normal[row][ALL] += sight.weight * slopes[row] * off;
            }
        }
        for (n, row) in normal.iter_mut().enumerate().take(free) {
            row[n] += hold;
        }
        let step = solved(&mut normal, free)?;
        let mut map = *self;
        map.0.iter_mut().zip(step).for_each(|(parameter, step)| *parameter += step);
        Some(map)
    }

    /// How far across the line each parameter moves a place, and where it lies.
    fn slopes(&self, sight: &Sight) -> ([f64; ALL], f64) {
        let (u, v) = from_middle(sight.x, sight.y);
        let [.., g, h] = self.0;
        let depth = g * u + h * v + 1.0;
        let (x, y) = self.at(sight.x, sight.y);
        let (nx, ny) = sight.across;
        let along = nx * x + ny * y;
        let (u, v, one) = (u / depth, v / depth, 1.0 / depth);
        ([nx * u, nx * v, nx * one, ny * u, ny * v, ny * one, -along * u, -along * v], along)
    }

    /// How far a sight lies from where the map has it, in dots.
    pub fn off(&self, sight: &Sight) -> f64 {
        let (x, y) = self.at(sight.x, sight.y);
        sight.seen - (sight.across.0 * x + sight.across.1 * y)
    }
}

/// A corner is seen in both directions. The third, lower right, has no pattern of
/// its own in a small code: where it lies is guessed from the others.
pub fn corner_sights(page: [(f64, f64); 4], picture: [(f64, f64); 4], weight: f64) -> Vec<Sight> {
    let both = page.into_iter().zip(picture).enumerate().flat_map(|(n, ((x, y), seen))| {
        let weight = if n == 2 { weight / 20.0 } else { weight };
        let sight = |across, seen| Sight { x, y, across, seen, weight };
        [sight((1.0, 0.0), seen.0), sight((0.0, 1.0), seen.1)]
    });
    both.collect()
}

pub fn length(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// By elimination, the largest pivot first.
fn solved(rows: &mut [[f64; ALL + 1]; ALL], free: usize) -> Option<[f64; ALL]> {
    for column in 0..free {
        let pivot = (column..free)
            .max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()))?;
        rows.swap(column, pivot);
        let top = rows[column];
        if top[column].abs() < 1e-9 || !top[column].is_finite() {
            return None;
        }
        for row in rows.iter_mut().take(free).skip(column + 1) {
            let share = row[column] / top[column];
            row.iter_mut().zip(top).for_each(|(cell, above)| *cell -= share * above);
        }
    }
    let mut found = [0.0; ALL];
    for n in (0..free).rev() {
        let known: f64 = (n + 1..free).map(|m| rows[n][m] * found[m]).sum();
        found[n] = (rows[n][ALL] - known) / rows[n][n];
    }
    found.iter().all(|value| value.is_finite()).then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_map_is_found_again_from_its_own_sights() {
        let corners = [(100.0, 80.0), (1500.0, 160.0), (1430.0, 2200.0), (60.0, 2100.0)];
        let page = [(0.0, 0.0), (210.0, 0.0), (210.0, 297.0), (0.0, 297.0)];
        let sights = corner_sights(page, corners, 1.0);
        let mut map = Map::of_corners(page, corners).expect("four corners");
        for _ in 0..8 {
            map = map.fitted(&sights, ALL, 1e-12).expect("decided");
        }
        for ((x, y), seen) in page.into_iter().zip(corners) {
            let (across, down) = map.at(x, y);
            assert!((across - seen.0).abs() < 1e-6 && (down - seen.1).abs() < 1e-6);
        }
        assert!(map.faces((210.0, 297.0)));
    }

    #[test]
    fn a_page_seen_from_behind_does_not_face_us() {
        let page = [(0.0, 0.0), (210.0, 0.0), (210.0, 297.0), (0.0, 297.0)];
        let mirrored = page.map(|(x, y)| (1700.0 - 8.0 * x, 8.0 * y));
        let map = Map::of_corners(page, mirrored).expect("four corners");
        assert!(!map.faces((210.0, 297.0)));
        let line = page.map(|(x, _)| (x, x));
        assert_eq!(Map::of_corners([(0.0, 0.0); 4], line), None);
    }
}
