//! Owns times of day and moments, which are a date with a time of day.

use std::fmt;

use crate::date::{Date, DateError, digits};

/// A time of day to the minute, as a shop writes it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Clock {
    // INVARIANT: below 24 * 60.
    minutes: u16,
}

/// A day with a time of day; earlier moments come first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    /// The day.
    pub date: Date,
    /// The time of day, in the shop's own time.
    pub clock: Clock,
}

impl Clock {
    /// A time of day from hours and minutes.
    pub fn new(hour: u8, minute: u8) -> Result<Clock, DateError> {
        if hour > 23 {
            return Err(DateError::Hour { hour });
        }
        if minute > 59 {
            return Err(DateError::Minute { minute });
        }
        Ok(Clock { minutes: u16::from(hour) * 60 + u16::from(minute) })
    }

    /// Reads `09:14`: always two and two digits, from 00:00 to 23:59.
    pub fn parse(text: &str) -> Result<Clock, DateError> {
        let (hour, minute) = text.split_once(':').ok_or(DateError::ClockLayout)?;
        let hour = digits(hour, 2).and_then(|hour| u8::try_from(hour).ok());
        let minute = digits(minute, 2).and_then(|minute| u8::try_from(minute).ok());
        match (hour, minute) {
            (Some(hour), Some(minute)) => Clock::new(hour, minute),
            _ => Err(DateError::ClockLayout),
        }
    }

    /// Minutes since midnight, from 0 to 1439.
    pub const fn minutes(self) -> u16 {
        self.minutes
    }
}

impl fmt::Display for Clock {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:02}:{:02}", self.minutes / 60, self.minutes % 60)
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, out)
    }
}

impl Moment {
    /// Minutes from this moment to a later one, taking every day to have 24 hours; negative where it is
    /// earlier.
    pub fn minutes_until(&self, later: &Moment) -> i64 {
        (later.date.days() - self.date.days()) * 24 * 60 + i64::from(later.clock.minutes)
            - i64::from(self.clock.minutes)
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} {}", self.date, self.clock)
    }
}
