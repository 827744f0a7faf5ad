//! Water: what plants use, what their soil or pot holds, and when it has to be filled again.
//!
//! Reference evapotranspiration of the day ([`crate::climate::evapotranspiration`]) times the crop
//! coefficient of the day (FAO-56 eq. 66), over the ground of a bed or the leaves over a pot, against the
//! water the roots can reach (FAO-56 ch. 8). Every figure is a range: weather by low and high alone, soil by
//! a word and leaves by their spread carry no more. Lifting the pot, or a finger in the soil, knows better.
//!
//! No figure indoors, where lamps and walls make the climate; none for trays, of which no volume is known;
//! none without a climate. What a timer waters is taken to be watered.

pub mod account;
pub mod anchors;
pub mod crop_coefficient;
pub mod days;
pub mod estimate;
pub mod holding;
pub mod record;
pub mod refills;
pub mod room;
pub mod root_zone;
pub mod season;
pub mod stand;

use chrono::{Datelike, NaiveDate};

use crate::care::water::anchors::Curve;
use crate::care::water::estimate::Estimate;
use crate::care::water::record::Taker;
use crate::care::water::refills::{DAYS_AHEAD, Refill};
use crate::care::water::room::{Ground, Room};
use crate::care::water::season::PlaceDay;
use crate::care::water::stand::{Stand, StandDay};
use crate::climate::conditions::Conditions;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId, StepWord};
use crate::garden::taught::Taught;
use crate::garden::vessel;
use crate::place_kind::{Cover, PlaceKind};
use crate::stages::StageDates;
use crate::units::{self, VolumeUnit};

/// The water of a place in which something grows.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceWater {
    pub place: PlaceId,
    /// Plantings there with figures.
    pub stands: Vec<StandWater>,
    /// Plantings there without, and why.
    pub withheld: Vec<(PlantingId, Withheld)>,
    /// All of them today.
    pub today: Option<Need>,
    /// All of them on a normal day in the middle of each month of the season, in its order.
    pub months: Vec<MonthNeed>,
    /// The season so far, day by day; nothing where a timer waters.
    pub days: Vec<PlaceDay>,
    /// Waterings to come; none where a timer does it.
    pub refills: Vec<Refill>,
    /// The newest watering that was noted, with the number of days on which one was.
    pub last: Option<NaiveDate>,
    /// On how many days it was watered, as far as it was noted.
    pub times: u32,
}

/// The water of a planting in a place.
#[derive(Clone, Debug, PartialEq)]
pub struct StandWater {
    /// How it uses water.
    pub stand: Stand,
    pub today: Need,
    /// On a normal day in the middle of each month, while it is expected to stand.
    pub months: Vec<MonthNeed>,
}

/// A normal day in the middle of a month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthNeed {
    pub day: NaiveDate,
    /// What is used; nothing while nothing stands there.
    pub need: Option<Need>,
}

/// What is used on a day, and how long what is held lasts at that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Use of a day, litres.
    pub litres: Estimate,
    /// From full to the refill line, days.
    pub lasts_days: Estimate,
    /// How often to water.
    pub rhythm: Rhythm,
    /// The plants, if they are of one planting and were counted.
    pub plants: Option<f64>,
    /// The containers, if they stand in containers.
    pub containers: Option<f64>,
}

/// How often to water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rhythm {
    /// Every so many days, from and to.
    Days(u32, u32),
    /// Every day, and on hot days twice: the pot may not carry one.
    DailyOrTwice,
    /// The pot does not carry the day: morning and evening.
    MorningAndEvening,
}

impl Rhythm {
    /// Whether it says enough to go by: the last day is not more than five times the first.
    pub fn is_known(self) -> bool {
        !matches!(self, Rhythm::Days(from, to) if to > 5 * from)
    }
}

/// Why there is no figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Withheld {
    /// Indoors, under lamps.
    Indoors,
    /// garden.yaml has no climate.
    NoClimate,
    /// The crop sheet has no crop coefficients.
    NoCoefficients,
    /// The place's sizes are not written, or it is a tray.
    NoSize,
}

