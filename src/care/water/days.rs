//! What the weather took and gave, day by day, for all stands of a garden.

use chrono::NaiveDate;

use crate::care::water::estimate::Estimate;
use crate::climate::conditions::Conditions;
use crate::climate::evapotranspiration::hargreaves_mm;
use crate::dates::Period;
use crate::garden::model::Garden;

/// A day of weather as the balance needs it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    /// The day.
    pub date: NaiveDate,
    /// Reference evapotranspiration, mm: as observed, else normal.
    pub et0_mm: f64,
    /// Rain, mm. Where nobody measured it, anything from none to twice the normal day's; none is counted on
    /// ahead, because nobody forecasts here.
    pub rain_mm: Estimate,
    /// Whether the rain was measured.
    pub is_rain_known: bool,
}

/// The days of a period; empty where no climate is known.
pub fn of(garden: &Garden, conditions: &Conditions, period: Period) -> Vec<Day> {
    let Some(normals) = &conditions.normals else { return Vec::new() };
    period
        .each_day()
        .filter_map(|date| {
            let (low, high) = conditions.temperatures(garden, date)?;
            let et0_mm = hargreaves_mm(date, conditions.latitude_deg, low, high);
            let measured = garden.weather.get(&date).and_then(|seen| seen.rain_mm);
            let normal = normals.rain_mm(date);
            let rain_mm = match (measured, normal) {
                (Some(measured), _) => Estimate::exactly(measured),
                (None, Some(normal)) if date < garden.today => {
                    Estimate { low: 0.0, middle: normal, high: 2.0 * normal }
                }
                (None, _) => Estimate::default(),
            };
            Some(Day { date, et0_mm, rain_mm, is_rain_known: measured.is_some() })
        })
        .collect()
}
