//! Moments as a person claims them or a time stamp gives them. No clock is
//! read here.

use std::fmt;

/// A second, and how far the place's clock is ahead of UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// Seconds since the start of 1970, UTC.
    pub seconds: i64,
    /// Minutes east of UTC, within fifteen hours.
    pub offset: i16,
}

impl Moment {
    pub fn utc(seconds: i64) -> Moment {
        Moment { seconds, offset: 0 }
    }

    /// Year, month, day, hour, minute and second of the place's clock, in the
    /// Gregorian calendar.
    fn parts(self) -> (i64, i64, i64, i64, i64, i64) {
        let local = self.seconds + i64::from(self.offset) * 60;
        let (days, rest) = (local.div_euclid(86_400), local.rem_euclid(86_400));
        let (y, m, d) = date(days);
        (y, m, d, rest / 3600, rest / 60 % 60, rest % 60)
    }

    /// The last calendar day that it is anywhere on earth at this moment, as
    /// `2026-03-02`.
    pub fn latest_day(self) -> String {
        let (y, m, d, ..) = Moment { seconds: self.seconds, offset: 14 * 60 }.parts();
        format!("{y:04}-{m:02}-{d:02}")
    }

    /// As a PDF date (ISO 32000-1, 7.9.4).
    pub fn pdf(self) -> String {
        let (y, mo, d, h, mi, s) = self.parts();
        let zone = match self.offset {
            0 => "Z".to_string(),
            o => {
                let sign = if o < 0 { '-' } else { '+' };
                let o = o.unsigned_abs();
                format!("{sign}{:02}'{:02}'", o / 60, o % 60)
            }
        };
        format!("D:{y:04}{mo:02}{d:02}{h:02}{mi:02}{s:02}{zone}")
    }

    /// Reads a PDF date; `None` where parts are missing or out of range.
    pub fn from_pdf(written: &str) -> Option<Moment> {
        let digits = written.strip_prefix("D:")?;
        let field = |from: usize, to: usize| -> Option<i64> {
            let part = digits.get(from..to)?;
            part.bytes().all(|b| b.is_ascii_digit()).then(|| part.parse().ok())?
        };
        let (y, mo, d) = (field(0, 4)?, field(4, 6)?, field(6, 8)?);
        let (h, mi, s) = (field(8, 10)?, field(10, 12)?, field(12, 14)?);
        if !(1..=12).contains(&mo) || d < 1 || h > 23 || mi > 59 || s > 59 {
            return None;
        }
        let days = days(y, mo, d);
        if date(days) != (y, mo, d) {
            return None;
        }
        let offset = offset(digits.get(14..)?)?;
        let local = days * 86_400 + h * 3600 + mi * 60 + s;
        let seconds = local - i64::from(offset) * 60;
        Some(Moment { seconds, offset })
    }
}

fn offset(zone: &str) -> Option<i16> {
    let sign = match zone.as_bytes().first() {
        None => return Some(0),
        Some(b'Z') => return Some(0),
        Some(b'+') => 1,
        Some(b'-') => -1,
        Some(_) => return None,
    };
    let figures: String = zone.chars().filter(char::is_ascii_digit).collect();
    let hours: i16 = figures.get(..2)?.parse().ok()?;
    let minutes: i16 = figures.get(2..4).map_or(Some(0), |m| m.parse().ok())?;
    (hours < 15 && minutes < 60).then_some(sign * (hours * 60 + minutes))
}

/// Days since the start of 1970, from a date of the Gregorian calendar: years
/// counted from March, so that the leap day is the last.
fn days(y: i64, m: i64, d: i64) -> i64 {
    let y = if m <= 2 { y - 1 } else { y };
    let era = y.div_euclid(400);
    let of_era = y.rem_euclid(400);
    let of_year = (153 * ((m + 9) % 12) + 2) / 5 + d - 1;
    era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
}

fn date(days: i64) -> (i64, i64, i64) {
    let days = days + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let from_march = (5 * of_year + 2) / 153;
    let d = of_year - (153 * from_march + 2) / 5 + 1;
    let m = (from_march + 2) % 12 + 1;
    (era * 400 + year + i64::from(m <= 2), m, d)
}

/// Year, month and day, hour and minute, and how far from UTC.
impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (y, mo, d, h, mi, _) = self.parts();
        write!(f, "{y:04}-{mo:02}-{d:02} {h:02}:{mi:02} UTC")?;
        if self.offset != 0 {
            let sign = if self.offset < 0 { '−' } else { '+' };
            let o = self.offset.unsigned_abs();
            write!(f, "{sign}{:02}:{:02}", o / 60, o % 60)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_of_the_calendar() {
        // `date -u -d @N` of GNU coreutils.
        for (seconds, shown) in [
            (0, "1970-01-01 00:00 UTC"),
            (951_827_696, "2000-02-29 12:34 UTC"),
            (1_741_530_600, "2025-03-09 14:30 UTC"),
            (4_107_542_399, "2100-02-28 23:59 UTC"),
            (4_107_542_400, "2100-03-01 00:00 UTC"),
        ] {
            assert_eq!(Moment::utc(seconds).to_string(), shown);
            let pdf = Moment::utc(seconds).pdf();
            assert_eq!(Moment::from_pdf(&pdf), Some(Moment::utc(seconds)));
        }
    }

    #[test]
    fn a_zone_is_kept_and_a_wrong_date_is_none() {
        let moment = Moment { seconds: 1_741_530_600, offset: -210 };
        assert_eq!(moment.pdf(), "D:20250309110000-03'30'");
        assert_eq!(Moment::from_pdf(&moment.pdf()), Some(moment));
        assert_eq!(moment.to_string(), "2025-03-09 11:00 UTC−03:30");
        for wrong in ["", "D:2025", "D:20250230000000Z", "D:20251309000000Z", "20250309000000Z"] {
            assert_eq!(Moment::from_pdf(wrong), None, "{wrong}");
        }
    }
}