/// The water of all places in which something grows, in the order of the garden. `stages` by
/// planting.
pub fn of_garden(
    taught: &Taught,
    conditions: &Conditions,
    stages: &[Vec<StageDates>],
) -> Vec<PlaceWater> {
    let garden = taught.garden();
    let season = garden.season().days;
    let period =
        Period { from: shift(season.from, -LEAD_DAYS), to: shift(garden.today, DAYS_AHEAD as i64) };
    let days = days::of(garden, conditions, period);
    let mut places: Vec<PlaceWater> = Vec::new();
    let mut stands: Vec<(PlaceId, Stand)> = Vec::new();
    for (id, _) in garden.places() {
        let mut withheld = Vec::new();
        for (planting, room) in room::of_place(garden, id) {
            match stand(garden, id, planting, room, &stages[planting.0], !days.is_empty()) {
                Ok(stand) => stands.push((id, stand)),
                Err(why) => withheld.push((planting, why)),
            }
        }
        let own = stands.iter().filter(|(place, _)| *place == id);
        let own: Vec<Stand> = own.map(|(_, stand)| *stand).collect();
        if !own.is_empty() || !withheld.is_empty() {
            places.push(of_place(garden, conditions, id, &own, withheld));
        }
    }
    let index = (garden.today - period.from).num_days() as usize;
    let Some(today) = days.get(index) else { return places };
    let takers: Vec<Taker> = stands
        .iter()
        .map(|(place, stand)| {
            let room = &stand.room;
            let plants = room.plants.unwrap_or(1.0);
            Taker {
                planting: room.planting,
                place: *place,
                from: since(garden.planting(room.planting), *place),
                holds: stand.on_day(today).total.middle,
                pieces: containers_of(room).unwrap_or(plants),
            }
        })
        .collect();
    let poured = record::poured(garden, &takers);
    for place in &mut places {
        season::fill_in(garden, place, &takers, &poured, &days, index);
    }
    places
}

impl PlaceWater {
    /// Whether anything is known of what is left.
    pub fn is_known(&self) -> bool {
        !self.refills.is_empty() || self.days.last().is_some_and(|day| day.left.is_some())
    }

    /// What today's plants use on a usual day, as far as they are expected to stand; nothing without them or
    /// without normals.
    pub fn on_usual_day(&self, conditions: &Conditions, day: NaiveDate) -> Option<Need> {
        let stands: Vec<&Stand> = self.stands.iter().map(|own| &own.stand).collect();
        usual(conditions, &stands, day)
    }
}

/// Days before the season from which the balance runs, so that winter has passed through it.
const LEAD_DAYS: i64 = 30;

/// A planting in a place, or why nothing can be said of it.
fn stand(
    garden: &Garden,
    place: PlaceId,
    id: PlantingId,
    room: Option<Room>,
    dates: &[StageDates],
    has_climate: bool,
) -> Result<Stand, Withheld> {
    let at = garden.place(place);
    let is_indoors =
        at.cover == Cover::Indoors || (at.kind == PlaceKind::Shelf && at.cover != Cover::Glass);
    if is_indoors {
        return Err(Withheld::Indoors);
    }
    if !has_climate {
        return Err(Withheld::NoClimate);
    }
    let planting = garden.planting(id);
    let is_perennial = planting.is_perennial || planting.sheet.is_perennial == Some(true);
    let season = is_perennial.then(|| garden.season().days);
    let curve = Curve::of(&planting.sheet, dates, since(planting, place), season)
        .ok_or(Withheld::NoCoefficients)?;
    let room = room.ok_or(Withheld::NoSize)?;
    // What stands for years has rooted all of its pot.
    let ball_l = if is_perennial { Some(f64::INFINITY) } else { root_ball(planting) };
    Stand::of(room, &planting.sheet, curve, at, ball_l).ok_or(Withheld::NoSize)
}

/// What the pot held from which a planting was set out, litres, if it was written down.
fn root_ball(planting: &Planting) -> Option<f64> {
    let pots = planting.history.iter().rev().flat_map(|step| &step.words);
    let pot = pots.filter(|(word, _)| *word == StepWord::Pot).find_map(|(_, text)| {
        let range = vessel::pot_range(units::pot(text).ok()?);
        Some(VolumeUnit::Litre.measure(vessel::middle(range)))
    });
    pot.filter(|litres| *litres > 0.0)
}

/// The first day of the stay that goes on.
fn since(planting: &Planting, place: PlaceId) -> NaiveDate {
    let stays = planting.stays.iter().rev();
    let here = stays.filter(|stay| stay.place == place).map(|stay| stay.from).next();
    here.or(planting.begun()).unwrap_or(planting.noted)
}

