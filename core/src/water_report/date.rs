//! Calendar days as ISO 8601 writes them. The engine reads no clock: an age takes both days.

use std::fmt;
use std::str::FromStr;

use crate::error::{ErrorCode, Problem};
use crate::quantity::quoted;

/// A day of the Gregorian calendar, shown and read as `YYYY-MM-DD`.
///
/// ```
/// use underlet::water_report::Date;
/// let sampled: Date = "2024-02-29".parse()?;
/// let today: Date = "2025-03-01".parse()?;
/// assert_eq!(today.days_since(sampled), 366);
/// assert_eq!("2025-02-29".parse::<Date>().unwrap_err().code.as_str(), "not_a_date");
/// # Ok::<(), underlet::error::Problem>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    fn read(text: &str) -> Option<Date> {
        let digits = |part: &str, length: usize| -> Option<u16> {
            let plain = part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit());
            plain.then(|| part.parse().ok()).flatten()
        };
        let (year, rest) = text.trim().split_once('-')?;
        let (month, day) = rest.split_once('-')?;
        let year = digits(year, 4)?;
        let month = u8::try_from(digits(month, 2)?).ok()?;
        let day = u8::try_from(digits(day, 2)?).ok()?;
        let date = Date { year, month, day };
        ((1..=12).contains(&month) && (1..=date.days_in_month()).contains(&day)).then_some(date)
    }

    fn days_in_month(self) -> u8 {
        let every = |years| self.year.is_multiple_of(years);
        let leap = every(4) && (!every(100) || every(400));
        match self.month {
            2 => 28 + u8::from(leap),
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        }
    }

    /// Days from another day to this one; negative if the other one is later.
    pub fn days_since(self, other: Date) -> i32 {
        self.day_number() - other.day_number()
    }

    /// Days since 1 March of the year 0: years that begin in March have their leap day at the end.
    fn day_number(self) -> i32 {
        let (month, day) = (i32::from(self.month), i32::from(self.day));
        let year = i32::from(self.year) - i32::from(month < 3);
        let months = (month + 9) % 12;
        let leap_days = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
        365 * year + leap_days + (153 * months + 2) / 5 + day - 1
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl FromStr for Date {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Date, Problem> {
        Date::read(text).ok_or_else(|| Problem {
            code: ErrorCode::NotADate,
            path: String::new(),
            found: quoted(text),
            expected: "a calendar day, YYYY-MM-DD".to_owned(),
            hint: "Write it as in \"2026-03-31\".".to_owned(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted() {
        let date = |text| Date::read(text).unwrap();
        // By the calendar: 1970-01-01 to 2000-01-01 are 30 years with 7 leap days; 1900 is no leap
        // year, 2000 is.
        assert_eq!(date("2000-01-01").days_since(date("1970-01-01")), 10_957);
        assert_eq!(date("1900-03-01").days_since(date("1900-02-28")), 1);
        assert_eq!(date("2000-03-01").days_since(date("2000-02-28")), 2);
        assert_eq!(date("2024-12-31").days_since(date("2025-01-01")), -1);
        // Every day of 400 years follows the one before: 146097 days (ISO 8601).
        let mut last = date("1999-12-31").day_number();
        for year in 2000..2400 {
            for month in 1..=12 {
                for day in 1..=31 {
                    if let Some(next) = Date::read(&format!("{year:04}-{month:02}-{day:02}")) {
                        assert_eq!(next.day_number(), last + 1, "{next}");
                        last += 1;
                    }
                }
            }
        }
        assert_eq!(last - date("1999-12-31").day_number(), 146_097);
    }

    #[test]
    fn other_forms_are_no_dates() {
        for text in [
            "",
            "2024",
            "2024-1-01",
            "24-01-01",
            "2024-13-01",
            "2024-04-31",
            "2024-00-10",
            "2024-01-00",
            "01.02.2024",
            "2024-01-01T12:00",
            "+024-01-01",
            "2023-02-29",
        ] {
            assert_eq!(Date::read(text), None, "{text}");
        }
        assert_eq!(
            Date::read(" 2024-02-29 ").unwrap().to_string(),
            "2024-02-29"
        );
    }
}
