//! Water in garden.json: litres to 0.01, days to 0.1, shares to 0.001, evapotranspiration is under `climate`.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::care::water::account::Poured;
use crate::care::water::estimate::Estimate;
use crate::care::water::refills::Refill;
use crate::care::water::season::PlaceDay;
use crate::care::water::{MonthNeed, Need, PlaceWater, Rhythm, StandWater, Withheld};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::amount::rounded;
use crate::site::data::id_of;
use crate::site::water::is_too_wide;

/// The water of a place.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct WaterData {
    /// A slug.
    place: String,
    /// Whether a timer waters it.
    on_timer: bool,
    /// Whether anything is known of what is left.
    known: bool,
    /// The last watering that was noted.
    last_watered: Option<NaiveDate>,
    /// What it uses on a day like today.
    today: Option<NeedData>,
    /// What it uses on a usual day of each month.
    months: Vec<MonthData>,
    /// The same by planting.
    plantings: Vec<StandData>,
    /// Plantings without a figure.
    withheld: Vec<WithheldData>,
    /// Waterings to come.
    waterings: Vec<WateringData>,
    /// The days of the season so far.
    days: Vec<BalanceData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct StandData {
    /// Its id.
    planting: String,
    /// What it uses on a day like today.
    today: NeedData,
    /// What it uses on a usual day of each month.
    months: Vec<MonthData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct NeedData {
    /// Used in a day, to 0.01 L; `null` where the range is too wide to help.
    litres: Option<RangeData>,
    /// From full to the refill line, to 0.1 days; `null` where the range is too wide to help.
    lasts_days: Option<RangeData>,
    /// Plants it is for.
    plants: Option<f64>,
    /// Containers it is for, to 0.01.
    containers: Option<f64>,
    /// `days`, `daily or twice`, `morning and evening` or `not known`.
    rhythm: &'static str,
}

#[derive(Debug, JsonSchema, Serialize)]
struct MonthData {
    /// A day in the month.
    day: NaiveDate,
    /// What is used; `null` where nothing grows then.
    need: Option<NeedData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct WithheldData {
    /// Its id.
    planting: String,
    /// `indoors`, `no climate`, `no coefficients` or `no size`.
    why: &'static str,
}

#[derive(Debug, JsonSchema, Serialize)]
struct WateringData {
    /// The day.
    on: NaiveDate,
    /// How much, to 0.01 L; `null` where the range is too wide to help.
    litres: Option<RangeData>,
    /// Ids of the plantings it is for.
    plantings: Vec<String>,
    /// The day it was due, if that is past.
    overdue_since: Option<NaiveDate>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct BalanceData {
    /// The day.
    date: NaiveDate,
    /// What is left of what the roots can reach, to 0.001.
    left_share: Option<RangeData>,
    /// The share at which to water, to 0.001.
    refill_share: f64,
    /// Whether a watering was noted.
    watered: bool,
    /// How much was poured, to 0.01 L, if that was noted.
    watered_litres: Option<f64>,
    /// As measured, to 0.1 mm.
    rain_mm: Option<f64>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct RangeData {
    /// The low end of the range.
    low: f64,
    /// The middle of it.
    middle: f64,
    /// The high end of it.
    high: f64,
}

/// The water of all places in which something grows.
pub(super) fn of(garden: &Garden, findings: &Findings) -> Vec<WaterData> {
    findings.water.iter().map(|water| place(garden, water)).collect()
}

fn place(garden: &Garden, water: &PlaceWater) -> WaterData {
    let at = garden.place(water.place);
    let withheld = water.withheld.iter().map(|(planting, why)| WithheldData {
        planting: id_of(garden, *planting),
        why: match why {
            Withheld::Indoors => "indoors",
            Withheld::NoClimate => "no climate",
            Withheld::NoCoefficients => "no coefficients",
            Withheld::NoSize => "no size",
        },
    });
    WaterData {
        place: at.slug.clone(),
        on_timer: at.is_on_timer,
        known: water.is_known(),
        last_watered: water.last,
        today: water.today.as_ref().map(need),
        months: water.months.iter().map(month).collect(),
        plantings: water.stands.iter().map(|own| stand(garden, own)).collect(),
        withheld: withheld.collect(),
        waterings: water.refills.iter().map(|refill| watering(garden, refill)).collect(),
        days: water.days.iter().map(balance).collect(),
    }
}

fn stand(garden: &Garden, own: &StandWater) -> StandData {
    StandData {
        planting: id_of(garden, own.stand.room.planting),
        today: need(&own.today),
        months: own.months.iter().map(month).collect(),
    }
}

fn month(month: &MonthNeed) -> MonthData {
    MonthData { day: month.day, need: month.need.as_ref().map(need) }
}

fn need(need: &Need) -> NeedData {
    NeedData {
        litres: litres(need.litres),
        lasts_days: need.rhythm.is_known().then(|| range(need.lasts_days, 1)),
        plants: need.plants,
        containers: need.containers.map(|number| rounded(number, 2)),
        rhythm: match need.rhythm {
            unknown if !unknown.is_known() => "not known",
            Rhythm::Days(..) => "days",
            Rhythm::DailyOrTwice => "daily or twice",
            Rhythm::MorningAndEvening => "morning and evening",
        },
    }
}

fn watering(garden: &Garden, refill: &Refill) -> WateringData {
    WateringData {
        on: refill.date,
        litres: litres(refill.litres),
        plantings: refill.plantings.iter().map(|planting| id_of(garden, *planting)).collect(),
        overdue_since: refill.overdue_since,
    }
}

fn balance(day: &PlaceDay) -> BalanceData {
    BalanceData {
        date: day.date,
        left_share: day.left.map(|left| range(left, 3)),
        refill_share: rounded(day.refill_at, 3),
        watered: day.poured.is_some(),
        watered_litres: day.poured.and_then(|poured| match poured {
            Poured::Litres(litres) => Some(rounded(litres, 2)),
            Poured::Full => None,
        }),
        rain_mm: day.rain_mm.map(|mm| rounded(mm, 1)),
    }
}

/// What a page calls not known is not a figure here.
fn litres(estimate: Estimate) -> Option<RangeData> {
    (!is_too_wide(estimate)).then(|| range(estimate, 2))
}

fn range(estimate: Estimate, places: i32) -> RangeData {
    RangeData {
        low: rounded(estimate.low, places),
        middle: rounded(estimate.middle, places),
        high: rounded(estimate.high, places),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_that_helps_nobody_is_null_as_it_is_not_known_on_pages() {
        let told = |low, high| litres(Estimate::between(low, high)).map(|it| (it.low, it.high));
        assert_eq!(told(9.0, 99.0), None);
        assert_eq!(told(0.0, 12.0), None);
        assert_eq!(told(9.0, 40.0), Some((9.0, 40.0)));
        assert_eq!(told(0.1, 0.8), Some((0.1, 0.8)));
    }
}
