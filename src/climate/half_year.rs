//! The halves of a year in which the last frost of spring and the first of autumn are looked for.
//!
//! North of the equator spring is 1 January to 31 July and autumn 1 August to 31 December: the split on 1
//! August is the convention of the US climate centre (from memory). South of it autumn is 1 February to
//! 30 June and spring 1 July to 31 January. Midwinter divides what belongs to which winter's end.

use chrono::{Datelike, NaiveDate};

use crate::dates::MonthDay;

/// Which half of the growing year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Half {
    /// From midwinter to after midsummer: the last frost.
    Spring,
    /// From after midsummer to midwinter: the first frost.
    Autumn,
}

/// A half at a place north or south of the equator. Its days are numbered from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HalfYear {
    half: Half,
    south: bool,
}

impl HalfYear {
    /// The half at a latitude in degrees, north positive; the equator counts as north.
    pub fn at(half: Half, latitude_deg: f64) -> HalfYear {
        HalfYear { half, south: latitude_deg < 0.0 }
    }

    /// Which half this is.
    pub fn half(self) -> Half {
        self.half
    }

    /// The first and the last day of the one that begins in `year`; none at the end of the calendar.
    pub fn days_from(self, year: i32) -> Option<(NaiveDate, NaiveDate)> {
        let ((first_month, last_month), last_day, over_new_year) = match (self.half, self.south) {
            (Half::Spring, false) => ((1, 7), 31, 0),
            (Half::Autumn, false) => ((8, 12), 31, 0),
            (Half::Autumn, true) => ((2, 6), 30, 0),
            (Half::Spring, true) => ((7, 1), 31, 1),
        };
        let first = NaiveDate::from_ymd_opt(year, first_month, 1)?;
        Some((first, NaiveDate::from_ymd_opt(year + over_new_year, last_month, last_day)?))
    }

    /// The number of a date in the half it lies in; none if it lies outside.
    pub fn number(self, date: NaiveDate) -> Option<f64> {
        [date.year() - 1, date.year()].into_iter().find_map(|year| {
            let (first, last) = self.days_from(year)?;
            (first..=last).contains(&date).then(|| ((date - first).num_days() + 1) as f64)
        })
    }

    /// The number of a day of every year, counted in a year of 365 days; none if it lies outside.
    pub fn number_of(self, day: MonthDay) -> Option<f64> {
        let (first, last) = self.days_from(NOMINAL_YEAR)?;
        let dates = [NOMINAL_YEAR, NOMINAL_YEAR + 1].map(|year| day.in_year(year));
        let inside = dates.into_iter().find(|date| (first..=last).contains(date))?;
        self.number(inside)
    }

    /// The day of every year nearest to a number, counted in a year of 365 days; a number outside the half
    /// is taken as its first or last day. None if it is not a number.
    pub fn day(self, number: f64) -> Option<MonthDay> {
        let (first, last) = self.days_from(NOMINAL_YEAR)?;
        let steps = (number.round() - 1.0).clamp(0.0, (last - first).num_days() as f64);
        let date = first.iter_days().nth(steps as usize).filter(|_| !number.is_nan())?;
        Some(MonthDay::of(date))
    }
}

/// Neither this year nor the next has a 29th of February.
const NOMINAL_YEAR: i32 = 2001;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().expect("an ISO date")
    }

    #[test]
    fn halves_meet_in_late_summer_and_midwinter() {
        for latitude in [50.0, -50.0] {
            for day in date("2023-01-01").iter_days().take(731) {
                let halves = [Half::Spring, Half::Autumn]
                    .map(|half| HalfYear::at(half, latitude).number(day));
                assert_eq!(halves.iter().flatten().count(), 1, "{day} lies in one half");
            }
        }
        let spring = HalfYear::at(Half::Spring, 50.0);
        assert_eq!(spring.number(date("2024-03-19")), Some(79.0));
        assert_eq!(spring.number(date("2024-08-01")), None);
        assert_eq!(HalfYear::at(Half::Autumn, 50.0).number(date("2024-08-01")), Some(1.0));
        assert_eq!(HalfYear::at(Half::Spring, -50.0).number(date("2025-01-31")), Some(215.0));
        assert_eq!(HalfYear::at(Half::Autumn, -50.0).number(date("2025-02-01")), Some(1.0));
    }

    #[test]
    fn a_number_that_is_none_has_no_day() {
        assert_eq!(HalfYear::at(Half::Spring, 50.0).day(f64::NAN), None);
    }

    proptest! {
        #[test]
        fn a_number_and_its_day_are_one(number in 1_u32..=150, spring: bool, latitude in -90.0..90.0) {
            let half = HalfYear::at(if spring { Half::Spring } else { Half::Autumn }, latitude);
            let day = half.day(f64::from(number));
            prop_assert_eq!(day.and_then(|day| half.number_of(day)), Some(f64::from(number)));
        }
    }
}
