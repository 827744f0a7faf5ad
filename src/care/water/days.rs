//! What the weather took and gave, day by day, for all stands of a garden.

use chrono::NaiveDate;

use crate::care::water::estimate::Estimate;
use crate::climate::conditions::Conditions;
use crate::dates::Period;
use crate::garden::model::Garden;

/// A day of weather as the balance needs it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    pub date: NaiveDate,
    /// Reference evapotranspiration, mm: as observed, else normal.
    pub et0_mm: f64,
    /// Rain, mm. Where nobody measured it, anything from none to twice what usually falls, in showers as often as it usually
    /// rains; none is counted on ahead, because nobody forecasts here.
    pub rain_mm: Estimate,
    /// Whether the rain was measured.
    pub is_rain_known: bool,
}

/// The days of a period; empty where no climate is known.
pub fn of(garden: &Garden, conditions: &Conditions, period: Period) -> Vec<Day> {
    let Some(normals) = &conditions.normals else { return Vec::new() };
    let mut sky = Sky::default();
    period
        .each_day()
        .filter_map(|date| {
            let (low, high) = conditions.temperatures(garden, date)?;
            let measured = garden.weather.get(&date).and_then(|seen| seen.rain_mm);
            let chance = conditions.air.as_ref().map_or(1.0, |air| air.rain_chance(date));
            let shower = normals.rain_mm(date).map(|normal| sky.shower_mm(normal, chance));
            let rain_mm = match (measured, shower) {
                (Some(measured), _) => Estimate::exactly(measured),
                (None, Some(shower)) if date < garden.today => {
                    Estimate { low: 0.0, middle: shower, high: 2.0 * shower }
                }
                (None, _) => Estimate::default(),
            };
            let et0_mm = conditions.et0_mm(date, low, high);
            Some(Day { date, et0_mm, rain_mm, is_rain_known: measured.is_some() })
        })
        .collect()
}

/// Rain that gathers until it comes down: as often as it usually rains, as much as usually falls.
#[derive(Clone, Copy, Debug, Default)]
struct Sky {
    gathered_mm: f64,
    due: f64,
}

impl Sky {
    /// What falls on the next day, which has so much rain of the month's and this chance of any.
    fn shower_mm(&mut self, normal_mm: f64, chance: f64) -> f64 {
        self.gathered_mm += normal_mm;
        self.due += chance;
        if self.due < 1.0 - 1e-9 {
            return 0.0;
        }
        self.due -= 1.0;
        std::mem::take(&mut self.gathered_mm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 60 mm in a month of 30 days with 10 days of rain: 6 mm every third day.
    #[test]
    fn rain_comes_in_showers() {
        let mut sky = Sky::default();
        let days: Vec<f64> = (0..30).map(|_| sky.shower_mm(2.0, 1.0 / 3.0)).collect();
        assert!((days.iter().sum::<f64>() - 60.0).abs() < 1e-9);
        let showers: Vec<f64> = days.into_iter().filter(|mm| *mm > 0.0).collect();
        assert_eq!(showers.len(), 10);
        assert!(showers.iter().all(|mm| (mm - 6.0).abs() < 1e-9), "{showers:?}");
        // Where nobody knows how often, a little every day.
        let mut sky = Sky::default();
        assert!((0..30).all(|_| (sky.shower_mm(2.0, 1.0) - 2.0).abs() < 1e-9));
    }
}
