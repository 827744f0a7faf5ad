//! What is to be done: the coming tasks of a garden, from its crop sheets and what really happened.

pub mod away;
pub mod grouping;
pub mod model;

mod cautions;
mod cold;
mod doings;
mod ending;
mod feeding;
mod harvest;
mod outlook;
mod rules;
mod steps;
mod storing;
mod visits;
mod watering;
mod weeding;

use crate::care::prospect::Prospect;
use crate::care::tasks::model::Task;
use crate::care::tasks::outlook::Outlook;
use crate::dates::shift;
use crate::garden::planting::Planting;

/// What was to be done once, was not done, and is too late for this year: told for two weeks, and asked for no more.
pub fn too_late(prospect: &Prospect<'_>) -> Vec<Task> {
    let alive = prospect.garden().plantings().filter(|(_, planting)| planting.is_growing());
    let mut tasks: Vec<Task> =
        alive.flat_map(|(id, _)| rules::too_late(&Outlook::of(prospect, id))).collect();
    tasks.sort_by(|a, b| a.key.cmp(&b.key));
    tasks
}

/// What was cleared so lately may still lie and dry.
const LATELY_DAYS: i64 = 90;

/// The tasks from the garden's day on for so many days, soonest first; what is open from an earlier day
/// stands on the garden's.
///
/// Without a plan only the garden's own dates and the crop sheet's weeks count. Rules of care begin once a
/// planting has.
pub fn upcoming(prospect: &Prospect<'_>, days_ahead: u32) -> Vec<Task> {
    let garden = prospect.garden();
    let last_day = shift(garden.today, i64::from(days_ahead));
    let mut tasks = Vec::new();
    let (alive, gone): (Vec<_>, Vec<_>) =
        garden.plantings().partition(|(_, planting)| planting.finished.is_none());
    let outlooks: Vec<Outlook<'_>> =
        alive.into_iter().map(|(id, _)| Outlook::of(prospect, id)).collect();
    let is_lately = |planting: &Planting| {
        planting.finished.is_some_and(|day| shift(day, LATELY_DAYS) >= garden.today)
    };
    for (id, _) in gone.into_iter().filter(|(_, planting)| is_lately(planting)) {
        tasks.extend(storing::of_planting(&Outlook::of(prospect, id)));
    }
    for outlook in &outlooks {
        tasks.extend(steps::of_planting(outlook, last_day));
        if outlook.course.planting.begun().is_some() {
            tasks.extend(harvest::of_planting(outlook, last_day));
            tasks.extend(cold::of_planting(outlook));
            tasks.extend(storing::of_planting(outlook));
        }
    }
    tasks.extend(watering::of_garden(prospect, last_day));
    let crop = |task: &Task| task.key.planting.map(|id| garden.planting(id).crop);
    tasks.retain(|task| garden.switches.asks_for(crop(task), &task.job));
    // A rule is turned on or off by itself, too.
    for outlook in outlooks.iter().filter(|outlook| outlook.course.planting.begun().is_some()) {
        tasks.extend(rules::of_planting(outlook, last_day));
    }
    tasks.extend(weeding::of_garden(&outlooks, last_day));
    tasks.retain(|task| task.due <= last_day);
    tasks.sort_by(|a, b| (a.due, &a.key).cmp(&(b.due, &b.key)));
    tasks
}
