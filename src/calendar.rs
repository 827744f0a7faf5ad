//! When to sow, plant out and pick each crop in a garden's normal year.
//!
//! Every day of a growing year is asked two things for a way to begin a crop: may it be begun today (frost,
//! warmth, heat), and will it then be ready before frost, dark or heat end it? Days that pass both, one after
//! another, are a window. So the same rules serve a mountain with ten weeks of summer, a garden without
//! frost whose season is winter, a highland where every day will do, and both halves of the earth.
//!
//! The rules and their grounds stand in `calendar/rules.rs`, the year they are asked of in
//! `calendar/year.rs`, glass and fleece in [`shelter`]. Dates are those of the normal year, not a forecast.

pub mod basis;
pub mod bounds;
pub mod experience;
pub mod plan;
pub mod shelter;
pub mod thresholds;

mod autumn;
mod day_length;
mod fruit_set;
mod needs;
mod reasons;
mod rules;
mod tally;
mod vernalization;
mod windows;
mod winter;
mod year;
mod yearly;

#[cfg(test)]
mod properties;
#[cfg(test)]
mod reference_gardens;

use chrono::NaiveDate;

pub use year::GrowingYear;

use crate::calendar::bounds::WindowBounds;
use crate::calendar::experience::Experience;
use crate::calendar::shelter::Shelter;
use crate::catalogue::{Catalogue, Crop, CropId, CropSheet};
use crate::climate::conditions::Conditions;
use crate::dates::Period;
use crate::place_kind::Cover;

/// When a crop is begun and picked in one growing year.
#[derive(Clone, Debug, PartialEq)]
pub struct CropCalendar {
    /// The round that opens as it grows warm. Where nothing stops it, it lasts all year.
    pub spring: Option<Round>,
    /// The round that opens as it grows cool: after the heat of summer, or of what stands through winter. Its
    /// end and its harvest may lie in the next growing year.
    pub autumn: Option<Round>,
    /// The ways to begin this crop that have no window here, each with its reason.
    pub refusals: Vec<Refusal>,
    /// The last frost of spring that was reckoned with.
    pub last_frost: FrostLimit,
    /// The first frost of autumn that was reckoned with.
    pub first_frost: FrostLimit,
}

/// The windows of a crop for one round. A window's ends are its first and last useful day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Round {
    /// What opens it.
    pub opens: Opens,
    /// Sowing under cover, counted back from planting out.
    pub sow_under_cover: Option<Period>,
    /// Planting out; also cloves, sets, tubers, crowns and young plants.
    pub plant_out: Option<Period>,
    /// Sowing where it will grow.
    pub sow_outdoors: Option<Period>,
    /// From the first picking of what is begun first to the last of what is begun last. None if the crop
    /// sheet does not tell how long it takes.
    pub harvest: Option<Period>,
    /// Whether only kinds at the quick end of the sheet's range are ready in time.
    pub is_for_quick_kinds: bool,
    /// Why the windows are as they are.
    pub bounds: Vec<WindowBounds>,
}

/// What opens a round: a sowing of spring and one of autumn are different things.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Opens {
    /// It has grown warm enough.
    #[default]
    AsItWarms,
    /// It has grown cool enough.
    AsItCools,
}

/// How a crop is begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum How {
    /// Seed under cover.
    SowUnderCover,
    /// Seed where it will grow.
    SowOutdoors,
    /// Plants, sets, tubers, crowns.
    PlantOut,
    /// Cloves, sets or seed that stand through winter.
    BeginInAutumn,
}

/// A way to begin a crop that has no window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refusal {
    /// The way.
    pub how: How,
    /// Why.
    pub why: Reason,
}

