//! Watering, from the water that is left: one task for each place and day, with the amount.

use chrono::NaiveDate;

use crate::care::prospect::Prospect;
use crate::care::tasks::away;
use crate::care::tasks::model::{Cause, Note, Task, TaskKey, Why};
use crate::care::water::refills::Refill;
use crate::care::water::{PlaceWater, record};
use crate::garden::model::Garden;
use crate::garden::planting::{PlantingId, Step};
use crate::garden::records::Source;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::stage::Stage;

/// The waterings of all places, at most a week ahead and not after `last_day`.
///
/// The n-th of a place is counted on from those that were noted, so that one that is noted late is the same
/// task still.
pub(super) fn of_garden(prospect: &Prospect<'_>, last_day: NaiveDate) -> Vec<Task> {
    let garden = prospect.garden();
    let mut tasks = Vec::new();
    for place in &prospect.water {
        let refills = place.refills.iter().filter(|refill| refill.date <= last_day);
        let numbered = (place.times + 1..).zip(refills);
        tasks.extend(numbered.map(|(number, refill)| task(garden, place, number, refill)));
    }
    tasks
}

fn task(garden: &Garden, place: &PlaceWater, number: u32, refill: &Refill) -> Task {
    let (why, cause) = cause(garden, place, refill);
    Task {
        key: TaskKey {
            planting: None,
            place: Some(place.place),
            rule: Job::Water.word().to_owned(),
            from: Stage::Intended,
            number,
        },
        job: Job::Water,
        with: None,
        purpose: None,
        due: refill.date,
        until: None,
        overdue_since: refill.overdue_since,
        why,
        reason: None,
        notes: vec![Note::FeelFirst],
        refill: Some(refill.clone()),
        seeds: None,
        cautions: Vec::new(),
        is_while_away: away::on(&garden.settings, refill.date).is_some(),
        cause,
    }
}

/// The last watering that was noted, or the setting out of the newest of them.
fn cause(garden: &Garden, place: &PlaceWater, refill: &Refill) -> (Why, Cause) {
    let last_of = |id: &PlantingId| {
        let mut own = garden.care_of(*id).rev().filter(|care| care.did == Job::Water);
        own.find(|care| record::is_for(garden, care, *id, place.place))
    };
    let last = refill
        .plantings
        .iter()
        .filter_map(last_of)
        .max_by_key(|care| (care.date, care.source.entry));
    let is_stage = |step: &&Step| matches!(step.what, Happening::Reached(_));
    let steps = refill.plantings.iter().flat_map(|id| {
        let planting = garden.planting(*id);
        planting.history.iter().filter(is_stage).map(|step| (step, planting.stage()))
    });
    let begun = steps.max_by_key(|(step, _)| step.date);
    let (why, date, source) = match (last, begun) {
        (Some(care), _) => (Why::LastDone(care.date), care.date, Some(care.source)),
        (None, Some((step, stage))) => {
            (Why::Reached(stage, step.date), step.date, Some(step.source))
        }
        (None, None) => (Why::LastDone(garden.today), garden.today, None),
    };
    (why, cause_of(garden, source, date))
}

fn cause_of(garden: &Garden, source: Option<Source>, date: NaiveDate) -> Cause {
    let entry = source.and_then(|source| source.entry.map(|entry| (entry, source.is_private)));
    let written = entry.map_or(date, |(entry, _)| garden.entry(entry).date);
    Cause {
        date: written.max(date).min(garden.today),
        entry: entry.filter(|(_, is_private)| !is_private).map(|(entry, _)| entry),
    }
}
