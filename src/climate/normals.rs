//! The garden's normal year: a smooth value for every day out of twelve monthly means.
//!
//! Method: the histospline (L. Boneva, D. Kendall, I. Stefanov, 'Spline transformations', *Journal of the
//! Royal Statistical Society B* 33 (1971) 1–71): each month is one parabola whose mean is the month's mean;
//! parabolas meet with equal value and slope, December's with January's too. It is the derivative of the
//! periodic cubic spline through the running total. A day's value is the mean of the curve over that day,
//! so the days of a month average to the month's mean exactly, which joining mid-month values would not.
//!
//! *Bounds.* Rain must not fall below 0, nor the low rise above the high. For a curve that must not be
//! negative the values where months meet are held within 0 and three times the smaller neighbouring mean;
//! a parabola between two such values with that mean cannot go below 0 (C. de Boor and B. Swartz, 'Piecewise
//! monotone interpolation', *Journal of Approximation Theory* 21 (1977) 411–416, applied to the running
//! total). The means stay exact; only the slope may have a corner there. The high is computed as the low
//! plus such a curve through the monthly ranges.
//!
//! *Leap years.* The values where months meet are found once, for a February of 28.25 days. February's
//! parabola is stretched over the 28 or 29 days it has; its mean stays exact and no other day moves.

use crate::climate::evapotranspiration;
use chrono::{Datelike, NaiveDate};

/// The normal year of a garden, by the day.
#[derive(Clone, Debug, PartialEq)]
pub struct Normals {
    low: YearCurve,
    range: YearCurve,
    rain: Option<Rain>,
}

impl Normals {
    /// The year through monthly means of the daily low and high in °C, January first, and monthly totals
    /// of rain in mm where they are known.
    ///
    /// If no month's high is below its low, no day's is; if one is, the days follow it.
    pub fn new(low_c: [f64; 12], high_c: [f64; 12], rain_mm: Option<[f64; 12]>) -> Normals {
        let range = std::array::from_fn(|month| high_c[month] - low_c[month]);
        Normals {
            low: YearCurve::through(low_c),
            range: YearCurve::never_negative(range, range),
            rain: rain_mm.map(Rain::new),
        }
    }

    /// The normal low of the day in °C.
    pub fn low_c(&self, date: NaiveDate) -> f64 {
        self.low.on(date)
    }

    /// The normal high of the day in °C.
    pub fn high_c(&self, date: NaiveDate) -> f64 {
        self.low.on(date) + self.range.on(date)
    }

    /// The mean daily low and high of each month in °C, January first.
    pub fn months_c(&self) -> [(f64, f64); 12] {
        let (low, range) = (&self.low.mean, &self.range.mean);
        std::array::from_fn(|month| (low[month], low[month] + range[month]))
    }

    /// The normal rain of the day in mm, never negative: a share of the month's total, not an amount that
    /// falls on such a day. None if no rain is known.
    pub fn rain_mm(&self, date: NaiveDate) -> Option<f64> {
        self.rain.as_ref().map(|rain| rain.on(date))
    }

    /// Reference evapotranspiration of a normal day in mm, by Hargreaves
    /// ([`evapotranspiration::hargreaves_mm`]).
    ///
    /// From means, not the mean of days: the root of a mean range is a little more than the mean of roots.
    /// Seattle's months 2012–2015 come out up to 0.03 mm a day higher so, 3 % in winter (by PyPI pyet 1.5.0).
    pub fn et0_mm(&self, date: NaiveDate, latitude_deg: f64) -> f64 {
        evapotranspiration::hargreaves_mm(date, latitude_deg, self.low_c(date), self.high_c(date))
    }
}

/// Days in each month; February as it is on average over four years.
const MONTH_DAYS: [f64; 12] =
    [31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];

/// Rain keeps each month's total, so that a 29th of February shares it with 28 others.
#[derive(Clone, Debug, PartialEq)]
struct Rain {
    total_mm: [f64; 12],
    by_day: YearCurve,
}

impl Rain {
    fn new(total_mm: [f64; 12]) -> Rain {
        let a_day = std::array::from_fn(|month| total_mm[month] / MONTH_DAYS[month]);
        let in_a_long_month =
            std::array::from_fn(|month| total_mm[month] / MONTH_DAYS[month].ceil());
        Rain { total_mm, by_day: YearCurve::never_negative(a_day, in_a_long_month) }
    }

