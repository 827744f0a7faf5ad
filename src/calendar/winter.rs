//! What the want of a winter does to perennials: some would not bear, and some are not planted in the warm half of the year.

use crate::calendar::Reason;
use crate::calendar::rules::Trial;
use crate::calendar::year::Day;
use crate::catalogue::CropSheet;

/// Where the means of the year differ by less than this there are no seasons to plant by, K.
const SEASONS_K: f64 = 5.0;
/// Temperatures of single days lie around the normal ones with such a standard deviation, K. From memory of daily
/// records of middle latitudes.
const SPREAD_K: f64 = 3.0;
/// Kinds differ: half of the chill a sheet asks for is enough for some. Common practice, no source.
const ENOUGH_CHILL: f64 = 0.5;

impl Trial<'_> {
    /// The mean of the soil below which perennials of the cool season are planted in a garden that has no winter, °C.
    pub(super) fn cooler_half_c(&self) -> Option<f64> {
        if !self.stands_on || !self.is_cool_crop() || self.has_winter() {
            return None;
        }
        let own = || self.year.own_weather().iter().map(|day| day.soil_c);
        let (least, most) = (own().fold(f64::INFINITY, f64::min), own().fold(f64::MIN, f64::max));
        (most - least >= SEASONS_K).then_some((most + least) / 2.0)
    }

    /// Whether it is the warmer half of the year, in which young perennials suffer.
    pub(super) fn is_too_warm_to_plant(&self, day: i64) -> bool {
        let found = self.weather(day.rem_euclid(self.year.length()));
        self.planted_below_c.zip(found).is_some_and(|(most, found)| found.soil_c > most)
    }
}

/// Why a perennial would not bear here: it misses the cold of winter.
pub(super) fn too_little_chill(sheet: &CropSheet, days: &[Day]) -> Option<Reason> {
    let chill = sheet.chill.filter(|_| sheet.is_perennial == Some(true))?;
    let needs_hours = 24.0 * f64::from(chill.days.low.0);
    let has_hours: f64 = days.iter().map(|day| hours_below(day, chill.below.0)).sum();
    (has_hours < ENOUGH_CHILL * needs_hours)
        .then_some(Reason::TooLittleChill { needs_hours, has_hours })
}

/// Hours of a day below a temperature: along the sine from low to high, with the spread of single days.
fn hours_below(day: &Day, below_c: f64) -> f64 {
    const HOURS: usize = 24;
    let share = |hour: usize| {
        let turn = std::f64::consts::TAU * (hour as f64 + 0.5) / HOURS as f64;
        let found = day.mean_c + (day.high_c - day.low_c) / 2.0 * libm::sin(turn);
        0.5 * libm::erfc((found - below_c) / (SPREAD_K * std::f64::consts::SQRT_2))
    };
    (0..HOURS).map(share).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(low_c: f64, high_c: f64) -> Day {
        let mean_c = (low_c + high_c) / 2.0;
        Day { low_c, high_c, mean_c, soil_c: mean_c, light_h: 12.0 }
    }

    #[test]
    fn hours_of_chill() {
        assert!(hours_below(&day(-20.0, -15.0), 7.0) > 23.99);
        assert!(hours_below(&day(22.0, 30.0), 7.0) < 0.01);
        assert!((hours_below(&day(3.0, 11.0), 7.0) - 12.0).abs() < 1e-9);
    }
}