/// Why there is no window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// garden.yaml gives no monthly temperatures.
    NoClimate,
    /// The place is indoors: the garden's climate says nothing about it.
    Indoors,
    /// The crop sheet has no such value.
    SheetLacks(&'static str),
    /// Nights, or the soil, or the day's mean never reach what it needs.
    NeverWarmEnough {
        /// What it needs, °C.
        needs_c: f64,
        /// The most there is, °C.
        warmest_c: f64,
    },
    /// Nights never cool to what it needs.
    NeverCools {
        /// What it needs, °C.
        needs_c: f64,
        /// The least there is, °C.
        coolest_c: f64,
    },
    /// Too hot to begin it, or to pick it, whenever it is not too cold.
    TooHot,
    /// Winter is too mild for it to bear.
    TooLittleChill {
        /// Hours of cold it needs, as a rule.
        needs_hours: f64,
        /// Hours of cold there usually are.
        has_hours: f64,
    },
    /// Frost, cold or dark come before it is ready: it cannot ripen outdoors here.
    SeasonTooShort {
        /// Days of growth it needs until the first picking, at least.
        needs_days: i64,
        /// Days of growth there are in the best case.
        has_days: i64,
    },
    /// As above, for a crop whose sheet has a sum of degree days.
    TooLittleWarmth {
        /// Degree days it needs until the first picking, °C·days.
        needs_degree_days_c: f64,
        /// Degree days there are in the best case, °C·days.
        has_degree_days_c: f64,
    },
}

/// A frost that was or was not reckoned with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrostLimit {
    /// At the garden's risk it falls on this day.
    On(NaiveDate),
    /// Frost is rarer here than the garden's risk: it sets no limit.
    Rarer,
    /// No frost dates are known; warmth alone decided.
    Unknown,
}

impl CropCalendar {
    /// The spring round, or the autumn round if there is none in spring.
    pub fn main_round(&self) -> Option<&Round> {
        self.spring.as_ref().or(self.autumn.as_ref())
    }

    /// The rounds there are, spring first.
    pub fn rounds(&self) -> impl Iterator<Item = &Round> {
        self.spring.iter().chain(&self.autumn)
    }

    fn refused(year: &GrowingYear, why: Reason, ways: &[How]) -> CropCalendar {
        CropCalendar {
            spring: None,
            autumn: None,
            refusals: ways.iter().map(|how| Refusal { how: *how, why }).collect(),
            last_frost: year.last_frost(),
            first_frost: year.first_frost(),
        }
    }
}

/// The calendar of a crop in a growing year, at a place with such a cover.
///
/// Without normals of the climate, and indoors, every way is refused with that reason.
pub fn of_crop(sheet: &CropSheet, year: &GrowingYear, cover: Cover) -> CropCalendar {
    let ways = needs::ways(sheet);
    let Some(shelter) = Shelter::of(cover) else {
        return CropCalendar::refused(year, Reason::Indoors, &ways);
    };
    if !year.has_climate() {
        return CropCalendar::refused(year, Reason::NoClimate, &ways);
    }
    windows::calendar(sheet, year, shelter, &ways)
}

/// The growing years before, around and after a day: what a season needs, since rounds run over.
pub fn years_around(conditions: &Conditions, day: NaiveDate) -> [GrowingYear; 3] {
    let year = GrowingYear::around(conditions, day);
    [year.before(conditions), year.clone(), year.after(conditions)]
}

/// The rounds of a crop that touch a season, from the `years` around it, earliest first.
pub fn rounds_in(
    sheet: &CropSheet,
    years: &[GrowingYear; 3],
    season: Period,
    cover: Cover,
) -> Vec<Round> {
    let touches = |round: &Round| {
        [round.sow_under_cover, round.plant_out, round.sow_outdoors, round.harvest]
            .iter()
            .flatten()
            .any(|window| window.overlap(&season).is_some())
    };
    years
        .iter()
        .flat_map(|year| of_crop(sheet, year, cover).rounds().cloned().collect::<Vec<_>>())
        .filter(touches)
        .collect()
}

/// The windows of a crop's main round that belong to a season: of each kind the one that begins in the
/// season, else the one that runs into it. Garlic planted last autumn is picked in this one.
///
/// The main round is that of spring if there is one; a spring and an autumn round are not mixed.
pub fn of_season(rounds: &[Round], season: Period) -> Round {
    let opens = rounds.iter().map(|round| round.opens).min().unwrap_or_default();
    let main = || rounds.iter().filter(|round| round.opens == opens);
    let pick = |kind: fn(&Round) -> Option<Period>| {
        let touching =
            || main().filter_map(kind).filter(|window| window.overlap(&season).is_some());
        touching().find(|window| season.contains(window.from)).or_else(|| touching().next())
    };
    Round {
        opens,
        sow_under_cover: pick(|round| round.sow_under_cover),
        plant_out: pick(|round| round.plant_out),
        sow_outdoors: pick(|round| round.sow_outdoors),
        harvest: pick(|round| round.harvest),
        is_for_quick_kinds: main().any(|round| round.is_for_quick_kinds),
        bounds: Vec::new(),
    }
}

