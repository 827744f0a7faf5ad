//! Feed for the feedings of a time, by what the last of each took.

use std::collections::BTreeMap;

use crate::care::feeds::{Feed, times};
use crate::care::mixes;
use crate::care::tasks::model::{Note, Task};
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::records::CareRecord;
use crate::jobs::Job;
use crate::names::folded;
use crate::units::{Amount, MassUnit, Uses, Volume, VolumeUnit};

/// A feed, and how much of it a time takes.
#[derive(Clone, Debug, PartialEq)]
pub struct FeedNeed {
    /// Its name in the grower's words.
    pub name: String,
    /// Which of the garden's sheets it is, if it has one with a dose.
    pub sheet: Option<usize>,
    /// How many feedings, one for each planting and time.
    pub feedings: u32,
    pub plantings: Vec<PlantingId>,
    /// How much ready feed, of the feedings whose amount is known.
    pub ready: Volume,
    /// How much of the bottle or bag, of the same.
    pub product: Option<Amount>,
    /// Feedings of which nobody wrote how much they took the last time.
    pub untold: u32,
    /// What the store holds.
    pub stored: Option<Amount>,
}

/// The feeds of these tasks, by name.
pub(super) fn of_tasks(garden: &Garden, tasks: &[Task]) -> Vec<FeedNeed> {
    let mut needs: BTreeMap<String, FeedNeed> = BTreeMap::new();
    for task in tasks.iter().filter(|task| task.job == Job::Feed) {
        let (Some(with), Some(id)) = (&task.with, task.key.planting) else { continue };
        let sheet = garden.mixes.iter().position(|sheet| mixes::is_called(sheet, with));
        let name = sheet.map_or(with.clone(), |index| garden.mixes[index].name.value.clone());
        let need = needs.entry(folded(&name)).or_insert_with(|| FeedNeed {
            stored: stored(garden, &name, sheet),
            name,
            sheet: sheet.filter(|index| {
                Feed::of(&garden.mixes[*index]).is_some_and(|feed| feed.dose().is_some())
            }),
            feedings: 0,
            plantings: Vec::new(),
            ready: VolumeUnit::Litre.of(0.0),
            product: None,
            untold: 0,
        });
        need.feedings += 1;
        if !need.plantings.contains(&id) {
            need.plantings.push(id);
        }
        let Some(amount) = last_amount(garden, garden.planting(id), id, with) else {
            need.untold += 1;
            continue;
        };
        let strength = if task.notes.contains(&Note::HalfStrength) { 0.5 } else { 1.0 };
        let product = match amount {
            Amount::Mass(_) => Some(amount),
            Amount::Volume(ready) => {
                need.ready += ready;
                let feed = need.sheet.and_then(|index| Feed::of(&garden.mixes[index]));
                feed.and_then(|feed| feed.for_water(ready).ok())
                    .map(|amount| times(amount, strength))
            }
        };
        if let Some(more) = product {
            need.product = match need.product {
                None => Some(more),
                Some(before) => sum(before, more).or(need.product),
            };
        }
    }
    needs.into_values().collect()
}

/// How much a planting got the last time it was fed, with this feed or else with any.
fn last_amount(garden: &Garden, planting: &Planting, id: PlantingId, with: &str) -> Option<Amount> {
    let own = garden.care_of(id).rev();
    let own = own.filter(|care| care.did == Job::Feed && amount(care, planting).is_some());
    let own: Vec<&CareRecord> = own.collect();
    let same = own.iter().find(|care| is_same_feed(garden, care, with));
    same.or(own.first()).and_then(|care| amount(care, planting))
}

fn is_same_feed(garden: &Garden, care: &CareRecord, with: &str) -> bool {
    let Some(used) = &care.with else { return false };
    match mixes::find(garden, with) {
        Some(sheet) => mixes::is_called(sheet, used),
        None => folded(used) == folded(with),
    }
}

/// What was given in all to a planting: so much for each of its containers or plants; a total only where it was
/// given to this planting alone.
fn amount(care: &CareRecord, planting: &Planting) -> Option<Amount> {
    if let Some(each) = care.each {
        let number = match planting.uses {
            Some(Uses::Containers(number)) => number,
            _ => planting.plants().number?,
        };
        return Some(times(each, f64::from(number)));
    }
    care.amount.filter(|_| care.about.plantings.len() == 1)
}

/// What the store holds under its name, as far as its lines are measured alike.
fn stored(garden: &Garden, name: &str, sheet: Option<usize>) -> Option<Amount> {
    let is_it = |what: &str| match sheet {
        Some(index) => mixes::is_called(&garden.mixes[index], what),
        None => folded(what) == folded(name),
    };
    let lines = garden.settings.stock.iter().filter(|line| is_it(&line.what.value));
    lines.map(|line| line.amount).reduce(|before, more| sum(before, more).unwrap_or(before))
}

fn sum(a: Amount, b: Amount) -> Option<Amount> {
    match (a, b) {
        (Amount::Mass(a), Amount::Mass(b)) => Some(Amount::Mass(a + b)),
        (Amount::Volume(a), Amount::Volume(b)) => Some(Amount::Volume(a + b)),
        _ => None,
    }
}

/// What is lacking of a product in the store; nothing if there is enough, or the two are not measured alike.
pub fn lacking(product: Amount, stored: Amount) -> Option<Amount> {
    let more = match (product, stored) {
        (Amount::Mass(wanted), Amount::Mass(there)) => Amount::Mass(wanted - there),
        (Amount::Volume(wanted), Amount::Volume(there)) => Amount::Volume(wanted - there),
        _ => return None,
    };
    let size = match more {
        Amount::Mass(mass) => MassUnit::Gram.measure(mass),
        Amount::Volume(volume) => VolumeUnit::Millilitre.measure(volume),
    };
    (size > 0.0).then_some(more)
}
