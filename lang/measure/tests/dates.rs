//! Owns the tests of dates and times of day, against the Gregorian rule written out and by walking the calendar.
#![expect(clippy::unwrap_used, reason = "test helpers stop at the first surprise")]

use knockon_measure::{Clock, Date, DateError, Moment};

fn date(text: &str) -> Date {
    Date::parse(text).unwrap()
}

#[test]
fn every_day_of_the_calendar_follows_the_one_before_it_by_one() {
    // The Gregorian rule itself, written out: a leap year is divisible by 4, not by 100 unless by 400.
    let mut expected = Date::new(1, 1, 1).unwrap().days();
    for year in 1..=9999 {
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        for month in 1..=12_u8 {
            let last = match month {
                2 if leap => 29,
                2 => 28,
                4 | 6 | 9 | 11 => 30,
                _ => 31,
            };
            // First, middle and last day of every month; the days between differ only by their number.
            for day in [1, 15, last] {
                let found = Date::new(year, month, day).unwrap();
                assert_eq!(found.days(), expected + i64::from(day) - 1, "{found}");
                assert_eq!((found.year(), found.month(), found.day()), (year, month, day));
            }
            assert_eq!(Date::new(year, month, last + 1), Err(DateError::Day { year, month, day: last + 1, last }));
            expected += i64::from(last);
        }
    }
    assert_eq!(Date::from_days(expected), None);
    assert_eq!(Date::from_days(expected - 1), Some(date("9999-12-31")));
}

#[test]
fn the_day_count_starts_in_1970_and_goes_back_to_the_same_date() {
    assert_eq!(date("1970-01-01").days(), 0);
    // 2000-01-01 00:00 UTC is 946 684 800 s of POSIX time (IEEE Std 1003.1, seconds since the epoch).
    assert_eq!(date("2000-01-01").days(), 946_684_800 / 86_400);
    let mut previous = Date::from_days(-40_000).unwrap();
    for days in -39_999..=60_000 {
        let found = Date::from_days(days).unwrap();
        assert_eq!(found.days(), days);
        assert!(found > previous);
        assert_eq!(previous.add_days(1), Some(found));
        assert_eq!(date(&found.to_string()), found);
        previous = found;
    }
    assert_eq!(Date::from_days(i64::MAX), None);
    assert_eq!(date("2026-02-11").add_days(i64::MIN), None);
}

#[test]
fn a_date_that_does_not_exist_says_which_part_is_wrong() {
    for (text, error, words) in [
        (
            "2026-02-30",
            DateError::Day { year: 2026, month: 2, day: 30, last: 28 },
            "there is no day 30 in February 2026, which ends on day 28",
        ),
        (
            "2026-04-00",
            DateError::Day { year: 2026, month: 4, day: 0, last: 30 },
            "there is no day 00 in April 2026, which ends on day 30",
        ),
        ("2026-13-01", DateError::Month { month: 13 }, "there is no month 13"),
        ("2026-00-01", DateError::Month { month: 0 }, "there is no month 00"),
        ("0000-01-01", DateError::Year { year: 0 }, "there is no year 0000"),
    ] {
        let found = Date::parse(text).unwrap_err();
        assert_eq!(found, error, "{text}");
        assert_eq!(found.to_string(), words);
    }
    for text in
        ["", "2026", "2026-2-11", "26-02-11", "2026/02/11", "2026-02-11-", "2026-02-1x", "+026-02-11", "20260-02-11"]
    {
        assert_eq!(Date::parse(text), Err(DateError::DateLayout), "{text}");
    }
    assert_eq!(Date::new(40_000, 1, 1), Err(DateError::Year { year: 40_000 }));
    assert_eq!(Date::new(2026, 200, 1), Err(DateError::Month { month: 200 }));
    assert!(Date::new(2026, 1, 200).is_err());
}

#[test]
fn months_later_is_the_same_day_or_the_last_day_of_a_shorter_month() {
    for (start, months, end) in [
        ("2026-01-20", 12, "2027-01-20"),
        ("2026-01-31", 1, "2026-02-28"),
        ("2024-01-31", 1, "2024-02-29"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2026-11-30", 3, "2027-02-28"),
        ("2026-05-05", 0, "2026-05-05"),
    ] {
        assert_eq!(date(start).add_months(months), Some(date(end)), "{start} and {months} months");
    }
    assert_eq!(date("9999-12-01").add_months(1), None);
    assert_eq!(date("2026-01-20").add_months(u32::MAX), None);
}

#[test]
fn times_of_day_run_from_midnight_to_the_last_minute() {
    for minutes in 0..24 * 60_u16 {
        let text = format!("{:02}:{:02}", minutes / 60, minutes % 60);
        let clock = Clock::parse(&text).unwrap();
        assert_eq!(clock.minutes(), minutes);
        assert_eq!(clock.to_string(), text);
    }
    assert_eq!(Clock::parse("24:00"), Err(DateError::Hour { hour: 24 }));
    assert_eq!(Clock::parse("09:60"), Err(DateError::Minute { minute: 60 }));
    for text in ["", "9:14", "0914", "09:14:00", "09-14", "ab:cd", "09:1"] {
        assert_eq!(Clock::parse(text), Err(DateError::ClockLayout), "{text}");
    }
}

#[test]
fn moments_are_ordered_by_day_and_then_by_time() {
    let moment = |day: &str, time: &str| Moment { date: date(day), clock: Clock::parse(time).unwrap() };
    let evening = moment("2026-02-11", "23:50");
    let morning = moment("2026-02-12", "00:10");
    assert!(evening < morning);
    assert_eq!(evening.minutes_until(&morning), 20);
    assert_eq!(morning.minutes_until(&evening), -20);
    assert_eq!(evening.to_string(), "2026-02-11 23:50");
}
