//! The climate page: frost, day length, temperature, evapotranspiration, and what is not known.

use chrono::{Datelike, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use crate::climate::conditions::{ClimateDay, Conditions, FrostKnowledge};
use crate::dates::{MonthDay, Period};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::settings::weather::FrostLevels;
use crate::site::amount::{Amount, decimals};
use crate::site::frame::Frame;
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::units::{Celsius, LengthUnit, System};

/// The climate page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClimateView {
    pub frame: Frame,
    /// Where the garden is, rounded unless it may be shown exactly.
    pub position: Message,
    /// Where temperatures and rain come from, for which years, from how far away and how sure.
    pub sources: Vec<Message>,
    /// The last frost of spring and the first of autumn.
    pub frost: Vec<FrostRow>,
    /// The months of this season.
    pub months: Vec<ClimateMonth>,
    /// How the water of a lawn is worked out.
    pub et0_from: Message,
    /// What is not known, and how to make it known.
    pub unknown: Vec<Message>,
}

/// What is known of frost in one half of the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FrostRow {
    pub half: Message,
    /// From what it is known.
    pub from: Message,
    /// In how many years there is none at all, where that happens.
    pub rarity: Option<Message>,
    #[serde(flatten)]
    pub days: FrostDays,
}

/// When frost comes, at three levels of chance.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub struct FrostDays {
    /// The day in this season after which it still comes in nine years of ten, or before which it
    /// has come.
    p90: Option<NaiveDate>,
    /// The same for five years of ten.
    p50: Option<NaiveDate>,
    /// The same for one year of ten.
    p10: Option<NaiveDate>,
}

/// A month on the climate page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClimateMonth {
    /// The first day of it in this season.
    pub day: NaiveDate,
    /// Mean normal low and high.
    pub low: Option<Amount>,
    /// Mean normal high.
    pub high: Option<Amount>,
    /// Day length in the middle of the month.
    pub day_length: Amount,
    /// Mean reference evapotranspiration of a day.
    pub et0: Option<Amount>,
    /// Normal rain.
    pub rain: Option<Amount>,
    /// On how many days it usually rains.
    pub rain_days: Option<Message>,
}

impl Page for ClimateView {
    type Key = ();

    const PART: Part = Part { key: "climate", href: "climate/index.html", area: Area::More };
    const TEMPLATE: &'static str = "climate.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let conditions = &findings.conditions;
        let (season, given) = (garden.season(), &garden.settings.frost);
        let mut unknown = Vec::new();
        if conditions.normals.is_none() {
            unknown.push(Message::new("unknown.normals"));
        }
        if conditions.spring_frost.model().is_none() || conditions.autumn_frost.model().is_none() {
            unknown.push(Message::new("unknown.frost"));
        }
        let title = Message::new("part.climate");
        ClimateView {
            frame: Frame::new::<Self>(garden, &(), title),
            position: position(garden),
            sources: sources(garden, conditions),
            frost: vec![
                frost_row(
                    "frost.spring",
                    &conditions.spring_frost,
                    &given.last_spring,
                    season.days,
                ),
                frost_row(
                    "frost.autumn",
                    &conditions.autumn_frost,
                    &given.first_autumn,
                    season.days,
                ),
            ],
            months: months(garden, findings, season.days),
            et0_from: Message::new(match conditions.air {
                Some(_) => "climate.et0-of-air",
                None => "climate.et0-of-temperatures",
            }),
            unknown,
        }
    }
}

fn position(garden: &Garden) -> Message {
    let (latitude, longitude) = garden.settings.position.shown();
    let places = garden.settings.position.decimals_shown();
    let side = |degrees: f64, plus: &str, minus: &str| {
        let key = if degrees < 0.0 { minus } else { plus };
        let amount =
            Amount { number: decimals(degrees.abs(), places), unit: "°".to_owned(), about: false };
        Message::new(format!("side.{key}")).with("amount", amount)
    };
    let elevation = garden.settings.position.elevation.map(|elevation| {
        let (metres, system) = (LengthUnit::Metre.measure(elevation), garden.settings.units);
        match system {
            System::Metric => length(metres, "m"),
            System::Us => length(metres / 0.3048, "ft"),
        }
    });
    let said = match elevation {
        Some(elevation) => Message::new("position.elevation").with("elevation", elevation),
        None => Message::new("position"),
    };
    said.with("latitude", side(latitude, "north", "south"))
        .with("longitude", side(longitude, "east", "west"))
}

fn sources(garden: &Garden, conditions: &Conditions) -> Vec<Message> {
    let climate = garden.settings.climate;
    let has_own_temperatures = climate.low_c.is_some() && climate.high_c.is_some();
    let own = [("temperatures-own", has_own_temperatures), ("rain-own", climate.rain_mm.is_some())];
    let mut sources: Vec<Message> = own
        .into_iter()
        .filter(|(_, is_own)| *is_own)
        .map(|(key, _)| Message::new(format!("climate.{key}")))
        .collect();
    let Some(world) = &conditions.world else { return sources };
    let (distance, elevation) = match garden.settings.units {
        System::Metric => (length(world.nearest_km, "km"), length(world.elevation_m, "m")),
        System::Us => {
            (length(world.nearest_km / 1.609_344, "mi"), length(world.elevation_m / 0.3048, "ft"))
        }
    };
    if !has_own_temperatures {
        let message = Message::new("climate.temperatures-table").with("elevation", elevation);
        sources.push(message.with("error", usual_error(garden.settings.units)));
    }
    if climate.rain_mm.is_none() {
        sources.push(Message::new("climate.rain-table"));
    }
    sources.push(Message::new("climate.table").with("distance", distance));
    sources
}

