//! A growing year: from midwinter to midwinter, with its normal weather, light and frost.
//!
//! *Soil.* Nobody enters soil temperatures, so the soil of a day is taken as the mean of the normal daily
//! mean air temperatures of the eleven days up to it. Source of the eleven days: D. Zheng, E. R. Hunt and
//! S. W. Running, 'A daily soil temperature model based on air temperature and precipitation for
//! continental applications', *Climate Research* 2 (1993) 183–191 (from memory). Bare soil in the sun is warmer than that,
//! and the more so the longer the sun stands over it: models of soil temperature take the day of the year beside the air for that
//! ('A conceptual model for predicting soil temperatures', five places in Arkansas at 5 and 10 cm; abstract read). How much
//! warmer stands among the thresholds.

use chrono::NaiveDate;

use crate::calendar::FrostLimit;
use crate::calendar::thresholds::Thresholds;
use crate::climate::conditions::{Conditions, FrostKnowledge};
use crate::climate::normals::Normals;
use crate::climate::sun::day_length_h;
use crate::dates::{MonthDay, Period, shift};

/// A growing year of a garden: 1 January to 31 December north of the equator and on it, 1 July to 30 June
/// south of it, as the halves of [`crate::climate::half_year`] have it.
#[derive(Clone, Debug)]
pub struct GrowingYear {
    first: NaiveDate,
    length: i64,
    days: Vec<Day>,
    last_frost: FrostLimit,
    first_frost: FrostLimit,
    usual_first_frost: Option<i64>,
    thresholds: Thresholds,
}

/// A normal day.
#[derive(Clone, Copy, Debug)]
pub(super) struct Day {
    /// °C.
    pub(super) low_c: f64,
    /// °C.
    pub(super) high_c: f64,
    /// The mean of low and high, °C.
    pub(super) mean_c: f64,
    /// See the module, °C.
    pub(super) soil_c: f64,
    /// From sunrise to sunset, hours.
    pub(super) light_h: f64,
}

impl Day {
    /// The temperature of the light hours, midway from the mean to the high, °C.
    pub(super) fn day_c(&self) -> f64 {
        (self.mean_c + self.high_c) / 2.0
    }

    /// Bare soil, °C, that is so much warmer for each hour of the day beyond ten.
    pub(super) fn bare_soil_c(&self, k_per_h: f64) -> f64 {
        self.soil_c + k_per_h * (self.light_h - LITTLE_SUN_H).max(0.0)
    }
}

/// On shorter days the sun does not warm the soil to speak of. Common practice, no source.
const LITTLE_SUN_H: f64 = 10.0;

/// Midsummer is so many days after the start: 21 June, 19 December.
pub(super) const MIDSUMMER: i64 = 171;

/// Windows may run into the next year and crops stand for a year after: so far the days are known.
const REACH: i64 = 1_200;

const SOIL_DAYS: i64 = 11;

impl GrowingYear {
    /// The growing year in which a day lies.
    pub fn around(conditions: &Conditions, day: NaiveDate) -> GrowingYear {
        let first = midwinter(conditions.latitude_deg).last_on_or_before(day);
        GrowingYear::from_first(conditions, first)
    }

    /// The same year by other thresholds.
    pub fn by(self, thresholds: Thresholds) -> GrowingYear {
        GrowingYear { thresholds, ..self }
    }

    /// By which it is judged.
    pub(super) fn thresholds(&self) -> &Thresholds {
        &self.thresholds
    }

    /// The one before.
    pub fn before(&self, conditions: &Conditions) -> GrowingYear {
        GrowingYear::around(conditions, shift(self.first, -1))
    }

    /// The one after.
    pub fn after(&self, conditions: &Conditions) -> GrowingYear {
        GrowingYear::around(conditions, shift(self.first, self.length))
    }

    /// Its days.
    pub fn days(&self) -> Period {
        Period { from: self.first, to: self.date(self.length - 1) }
    }

