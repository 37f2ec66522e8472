//! Lengths on paper. Their own type, so that a length on paper can never be
//! mixed with a size measured on an engine.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A length on paper, held in whole micrometres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Len(i32);

impl Len {
    pub const ZERO: Len = Len(0);

    /// Millimetres, to the nearest micrometre.
    pub const fn mm(mm: f64) -> Len {
        let um = mm * 1000.0;
        Len(if um < 0.0 { um - 0.5 } else { um + 0.5 } as i32)
    }

    /// Points of 1/72 inch.
    pub const fn pt(pt: f64) -> Len {
        Len::mm(pt * 25.4 / 72.0)
    }

    pub const fn um(self) -> i32 {
        self.0
    }

    /// Up to the next line of a grid of 0.2 mm.
    pub const fn on_grid(self) -> Len {
        let over = self.0.rem_euclid(200);
        Len(if over == 0 { self.0 } else { self.0 + 200 - over })
    }

    pub const fn to_mm(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    pub fn to_pt(self) -> f64 {
        f64::from(self.0) / 1000.0 * 72.0 / 25.4
    }

    pub const fn scale(self, by: f64) -> Len {
        Len::mm(self.to_mm() * by)
    }

    pub fn times(self, count: usize) -> Len {
        self * i32::try_from(count).unwrap_or(i32::MAX)
    }
}

impl Add for Len {
    type Output = Len;
    fn add(self, other: Len) -> Len {
        Len(self.0 + other.0)
    }
}

impl AddAssign for Len {
    fn add_assign(&mut self, other: Len) {
        self.0 += other.0;
    }
}

impl Sub for Len {
    type Output = Len;
    fn sub(self, other: Len) -> Len {
        Len(self.0 - other.0)
    }
}

impl SubAssign for Len {
    fn sub_assign(&mut self, other: Len) {
        self.0 -= other.0;
    }
}

impl Neg for Len {
    type Output = Len;
    fn neg(self) -> Len {
        Len(-self.0)
    }
}

impl Mul<i32> for Len {
    type Output = Len;
    fn mul(self, times: i32) -> Len {
        Len(self.0 * times)
    }
}

impl Div<i32> for Len {
    type Output = Len;
    fn div(self, by: i32) -> Len {
        Len(self.0 / by)
    }
}

impl std::iter::Sum for Len {
    fn sum<I: Iterator<Item = Len>>(iter: I) -> Len {
        iter.fold(Len::ZERO, Add::add)
    }
}
