//! Dates as they are written (`2026-02-22`, `04-22`) and as typed values.
//!
//! This is the only reader of a date in the house. Dates are civil days of the proleptic Gregorian
//! calendar in the form of ISO 8601, without time or zone; what day it is today is nobody's
//! business here. A text that is no date comes back as a [`Trouble`], which often knows what to
//! write instead.
//!
//! ```
//! use trug::dates;
//!
//! let sown = dates::date("2026-02-22").unwrap();
//! let frost = dates::month_day("04-22").unwrap();
//! assert_eq!(dates::Period { from: sown, to: frost.in_year(2026) }.days(), 60);
//!
//! let trouble = dates::date("22/02/2026").unwrap_err();
//! assert_eq!(trouble.mended(), Some("2026-02-22"));
//! ```

mod guess;
mod reader;
mod trouble;

use std::fmt;

use chrono::{Datelike, NaiveDate, TimeDelta};

pub use reader::{date, month_day, year};
pub use trouble::Trouble;

/// A day that comes every year, such as the last frost; ordered from January to December.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MonthDay {
    month: u8,
    day: u8,
}

impl MonthDay {
    /// The day of that month, both from 1; `None` if there is no such day. 29 February is one.
    pub fn new(month: u32, day: u32) -> Option<MonthDay> {
        // Any leap year will do.
        NaiveDate::from_ymd_opt(2000, month, day).map(MonthDay::of)
    }

    /// The day of the year on which a date falls.
    pub fn of(date: NaiveDate) -> MonthDay {
        // A month is at most 12 and a day at most 31.
        MonthDay { month: date.month() as u8, day: date.day() as u8 }
    }

    /// The month, 1 to 12.
    pub fn month(self) -> u32 {
        u32::from(self.month)
    }

    /// The day of the month, from 1.
    pub fn day(self) -> u32 {
        u32::from(self.day)
    }

    /// The date in a year; 29 February falls on the 28th where there is none. Years beyond what
    /// the calendar library counts give its first or last date.
    ///
    /// ```
    /// use trug::dates;
    /// let leap = dates::month_day("02-29").unwrap();
    /// assert_eq!(leap.in_year(2024).to_string(), "2024-02-29");
    /// assert_eq!(leap.in_year(2026).to_string(), "2026-02-28");
    /// ```
    pub fn in_year(self, year: i32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, self.month(), self.day())
            .or_else(|| NaiveDate::from_ymd_opt(year, 2, 28))
            .unwrap_or(if year < 0 { NaiveDate::MIN } else { NaiveDate::MAX })
    }

    /// The latest such day that is not after the date.
    pub fn last_on_or_before(self, date: NaiveDate) -> NaiveDate {
        let this_year = self.in_year(date.year());
        if this_year <= date { this_year } else { self.in_year(date.year() - 1) }
    }

    /// The first such day that is not before the date.
    pub fn next_on_or_after(self, date: NaiveDate) -> NaiveDate {
        let this_year = self.in_year(date.year());
        if this_year >= date { this_year } else { self.in_year(date.year() + 1) }
    }
}

/// The form that [`month_day`] reads: `04-22`.
impl fmt::Display for MonthDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

/// The first day of the season in which a date lies, where seasons start on `starts`.
///
/// ```
/// use trug::dates;
/// let starts = dates::month_day("07-01").unwrap();
/// let picked = dates::date("2026-02-22").unwrap();
/// assert_eq!(dates::season_start_on_or_before(picked, starts).to_string(), "2025-07-01");
/// ```
pub fn season_start_on_or_before(date: NaiveDate, starts: MonthDay) -> NaiveDate {
    starts.last_on_or_before(date)
}

/// The day to which work is put off that was not done on its own: the same day of a later week, not before `today`.
///
/// By whole weeks, so that what follows from the work does not get another date each day on which it is not done.
pub fn put_off(day: NaiveDate, today: NaiveDate) -> NaiveDate {
    const WEEK: i64 = 7;
    let late = (today - day).num_days().max(0);
    shift(day, (late + WEEK - 1) / WEEK * WEEK)
}

