//! The kinds of slip, what is asked of each, and what each leaves behind: the
//! readings that undoing it would give.

use crate::model::side::BoxId;
use crate::quantity::{Exact, Length, ceil_quotient, floor_quotient};
use std::fmt;

/// A kind of slip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Slip {
    /// More or fewer decimals than the line is read to.
    Digits,
    /// Outside the range of the gauge named.
    GaugeRange,
    SleeveTurn,
    /// Wrong frame or standard: a whole inch, or 25 mm.
    WholeInch,
    Tenth,
    ThimbleLine,
    Swapped,
    Misread,
    OtherUnit,
    /// The digits are right and the point is not.
    Point,
    /// A clearance where a diameter belongs.
    Clearance,
    Exchanged,
    /// A pair too far apart for wear, of no cause known.
    Apart,
    /// A whole part too far from its limits for wear, of no cause known.
    FarOff,
    Copied,
}

/// A question about a row. Held rows wait for the quality manager; any other
/// question makes the row a query.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    pub slip: Slip,
    /// In words, with the figures.
    pub cause: String,
    /// The boxes asked about.
    pub boxes: Vec<BoxId>,
    /// The reading that the cause would mean, where there is one.
    pub likely: Option<String>,
    pub hold: bool,
}

/// A reading that undoing one slip would give.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Correction {
    pub slip: Slip,
    pub value: Exact,
}

/// Steps of a micrometer: Navy training course 14001 for inches (one turn of
/// the thimble 0.025, numbered sleeve lines 0.1); for millimetres common
/// practice, no source.
pub(super) fn offsets(unit: Length) -> [(Slip, Exact); 4] {
    match unit {
        Length::Inch => [
            (Slip::SleeveTurn, Exact::steps(250, 4)),
            (Slip::WholeInch, Exact::steps(10_000, 4)),
            (Slip::Tenth, Exact::steps(1000, 4)),
            (Slip::ThimbleLine, Exact::steps(10, 4)),
        ],
        Length::Millimetre => [
            (Slip::SleeveTurn, Exact::steps(500, 3)),
            (Slip::WholeInch, Exact::steps(25_000, 3)),
            (Slip::Tenth, Exact::steps(1000, 3)),
            (Slip::ThimbleLine, Exact::steps(10, 3)),
        ],
    }
}

/// How near its pair a reading must land for a slip to be likely.
pub(super) fn near(unit: Length) -> Exact {
    match unit {
        Length::Inch => Exact::steps(3, 4),
        Length::Millimetre => Exact::steps(8, 3),
    }
}

/// The widest that a pair differs where no roundness limit says.
pub(super) fn round(unit: Length) -> Exact {
    match unit {
        Length::Inch => Exact::steps(5, 4),
        Length::Millimetre => Exact::steps(12, 3),
    }
}

/// Further off than any wear.
pub(super) fn far(unit: Length) -> Exact {
    match unit {
        Length::Inch => Exact::steps(200, 4),
        Length::Millimetre => Exact::steps(500, 3),
    }
}

/// Every reading that undoing one slip in one box would give.
pub(super) fn undo(value: Exact, text: &str, unit: Length, places: u8) -> Vec<Correction> {
    let mut all = Vec::with_capacity(32);
    for (slip, by) in offsets(unit) {
        all.push(Correction { slip, value: value + by });
        all.push(Correction { slip, value: value - by });
    }
    all.extend(swapped(text));
    all.extend(misread(text));
    all.extend(other_unit(value, unit, places));
    all.extend(point(text, places));
    all.retain(|undone| undone.value != value && !undone.value.is_negative());
    all
}

fn reread(digits: &[u8], slip: Slip) -> Option<Correction> {
    let value = Exact::read(std::str::from_utf8(digits).ok()?).ok()?;
    Some(Correction { slip, value })
}

