//! Today, for a job that is typed without a day. The only clock in the command.

use std::time::{SystemTime, UNIX_EPOCH};

use knockon_lang::measure::Date;

/// Seconds in a day of civil time.
const DAY: u64 = 24 * 60 * 60;

/// The day in universal time; near midnight the shop's own may differ, so the day used is always shown.
pub fn today() -> Option<Date> {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).ok()?.as_secs();
    Date::from_days(i64::try_from(seconds / DAY).ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn today_is_a_day_of_this_century() {
        let year = today().unwrap().year();
        assert!((2024..2100).contains(&year), "{year}");
        // The first day of the count, by the definition of the time stamp.
        assert_eq!(Date::from_days(0), Date::new(1970, 1, 1).ok());
    }
}
