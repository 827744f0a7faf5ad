//! When the last frost of spring and the first of autumn come, and with what chance.
//!
//! A *P % date* is, in spring, the date after which frost still comes in P % of years (10 % is late and
//! safe, 50 % the median, 90 % early); in autumn, the date before which it has already come in P % of
//! years (10 % is early and safe). Source of the wording: NOAA/NCDC, 'Last freeze/frost probability'.
//!
//! Method: H. C. S. Thom and R. H. Shaw, 'Climatological analysis of freeze data for Iowa', *Monthly
//! Weather Review* 86 (1958) 251–257: of the share q of years that have a frost, its day is normally
//! distributed. P = q · (1 − F(day)) in spring, q · F(day) in autumn. Where frost comes in only some years
//! a P above q has no date. The frosts of a weather record are found by
//! [`crate::climate::frost_record`].
//!
//! Spring and autumn are the halves of [`crate::climate::half_year`]; a frost between midwinter and the
//! split in late summer is spring's.

use crate::climate::half_year::{Half, HalfYear};
use crate::dates::MonthDay;
use chrono::NaiveDate;
use std::f64::consts::SQRT_2;

/// The three dates a calendar works with; none where frost is rarer than that.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FrostDates {
    /// Spring: early. Autumn: late.
    pub p90: Option<MonthDay>,
    /// The middle one.
    pub p50: Option<MonthDay>,
    /// The cautious one. Spring: late. Autumn: early.
    pub p10: Option<MonthDay>,
}

/// One of the two frosts as a share of years and a normal distribution of day numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrostModel {
    window: HalfYear,
    /// q, from 0 to 1.
    share_of_years: f64,
    mean_day: f64,
    sd_days: f64,
}

impl FrostModel {
    /// From the 50 % and the 10 % date that a handbook or a weather service gives, for a place with frost in this share
    /// of years: where it comes every year the distance of the two is 1.28155 standard deviations of the normal model, so
    /// the 90 % date lies as far on the other side.
    ///
    /// None if a date lies outside its half of the year, or the 10 % date on the unsafe side, or if frost comes in too few
    /// years for such a date.
    pub fn from_dates(
        half: Half,
        latitude_deg: f64,
        p50: MonthDay,
        p10: MonthDay,
        share_of_years: f64,
    ) -> Option<FrostModel> {
        let window = HalfYear::at(half, latitude_deg);
        let (middle, cautious) = (window.number_of(p50)?, window.number_of(p10)?);
        let towards_safety = match half {
            Half::Spring => cautious - middle,
            Half::Autumn => middle - cautious,
        };
        let (middle, cautious) = (spreads(0.5, share_of_years)?, spreads(0.1, share_of_years)?);
        let sd_days = towards_safety / (cautious - middle);
        let model = FrostModel::from_one(half, latitude_deg, (0.5, p50), sd_days, share_of_years);
        model.filter(|_| sd_days >= 0.0)
    }

    /// From one of the two dates alone and the spread that frosts have where the garden is, in this share of years.
    pub fn from_one(
        half: Half,
        latitude_deg: f64,
        (chance, day): (f64, MonthDay),
        sd_days: f64,
        share_of_years: f64,
    ) -> Option<FrostModel> {
        let window = HalfYear::at(half, latitude_deg);
        let towards_safety = sd_days * spreads(chance, share_of_years)?;
        let mean_day = match half {
            Half::Spring => window.number_of(day)? - towards_safety,
            Half::Autumn => window.number_of(day)? + towards_safety,
        };
        Some(FrostModel { window, share_of_years, mean_day, sd_days })
    }

    /// Of a place without this frost.
    pub fn never(half: Half, latitude_deg: f64) -> FrostModel {
        FrostModel::fit(HalfYear::at(half, latitude_deg), &[], 1)
    }

    /// Through the day of half and of a tenth of those years that have this frost at all.
    pub(super) fn through(
        window: HalfYear,
        share_of_years: f64,
        half: f64,
        tenth: f64,
    ) -> FrostModel {
        let sd_days = (half - tenth).abs() / quantile(0.9);
        FrostModel { window, share_of_years, mean_day: half, sd_days }
    }

    /// From the day numbers ([`HalfYear::number`]) of those of `years` observed that had a frost.
    ///
    /// The standard deviation is the sample's (n − 1); one frost alone has no spread.
    pub fn fit(window: HalfYear, days: &[f64], years: usize) -> FrostModel {
        let count = days.len() as f64;
        let mean_day = if days.is_empty() { 0.0 } else { days.iter().sum::<f64>() / count };
        let squares: f64 = days.iter().map(|day| (day - mean_day) * (day - mean_day)).sum();
        let sd_days = if days.len() < 2 { 0.0 } else { (squares / (count - 1.0)).sqrt() };
        FrostModel { window, share_of_years: count / years as f64, mean_day, sd_days }
    }

