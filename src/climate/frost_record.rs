//! The frosts in a record of daily lows.
//!
//! Frost is air at or below 0 °C (32 °F, one of the thresholds of the US Climate Normals). The ground and a
//! leaf on a clear night are some degrees colder than the air that is measured.

use crate::climate::frost::FrostModel;
use crate::climate::half_year::{Half, HalfYear};
use chrono::{Datelike, NaiveDate};
use std::collections::BTreeMap;

/// At or below this air temperature in °C a day has frost.
pub const FREEZING_C: f64 = 0.0;

/// So many complete years are needed before dates are computed from observations.
pub const YEARS_NEEDED: usize = 10;

/// What the observed lows tell.
#[derive(Clone, Debug, PartialEq)]
pub struct Observed {
    /// Each complete half-year: the year it begins in, and the day of the frost if there was one.
    pub years: Vec<(i32, Option<NaiveDate>)>,
    /// None with fewer than [`YEARS_NEEDED`] complete years.
    pub model: Option<FrostModel>,
}

/// Finds the frosts in daily lows (°C) and fits the model.
///
/// A half-year is complete if no month of it lacks more than ten days or five in a row (the rule of WMO-No.
/// 1203, *Guidelines on the Calculation of Climate Normals*; from memory): a gap could hide the frost.
pub fn observed(half: Half, latitude_deg: f64, low_c: &BTreeMap<NaiveDate, f64>) -> Observed {
    let window = HalfYear::at(half, latitude_deg);
    let first_year = low_c.keys().next().map_or(0, |day| day.year());
    let last_year = low_c.keys().next_back().map_or(-1, |day| day.year());
    let years: Vec<_> = (first_year..=last_year)
        .filter_map(|year| window.days_from(year))
        .filter(|(first, last)| is_complete(*first, *last, low_c))
        .map(|(first, last)| {
            let mut frosts = low_c
                .range(first..=last)
                .filter(|(_, low)| **low <= FREEZING_C)
                .map(|(day, _)| *day);
            let found = match half {
                Half::Spring => frosts.next_back(),
                Half::Autumn => frosts.next(),
            };
            (first.year(), found)
        })
        .collect();
    let model = (years.len() >= YEARS_NEEDED).then(|| {
        let days: Vec<f64> = years
            .iter()
            .filter_map(|(_, found)| found.and_then(|day| window.number(day)))
            .collect();
        FrostModel::fit(window, &days, years.len())
    });
    Observed { years, model }
}

/// Whether every month from `first` to `last` lacks at most ten lows and at most four in a row.
fn is_complete(first: NaiveDate, last: NaiveDate, low_c: &BTreeMap<NaiveDate, f64>) -> bool {
    let (mut missing, mut in_a_row) = (0, 0);
    first.iter_days().take_while(|day| *day <= last).all(|day| {
        if day.day() == 1 {
            missing = 0;
        }
        if low_c.contains_key(&day) {
            in_a_row = 0;
        } else {
            (missing, in_a_row) = (missing + 1, in_a_row + 1);
        }
        missing <= 10 && in_a_row < 5
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::MonthDay;

    fn on(month: u32, day: u32) -> MonthDay {
        MonthDay::new(month, day).unwrap()
    }

    fn seattle_lows() -> BTreeMap<NaiveDate, f64> {
        let row = |line: &str| {
            let (day, low) = line.split_once(',').expect("two cells");
            (day.parse().expect("a date"), low.parse().expect("a number"))
        };
        include_str!("../../tests/reference/seattle_lows.csv").lines().skip(1).map(row).collect()
    }

    /// Source: Seattle-Tacoma 2012–2015, PyPI vega_datasets 0.9.0 (public-domain NOAA data), in
    /// `tests/reference/seattle_lows.csv`; dates computed apart from this code. Four years give no 10 % date.
    #[test]
    fn four_years_of_seattle() {
        let lows = seattle_lows();
        let [last, first] = [Half::Spring, Half::Autumn].map(|half| observed(half, 47.4444, &lows));
        let dated = |year, month, day| (year, NaiveDate::from_ymd_opt(year, month, day));
        assert_eq!(
            last.years,
            [dated(2012, 3, 19), dated(2013, 3, 4), dated(2014, 2, 9), dated(2015, 3, 4)]
        );
        assert_eq!(
            first.years,
            [dated(2012, 11, 10), dated(2013, 11, 21), dated(2014, 11, 12), dated(2015, 11, 23)]
        );
        assert_eq!((last.model, first.model), (None, None));
    }

    #[test]
    fn a_gap_takes_the_half_year_out() {
        let mut lows = seattle_lows();
        for day in 10..=14 {
            lows.remove(&NaiveDate::from_ymd_opt(2013, 3, day).expect("a date"));
        }
        assert_eq!(observed(Half::Spring, 47.4444, &lows).years.len(), 3);
        assert_eq!(observed(Half::Autumn, 47.4444, &lows).years.len(), 4);
        assert!(observed(Half::Autumn, 47.4444, &BTreeMap::new()).years.is_empty());
    }

    /// Lows over 30 years in which the last frost of spring is on the constructed days below (own
    /// arithmetic: mean 112.733, sd 10.622), counted from the first day of the half, north or south.
    #[test]
    fn both_hemispheres_from_daily_lows() {
        const THIRTY: [i64; 30] = [
            101, 119, 108, 127, 96, 113, 121, 104, 131, 110, 117, 99, 124, 112, 106, 115, 128, 93,
            109, 120, 103, 116, 135, 111, 98, 122, 107, 114, 118, 105,
        ];
        for (latitude, start, p50, p10) in
            [(45.0, on(1, 1), on(4, 23), on(5, 6)), (-45.0, on(7, 1), on(10, 21), on(11, 3))]
        {
            let mut lows = BTreeMap::new();
            for (year, number) in (1991..).zip(THIRTY) {
                let first = start.in_year(year);
                let frosty =
                    |day: &NaiveDate| if (*day - first).num_days() < number { -1.0 } else { 6.0 };
                let end = start.in_year(year + 1);
                lows.extend(
                    first.iter_days().take_while(|day| *day < end).map(|day| (day, frosty(&day))),
                );
            }
            let found = observed(Half::Spring, latitude, &lows);
            let model = found.model.expect("thirty years");
            assert_eq!(found.years.len(), 30);
            assert!((model.sd_days() - 10.622).abs() < 0.001);
            assert_eq!((model.dates().p50, model.dates().p10), (Some(p50), Some(p10)));
        }
    }
}
