//! Plants that were lost, and why; pests and diseases seen, and what was done against them.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::garden::model::Garden;
use crate::garden::planting::{PlantingId, Plants, Step, StepWord};
use crate::garden::records::{CareRecord, SightRecord};
use crate::garden::shown::Shown;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::stage::Stage;

/// Plants that were lost, or a planting that ended for a reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loss {
    pub date: NaiveDate,
    pub planting: PlantingId,
    /// How many, as far as it is known.
    pub plants: Plants,
    /// Whether the planting ended.
    pub is_end: bool,
    /// Why, in the grower's words; nothing if private.
    pub because: Option<Shown>,
}

/// What was seen or used, how often in a season.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The first day of the season.
    pub season: NaiveDate,
    /// The pest or disease seen, or the product used.
    pub what: Option<Shown>,
    /// Against what the product was used.
    pub against: Option<Shown>,
    /// On how many days.
    pub days: u32,
    pub first: NaiveDate,
    pub last: NaiveDate,
    pub plantings: Vec<PlantingId>,
}

/// Losses of some plantings, oldest first; the end of a planting only if it says why.
pub fn losses(garden: &Garden, plantings: impl IntoIterator<Item = PlantingId>) -> Vec<Loss> {
    let mut losses = Vec::new();
    for id in plantings {
        let planting = garden.planting(id);
        for step in planting.own_steps() {
            let is_end = step.what == Happening::Reached(Stage::Finished);
            let because = because(step);
            if step.what == Happening::Lost || (is_end && because.is_some()) {
                let (date, plants) = (step.date, step.plants);
                losses.push(Loss { date, planting: id, plants, is_end, because });
            }
        }
    }
    losses.sort_by_key(|loss| (loss.date, loss.planting));
    losses
}

fn because(step: &Step) -> Option<Shown> {
    let word = step.words.iter().find(|(kind, _)| *kind == StepWord::Because);
    word.map(|(_, text)| text.clone())
}

/// Pests and diseases seen on some plantings, by season, oldest first.
pub fn sights<'a>(
    garden: &Garden,
    sights: impl IntoIterator<Item = &'a SightRecord>,
    is_own: impl Fn(PlantingId) -> bool,
) -> Vec<Trouble> {
    let sights = sights.into_iter().map(|sight| {
        (sight.date, Some(sight.what.clone()), None, sight.about.plantings.as_slice())
    });
    by_season(garden, sights, is_own)
}

/// Products used on some plantings, by season, oldest first.
pub fn treatments<'a>(
    garden: &Garden,
    care: impl IntoIterator<Item = &'a CareRecord>,
    is_own: impl Fn(PlantingId) -> bool,
) -> Vec<Trouble> {
    let treatments = care.into_iter().filter(|care| is_treatment(care)).map(|care| {
        let plantings = care.about.plantings.as_slice();
        (care.date, care.with.clone(), care.against.clone(), plantings)
    });
    by_season(garden, treatments, is_own)
}

/// Whether a product was used against something.
pub fn is_treatment(care: &CareRecord) -> bool {
    care.did == Job::Treat
}

fn by_season<'a>(
    garden: &Garden,
    records: impl Iterator<Item = (NaiveDate, Option<Shown>, Option<Shown>, &'a [PlantingId])>,
    is_own: impl Fn(PlantingId) -> bool,
) -> Vec<Trouble> {
    let mut troubles: BTreeMap<_, Trouble> = BTreeMap::new();
    for (date, what, against, plantings) in records {
        let own: Vec<PlantingId> = plantings.iter().copied().filter(|id| is_own(*id)).collect();
        if own.is_empty() {
            continue;
        }
        let season = garden.season_of(date).days.from;
        let trouble =
            troubles.entry((season, what.clone(), against.clone())).or_insert_with(|| Trouble {
                season,
                what,
                against,
                days: 1,
                first: date,
                last: date,
                plantings: Vec::new(),
            });
        if trouble.last != date {
            trouble.days += 1;
            trouble.last = date;
        }
        trouble.plantings.extend(own);
        trouble.plantings.sort_unstable();
        trouble.plantings.dedup();
    }
    let mut troubles: Vec<Trouble> = troubles.into_values().collect();
    troubles.sort_by_key(|trouble| (trouble.season, trouble.first));
    troubles
}
