//! Frost and the days of the season in garden.json.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::amount::rounded;
use crate::site::climate::FrostDays;

#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct ClimateData {
    /// The last frost of spring; `null` if not known.
    last_frost: Option<FrostDays>,
    /// The first frost of autumn; `null` if not known.
    first_frost: Option<FrostDays>,
    /// Height above the sea for which the air is reckoned, to 1 m.
    elevation_m: Option<f64>,
    /// The twelve usual months, January first; empty if not known.
    months: Vec<MonthData>,
    /// Each day of the season.
    days: Vec<DayData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct MonthData {
    /// Mean daily low, to 0.01 °C.
    low_c: f64,
    /// Mean daily high, to 0.01 °C.
    high_c: f64,
}

#[derive(Debug, JsonSchema, Serialize)]
struct DayData {
    /// The day.
    date: NaiveDate,
    /// Observed, else normal; to 0.01 °C.
    low_c: Option<f64>,
    /// Observed, else normal; to 0.01 °C.
    high_c: Option<f64>,
    /// From sunrise to sunset (NOAA), to 0.01 h.
    day_length_h: f64,
    /// Reference evapotranspiration, to 0.01 mm: by FAO-56 eq. 6 where the air is known, else by eq. 52.
    et0_mm: Option<f64>,
    /// Sunshine as a share of the daylight, usual, to 0.001.
    sunshine: Option<f64>,
    /// Wind at 2 m, usual, to 0.01 m/s.
    wind_2m_m_per_s: Option<f64>,
    /// Relative humidity, usual, 0 to 1, to 0.001.
    humidity: Option<f64>,
}

pub(super) fn climate(garden: &Garden, findings: &Findings, season: Period) -> ClimateData {
    let conditions = &findings.conditions;
    let given = &garden.settings.frost;
    let day = |date| {
        let day = conditions.day(garden, date);
        DayData {
            date,
            low_c: day.low_c.map(|low| rounded(low, 2)),
            high_c: day.high_c.map(|high| rounded(high, 2)),
            day_length_h: rounded(day.day_length_h, 2),
            et0_mm: day.et0_mm.map(|et0| rounded(et0, 2)),
            sunshine: day.air.map(|air| rounded(air.sunshine, 3)),
            wind_2m_m_per_s: day.air.map(|air| rounded(air.wind_2m, 2)),
            humidity: day.air.map(|air| rounded(air.humidity, 3)),
        }
    };
    let air = conditions.air.as_ref().map(|year| year.on(season.from));
    let month = |(low, high)| MonthData { low_c: rounded(low, 2), high_c: rounded(high, 2) };
    ClimateData {
        elevation_m: air.map(|air| rounded(air.elevation_m, 0)),
        last_frost: FrostDays::new(&conditions.spring_frost, &given.last_spring, season),
        first_frost: FrostDays::new(&conditions.autumn_frost, &given.first_autumn, season),
        months: conditions
            .normals
            .iter()
            .flat_map(|normals| normals.months_c())
            .map(month)
            .collect(),
        days: season.each_day().map(day).collect(),
    }
}