    fn on(&self, date: NaiveDate) -> f64 {
        let total = self.total_mm[date.month0() as usize];
        // A last bit of rounding below nothing is no rain.
        self.by_day.with_mean(date, total / days_in_month(date)).max(0.0)
    }
}

/// Twelve parabolas, each given by its mean and its value at either end.
#[derive(Clone, Debug, PartialEq)]
struct YearCurve {
    mean: [f64; 12],
    /// The value where month `i` begins and the one before ends.
    start: [f64; 12],
}

impl YearCurve {
    fn through(mean: [f64; 12]) -> YearCurve {
        YearCurve { mean, start: smooth_starts(&mean) }
    }

    /// As `through`, but nowhere below 0 if no mean is. `least` is each month's mean at its smallest.
    fn never_negative(mean: [f64; 12], least: [f64; 12]) -> YearCurve {
        let mut curve = YearCurve::through(mean);
        if least.iter().all(|mean| *mean >= 0.0) {
            for month in 0..12 {
                let bound = 3.0 * least[month].min(least[before(month)]);
                curve.start[month] = curve.start[month].clamp(0.0, bound);
            }
        }
        curve
    }

    /// The mean of the curve over the day.
    fn on(&self, date: NaiveDate) -> f64 {
        self.with_mean(date, self.mean[date.month0() as usize])
    }

    /// The mean over the day of the parabola with the same ends and another mean.
    fn with_mean(&self, date: NaiveDate, mean: f64) -> f64 {
        let month = date.month0() as usize;
        let (start, end) = (self.start[month], self.start[after(month)]);
        // The running total of the parabola from 0 to x, where the month is 1 long.
        let total = |x: f64| {
            x * (start * (1.0 - x) * (1.0 - x) + end * x * (x - 1.0) + mean * x * (3.0 - 2.0 * x))
        };
        let days = days_in_month(date);
        let day = f64::from(date.day0());
        days * (total((day + 1.0) / days) - total(day / days))
    }
}

/// The values where months meet that let the slope run on through every one of them.
///
/// Equal slopes give a ring of twelve equations whose middle coefficient outweighs the two others
/// together, so going round correcting one after the other (Gauss–Seidel) closes in on the only answer;
/// each round leaves at most half of the error.
fn smooth_starts(mean: &[f64; 12]) -> [f64; 12] {
    const ROUNDS: usize = 60;
    let mut start = *mean;
    for _ in 0..ROUNDS {
        for month in 0..12 {
            let (here, last) = (1.0 / MONTH_DAYS[month], 1.0 / MONTH_DAYS[before(month)]);
            let wanted = 3.0 * (mean[before(month)] * last + mean[month] * here);
            let neighbours = start[before(month)] * last + start[after(month)] * here;
            start[month] = (wanted - neighbours) / (2.0 * (last + here));
        }
    }
    start
}

fn before(month: usize) -> usize {
    (month + 11) % 12
}

fn after(month: usize) -> usize {
    (month + 1) % 12
}

