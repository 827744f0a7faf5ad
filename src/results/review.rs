//! A season looked back on: what was grown, what it gave, how the dates held, what went wrong, what it cost.
//!
//! A season that is not over is reviewed to the garden's day, and says so. What was begun in one season
//! and picked in the next counts where it was picked.

use std::collections::BTreeMap;

use crate::catalogue::CropId;
use crate::dates::Period;
use crate::garden::model::{Garden, Season};
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::records::EntryId;
use crate::garden::shown::Shown;
use crate::learning::scores::{self, Forecast, Score};
use crate::names::folded;
use crate::results::yields::losses::{self, Loss, Trouble};
use crate::results::yields::measures::{self, Measures, Per, Rate, Weighed};
use crate::results::yields::{self, Whose, Yield};

/// The tag under which a grower keeps what is to be done differently.
const NEXT_YEAR: &str = "next-year";

/// A season looked back on.
#[derive(Clone, Debug)]
pub struct Review {
    /// Its days up to the garden's.
    pub days: Period,
    /// Whether the garden's day lies behind it.
    pub is_over: bool,
    /// What was grown, in the order of crops' names.
    pub crops: Vec<CropSeason>,
    /// What was weighed together from several crops.
    pub together: Yield,
    pub total: Yield,
    /// How the dates held that came in this season; nothing if none was forecast.
    pub dates: Option<Score>,
    /// The best and the worst of each crop that can be measured.
    pub extremes: Vec<Extremes>,
    /// Plants that were lost, earliest first.
    pub losses: Vec<Loss>,
    /// Pests and diseases seen, earliest first.
    pub seen: Vec<Trouble>,
    /// What was used against them.
    pub treated: Vec<Trouble>,
    /// Money spent, earliest first, by its place in the garden's list.
    pub costs: Vec<usize>,
    /// What the notes say for next year, earliest first.
    pub notes: Vec<EntryId>,
}

/// A crop in a season.
#[derive(Clone, Debug)]
pub struct CropSeason {
    pub crop: CropId,
    /// The plantings that grew in the season.
    pub plantings: Vec<PlantingId>,
    /// What was picked of this crop alone in the season.
    pub harvest: Yield,
}

/// The best and the worst of a crop's plantings, measured alike.
#[derive(Clone, Debug)]
pub struct Extremes {
    pub crop: CropId,
    /// Measured for each what.
    pub per: Per,
    /// As picked, or after drying.
    pub weighed: Weighed,
    /// Among how many plantings.
    pub among: usize,
    /// Which gave most, and how much.
    pub best: (PlantingId, Rate),
    /// Which gave least, and how much.
    pub worst: (PlantingId, Rate),
}

/// The seasons that can be reviewed, newest first: from the garden's own back to the first in which
/// something was written or grew.
pub fn seasons(garden: &Garden) -> Vec<Season> {
    let now = garden.season();
    let begun = garden.plantings().filter_map(|(_, planting)| planting.begun());
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
        let picked = || garden.harvests_in(days).iter();
        let of = |whose: Whose| {
            Yield::of(picked().filter(|harvest| yields::whose(garden, harvest) == whose))
        };
        let is_over = season.days.to < garden.today;
        let crops = crops(garden, days, of);
        let grew =
            garden.plantings().filter(|(_, planting)| grew(planting, days)).map(|(id, _)| id);
        Review {
            days,
            is_over,
            extremes: extremes(garden, &crops, days, is_over),
            crops,
            together: of(Whose::Several),
            total: Yield::of(picked()),
            dates: scores::score(forecasts.iter().filter(|made| days.contains(made.came))),
            losses: losses::losses(garden, grew)
                .into_iter()
                .filter(|loss| days.contains(loss.date))
                .collect(),
            seen: losses::sights(garden, garden.sights_in(season.days), |_| true),
            treated: losses::treatments(garden, garden.care_in_days(season.days), |_| true),
            costs: costs(garden, days),
            notes: notes(garden, days),
        }
    }
}

/// The crops that grew, by name.
fn crops(garden: &Garden, days: Period, of: impl Fn(Whose) -> Yield) -> Vec<CropSeason> {
    let mut plantings: BTreeMap<CropId, Vec<PlantingId>> = BTreeMap::new();
    let is_picked =
        |id: PlantingId| garden.harvests_of(id).any(|harvest| days.contains(harvest.date));
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

fn costs(garden: &Garden, days: Period) -> Vec<usize> {
    let before = garden.costs.partition_point(|cost| cost.date < days.from);
    (before..before + garden.costs_in(days).len()).collect()
}

/// Of each crop with two or more plantings that gave what they had to give in these days, the best and the
/// worst: for each plant where that is known of two, else for each square metre. What still grows is not
/// compared with what is over, nor what was weighed now and then with what was always weighed.
fn extremes(garden: &Garden, crops: &[CropSeason], days: Period, is_over: bool) -> Vec<Extremes> {
    let is_done = |id: &&PlantingId| {
        let planting = garden.planting(**id);
        planting.finished.is_some_and(|day| days.contains(day))
            || (planting.is_perennial && is_over)
    };
    let of_crop = |season: &CropSeason| {
        let done = season.plantings.iter().filter(is_done);
        let measured: Vec<_> = done
            .map(|id| (*id, measures::in_period(garden, *id, days)))
            .filter(|(_, measures)| measures.sum.unweighed == 0)
            .collect();
        let ways = [Per::Plant, Per::SquareMetre]
            .into_iter()
            .flat_map(|per| [(per, Weighed::Fresh), (per, Weighed::Dried)]);
        ways.into_iter().find_map(|(per, weighed)| {
            let rate = |(id, measures): &(PlantingId, Measures)| {
                Some((*id, measures.per(per, weighed).ok()?))
            };
            let mut rates: Vec<(PlantingId, Rate)> = measured.iter().filter_map(rate).collect();
            rates.sort_by(|a, b| b.1.grams.total_cmp(&a.1.grams).then(a.0.cmp(&b.0)));
            let (best, worst) = (*rates.first()?, *rates.last()?);
            let among = rates.len();
            (among > 1).then_some(Extremes { crop: season.crop, per, weighed, among, best, worst })
        })
    };
    crops.iter().filter_map(of_crop).collect()
}

/// What the notes say for next year; a private entry has neither tags nor words.
fn notes(garden: &Garden, days: Period) -> Vec<EntryId> {
    let is_note = |tag: &Shown| folded(tag).replace([' ', '_'], "-") == NEXT_YEAR;
    garden
        .entries
        .iter()
        .enumerate()
        .filter(|(_, entry)| days.contains(entry.date) && entry.tags.iter().any(is_note))
        .map(|(index, _)| EntryId(index))
        .collect()
}
