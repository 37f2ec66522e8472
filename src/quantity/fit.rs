//! Fits: the difference of a bore and its shaft, with the side named.

use super::exact::{Exact, Unread};
use std::fmt;

/// Bore less shaft: loose above zero, tight below, size to size at zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fit(pub Exact);

/// Why a text is not a fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsigned {
    /// Neither L nor T stands behind a figure other than zero.
    NoSide,
    Figure(Unread),
}

/// Bore less shaft.
pub fn fit(bore: Exact, shaft: Exact) -> Fit {
    Fit(bore - shaft)
}

impl Fit {
    /// Reads `0.0022 L`, `0.0012T` or a plain zero.
    pub fn read(text: &str) -> Result<Fit, Unsigned> {
        let text = text.trim_end();
        let (figure, tight) = if let Some(figure) = text.strip_suffix(['L', 'l']) {
            (figure, Some(false))
        } else if let Some(figure) = text.strip_suffix(['T', 't']) {
            (figure, Some(true))
        } else {
            (text, None)
        };
        let figure = figure.trim_end();
        if figure.starts_with('-') {
            return Err(Unsigned::Figure(Unread::NotDigits));
        }
        let size = Exact::read(figure).map_err(Unsigned::Figure)?;
        match tight {
            None if !size.is_zero() => Err(Unsigned::NoSide),
            Some(true) => Ok(Fit(-size)),
            _ => Ok(Fit(size)),
        }
    }

    /// `0.0022 L`, `0.0012 T` or `0.0000`, with at least `places` decimals.
    pub fn show(self, places: u8) -> String {
        format!("{:.*}", usize::from(places), self)
    }
}

impl fmt::Display for Fit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = match out.precision() {
            Some(places) => self.0.abs().padded(u8::try_from(places).unwrap_or(u8::MAX)),
            None => self.0.abs(),
        };
        match (self.0.is_zero(), self.0.is_negative()) {
            (true, _) => write!(out, "{size}"),
            (false, true) => write!(out, "{size} T"),
            (false, false) => write!(out, "{size} L"),
        }
    }
}