/// How far off the temperatures of the table are, as its test has it: 1 °C, which is 2 °F.
fn usual_error(system: System) -> Amount {
    match system {
        System::Metric => length(1.0, "°C"),
        System::Us => length(1.0 * 1.8, "°F"),
    }
}

fn length(number: f64, unit: &str) -> Amount {
    Amount { number: decimals(number, 0), unit: unit.to_owned(), about: false }
}

/// Said where a year without frost is no rarity.
fn rarity(share_of_years: f64) -> Option<Message> {
    let of_ten = (share_of_years * 10.0).round() as u64;
    match of_ten {
        10.. => None,
        0 => Some(Message::new("frost.none")),
        _ => Some(Message::new("frost.some-years").with("count", of_ten)),
    }
}

fn frost_row(
    half: &str,
    knowledge: &FrostKnowledge,
    given: &FrostLevels,
    season: Period,
) -> FrostRow {
    let from = match knowledge {
        FrostKnowledge::Observed(_, years) => {
            Message::new("frost.observed").with("count", *years as u64)
        }
        FrostKnowledge::Given(_) => Message::new("frost.given"),
        FrostKnowledge::Computed(_) => Message::new("frost.computed"),
        FrostKnowledge::Unknown => Message::new("frost.unknown"),
    };
    FrostRow {
        half: Message::new(half),
        from,
        rarity: knowledge.model().and_then(|model| rarity(model.share_of_years())),
        days: FrostDays::new(knowledge, given, season).unwrap_or_default(),
    }
}

impl FrostDays {
    /// Nothing where frost is not known.
    pub(super) fn new(
        knowledge: &FrostKnowledge,
        given: &FrostLevels,
        season: Period,
    ) -> Option<FrostDays> {
        let dates = knowledge.model()?.dates();
        // Of three dates that are given two make the model; the third is shown as it was given.
        let given = given.p90.filter(|_| matches!(knowledge, FrostKnowledge::Given(_)));
        let place = |day: Option<MonthDay>| day.map(|day| in_season(day, season));
        Some(FrostDays {
            p90: place(given.or(dates.p90)),
            p50: place(dates.p50),
            p10: place(dates.p10),
        })
    }
}

/// The day on which a day of every year falls in a season.
pub fn in_season(day: MonthDay, season: Period) -> NaiveDate {
    let first = day.in_year(season.from.year());
    if first >= season.from { first } else { day.in_year(season.from.year() + 1) }
}

fn months(garden: &Garden, findings: &Findings, season: Period) -> Vec<ClimateMonth> {
    let system = garden.settings.units;
    let conditions = &findings.conditions;
    let mut months: Vec<(NaiveDate, Vec<ClimateDay>)> = Vec::new();
    for date in season.each_day() {
        // Normals only: this year's weather is not climate.
        let normals = conditions.normals.as_ref();
        let day = ClimateDay {
            low_c: normals.map(|normals| normals.low_c(date)),
            high_c: normals.map(|normals| normals.high_c(date)),
            et0_mm: conditions.normal_et0_mm(date),
            ..conditions.day(garden, date)
        };
        match months.last_mut().filter(|(first, _)| first.month() == date.month()) {
            Some((_, days)) => days.push(day),
            None => months.push((date, vec![day])),
        }
    }
    months
        .into_iter()
        .map(|(first, days)| {
            let mean = |value: fn(&ClimateDay) -> Option<f64>| {
                let values: Option<Vec<f64>> = days.iter().map(value).collect();
                values.map(|values| values.iter().sum::<f64>() / values.len() as f64)
            };
            let rain = conditions.rain_mm;
            let rain_days = conditions.air.as_ref().filter(|_| rain.is_some()).map(|air| {
                let days = air.rain_days[first.month0() as usize].round();
                Message::new("climate.rain-days").with("count", days as u64)
            });
            ClimateMonth {
                rain_days,
                day: first,
                low: mean(|d| d.low_c).map(|c| Amount::temperature(Celsius(c), system)),
                high: mean(|d| d.high_c).map(|c| Amount::temperature(Celsius(c), system)),
                day_length: Amount::hours(days[days.len() / 2].day_length_h),
                et0: mean(|d| d.et0_mm).map(|mm| Amount::water_depth(mm, system)),
                rain: rain.map(|rain| Amount::monthly_rain(rain[first.month0() as usize], system)),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::frost::FrostModel;
    use crate::climate::half_year::Half;

    /// The page and garden.json say what the grower gave, though two of three dates make the model.
    #[test]
    fn a_date_that_was_given_is_shown_as_it_was_given() {
        let [p90, p50, p10] = [(3, 20), (4, 15), (5, 1)].map(|(m, d)| MonthDay::new(m, d));
        let model = FrostModel::from_dates(Half::Spring, 51.0, p50.unwrap(), p10.unwrap(), 1.0);
        let date = |text: &str| text.parse::<NaiveDate>().unwrap();
        let season = Period { from: date("2026-01-01"), to: date("2026-12-31") };
        let knowledge = FrostKnowledge::Given(model.unwrap());
        let days = FrostDays::new(&knowledge, &FrostLevels { p90, p50, p10 }, season).unwrap();
        assert_eq!(days.p90, Some(date("2026-03-20")));
        let none = FrostLevels::default();
        let of_the_model = FrostDays::new(&knowledge, &none, season).unwrap();
        assert_ne!(of_the_model.p90, days.p90);
        assert_eq!((of_the_model.p50, of_the_model.p10), (days.p50, days.p10));
        assert!(FrostDays::new(&FrostKnowledge::Unknown, &none, season).is_none());
    }
}