    /// The last frost of spring at the garden's risk.
    pub fn last_frost(&self) -> FrostLimit {
        self.last_frost
    }

    /// The first frost of autumn at the garden's risk.
    pub fn first_frost(&self) -> FrostLimit {
        self.first_frost
    }

    /// Whether the garden's normals are known.
    pub fn has_climate(&self) -> bool {
        !self.days.is_empty()
    }

    /// The date of a day by its number from 0.
    pub(super) fn date(&self, number: i64) -> NaiveDate {
        shift(self.first, number)
    }

    /// Days in the year.
    pub(super) fn length(&self) -> i64 {
        self.length
    }

    /// The days from the first on, into the years after; none without climate.
    pub(super) fn weather(&self) -> &[Day] {
        &self.days
    }

    /// The days of this year alone.
    pub(super) fn own_weather(&self) -> &[Day] {
        &self.days[..self.days.len().min(self.length as usize)]
    }

    /// The day number of a frost that sets a limit.
    pub(super) fn number(&self, frost: FrostLimit) -> Option<i64> {
        match frost {
            FrostLimit::On(date) => Some((date - self.first).num_days()),
            FrostLimit::Rarer | FrostLimit::Unknown => None,
        }
    }

    /// The day number before which frost has come in half of the years; none where it comes in fewer.
    pub(super) fn usual_first_frost(&self) -> Option<i64> {
        self.usual_first_frost
    }

    fn from_first(conditions: &Conditions, first: NaiveDate) -> GrowingYear {
        let next = midwinter(conditions.latitude_deg).next_on_or_after(shift(first, 1));
        // At the end of the calendar there is no next year.
        let length = (next - first).num_days().clamp(365, 366);
        let limit = |knowledge: &FrostKnowledge| match knowledge.model() {
            None => FrostLimit::Unknown,
            Some(model) => model
                .date_at(conditions.risk)
                .map_or(FrostLimit::Rarer, |day| FrostLimit::On(day.next_on_or_after(first))),
        };
        let usual = conditions.autumn_frost.model().and_then(|model| model.date_at(0.5));
        GrowingYear {
            first,
            length,
            days: conditions
                .normals
                .as_ref()
                .map_or(Vec::new(), |normals| weather(normals, conditions, first, length)),
            last_frost: limit(&conditions.spring_frost),
            first_frost: limit(&conditions.autumn_frost),
            thresholds: Thresholds::CALIBRATED,
            usual_first_frost: usual.map(|day| (day.next_on_or_after(first) - first).num_days()),
        }
    }
}

/// 1 January, or 1 July south of the equator.
fn midwinter(latitude_deg: f64) -> MonthDay {
    let month = if latitude_deg < 0.0 { 7 } else { 1 };
    let day = NaiveDate::from_ymd_opt(2000, month, 1).unwrap_or_default();
    MonthDay::of(day)
}

fn weather(normals: &Normals, conditions: &Conditions, first: NaiveDate, length: i64) -> Vec<Day> {
    let light: Vec<f64> = (0..length)
        .map(|number| {
            let date = shift(first, number);
            day_length_h(date, conditions.latitude_deg, conditions.longitude_deg)
        })
        .collect();
    let means: Vec<f64> = (1 - SOIL_DAYS..REACH)
        .map(|number| {
            let date = shift(first, number);
            (normals.low_c(date) + normals.high_c(date)) / 2.0
        })
        .collect();
    means
        .windows(SOIL_DAYS as usize)
        .zip(0..)
        .map(|(recent, number)| {
            let date = shift(first, number);
            let (low_c, high_c) = (normals.low_c(date), normals.high_c(date));
            Day {
                low_c,
                high_c,
                mean_c: (low_c + high_c) / 2.0,
                soil_c: recent.iter().sum::<f64>() / SOIL_DAYS as f64,
                light_h: light[(number % length) as usize],
            }
        })
        .collect()
}