fn days_in_month(date: NaiveDate) -> f64 {
    f64::from(date.num_days_in_month())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Means 2012–2015 of seattle-weather.csv (PyPI vega_datasets 0.9.0, public-domain NOAA data).
    fn seattle() -> Normals {
        let low = [2.7, 4.05, 4.86, 6.36, 9.61, 12.24, 14.2, 14.77, 12.36, 9.35, 4.7, 3.32];
        let high = [8.23, 9.86, 12.39, 15.02, 19.3, 22.4, 26.0, 26.11, 21.92, 16.39, 11.02, 8.19];
        Normals::new(low, high, None)
    }

    fn days_of(year: i32) -> impl Iterator<Item = NaiveDate> {
        let first = NaiveDate::from_ymd_opt(year, 1, 1).expect("a date");
        first.iter_days().take_while(move |day| day.year() == year)
    }

    /// The largest distance of a month's mean day from the mean given, over a common and a leap year.
    fn worst_mean(given: &[f64; 12], on: impl Fn(NaiveDate) -> f64) -> f64 {
        let mut worst = 0.0_f64;
        for year in [2023, 2024] {
            for month in 1..=12_u32 {
                let days: Vec<f64> =
                    days_of(year).filter(|day| day.month() == month).map(&on).collect();
                let mean = days.iter().sum::<f64>() / days.len() as f64;
                worst = worst.max((mean - given[month as usize - 1]).abs());
            }
        }
        worst
    }

    /// Source: `tests/reference/daily_normals.csv` (PyPI scipy 1.17.1, periodic cubic spline through the
    /// running total; how it was made stands in the README there). Both solve the same equations, so
    /// they agree to the digits printed.
    #[test]
    fn every_day_by_scipy() {
        let normals = seattle();
        let mut days = 0;
        for line in include_str!("../../tests/reference/daily_normals.csv").lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let whole = |i: usize| cells[i].parse::<u32>().expect("a whole number");
            let number = |i: usize| cells[i].parse::<f64>().expect("a number");
            let date = NaiveDate::from_ymd_opt(2023, whole(0), whole(1)).expect("a date");
            let off = (normals.low_c(date) - number(2))
                .abs()
                .max((normals.high_c(date) - number(3)).abs());
            assert!(off < 1e-6, "{date}: {off}");
            days += 1;
        }
        assert_eq!(days, 365 - 28);
    }

    #[test]
    fn runs_on_through_new_year_and_the_end_of_february() {
        let normals = seattle();
        let steps = |year| {
            let days: Vec<f64> =
                days_of(year).chain(days_of(year + 1)).map(|day| normals.high_c(day)).collect();
            days.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max)
        };
        // The steepest month of Seattle's year moves the high by about 4.5 °C in 30 days.
        assert!(steps(2023) < 0.25 && steps(2024) < 0.25, "{} {}", steps(2023), steps(2024));
        let date = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).expect("a date");
        assert_eq!(normals.low_c(date(2023, 3, 1)), normals.low_c(date(2024, 3, 1)));
    }

    #[test]
    fn dry_summers_stay_dry() {
        let rain = [120.0, 90.0, 60.0, 20.0, 5.0, 0.0, 0.0, 0.0, 40.0, 180.0, 10.0, 130.0];
        let normals = Normals::new([5.0; 12], [15.0; 12], Some(rain));
        let on = |day| normals.rain_mm(day).expect("rain is given");
        for year in [2023, 2024] {
            assert!(days_of(year).all(|day| on(day) >= 0.0));
            let july: f64 =
                days_of(year).filter(|day| (6..=8).contains(&day.month())).map(on).sum();
            assert!(july < 1e-9, "{july}");
            for month in 1..=12 {
                let total: f64 = days_of(year).filter(|day| day.month() == month).map(on).sum();
                assert!((total - rain[month as usize - 1]).abs() < 1e-9, "{month}: {total}");
            }
        }
        assert_eq!(
            Normals::new([5.0; 12], [15.0; 12], None).rain_mm(days_of(2023).next().expect("a day")),
            None
        );
    }

    #[test]
    fn months_given_the_wrong_way_round_are_followed() {
        let normals = Normals::new([10.0; 12], [8.0; 12], None);
        let day = days_of(2023).next().expect("a day");
        assert!((normals.high_c(day) - 8.0).abs() < 1e-9);
        assert_eq!(normals.et0_mm(day, 40.0), 0.0);
    }

    proptest! {
        #[test]
        fn means_are_kept(low in prop::array::uniform12(-30.0..30.0), range in prop::array::uniform12(0.0..25.0)) {
            let high = std::array::from_fn(|month| low[month] + range[month]);
            let normals = Normals::new(low, high, None);
            prop_assert!(worst_mean(&low, |day| normals.low_c(day)) < 1e-9);
            prop_assert!(worst_mean(&high, |day| normals.high_c(day)) < 1e-9);
            prop_assert!(days_of(2024).all(|day| normals.low_c(day) <= normals.high_c(day) + 1e-9));
            prop_assert!(days_of(2024).all(|day| normals.et0_mm(day, 45.0) >= 0.0));
        }

        #[test]
        fn totals_of_rain_are_kept(rain in prop::array::uniform12(prop_oneof![Just(0.0), 0.0..400.0])) {
            let normals = Normals::new([5.0; 12], [15.0; 12], Some(rain));
            let on = |day| normals.rain_mm(day).unwrap_or(f64::NAN);
            for year in [2023, 2024] {
                prop_assert!(days_of(year).all(|day| on(day) >= 0.0));
                for month in 1..=12 {
                    let total: f64 = days_of(year).filter(|day| day.month() == month).map(on).sum();
                    prop_assert!((total - rain[month as usize - 1]).abs() < 1e-9);
                }
            }
        }
    }
}
