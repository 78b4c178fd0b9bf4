//! Owns dates: reading them, printing them, and counting along the calendar.

use std::error::Error;
use std::fmt;

/// A day of the Gregorian calendar, from 0001-01-01 to 9999-12-31.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(jiff::civil::Date);

/// Which part of a date or time of day is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum DateError {
    /// Not four digits, two digits and two digits with hyphens between.
    DateLayout,
    /// The year is not from 0001 to 9999.
    Year {
        /// The year as written.
        year: i32,
    },
    /// The month is not from 01 to 12.
    Month {
        /// The month as written.
        month: u8,
    },
    /// The month has no such day.
    Day {
        /// The year.
        year: i32,
        /// The month.
        month: u8,
        /// The day as written.
        day: u8,
        /// The last day that the month has in that year.
        last: u8,
    },
    /// Not two digits, a colon and two digits.
    ClockLayout,
    /// The hour is not from 00 to 23.
    Hour {
        /// The hour as written.
        hour: u8,
    },
    /// The minute is not from 00 to 59.
    Minute {
        /// The minute as written.
        minute: u8,
    },
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl fmt::Display for DateError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DateError::DateLayout => out.write_str("a date is written year-month-day, as in 2026-02-11"),
            DateError::Year { year } => write!(out, "there is no year {year:04}"),
            DateError::Month { month } => write!(out, "there is no month {month:02}"),
            DateError::Day { year, month, day, last } => {
                let name = MONTHS.get(usize::from(month.saturating_sub(1))).copied().unwrap_or("the month");
                write!(out, "there is no day {day:02} in {name} {year:04}, which ends on day {last}")
            }
            DateError::ClockLayout => out.write_str("a time of day is written hours:minutes, as in 09:14"),
            DateError::Hour { hour } => write!(out, "there is no hour {hour:02}; hours run to 23"),
            DateError::Minute { minute } => {
                write!(out, "there is no minute {minute:02}; minutes run to 59")
            }
        }
    }
}

impl Error for DateError {}

/// The number in a text of exactly `width` digits.
pub(crate) fn digits(text: &str, width: usize) -> Option<u16> {
    if text.len() == width && text.bytes().all(|byte| byte.is_ascii_digit()) { text.parse().ok() } else { None }
}

impl Date {
    /// The last day of the calendar here.
    const LAST_YEAR: i16 = 9999;

    /// The date of a year, month and day.
    ///
    /// Error: which of the three does not exist.
    pub fn new(year: i32, month: u8, day: u8) -> Result<Date, DateError> {
        let wrong_year = DateError::Year { year };
        let short_year = i16::try_from(year).map_err(|_| wrong_year)?;
        if !(1..=Date::LAST_YEAR).contains(&short_year) {
            return Err(wrong_year);
        }
        let wrong_month = DateError::Month { month };
        let short_month = i8::try_from(month).map_err(|_| wrong_month)?;
        let first = jiff::civil::Date::new(short_year, short_month, 1).map_err(|_| wrong_month)?;
        let last = first.days_in_month().unsigned_abs();
        let wrong_day = DateError::Day { year, month, day, last };
        let short_day = i8::try_from(day).map_err(|_| wrong_day)?;
        match jiff::civil::Date::new(short_year, short_month, short_day) {
            Ok(date) => Ok(Date(date)),
            Err(_) => Err(wrong_day),
        }
    }

    /// Reads `2026-02-11`: always four, two and two digits.
    ///
    /// Error: the layout, or which part of the date does not exist.
    pub fn parse(text: &str) -> Result<Date, DateError> {
        let mut parts = text.split('-');
        let (Some(year), Some(month), Some(day), None) = (parts.next(), parts.next(), parts.next(), parts.next())
        else {
            return Err(DateError::DateLayout);
        };
        let (Some(year), Some(month), Some(day)) = (digits(year, 4), digits(month, 2), digits(day, 2)) else {
            return Err(DateError::DateLayout);
        };
        let month = u8::try_from(month).map_err(|_| DateError::DateLayout)?;
        let day = u8::try_from(day).map_err(|_| DateError::DateLayout)?;
        Date::new(i32::from(year), month, day)
    }

    /// The year.
    pub fn year(self) -> i32 {
        i32::from(self.0.year())
    }

    /// The month, from 1.
    pub fn month(self) -> u8 {
        self.0.month().unsigned_abs()
    }

    /// The day of the month, from 1.
    pub fn day(self) -> u8 {
        self.0.day().unsigned_abs()
    }

    /// Days since 1970-01-01; negative before it.
    pub fn days(self) -> i64 {
        let year = i64::from(self.0.year());
        let month = i64::from(self.0.month());
        let day = i64::from(self.0.day());
        // The year is taken to begin in March, so that the leap day is its last day.
        let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
        let leap_days = year / 4 - year / 100 + year / 400;
        // (153 m + 2) / 5 is how many days lie before the m-th month counted from March.
        year * 365 + leap_days + (153 * month + 2) / 5 + day - 1 - DAYS_BEFORE_1970
    }

    /// The day that lies so many days after 1970-01-01; none outside the calendar's years.
    pub fn from_days(days: i64) -> Option<Date> {
        let start = jiff::civil::Date::new(1970, 1, 1).ok()?;
        let span = jiff::Span::new().try_days(days).ok()?;
        Date::kept(start.checked_add(span).ok()?)
    }

    /// The day so many calendar months later; where that month is shorter, its last day. None past the year
    /// 9999.
    pub fn add_months(self, months: u32) -> Option<Date> {
        let span = jiff::Span::new().try_months(i64::from(months)).ok()?;
        Date::kept(self.0.checked_add(span).ok()?)
    }

    /// The day so many days later, or earlier where the number is negative.
    pub fn add_days(self, days: i64) -> Option<Date> {
        Date::from_days(self.days().checked_add(days)?)
    }

    fn kept(date: jiff::civil::Date) -> Option<Date> {
        (1..=Date::LAST_YEAR).contains(&date.year()).then_some(Date(date))
    }
}

/// Days from 0000-03-01, where the count by March years starts, to 1970-01-01.
const DAYS_BEFORE_1970: i64 = 719_468;

impl fmt::Display for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year(), self.month(), self.day())
    }
}

impl fmt::Debug for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, out)
    }
}