/// Neighbours exchanged, across the point too.
fn swapped(text: &str) -> impl Iterator<Item = Correction> {
    let digits: Vec<usize> =
        (0..text.len()).filter(|at| text.as_bytes()[*at].is_ascii_digit()).collect();
    let bytes = text.as_bytes();
    let pairs: Vec<(usize, usize)> =
        digits.iter().copied().zip(digits.iter().copied().skip(1)).collect();
    pairs.into_iter().filter(|(a, b)| bytes[*a] != bytes[*b]).filter_map(move |(a, b)| {
        let mut other = text.as_bytes().to_vec();
        other.swap(a, b);
        reread(&other, Slip::Swapped)
    })
}

/// One digit taken for another that looks like it.
fn misread(text: &str) -> impl Iterator<Item = Correction> {
    text.bytes().enumerate().filter_map(move |(at, digit)| {
        let like = match digit {
            b'1' => b'7',
            b'7' => b'1',
            b'3' => b'8',
            b'8' => b'3',
            b'4' => b'9',
            b'9' => b'4',
            b'0' => b'6',
            b'6' => b'0',
            _ => return None,
        };
        let mut other = text.as_bytes().to_vec();
        other[at] = like;
        reread(&other, Slip::Misread)
    })
}

/// The slip of the eye or the pen that makes one figure of another's digits.
pub(super) fn reread_as(text: &str, value: Exact) -> Option<Slip> {
    let mut all = swapped(text).chain(misread(text));
    all.find(|undone| undone.value == value).map(|undone| undone.slip)
}

/// The figure in the line's unit if it was written in the other one. From
/// millimetres it is the nearest figure of `places` decimals.
pub(super) fn other_unit(value: Exact, unit: Length, places: u8) -> Option<Correction> {
    let value = match unit {
        Length::Inch => inches_nearest(value, places)?,
        Length::Millimetre => value.inches_to_mm().nearest(places),
    };
    Some(Correction { slip: Slip::OtherUnit, value })
}

/// The figure of `places` decimals whose 25.4-fold is nearest to `mm`.
fn inches_nearest(mm: Exact, places: u8) -> Option<Exact> {
    let inch = Exact::whole(1).inches_to_mm();
    let under = floor_quotient(mm, inch, places)?;
    let over = ceil_quotient(mm, inch, places)?;
    let nearer = mm - under.inches_to_mm() < over.inches_to_mm() - mm;
    Some(if nearer { under } else { over })
}

/// All the digits that the line asks for, and the point lost or in the wrong
/// place: nothing is added, the point alone is put right.
pub(super) fn point(text: &str, places: u8) -> Option<Correction> {
    let digits: Vec<u8> = text.bytes().filter(u8::is_ascii_digit).collect();
    let whole = digits.len().checked_sub(usize::from(places)).filter(|n| *n > 0)?;
    let (whole, decimals) = digits.split_at(whole);
    let moved = [whole, b".", decimals].concat();
    if moved == text.as_bytes() {
        return None;
    }
    reread(&moved, Slip::Point)
}

impl Slip {
    /// The slip in words, with its step in the line's unit where it has one.
    pub(super) fn in_words(self, unit: Length) -> String {
        let step = offsets(unit).into_iter().find(|(slip, _)| *slip == self);
        match step {
            Some((Slip::WholeInch, by)) if unit == Length::Millimetre => {
                format!("wrong frame ({by} {unit})")
            }
            Some((_, by)) => format!("{self} ({by} {unit})"),
            None => self.to_string(),
        }
    }
}

impl fmt::Display for Slip {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Slip::Digits => "digits lost or added",
            Slip::GaugeRange => "outside the gauge's range",
            Slip::SleeveTurn => "one turn of the sleeve",
            Slip::WholeInch => "wrong frame or whole inch",
            Slip::Tenth => "wrong tenth",
            Slip::ThimbleLine => "one thimble line",
            Slip::Swapped => "two digits swapped",
            Slip::Misread => "one digit misread",
            Slip::OtherUnit => "the other unit",
            Slip::Point => "the point lost or misplaced",
            Slip::Clearance => "a clearance in a diameter's box",
            Slip::Exchanged => "values in each other's boxes",
            Slip::Apart => "too far apart for one part",
            Slip::FarOff => "too far from every limit",
            Slip::Copied => "a column copied",
        })
    }
}
