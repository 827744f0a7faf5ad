//! What an entry says in short when a task was done.

use serde::Serialize;

use crate::care::tasks::model::Task;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId};
use crate::jobs::Job;

/// A short line of an entry; nothing in it is quoted yet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShortLine {
    /// `watered`
    pub key: String,
    /// Whom it was done to, as entries call them, each in a line.
    pub whom: String,
    /// How much or with what, as far as that is known before.
    pub amount: Option<String>,
}

impl ShortLine {
    /// Of tasks of one job with one product, if each is about somebody.
    pub fn of(garden: &Garden, tasks: &[&Task]) -> Option<ShortLine> {
        let first = tasks.first()?;
        let whom: Option<Vec<String>> = tasks.iter().map(|task| whom(garden, task)).collect();
        let (key, amount) = (first.job.done().to_owned(), amount(first));
        Some(ShortLine { key, whom: whom?.join("\n"), amount })
    }
}

/// What stands behind the name: what was picked nobody can know before, the product of a task is known.
pub fn amount(task: &Task) -> Option<String> {
    match task.job {
        Job::LookForHarvest => Some("some".to_owned()),
        Job::Feed | Job::Refill | Job::Mulch | Job::Cover => task.with.clone(),
        _ => None,
    }
}

/// The place or planting as it is called in short lines: by crop or variety where no other is meant by it, by
/// crop and place where that tells, else by its id.
pub fn whom(garden: &Garden, task: &Task) -> Option<String> {
    if let Some(place) = task.key.place {
        return Some(garden.place(place).name.clone());
    }
    let id = task.key.planting?;
    let planting = garden.planting(id);
    // Of a later sowing the crop's name would begin another.
    if planting.succession.is_some() && task.job == Job::Sow {
        return Some(planting.id.to_string());
    }
    let is_meant = |other: PlantingId| {
        other == id || garden.planting(other).is_alive_on(garden.today) || task.job == Job::Sow
    };
    let kin: Vec<_> = garden
        .plantings()
        .filter(|(other, theirs)| theirs.crop == planting.crop && is_meant(*other))
        .collect();
    let is_only_of_variety = planting.variety.is_some()
        && kin.iter().filter(|(_, theirs)| theirs.variety == planting.variety).count() == 1;
    let crop = &garden.catalogue.get(planting.crop).name;
    // What is sown there on the same day is one of them, too.
    let is_to_be_in = |theirs: &Planting, place: &PlaceId| {
        theirs.begun().is_none() && theirs.first_place == Some(*place)
    };
    let is_alone_in = |place: &PlaceId| {
        let all = garden.plantings().filter(|(_, theirs)| theirs.crop == planting.crop);
        let here = all.filter(|(_, theirs)| {
            theirs.places_on(garden.today).contains(place) || is_to_be_in(theirs, place)
        });
        here.count() == 1
    };
    let own_place = planting.places_on(garden.today).into_iter().find(is_alone_in);
    Some(match (&planting.variety, own_place) {
        _ if kin.len() == 1 => crop.clone(),
        (Some(variety), _) if is_only_of_variety => variety.to_string(),
        (_, Some(place)) => format!("{crop} in {}", garden.place(place).name),
        _ => planting.id.to_string(),
    })
}