/// The date so many days later, or earlier where `days` is below zero; it stops at the first and
/// the last date that the calendar library counts.
///
/// ```
/// use trug::dates;
/// let sown = dates::date("2026-02-22").unwrap();
/// assert_eq!(dates::shift(sown, 7).to_string(), "2026-03-01");
/// ```
pub fn shift(date: NaiveDate, days: i64) -> NaiveDate {
    TimeDelta::try_days(days)
        .and_then(|delta| date.checked_add_signed(delta))
        .unwrap_or(if days < 0 { NaiveDate::MIN } else { NaiveDate::MAX })
}

/// Days from `from` to `to`, both included. A period whose `to` lies before its `from` has no day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Period {
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: NaiveDate,
}

impl Period {
    /// The same days, none of them before `day`.
    pub(crate) fn not_before(self, day: NaiveDate) -> Period {
        Period { from: self.from.max(day), to: self.to.max(day) }
    }

    /// Whether the day lies in the period, ends included.
    pub fn contains(&self, day: NaiveDate) -> bool {
        self.from <= day && day <= self.to
    }

    /// How many days, both ends counted; 0 for a period without a day.
    pub fn days(&self) -> i64 {
        ((self.to - self.from).num_days() + 1).max(0)
    }

    /// The same number of days, so many days later (or earlier, below zero).
    pub fn shift(&self, days: i64) -> Period {
        Period { from: shift(self.from, days), to: shift(self.to, days) }
    }

    /// The days that lie in both periods, if there are any.
    pub fn overlap(&self, other: &Period) -> Option<Period> {
        let both = Period { from: self.from.max(other.from), to: self.to.min(other.to) };
        (both.from <= both.to).then_some(both)
    }