    /// The share of years that have this frost at all, 0 to 1.
    pub fn share_of_years(&self) -> f64 {
        self.share_of_years
    }

    /// The standard deviation of its day over the years that have it, in days.
    pub fn sd_days(&self) -> f64 {
        self.sd_days
    }

    /// The 90, 50 and 10 % dates.
    pub fn dates(&self) -> FrostDates {
        FrostDates { p90: self.date_at(0.9), p50: self.date_at(0.5), p10: self.date_at(0.1) }
    }

    /// The date of a chance between 0 and 1 (not included), to the nearest day; none where frost comes in
    /// no larger share of years. A date that would leave its half of the year is the half's end.
    pub fn date_at(&self, chance: f64) -> Option<MonthDay> {
        self.window.day(self.day_at(chance)?)
    }

    /// The chance, 0 to 1, that this frost is still to come after `date` (spring) or has come by `date`
    /// (autumn). Outside its half of the year it is over (spring) or has not come (autumn): 0.
    pub fn chance(&self, date: NaiveDate) -> f64 {
        let Some(number) = self.window.number(date) else { return 0.0 };
        let come = if self.sd_days > 0.0 {
            share_below((number - self.mean_day) / self.sd_days)
        } else if number >= self.mean_day {
            1.0
        } else {
            0.0
        };
        self.share_of_years
            * match self.window.half() {
                Half::Spring => 1.0 - come,
                Half::Autumn => come,
            }
    }

    /// The day number of a chance, with its fraction.
    fn day_at(&self, chance: f64) -> Option<f64> {
        let of_frosts = chance / self.share_of_years;
        if !(of_frosts > 0.0 && of_frosts < 1.0) {
            return None;
        }
        let z = match self.window.half() {
            Half::Spring => quantile(1.0 - of_frosts),
            Half::Autumn => quantile(of_frosts),
        };
        Some(self.mean_day + z * self.sd_days)
    }
}

/// How many standard deviations the date of a chance lies on the safe side of the mean; none where frost is rarer.
fn spreads(chance: f64, share_of_years: f64) -> Option<f64> {
    let of_frosts = chance / share_of_years;
    (of_frosts < 1.0).then(|| quantile(1.0 - of_frosts))
}

