//! The conditions a garden grows in: its normals, its frost, where it lies.
//!
//! Put together once from garden.yaml and the weather tables; everything that depends on climate asks
//! here. What is not known is `None`, and whoever asks has to say so.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::climate::air_of_year::AirOfYear;
use crate::climate::evapotranspiration::{Air, hargreaves_mm, penman_monteith_mm};
use crate::climate::frost::FrostModel;
use crate::climate::frost_of_normals::frost_of_normals;
use crate::climate::frost_record::observed;
use crate::climate::half_year::Half;
use crate::climate::normals::Normals;
use crate::climate::sun;
use crate::climate::world::WorldClimate;
use crate::garden::model::Garden;
use crate::settings::weather::FrostLevels;
use crate::units::LengthUnit;

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
    /// Daily normals: of the monthly means in garden.yaml, else of the table of the world.
    pub normals: Option<Normals>,
    /// Rain of each month, from there, too, mm.
    pub rain_mm: Option<[f64; 12]>,
    /// What the table of the world says of the place, if anything is taken from it.
    pub world: Option<WorldClimate>,
    /// Sunshine, wind and damp, always from the table of the world; nothing far from all its sites.
    pub air: Option<AirOfYear>,
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
    /// From the usual lows of the year.
    Computed(FrostModel),
    /// Nothing is known.
    Unknown,
}

impl FrostKnowledge {
    /// The model, if there is one.
    pub fn model(&self) -> Option<&FrostModel> {
        match self {
            FrostKnowledge::Observed(model, _)
            | FrostKnowledge::Given(model)
            | FrostKnowledge::Computed(model) => Some(model),
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
    /// What it was worked out with beside the temperatures; nothing where only those were there.
    pub air: Option<Air>,
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
        let (latitude_deg, longitude_deg) = position.shown();
        let own = climate.low_c.zip(climate.high_c);
        let elevation_m = position
            .elevation
            .map(|elevation| LengthUnit::Metre.measure(elevation))
            .or_else(|| position.town?.elevation_m());
        let of_world = WorldClimate::at(latitude_deg, longitude_deg, elevation_m);
        let world = of_world.filter(|_| own.is_none() || climate.rain_mm.is_none());
        let rain_mm = climate.rain_mm.or(world.map(|world| world.rain_mm));
        let normals = own
            .or(world.map(|world| (world.low_c, world.high_c)))
            .map(|(low, high)| Normals::new(low, high, rain_mm));
        let lows: BTreeMap<NaiveDate, f64> = garden
            .weather
            .iter()
            .filter_map(|(date, weather)| Some((*date, weather.low_c?)))
            .collect();
        let share = garden.settings.frost.share_of_years;
        let computed = |half| {
            let poleward_c = of_world.map_or([0.0; 12], |world| world.poleward_c);
            Some(frost_of_normals(half, latitude_deg, normals.as_ref()?, poleward_c))
        };
        let frost =
            |half, given| frost_of(half, latitude_deg, &lows, (given, share), computed(half));
        let spring_frost = frost(Half::Spring, &garden.settings.frost.last_spring);
        let autumn_frost = frost(Half::Autumn, &garden.settings.frost.first_autumn);
        Conditions {
            latitude_deg,
            longitude_deg,
            normals,
            rain_mm,
            world,
            air: of_world.as_ref().map(AirOfYear::of),
            spring_frost,
            autumn_frost,
            risk: garden.settings.frost.risk.unwrap_or(USUAL_RISK),
        }
    }

    /// A day as it was observed, else as it normally is.
    pub fn day(&self, garden: &Garden, date: NaiveDate) -> ClimateDay {
        let seen = garden.weather.get(&date).copied().unwrap_or_default();
        let (low_c, high_c) = match self.temperatures(garden, date) {
            Some((low, high)) => (Some(low), Some(high)),
            None => (seen.low_c, seen.high_c),
        };
        let et0_mm = low_c.zip(high_c).map(|(low, high)| self.et0_mm(date, low, high));
        ClimateDay {
            date,
            low_c,
            high_c,
            day_length_h: sun::day_length_h(date, self.latitude_deg, self.longitude_deg),
            et0_mm,
            air: self.air.as_ref().map(|year| year.on(date)),
            is_observed: seen.low_c.is_some() && seen.high_c.is_some(),
        }
    }

    /// Reference evapotranspiration of a day with this low and high, mm: with the usual air of the day by Penman–Monteith,
    /// without any by Hargreaves.
    pub fn et0_mm(&self, date: NaiveDate, low_c: f64, high_c: f64) -> f64 {
        match &self.air {
            Some(year) => {
                penman_monteith_mm(date, self.latitude_deg, low_c, high_c, &year.on(date))
            }
            None => hargreaves_mm(date, self.latitude_deg, low_c, high_c),
        }
    }

    /// Reference evapotranspiration of a normal day, mm.
    pub fn normal_et0_mm(&self, date: NaiveDate) -> Option<f64> {
        let (low, high) = self.normal_temperatures(date)?;
        Some(self.et0_mm(date, low, high))
    }

    /// Low and high of a day, °C: as observed if both were, else normal.
    pub fn temperatures(&self, garden: &Garden, date: NaiveDate) -> Option<(f64, f64)> {
        let seen = garden.weather.get(&date).and_then(|seen| seen.low_c.zip(seen.high_c));
        seen.or_else(|| self.normal_temperatures(date))
    }

    /// The mean of the three warmest months as they normally are, °C.
    pub fn summer_c(&self) -> Option<f64> {
        let months = self.normals.as_ref()?.months_c();
        let mut means = months.map(|(low, high)| (low + high) / 2.0);
        means.sort_by(f64::total_cmp);
        Some(means[9..].iter().sum::<f64>() / 3.0)
    }

    /// Low and high of a day as they normally are, °C.
    pub fn normal_temperatures(&self, date: NaiveDate) -> Option<(f64, f64)> {
        let normals = self.normals.as_ref();
        normals.map(|year| (year.low_c(date), year.high_c(date)))
    }
}

/// The standard deviation of a frost's day where the usual lows are not known either: some ten days (Iowa,
/// Thom and Shaw 1958, from memory).
const USUAL_SPREAD_DAYS: f64 = 11.0;

fn frost_of(
    half: Half,
    latitude_deg: f64,
    lows: &BTreeMap<NaiveDate, f64>,
    (given, share): (&FrostLevels, Option<f64>),
    computed: Option<FrostModel>,
) -> FrostKnowledge {
    let record = observed(half, latitude_deg, lows);
    let years = record.years.len();
    if let Some(model) = record.model {
        return FrostKnowledge::Observed(model, years);
    }
    let in_years = share.unwrap_or(1.0);
    let model = match (given.p50, given.p10) {
        _ if in_years == 0.0 => Some(FrostModel::never(half, latitude_deg)),
        (Some(p50), Some(p10)) => FrostModel::from_dates(half, latitude_deg, p50, p10, in_years),
        (None, None) => None,
        (p50, p10) => {
            let one = p10.map(|day| (0.1, day)).or(p50.map(|day| (0.5, day)));
            let spread = computed.map_or(0.0, |model| model.sd_days());
            let spread = if spread > 0.0 { spread } else { USUAL_SPREAD_DAYS };
            one.and_then(|one| FrostModel::from_one(half, latitude_deg, one, spread, in_years))
        }
    };
    match (model, computed) {
        (Some(model), _) => FrostKnowledge::Given(model),
        (None, Some(model)) => FrostKnowledge::Computed(model),
        (None, None) => FrostKnowledge::Unknown,
    }
}
