//! Dates as ISO 8601 writes them: `2026-03-14`, `2026-03`, `2026`.

use std::fmt;

/// A day of the Gregorian calendar. Ordered by time; a date without a day stands for the first of its month.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord)]
pub struct Date {
    /// Year, four digits.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day, 1 to 31.
    pub day: u8,
}

/// The text is no date.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct DateFault;

impl Date {
    /// Reads `YYYY-MM-DD`, `YYYY-MM` or `YYYY`.
    ///
    /// # Errors
    /// [`DateFault`] for anything else, and for days that no calendar has.
    pub fn read(text: &str) -> Result<Date, DateFault> {
        let mut parts = text.trim().split('-');
        let mut next = |digits: usize| -> Result<Option<u16>, DateFault> {
            match parts.next() {
                None => Ok(None),
                Some(p) if p.len() == digits && p.bytes().all(|b| b.is_ascii_digit()) => {
                    p.parse().map(Some).map_err(|_| DateFault)
                }
                Some(_) => Err(DateFault),
            }
        };
        let year = next(4)?.ok_or(DateFault)?;
        let month = next(2)?.unwrap_or(1) as u8;
        let day = next(2)?.unwrap_or(1) as u8;
        if parts.next().is_some() || !(1..=12).contains(&month) || day < 1 || day > days_in(year, month) {
            return Err(DateFault);
        }
        Ok(Date { year, month, day })
    }

    /// The last day that a date covers: `2026-03` ends on 2026-03-31, as a month on a bottle is meant.
    ///
    /// # Errors
    /// As [`Date::read`].
    pub fn read_last(text: &str) -> Result<Date, DateFault> {
        let first = Date::read(text)?;
        let (month, day) = match text.trim().matches('-').count() {
            0 => (12, 31),
            1 => (first.month, days_in(first.year, first.month)),
            _ => (first.month, first.day),
        };
        Ok(Date { month, day, ..first })
    }

    /// Whole days from 1970-01-01, negative before it (Howard Hinnant, "chrono-compatible low-level date
    /// algorithms", days_from_civil).
    pub fn days(self) -> i64 {
        let year = i64::from(self.year) - i64::from(self.month <= 2);
        let era = year.div_euclid(400);
        let year_of_era = year.rem_euclid(400);
        let month = (i64::from(self.month) + 9) % 12;
        let day_of_year = (153 * month + 2) / 5 + i64::from(self.day) - 1;
        let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
        era * 146_097 + day_of_era - 719_468
    }

    /// The day that lies `days` after 1970-01-01 (the inverse of [`Date::days`]). A year outside 0 to 65535 becomes 0.
    pub fn from_days(days: i64) -> Date {
        let days = days + 719_468;
        let era = days.div_euclid(146_097);
        let day_of_era = days.rem_euclid(146_097);
        let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let month = (5 * day_of_year + 2) / 153;
        let day = u8::try_from(day_of_year - (153 * month + 2) / 5 + 1).unwrap_or(1);
        let month = u8::try_from(if month < 10 { month + 3 } else { month - 9 }).unwrap_or(1);
        let year = u16::try_from(year_of_era + era * 400 + i64::from(month <= 2)).unwrap_or(0);
        Date { year, month, day }
    }
}

fn days_in(year: u16, month: u8) -> u8 {
    let leap = (year.is_multiple_of(4) && !year.is_multiple_of(100)) || year.is_multiple_of(400);
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn calendar() {
        assert_eq!(Date::read("2026-03-14").unwrap().to_string(), "2026-03-14");
        assert_eq!(Date::read("2026-03").unwrap().to_string(), "2026-03-01");
        for bad in ["2026-02-29", "2026-13", "26-01-01", "2026-1-1", "2026-01-01-01", "x", ""] {
            assert!(Date::read(bad).is_err(), "{bad}");
        }
        for (text, last) in [
            ("2028-02", "2028-02-29"),
            ("2026-04", "2026-04-30"),
            ("2026", "2026-12-31"),
            ("2026-04-05", "2026-04-05"),
        ] {
            assert_eq!(Date::read_last(text).unwrap().to_string(), last);
        }
        assert!(Date::read_last("soon").is_err());
        // 2000-03-01 is day 11017 after 1970-01-01 (POSIX time 951868800 / 86400).
        assert_eq!(Date::read("2000-03-01").unwrap().days(), 11_017);
        for day in [-1, 0, 58, 59, 60, 11_016, 20_781] {
            assert_eq!(Date::from_days(day).days(), day);
        }
    }
}
