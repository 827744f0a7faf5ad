//! Frost and the days of the season in garden.json.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::amount::rounded;
use crate::site::climate::in_season;

#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct ClimateData {
    /// The last frost of spring; `null` if not known.
    last_frost: Option<FrostData>,
    /// The first frost of autumn; `null` if not known.
    first_frost: Option<FrostData>,
    /// The twelve usual months, January first; empty if not known.
    months: Vec<MonthData>,
    /// Each day of the season.
    days: Vec<DayData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct FrostData {
    /// The day in this season after which it still comes in nine years of ten, or before which it
    /// has come.
    p90: Option<NaiveDate>,
    /// The same for five years of ten.
    p50: Option<NaiveDate>,
    /// The same for one year of ten.
    p10: Option<NaiveDate>,
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
    /// Reference evapotranspiration (FAO-56 eq. 52), to 0.01 mm.
    et0_mm: Option<f64>,
}

pub(super) fn climate(garden: &Garden, findings: &Findings, season: Period) -> ClimateData {
    let conditions = &findings.conditions;
    let frost = |knowledge: &crate::climate::conditions::FrostKnowledge| {
        knowledge.model().map(|model| {
            let dates = model.dates();
            FrostData {
                p90: dates.p90.map(|day| in_season(day, season)),
                p50: dates.p50.map(|day| in_season(day, season)),
                p10: dates.p10.map(|day| in_season(day, season)),
            }
        })
    };
    let day = |date| {
        let day = conditions.day(garden, date);
        DayData {
            date,
            low_c: day.low_c.map(|low| rounded(low, 2)),
            high_c: day.high_c.map(|high| rounded(high, 2)),
            day_length_h: rounded(day.day_length_h, 2),
            et0_mm: day.et0_mm.map(|et0| rounded(et0, 2)),
        }
    };
    let month = |(low, high)| MonthData { low_c: rounded(low, 2), high_c: rounded(high, 2) };
    ClimateData {
        last_frost: frost(&conditions.spring_frost),
        first_frost: frost(&conditions.autumn_frost),
        months: conditions
            .normals
            .iter()
            .flat_map(|normals| normals.months_c())
            .map(month)
            .collect(),
        days: season.each_day().map(day).collect(),
    }
}