/// The standard normal distribution function.
fn share_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// Its inverse for a share between 0 and 1, by halving: slow, plain, and exact to the last digits.
fn quantile(share: f64) -> f64 {
    let (mut below, mut above) = (-40.0, 40.0);
    for _ in 0..80 {
        let middle = (below + above) / 2.0;
        if share_below(middle) < share { below = middle } else { above = middle }
    }
    (below + above) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::Duration;
    use proptest::prelude::*;

    const NORTH: f64 = 45.0;
    const SOUTH: f64 = -45.0;

    /// A constructed series of 30 last-spring-freeze days (own arithmetic, not a station).
    const THIRTY: [i64; 30] = [
        101, 119, 108, 127, 96, 113, 121, 104, 131, 110, 117, 99, 124, 112, 106, 115, 128, 93, 109,
        120, 103, 116, 135, 111, 98, 122, 107, 114, 118, 105,
    ];

    fn spring(days: &[i64], years: usize) -> FrostModel {
        let days: Vec<f64> = days.iter().map(|day| *day as f64).collect();
        FrostModel::fit(HalfYear::at(Half::Spring, NORTH), &days, years)
    }

    fn near(found: Option<f64>, expected: f64) -> bool {
        found.is_some_and(|found| (found - expected).abs() < 0.1)
    }

    fn on(month: u32, day: u32) -> MonthDay {
        MonthDay::new(month, day).unwrap()
    }

    /// Frost in three years of ten, and in one of ten after 1 March: a third of the frosts come later, 0.4307 standard
    /// deviations of 11 days after the mean (tables of the normal law), so the mean is 24.3 February.
    #[test]
    fn a_frost_of_few_years_has_its_ten_percent_date_alone() {
        let model =
            FrostModel::from_one(Half::Spring, NORTH, (0.1, on(3, 1)), 11.0, 0.3).expect("a model");
        let dates = model.dates();
        assert_eq!((dates.p10, dates.p50, dates.p90), (Some(on(3, 1)), None, None));
        let day = |month, day| NaiveDate::from_ymd_opt(2026, month, day).expect("a date");
        assert!((model.chance(day(2, 24)) - 0.15).abs() < 0.02, "{}", model.chance(day(2, 24)));
        assert!((model.chance(day(1, 1)) - 0.3).abs() < 0.001);
        assert_eq!(FrostModel::from_one(Half::Spring, NORTH, (0.1, on(3, 1)), 11.0, 0.1), None);
        // Half of the years cannot have it.
        assert_eq!(FrostModel::from_dates(Half::Spring, NORTH, on(2, 1), on(3, 1), 0.4), None);
        let never = FrostModel::never(Half::Autumn, NORTH);
        assert_eq!((never.dates().p10, never.chance(day(12, 24))), (None, 0.0));
    }

    /// Source: standard normal quantiles, any statistical table; the last from PyPI scipy 1.17.1.
    #[test]
    fn normal_quantiles() {
        for (share, z) in [(0.1, -1.28155), (0.5, 0.0), (0.9, 1.28155), (1.0 / 9.0, -1.2206403488)]
        {
            assert!((quantile(share) - z).abs() < 0.000_005, "{share}: {}", quantile(share));
        }
    }

    /// Worked example A: frost in each of 30 years. mean 112.733, sd 10.622; 10 % 126.3, 50 % 112.7, 90 % 99.1.
    #[test]
    fn frost_every_year() {
        let model = spring(&THIRTY, 30);
        assert!(
            (model.mean_day - 112.733).abs() < 0.001 && (model.sd_days() - 10.622).abs() < 0.001
        );
        assert!(
            near(model.day_at(0.1), 126.3)
                && near(model.day_at(0.5), 112.7)
                && near(model.day_at(0.9), 99.1)
        );
        // Days 126, 113 and 99 of a common year.
        let dates = FrostDates { p90: Some(on(4, 9)), p50: Some(on(4, 23)), p10: Some(on(5, 6)) };
        assert_eq!(model.dates(), dates);
    }

    /// Worked example B: the first 27 of those and three years without frost. q 0.9, mean 112.778, sd
    /// 11.064; 10 % 126.3, 50 % 111.2, and no date for 90 %.
    #[test]
    fn frost_in_some_years() {
        let model = spring(&THIRTY[..27], 30);
        assert!((model.share_of_years() - 0.9).abs() < 1e-12);
        assert!(
            (model.mean_day - 112.778).abs() < 0.001 && (model.sd_days() - 11.064).abs() < 0.001
        );
        assert!(near(model.day_at(0.1), 126.3) && near(model.day_at(0.5), 111.2));
        assert_eq!(model.dates().p90, None);
        let first = NaiveDate::from_ymd_opt(2023, 1, 1).expect("a date");
        assert!((model.chance(first) - 0.9).abs() < 1e-9, "never above the share of years");
    }

    #[test]
    fn a_place_without_frost_has_no_dates() {
        let none = FrostDates { p90: None, p50: None, p10: None };
        assert_eq!(spring(&[], 30).dates(), none);
        assert_eq!(
            spring(&[100], 30).dates(),
            none,
            "one frost in thirty years is rarer than 10 %"
        );
        assert_eq!(
            spring(&[], 30).chance(NaiveDate::from_ymd_opt(2023, 3, 1).expect("a date")),
            0.0
        );
    }

    /// Source: the last frosts of Seattle-Tacoma 2012–2015 on days 79, 63, 40 and 63; mean 61.25, sd 16.049.
    #[test]
    fn mean_and_spread_of_four_years() {
        let model = spring(&[79, 63, 40, 63], 4);
        assert!((model.mean_day - 61.25).abs() < 0.001 && (model.sd_days() - 16.049).abs() < 0.001);
    }

    #[test]
    fn from_a_pair_of_given_dates() {
        let model =
            FrostModel::from_dates(Half::Spring, NORTH, on(4, 20), on(5, 4), 1.0).expect("a model");
        let dates = FrostDates { p90: Some(on(4, 6)), p50: Some(on(4, 20)), p10: Some(on(5, 4)) };
        assert_eq!(model.dates(), dates);
        assert!((model.sd_days() - 14.0 / 1.28155).abs() < 0.0001);
        let autumn =
            FrostModel::from_dates(Half::Autumn, SOUTH, on(5, 20), on(5, 4), 1.0).expect("a model");
        assert_eq!(autumn.dates().p90, Some(on(6, 5)));
        let over_new_year = FrostModel::from_dates(Half::Spring, SOUTH, on(12, 20), on(1, 3), 1.0)
            .expect("a model");
        assert_eq!(over_new_year.dates().p90, Some(on(12, 6)));
        assert_eq!(FrostModel::from_dates(Half::Spring, NORTH, on(5, 4), on(4, 20), 1.0), None);
        assert_eq!(FrostModel::from_dates(Half::Spring, NORTH, on(10, 4), on(10, 20), 1.0), None);
    }

    /// Frost in four years of five: half of all years are five eighths of the frosts and a tenth an eighth, 0.31864 before
    /// and 1.15035 standard deviations after the mean (tables of the normal law), so 14 days are 1.46899 of them.
    #[test]
    fn from_a_pair_where_frost_comes_in_most_years() {
        let model =
            FrostModel::from_dates(Half::Spring, NORTH, on(4, 20), on(5, 4), 0.8).expect("a model");
        assert!((model.sd_days() - 14.0 / 1.46899).abs() < 0.0005, "{}", model.sd_days());
        assert_eq!((model.dates().p50, model.dates().p10), (Some(on(4, 20)), Some(on(5, 4))));
        assert_eq!(model.dates().p90, None);
    }

    /// 1.28155 standard deviations of 10 days lie between the 10 % date of autumn and the median: 1 and 14 October.
    #[test]
    fn from_one_date_of_autumn() {
        let model = FrostModel::from_one(Half::Autumn, NORTH, (0.1, on(10, 1)), 10.0, 1.0);
        let dates = model.expect("a model").dates();
        assert_eq!((dates.p10, dates.p50), (Some(on(10, 1)), Some(on(10, 14))));
    }

    #[test]
    fn through_two_days() {
        let window = HalfYear::at(Half::Spring, NORTH);
        let model = FrostModel::through(window, 0.9, 110.0, 124.0);
        assert!((model.sd_days() - 14.0 / 1.28155).abs() < 0.0001 && model.mean_day == 110.0);
    }

    /// By hand: days 100 and 110 have the mean 105 and the sample's deviation √(2 · 5² / 1) = 7.071. Day 100 alone is the
    /// date of every chance: before it frost is still to come, from it on it is over.
    #[test]
    fn of_few_frosts() {
        let two = spring(&[100, 110], 2);
        assert!((two.sd_days() - 7.0711).abs() < 0.0001 && two.mean_day == 105.0);
        let one = spring(&[100], 1);
        let day = Some(on(4, 10));
        assert_eq!(one.dates(), FrostDates { p90: day, p50: day, p10: day });
        let chance = |day| one.chance(NaiveDate::from_ymd_opt(2023, 4, day).expect("a date"));
        assert_eq!((chance(9), chance(10), chance(11)), (1.0, 0.0, 0.0));
    }

    /// The normal law has no end: no day has a chance of nothing, none is certain.
    #[test]
    fn no_date_is_certain() {
        let model = spring(&THIRTY, 30);
        assert_eq!((model.date_at(0.0), model.date_at(1.0)), (None, None));
    }

    fn model(
        half: Half,
        latitude: f64,
        share_of_years: f64,
        mean_day: f64,
        sd_days: f64,
    ) -> FrostModel {
        FrostModel { window: HalfYear::at(half, latitude), share_of_years, mean_day, sd_days }
    }

    proptest! {
        #[test]
        fn the_chance_of_a_date_is_its_chance(
            mean in 60.0..120.0, sd in 1.0..10.0, q in 0.2..=1.0, p in 0.02..0.98, latitude in -60.0..60.0,
        ) {
            for half in [Half::Spring, Half::Autumn] {
                let model = model(half, latitude, q, mean, sd);
                let Some(number) = model.day_at(p) else {
                    prop_assert!(p >= q - 1e-9);
                    continue;
                };
                let (first, _) = model.window.days_from(2023).expect("a half");
                let before = first + Duration::days(number.floor() as i64 - 1);
                let (here, next) = (model.chance(before), model.chance(before + Duration::days(1)));
                prop_assert!(here.min(next) <= p + 1e-9 && p <= here.max(next) + 1e-9, "{here} {p} {next}");
                prop_assert!((0.0..=q).contains(&here));
            }
        }

        #[test]
        fn caution_is_later_in_spring_and_earlier_in_autumn(mean in 60.0..150.0, sd in 0.0..20.0) {
            let day = |half, p| model(half, NORTH, 1.0, mean, sd).day_at(p);
            prop_assert!(day(Half::Spring, 0.1) >= day(Half::Spring, 0.5));
            prop_assert!(day(Half::Autumn, 0.1) <= day(Half::Autumn, 0.5));
        }
    }
}
