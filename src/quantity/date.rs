//! Calendar dates as a mechanic writes them: year, month, day.

use std::fmt;

/// A day of the proleptic Gregorian calendar (ISO 8601, calendar date).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// `None` where no such day exists.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Date> {
        let leap =
            year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let days = match month {
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            1..=12 => 31,
            _ => return None,
        };
        (1..=days).contains(&day).then_some(Date { year, month, day })
    }

    /// Reads `YYYY-MM-DD`.
    pub fn read(text: &str) -> Option<Date> {
        let mut parts = text.split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        let shaped = year.len() == 4 && month.len() == 2 && day.len() == 2;
        let plain = text.bytes().all(|b| b.is_ascii_digit() || b == b'-');
        if !shaped || !plain || parts.next().is_some() {
            return None;
        }
        Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }
}

impl fmt::Display for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}
