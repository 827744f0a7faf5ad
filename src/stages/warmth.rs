//! The day on which a sum of warmth is reached, at the temperatures of the place.

use chrono::NaiveDate;

use crate::catalogue::sheet::DegreeDays;
use crate::climate::degree_days::{Thresholds, single_sine};
use crate::dates::{Period, shift};
use crate::stage::Stage;
use crate::stages::course::Course;
use crate::stages::usual_weather::UsualWeather;
use crate::units::Range;

/// How far a crop may stay from its sum of warmth, as a share of it, in four plantings of five: a sum in a handbook is that of
/// one trial. Trug's choice, no source; the page of past dates says how it holds.
const SUM_SPREAD: f64 = 0.2;

/// The range in which a crop keeps to its sum.
pub(super) fn spread(sum: f64) -> (f64, f64) {
    (sum * (1.0 - SUM_SPREAD), sum * (1.0 + SUM_SPREAD))
}

/// The range in which so many days of the weather that a sheet means are over, counting from a stage on; nothing where a
/// temperature is not known or they are not over within 400 days.
pub(super) fn by_usual_days(
    course: &Course<'_>,
    anchor: Period,
    after: Stage,
    days: Range<f64>,
    usual: UsualWeather,
) -> Option<Period> {
    let reached = |from: NaiveDate, days: f64| {
        day_of(course, from, after, days, LONGEST_DAYS, |low, high| usual.share(low, high))
    };
    let from = reached(anchor.from, days.low)?;
    let to = reached(anchor.to, days.high)?;
    let stalls = |day: &NaiveDate| {
        let normal = course.conditions.normal_temperatures(*day);
        normal.is_some_and(|(low, high)| usual.share(low, high) < STALLED)
    };
    let stalled = from.iter_days().take_while(|day| *day < to).find(stalls);
    Some(Period { from, to: stalled.unwrap_or(to).max(from) })
}

/// What is not reached when a day brings less than this share of a usual one waits for the next year: it is winter.
/// Trug's choice, no source.
const STALLED: f64 = 0.1;

/// The longest a sum is followed.
const LONGEST_DAYS: i64 = 400;
/// Seed is given up after so many times its days at the best temperature. Common practice, no source.
const SLOWEST_SEED: i64 = 4;
/// How much slower than at its best seed is taken to be where no temperature is known. Common practice,
/// no source.
const UNKNOWN_SEED: i64 = 2;

/// The range in which a sum of degree days (°C·days, single sine) from a stage on is reached; nothing
/// where a temperature is not known or the sum is not reached within 400 days.
pub(super) fn by_sum(
    course: &Course<'_>,
    anchor: Period,
    after: Stage,
    sum: (f64, f64),
    crop: &DegreeDays,
) -> Option<Period> {
    let between = Thresholds::celsius(crop.base.0, crop.upper.map(|upper| upper.0));
    let a_day = |low: f64, high: f64| single_sine(low, high, between);
    let reached = |from: NaiveDate, sum: f64| day_of(course, from, after, sum, LONGEST_DAYS, a_day);
    let from = reached(anchor.from, sum.0)?;
    let to = reached(anchor.to, sum.1)?;
    Some(Period { from, to: to.max(from) })
}

/// The range in which seed sown in a period comes up.
///
/// Between the days at the best temperature and the heat sum that these days make above the lowest
/// temperature of germination, at the daily mean there is (linear heat sums of emergence: J. Bierhuizen and
/// W. Wagenvoort, 'Some aspects of seed germination in vegetables', *Scientia Horticulturae* 2 (1974)
/// 213–219, from memory). Outdoors the air stands for the soil.
pub(super) fn emergence(course: &Course<'_>, sown: Period) -> Option<Period> {
    let sheet = course.sheet();
    let days = sheet.germination_days?.map(|days| i64::from(days.0));
    let latest = shift(sown.to, days.high.saturating_mul(SLOWEST_SEED));
    let limits = sheet.germination_lowest.zip(sheet.germination_best);
    let by_warmth = limits.filter(|(lowest, best)| lowest.0 < best.0).and_then(|(lowest, best)| {
        let sum = days.high as f64 * (best.0 - lowest.0);
        let a_day = |low: f64, high: f64| ((low + high) / 2.0).min(best.0) - lowest.0;
        let is_known = course.temperatures(sown.to, Stage::Sown).is_some();
        let longest = days.high.saturating_mul(SLOWEST_SEED);
        is_known
            .then(|| day_of(course, sown.to, Stage::Sown, sum, longest, a_day).unwrap_or(latest))
    });
    let from = shift(sown.from, days.low);
    let to = by_warmth.unwrap_or(shift(sown.to, days.high.saturating_mul(UNKNOWN_SEED)));
    Some(Period { from, to: to.max(from) })
}

/// The day by whose end a sum is reached, counting from the beginning of `from`.
fn day_of(
    course: &Course<'_>,
    from: NaiveDate,
    after: Stage,
    sum: f64,
    longest_days: i64,
    a_day: impl Fn(f64, f64) -> f64,
) -> Option<NaiveDate> {
    // A hair less, so that a whole number of equal days is not missed by a last bit.
    let wanted = sum * (1.0 - 1e-9);
    let mut total = 0.0;
    for day in 0..longest_days.min(LONGEST_DAYS) {
        let (low, high) = course.temperatures(shift(from, day), after)?;
        total += a_day(low, high).max(0.0);
        if total >= wanted {
            return Some(shift(from, day + 1));
        }
    }
    None
}

impl Course<'_> {
    /// The low and high, °C, where the planting stands on a day: of the place, if it has a temperature of
    /// its own; outdoors as observed, else normal; under glass without one nothing.
    pub(super) fn temperatures(&self, day: NaiveDate, after: Stage) -> Option<(f64, f64)> {
        if let Some(id) = self.place_on(day, after) {
            let place = self.garden.place(id);
            if let Some(own) = place.temperature {
                return Some((own.low.0, own.high.0));
            }
            if !place.is_outdoors() {
                return None;
            }
        } else if self.is_raised() && after < Stage::PlantedOut {
            return None;
        }
        if day > self.today() {
            return self.conditions.normal_temperatures(day);
        }
        self.conditions.temperatures(self.garden, day)
    }

    /// Whether it is raised elsewhere than it crops.
    pub(crate) fn is_raised(&self) -> bool {
        self.beginning == crate::stages::course::Beginning::Raised
    }
}