fn containers_of(room: &Room) -> Option<f64> {
    match room.ground {
        Ground::Containers { number, .. } => Some(number),
        Ground::Soil { .. } => None,
    }
}

/// What a place uses, without its season yet.
fn of_place(
    garden: &Garden,
    conditions: &Conditions,
    id: PlaceId,
    stands: &[Stand],
    withheld: Vec<(PlantingId, Withheld)>,
) -> PlaceWater {
    let today = garden.today;
    let day = |date| conditions.day(garden, date).et0_mm;
    let need_today = |stand: &Stand| {
        let et0 = day(today).unwrap_or(0.0);
        need(&[(stand, stand.on(today, et0, Estimate::default()))])
    };
    let all: Vec<&Stand> = stands.iter().collect();
    let et0 = day(today).unwrap_or(0.0);
    let on_today: Vec<_> =
        all.iter().map(|stand| (*stand, stand.on(today, et0, Estimate::default()))).collect();
    PlaceWater {
        place: id,
        today: need(&on_today),
        months: months(garden, conditions, &all),
        stands: stands
            .iter()
            .filter_map(|stand| {
                let today = need_today(stand)?;
                Some(StandWater {
                    stand: *stand,
                    today,
                    months: months(garden, conditions, &[stand]),
                })
            })
            .collect(),
        withheld,
        days: Vec::new(),
        refills: Vec::new(),
        last: None,
        times: 0,
    }
}

/// The middle of each month of the season, by normals alone.
fn months(garden: &Garden, conditions: &Conditions, stands: &[&Stand]) -> Vec<MonthNeed> {
    let season = garden.season().days;
    let mut months: Vec<NaiveDate> = Vec::new();
    for start in season.each_day() {
        let is_new = months.last().is_none_or(|last| last.month() != start.month());
        let middle = start.with_day(15).unwrap_or(start);
        if is_new && months.len() < 12 {
            months.push(middle);
        }
    }
    months.into_iter().map(|day| MonthNeed { day, need: usual(conditions, stands, day) }).collect()
}

fn usual(conditions: &Conditions, stands: &[&Stand], day: NaiveDate) -> Option<Need> {
    let et0 = conditions.normal_et0_mm(day)?;
    let is_there =
        |stand: &&&Stand| stand.curve.from <= day && stand.curve.to.is_none_or(|to| day <= to);
    let there = stands.iter().filter(is_there);
    let there: Vec<_> =
        there.map(|stand| (*stand, stand.on(day, et0, Estimate::default()))).collect();
    need(&there)
}

/// What stands use together; nothing if there are none.
fn need(stands: &[(&Stand, StandDay)]) -> Option<Need> {
    let litres = stands.iter().map(|(_, day)| day.uses).reduce(|a, b| a + b)?;
    // The first of them that has to be watered sets the pace.
    let most = Estimate::exactly(f64::from(MOST_DAYS));
    let lasts = stands.iter().map(|(_, day)| day.ready().over(day.uses).unwrap_or(most));
    let lasts_days = lasts.reduce(|a, b| Estimate {
        low: a.low.min(b.low),
        middle: a.middle.min(b.middle),
        high: a.high.min(b.high),
    })?;
    let rooms: Vec<&Room> = stands.iter().map(|(stand, _)| &stand.room).collect();
    let containers: Option<f64> = rooms.iter().map(|room| containers_of(room)).sum();
    Some(Need {
        litres,
        lasts_days,
        rhythm: rhythm(lasts_days, containers.is_some()),
        plants: if let [room] = rooms[..] { room.plants } else { None },
        containers,
    })
}

/// Whole days, at least one: what does not last until the evening is watered twice, if it is a pot. A bed holds
/// more below the roots' first layer than a day takes.
fn rhythm(lasts: Estimate, is_container: bool) -> Rhythm {
    if is_container && lasts.middle < 1.0 {
        return Rhythm::MorningAndEvening;
    }
    if is_container && lasts.low < 1.0 {
        return Rhythm::DailyOrTwice;
    }
    let whole = |days: f64| (days.floor().max(1.0) as u32).min(MOST_DAYS);
    Rhythm::Days(whole(lasts.low), whole(lasts.high))
}

/// Longer than this is not told apart, days.
const MOST_DAYS: u32 = 60;