    /// Every day from the first to the last.
    pub fn each_day(self) -> impl Iterator<Item = NaiveDate> {
        self.from.iter_days().take_while(move |day| *day <= self.to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(text: &str) -> NaiveDate {
        date(text).unwrap()
    }

    #[test]
    fn days_of_the_year() {
        assert_eq!(MonthDay::new(4, 31), None);
        assert_eq!(MonthDay::new(13, 1), None);
        assert_eq!(MonthDay::new(0, 0), None);
        let leap = MonthDay::new(2, 29).unwrap();
        assert!(MonthDay::new(2, 28).unwrap() < leap && leap < MonthDay::new(3, 1).unwrap());
        assert_eq!((leap.month(), leap.day()), (2, 29));
        assert_eq!(MonthDay::of(day("2026-12-31")).to_string(), "12-31");
        assert_eq!(leap.in_year(i32::MAX), NaiveDate::MAX);
        assert_eq!(leap.in_year(i32::MIN), NaiveDate::MIN);
    }

    /// Source: the Gregorian rule as ISO 8601 states it: 1900 is no leap year, 2000 is one.
    #[test]
    fn centuries_are_leap_years_only_in_the_fourth() {
        let leap = MonthDay::new(2, 29).unwrap();
        assert_eq!(leap.in_year(1900), day("1900-02-28"));
        assert_eq!(leap.in_year(2000), day("2000-02-29"));
        assert_eq!(leap.in_year(2100), day("2100-02-28"));
    }

    #[test]
    fn seasons_start_on_their_day() {
        let start = |text, starts| {
            season_start_on_or_before(day(text), month_day(starts).unwrap()).to_string()
        };
        assert_eq!(start("2026-01-01", "01-01"), "2026-01-01");
        assert_eq!(start("2026-12-31", "01-01"), "2026-01-01");
        assert_eq!(start("2026-06-30", "07-01"), "2025-07-01");
        assert_eq!(start("2026-07-01", "07-01"), "2026-07-01");
        assert_eq!(start("2026-02-28", "02-29"), "2026-02-28");
        assert_eq!(start("2024-02-28", "02-29"), "2023-02-28");
    }

    /// By the calendar: Fridays in May 2026 are the 15th, the 22nd and the 29th.
    #[test]
    fn work_is_put_off_by_whole_weeks() {
        for (today, to) in [
            ("2026-04-01", "2026-05-15"),
            ("2026-05-14", "2026-05-15"),
            ("2026-05-15", "2026-05-15"),
            ("2026-05-16", "2026-05-22"),
            ("2026-05-22", "2026-05-22"),
            ("2026-05-23", "2026-05-29"),
        ] {
            assert_eq!(put_off(day("2026-05-15"), day(today)), day(to), "{today}");
        }
    }

    #[test]
    fn periods_count_both_ends() {
        let march = Period { from: day("2026-03-01"), to: day("2026-03-31") };
        assert_eq!(march.days(), 31);
        assert!(march.contains(march.from) && march.contains(march.to));
        assert!(!march.contains(day("2026-02-28")) && !march.contains(day("2026-04-01")));
        assert_eq!(march.shift(-31).from, day("2026-01-29"));
        assert_eq!(march.each_day().count(), 31);
        let spring = Period { from: day("2026-03-20"), to: day("2026-06-20") };
        assert_eq!(march.overlap(&spring).map(|both| both.days()), Some(12));
        assert_eq!(march.overlap(&march.shift(31)), None);
        let backwards = Period { from: march.to, to: march.from };
        assert_eq!((backwards.days(), backwards.each_day().count()), (0, 0));
    }

    #[test]
    fn nothing_breaks_at_the_ends_of_time() {
        let all = Period { from: NaiveDate::MIN, to: NaiveDate::MAX };
        assert!(all.days() > 0);
        assert_eq!(all.shift(i64::MAX).from, NaiveDate::MAX);
        assert_eq!(all.shift(i64::MIN).to, NaiveDate::MIN);
        let new_year = MonthDay::new(1, 1).unwrap();
        assert_eq!(new_year.next_on_or_after(NaiveDate::MAX), NaiveDate::MAX);
        let last = MonthDay::new(12, 31).unwrap();
        assert_eq!(last.last_on_or_before(NaiveDate::MIN), NaiveDate::MIN);
        let tail = Period { from: shift(NaiveDate::MAX, -2), to: NaiveDate::MAX };
        assert!(tail.each_day().count() >= 2);
    }

    fn any_date() -> impl Strategy<Value = NaiveDate> {
        (0..146_000_i64).prop_map(|days| shift(NaiveDate::from_ymd_opt(1800, 1, 1).unwrap(), days))
    }

    proptest! {
        #[test]
        fn dates_come_back(day in any_date()) {
            prop_assert_eq!(date(&day.to_string()), Ok(day));
            let yearly = MonthDay::of(day);
            prop_assert_eq!(month_day(&yearly.to_string()), Ok(yearly));
            prop_assert_eq!(yearly.in_year(day.year()), day);
        }

        #[test]
        fn a_date_lies_in_its_season(day in any_date(), yearly in any_date()) {
            let starts = MonthDay::of(yearly);
            let start = season_start_on_or_before(day, starts);
            prop_assert!(start <= day && (day - start).num_days() <= 366);
            prop_assert!(starts.next_on_or_after(shift(start, 1)) > day);
        }

        #[test]
        fn shifts_go_back(day in any_date(), days in -10_000_i64..10_000) {
            prop_assert_eq!(shift(shift(day, days), -days), day);
        }

        #[test]
        fn no_text_breaks_the_readers(text in ".{0,40}") {
            check(&text)?;
        }

        #[test]
        fn no_near_date_breaks_the_readers(
            text in "(Sun |Sunday, )?[0-9]{1,5}(-|/|\\.| |th |st )?(0?[0-9]|1[0-9]|2[0-9]|Feb|March|may)\
                     (-|/|\\.| |, )?[0-9]{0,4}( [0-9]{2}:[0-9]{2}|T00:00Z)?"
        ) {
            check(&text)?;
        }
    }

    /// Neither reader panics, and what a trouble proposes can be read.
    fn check(text: &str) -> Result<(), TestCaseError> {
        if let Err(trouble) = date(text) {
            prop_assert!(!trouble.message().is_empty());
            if let Some(mended) = trouble.mended() {
                prop_assert!(date(mended).is_ok(), "{text} → {mended}");
            }
        }
        if let Err(trouble) = month_day(text) {
            prop_assert!(!trouble.message().is_empty());
            if let Some(mended) = trouble.mended() {
                prop_assert!(month_day(mended).is_ok(), "{text} → {mended}");
            }
        }
        Ok(())
    }
}
