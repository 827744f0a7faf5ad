//! A season looked back on: what was grown, what it gave, how the dates held, what went wrong, what it cost.
//!
//! A season that is not over is reviewed to the garden's day, and says so. What was begun in one season
//! and picked in the next counts where it was picked.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::agronomy::learning::scores::{self, Forecast, Score};
use crate::agronomy::yields::{self, Whose, Yield};
use crate::catalogue::CropId;
use crate::dates::Period;
use crate::garden::model::{Garden, Season};
use crate::garden::planting::{Planting, PlantingId, Plants, Step, StepWord};
use crate::garden::records::{EntryId, HarvestRecord};
use crate::happening::Happening;
use crate::names::folded;

/// The tag under which a grower keeps what is to be done differently.
const NEXT_YEAR: &str = "next-year";

/// A season looked back on.
#[derive(Clone, Debug)]
pub struct Review {
    /// The season.
    pub season: Season,
    /// Its days up to the garden's.
    pub days: Period,
    /// Whether the garden's day lies behind it.
    pub is_over: bool,
    /// What was grown, in the order of crops' names.
    pub crops: Vec<CropSeason>,
    /// What was weighed together from several crops.
    pub together: Yield,
    /// All of it.
    pub total: Yield,
    /// How the dates held that came in this season; nothing if none was forecast.
    pub dates: Option<Score>,
    /// Plants that were lost, earliest first.
    pub losses: Vec<Loss>,
    /// Pests and diseases, by what was seen.
    pub seen: Vec<Sighting>,
    /// Money spent, earliest first, by its place in the garden's list.
    pub costs: Vec<usize>,
    /// What the notes say for next year, earliest first.
    pub notes: Vec<EntryId>,
}

/// A crop in a season.
#[derive(Clone, Debug)]
pub struct CropSeason {
    /// The crop.
    pub crop: CropId,
    /// The plantings that grew in the season.
    pub plantings: Vec<PlantingId>,
    /// What was picked of this crop alone in the season.
    pub harvest: Yield,
}

/// Plants that were lost.
#[derive(Clone, Debug)]
pub struct Loss {
    /// Of which planting.
    pub planting: PlantingId,
    /// When.
    pub date: NaiveDate,
    /// How many.
    pub plants: Plants,
    /// Why, in the grower's words.
    pub because: Option<String>,
}

/// Something seen on plants.
#[derive(Clone, Debug)]
pub struct Sighting {
    /// What.
    pub what: String,
    /// First and last day.
    pub days: Period,
    /// How often it was noted.
    pub times: u32,
}

/// The seasons that can be reviewed, newest first: from the garden's own back to the first in which
/// something was written or grew.
pub fn seasons(garden: &Garden) -> Vec<Season> {
    let now = garden.season();
    let begun = garden.plantings.iter().filter_map(Planting::begun);
    let written = garden.entries.iter().map(|entry| entry.date);
    let Some(first) = written.chain(begun).min() else { return vec![now] };
    let mut seasons = vec![now];
    while let Some(last) = seasons.last().filter(|season| first < season.days.from) {
        let Some(before) = last.days.from.pred_opt() else { break };
        seasons.push(garden.season_of(before));
    }
    seasons
}

impl Review {
    /// The review of a season.
    pub fn of(garden: &Garden, forecasts: &[Forecast], season: Season) -> Review {
        let to = season.days.to.min(garden.today);
        let days = Period { from: season.days.from, to };
        let picked = || garden.harvests.iter().filter(|harvest| days.contains(harvest.date));
        let of = |whose: Whose| {
            Yield::of(picked().filter(|harvest| yields::whose(garden, harvest) == whose))
        };
        Review {
            season,
            days,
            is_over: season.days.to < garden.today,
            crops: crops(garden, days, of),
            together: of(Whose::Several),
            total: Yield::of(picked()),
            dates: scores::score(forecasts.iter().filter(|made| days.contains(made.came))),
            losses: losses(garden, days),
            seen: seen(garden, days),
            costs: costs(garden, days),
            notes: notes(garden, days),
        }
    }
}

/// The crops that grew, by name.
fn crops(garden: &Garden, days: Period, of: impl Fn(Whose) -> Yield) -> Vec<CropSeason> {
    let mut plantings: BTreeMap<CropId, Vec<PlantingId>> = BTreeMap::new();
    let is_picked = |id: PlantingId| {
        let is_own = |harvest: &HarvestRecord| {
            harvest.plantings.contains(&id) && days.contains(harvest.date)
        };
        garden.harvests.iter().any(is_own)
    };
    for (id, planting) in garden.plantings() {
        if grew(planting, days) || is_picked(id) {
            plantings.entry(planting.crop).or_default().push(id);
        }
    }
    let mut crops: Vec<CropSeason> = plantings
        .into_iter()
        .map(|(crop, plantings)| CropSeason { crop, plantings, harvest: of(Whose::Crop(crop)) })
        .collect();
    crops.sort_by_key(|season| folded(&garden.catalogue.get(season.crop).name));
    crops
}

/// Whether a planting grew on some day of a span.
fn grew(planting: &Planting, days: Period) -> bool {
    planting.begun().is_some_and(|begun| begun <= days.to)
        && planting.finished.is_none_or(|finished| days.from <= finished)
}

fn losses(garden: &Garden, days: Period) -> Vec<Loss> {
    let lost = |step: &&Step| step.what == Happening::Lost && days.contains(step.date);
    let mut losses: Vec<Loss> = garden
        .plantings()
        .flat_map(|(id, planting)| {
            planting.history.iter().filter(lost).map(move |step| Loss {
                planting: id,
                date: step.date,
                plants: step.count.unwrap_or(Plants::UNKNOWN),
                because: because(step),
            })
        })
        .collect();
    losses.sort_by_key(|loss| (loss.date, loss.planting));
    losses
}

fn because(step: &Step) -> Option<String> {
    let mut words = step.words.iter();
    words.find(|(what, _)| *what == StepWord::Because).map(|(_, text)| text.clone())
}

fn costs(garden: &Garden, days: Period) -> Vec<usize> {
    let date = |index: &usize| garden.costs[*index].date;
    let mut costs: Vec<usize> =
        (0..garden.costs.len()).filter(|index| days.contains(date(index))).collect();
    costs.sort_by_key(date);
    costs
}

/// What was seen, oftenest first; one name however it was capitalised.
fn seen(garden: &Garden, days: Period) -> Vec<Sighting> {
    let mut by_name: BTreeMap<String, Sighting> = BTreeMap::new();
    for sight in garden.sights.iter().filter(|sight| days.contains(sight.date)) {
        let day = Period { from: sight.date, to: sight.date };
        let first = Sighting { what: sight.what.clone(), days: day, times: 0 };
        let entry = by_name.entry(folded(&sight.what)).or_insert(first);
        entry.times += 1;
        entry.days.to = sight.date;
    }
    let mut seen: Vec<Sighting> = by_name.into_values().collect();
    seen.sort_by_key(|sighting| (std::cmp::Reverse(sighting.times), sighting.days.from));
    seen
}

/// What the notes say for next year; a private entry has neither tags nor words.
fn notes(garden: &Garden, days: Period) -> Vec<EntryId> {
    let is_note = |tag: &String| folded(tag).replace([' ', '_'], "-") == NEXT_YEAR;
    garden
        .entries
        .iter()
        .enumerate()
        .filter(|(_, entry)| days.contains(entry.date) && entry.tags.iter().any(is_note))
        .map(|(index, _)| EntryId(index))
        .collect()
}