/// When what is begun on one day is picked for the first time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FirstPicking {
    /// From quick kinds to slow kinds, as far as these are ready in time.
    pub first: Period,
    /// Whether slow kinds are not ready in time.
    pub is_for_quick_kinds: bool,
}

/// The first picking of what is sown outdoors or planted out on a day, under a cover.
///
/// None where the sheet does not tell, for what is begun in autumn to stand the winter, indoors, without
/// climate, or if growth stops before it is ready.
pub fn picking_of(
    sheet: &CropSheet,
    years: &[GrowingYear; 3],
    cover: Cover,
    how: How,
    day: NaiveDate,
) -> Option<FirstPicking> {
    let year = years.iter().find(|year| year.days().contains(day) && year.has_climate())?;
    let is_asked = matches!(how, How::SowOutdoors | How::PlantOut);
    if !is_asked || needs::is_begun_in_autumn(sheet) {
        return None;
    }
    let trial = rules::Trial::new(sheet, year, Shelter::of(cover)?, how).ok()?;
    let number = (day - year.days().from).num_days();
    let quick = year.date(trial.ready(number, true)?);
    let is_slow_ready = trial.is_worth_while(number, false);
    let slow = trial.ready(number, false).filter(|_| is_slow_ready).map(|slow| year.date(slow));
    let first = Period { from: quick, to: slow.unwrap_or(quick).max(quick) };
    Some(FirstPicking { first, is_for_quick_kinds: !is_slow_ready })
}

/// Something that can be begun today.
#[derive(Clone, Debug, PartialEq)]
pub struct SowNow {
    /// The crop.
    pub crop: CropId,
    /// The variety, where the crop as a whole is not begun so: broad beans that stand through winter.
    pub variety: Option<String>,
    /// How.
    pub how: How,
    /// The window that is open.
    pub window: Period,
}

/// What can be begun outdoors or under cover today: seed of all crops, and what is planted as sets, cloves,
/// tubers, crowns or young plants. What closes first comes first; then in the order of the catalogue.
pub fn can_sow_now(
    catalogue: &Catalogue,
    conditions: &Conditions,
    experience: &Experience,
    today: NaiveDate,
) -> Vec<SowNow> {
    let years = years_around(conditions, today);
    let mut found = Vec::new();
    for (crop, values) in catalogue.crops() {
        for (variety, sheet) in kinds_of(values) {
            let mut open = Vec::new();
            for year in &years {
                let calendar = of_crop(&sheet, year, Cover::None);
                let rounds = calendar.rounds().cloned();
                let rounds = rounds.map(|round| experience.opened(crop, round));
                open.extend(rounds.flat_map(|round| windows::open(&sheet, &round, today)));
            }
            open.sort_by_key(|(how, window)| (*how, std::cmp::Reverse(window.to)));
            open.dedup_by_key(|(how, _)| *how);
            found.extend(open.into_iter().map(|(how, window)| SowNow {
                crop,
                variety: variety.clone(),
                how,
                window,
            }));
        }
    }
    found.sort_by_key(|item| (item.window.to, item.crop, item.how));
    found
}

/// The crop itself, and its varieties that are begun in autumn though the crop is not.
fn kinds_of(crop: &Crop) -> Vec<(Option<String>, CropSheet)> {
    let mut kinds = vec![(None, crop.sheet.clone())];
    if !needs::is_begun_in_autumn(&crop.sheet) {
        let own = crop.varieties.iter().map(|(name, _)| name);
        kinds.extend(
            own.map(|name| (Some(name.clone()), crop.sheet_of(Some(name)).into_owned()))
                .filter(|(_, sheet)| needs::is_begun_in_autumn(sheet)),
        );
    }
    kinds
}
