//! Units. Lengths are inches or millimetres and can be brought to one another;
//! every other unit is a name that must be the same on both sides.

use super::exact::Exact;
use std::fmt;

/// A unit of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Length {
    Inch,
    Millimetre,
}

/// What a figure is measured in.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    Length(Length),
    /// `lbf`, `g`, `s`, `in·lbf`, `psi`, `°` and the like.
    Named(Box<str>),
}

impl Length {
    pub fn read(text: &str) -> Option<Length> {
        match text {
            "in" => Some(Length::Inch),
            "mm" => Some(Length::Millimetre),
            _ => None,
        }
    }

    /// In full, for the head of a page.
    pub fn word(self) -> &'static str {
        match self {
            Length::Inch => "inch",
            Length::Millimetre => "millimetre",
        }
    }

    /// The size in millimetres, exactly: what two units are compared in.
    pub fn to_mm(self, size: Exact) -> Exact {
        match self {
            Length::Inch => size.inches_to_mm(),
            Length::Millimetre => size,
        }
    }
}

impl fmt::Display for Length {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Length::Inch => "in",
            Length::Millimetre => "mm",
        })
    }
}

impl Unit {
    pub fn read(text: &str) -> Unit {
        match Length::read(text) {
            Some(length) => Unit::Length(length),
            None => Unit::Named(text.into()),
        }
    }

    pub fn length(&self) -> Option<Length> {
        match self {
            Unit::Length(length) => Some(*length),
            Unit::Named(_) => None,
        }
    }

    /// The other of inches and millimetres.
    pub fn other_length(&self) -> Option<Unit> {
        self.length().map(|length| match length {
            Length::Inch => Unit::Length(Length::Millimetre),
            Length::Millimetre => Unit::Length(Length::Inch),
        })
    }
}

/// How many of the second unit one of the first is. The pound is 0.45359237 kg
/// and the inch 25.4 mm (international yard and pound agreement, 1959), standard
/// gravity 9.80665 m/s2; the rest is worked out from these (from memory). A load
/// in kilograms or pounds is what weighs as much.
const FACTORS: &[(&str, &str, i64, u8)] = &[
    ("in", "mm", 254, 1),
    ("in", "cm", 254, 2),
    ("cm", "mm", 10, 0),
    ("lbf", "N", 44_482_216_152_605, 13),
    ("lbf", "kgf", 45_359_237, 8),
    ("lbf", "g", 45_359_237, 5),
    ("kgf", "N", 980_665, 5),
    ("kgf", "g", 1000, 0),
    ("ozf", "g", 28_349_523_125, 9),
    ("ozf", "N", 2_780_138_509_537_812, 16),
    ("lbf", "ozf", 16, 0),
    ("in·lbf", "N·m", 1_129_848_290_276_167, 16),
    ("ft·lbf", "N·m", 13_558_179_483_314_004, 16),
    ("ft·lbf", "in·lbf", 12, 0),
    ("ft·lbf", "kgf·m", 138_254_954_376, 12),
    ("kgf·m", "N·m", 980_665, 5),
    ("psi", "kPa", 6_894_757_293_168, 12),
    ("psi", "bar", 6_894_757_293_168, 14),
    ("psi", "kgf/cm²", 70_306_957_963_916, 15),
    ("bar", "kPa", 100, 0),
];

/// Other ways to write a unit of the table.
const SPELLINGS: &[(&str, &str)] = &[
    ("lb", "lbf"),
    ("lbs", "lbf"),
    ("kg", "kgf"),
    ("kp", "kgf"),
    ("oz", "ozf"),
    ("in-lb", "in·lbf"),
    ("in·lb", "in·lbf"),
    ("in-lbf", "in·lbf"),
    ("ft-lb", "ft·lbf"),
    ("ft·lb", "ft·lbf"),
    ("ft-lbf", "ft·lbf"),
    ("Nm", "N·m"),
    ("kg·m", "kgf·m"),
    ("kgm", "kgf·m"),
    ("kg/cm²", "kgf/cm²"),
    ("kg/cm2", "kgf/cm²"),
    ("kgf/cm2", "kgf/cm²"),
];

impl Unit {
    /// How many of `other` one of this unit is, where the table has the two
    /// that way about.
    pub fn factor(&self, other: &Unit) -> Option<Exact> {
        let (from, to) = (self.to_string(), other.to_string());
        let (from, to) = (plain(&from), plain(&to));
        let found = FACTORS.iter().find(|(a, b, ..)| *a == from && *b == to);
        found.map(|(.., count, places)| Exact::steps(*count, *places))
    }
}

fn plain(name: &str) -> &str {
    SPELLINGS.iter().find(|(other, _)| *other == name).map_or(name, |(_, plain)| plain)
}

impl fmt::Display for Unit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unit::Length(length) => length.fmt(out),
            Unit::Named(name) => out.write_str(name),
        }
    }
}
