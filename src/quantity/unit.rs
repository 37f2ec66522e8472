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
}

impl fmt::Display for Unit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unit::Length(length) => length.fmt(out),
            Unit::Named(name) => out.write_str(name),
        }
    }
}
