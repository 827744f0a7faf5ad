//! The conditions a garden grows in: its normals, its frost, where it lies.
//!
//! Put together once from garden.yaml and the weather tables; everything that depends on climate asks
//! here. What is not known is `None`, and whoever asks has to say so.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::climate::evapotranspiration::hargreaves_mm;
use crate::climate::frost::FrostModel;
use crate::climate::frost_record::observed;
use crate::climate::half_year::Half;
use crate::climate::normals::Normals;
use crate::climate::sun;
use crate::garden::model::Garden;
use crate::settings::FrostLevels;

/// The conditions a garden grows in.
///
/// The position is the one that may be shown: daylight to a hundredth of an hour would otherwise give away
/// what was rounded. A tenth of a degree moves the sun by seconds.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditions {
    /// North is positive.
    pub latitude_deg: f64,
    /// East is positive.
    pub longitude_deg: f64,
    /// Daily normals, if garden.yaml gives monthly means.
    pub normals: Option<Normals>,
    /// The last frost of spring.
    pub spring_frost: FrostKnowledge,
    /// The first frost of autumn.
    pub autumn_frost: FrostKnowledge,
    /// The chance of frost the grower is willing to take, 0 to 1.
    pub risk: f64,
}

/// What is known of frost in one half of the year.
#[derive(Clone, Debug, PartialEq)]
pub enum FrostKnowledge {
    /// From the garden's own weather, and from how many years (also if none of them had frost).
    Observed(FrostModel, usize),
    /// From the dates in garden.yaml.
    Given(FrostModel),
    /// Nothing is known.
    Unknown,
}

impl FrostKnowledge {
    /// The model, if there is one.
    pub fn model(&self) -> Option<&FrostModel> {
        match self {
            FrostKnowledge::Observed(model, _) | FrostKnowledge::Given(model) => Some(model),
            FrostKnowledge::Unknown => None,
        }
    }
}

/// A day of weather: as observed, else normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClimateDay {
    /// The day.
    pub date: NaiveDate,
    /// Lowest temperature, °C.
    pub low_c: Option<f64>,
    /// Highest temperature, °C.
    pub high_c: Option<f64>,
    /// From sunrise to sunset, hours.
    pub day_length_h: f64,
    /// Reference evapotranspiration, mm.
    pub et0_mm: Option<f64>,
    /// Whether both temperatures were observed.
    pub is_observed: bool,
}

/// A usual risk to take: frost in one year of ten. Common practice, no source.
const USUAL_RISK: f64 = 0.1;

impl Conditions {
    /// The conditions of a garden.
    pub fn of(garden: &Garden) -> Conditions {
        let position = garden.settings.position;
        let climate = garden.settings.climate;
        let normals = climate
            .low_c
            .zip(climate.high_c)
            .map(|(low, high)| Normals::new(low, high, climate.rain_mm));
        let lows: BTreeMap<NaiveDate, f64> = garden
            .weather
            .iter()
            .filter_map(|(date, weather)| Some((*date, weather.low_c?)))
            .collect();
        let frost = &garden.settings.frost;
        let (latitude_deg, longitude_deg) = position.shown();
        Conditions {
            latitude_deg,
            longitude_deg,
            normals,
            spring_frost: frost_of(Half::Spring, latitude_deg, &lows, &frost.last_spring),
            autumn_frost: frost_of(Half::Autumn, latitude_deg, &lows, &frost.first_autumn),
            risk: frost.risk.unwrap_or(USUAL_RISK),
        }
    }

    /// A day as it was observed, else as it normally is.
    pub fn day(&self, garden: &Garden, date: NaiveDate) -> ClimateDay {
        let seen = garden.weather.get(&date).copied().unwrap_or_default();
        let (low_c, high_c) = match self.temperatures(garden, date) {
            Some((low, high)) => (Some(low), Some(high)),
            None => (seen.low_c, seen.high_c),
        };
        let et0_mm =
            low_c.zip(high_c).map(|(low, high)| hargreaves_mm(date, self.latitude_deg, low, high));
        ClimateDay {
            date,
            low_c,
            high_c,
            day_length_h: sun::day_length_h(date, self.latitude_deg, self.longitude_deg),
            et0_mm,
            is_observed: seen.low_c.is_some() && seen.high_c.is_some(),
        }
    }

    /// Low and high of a day, °C: as observed if both were, else normal.
    pub fn temperatures(&self, garden: &Garden, date: NaiveDate) -> Option<(f64, f64)> {
        let seen = garden.weather.get(&date).and_then(|seen| seen.low_c.zip(seen.high_c));
        seen.or_else(|| self.normal_temperatures(date))
    }

    /// Low and high of a day as they normally are, °C.
    pub fn normal_temperatures(&self, date: NaiveDate) -> Option<(f64, f64)> {
        let normals = self.normals.as_ref();
        normals.map(|year| (year.low_c(date), year.high_c(date)))
    }
}

fn frost_of(
    half: Half,
    latitude_deg: f64,
    lows: &BTreeMap<NaiveDate, f64>,
    given: &FrostLevels,
) -> FrostKnowledge {
    let record = observed(half, latitude_deg, lows);
    let years = record.years.len();
    if let Some(model) = record.model {
        return FrostKnowledge::Observed(model, years);
    }
    let pair = given.p50.zip(given.p10);
    match pair.and_then(|(p50, p10)| FrostModel::from_dates(half, latitude_deg, p50, p10)) {
        Some(model) => FrostKnowledge::Given(model),
        None => FrostKnowledge::Unknown,
    }
}
