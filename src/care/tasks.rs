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

use std::collections::BTreeMap;

use crate::calendar::plan::Plans;
use crate::care::tasks::model::Task;
use crate::care::tasks::outlook::Outlook;
use crate::climate::conditions::Conditions;
use crate::dates::shift;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::stages::StageDates;

/// What was cleared so lately may still lie and dry.
const LATELY_DAYS: i64 = 90;

/// The tasks from the garden's day on for so many days, soonest first; what is open from an earlier day
/// stands on the garden's.
///
/// `plans` says when intended plantings may be sown and raised ones set out; without a plan only the
/// garden's own dates and the crop sheet's weeks count. Rules of care begin once a planting has.
pub fn upcoming(
    garden: &Garden,
    conditions: &Conditions,
    plans: &Plans,
    days_ahead: u32,
) -> Vec<Task> {
    let last_day = shift(garden.today, i64::from(days_ahead));
    let mut tasks = Vec::new();
    let look = |(id, _)| {
        let plan = plans.get(&id).copied().unwrap_or_default();
        Outlook::of(garden, conditions, id, plan)
    };
    let (alive, gone): (Vec<_>, Vec<_>) =
        garden.plantings().partition(|(_, planting)| planting.finished.is_none());
    let outlooks: Vec<Outlook<'_>> = alive.into_iter().map(look).collect();
    let is_lately = |planting: &Planting| {
        planting.finished.is_some_and(|day| shift(day, LATELY_DAYS) >= garden.today)
    };
    for outlook in gone.into_iter().filter(|(_, planting)| is_lately(planting)).map(look) {
        tasks.extend(storing::of_planting(&outlook));
    }
    for outlook in &outlooks {
        tasks.extend(steps::of_planting(outlook, last_day));
        if outlook.course.planting.begun().is_some() {
            tasks.extend(rules::of_planting(outlook, last_day));
            tasks.extend(harvest::of_planting(outlook, last_day));
            tasks.extend(cold::of_planting(outlook));
            tasks.extend(storing::of_planting(outlook));
        }
    }
    tasks.extend(weeding::of_garden(&outlooks, last_day));
    let dates: BTreeMap<PlantingId, Vec<StageDates>> =
        outlooks.into_iter().map(|outlook| (outlook.course.id, outlook.dates)).collect();
    tasks.extend(watering::of_garden(garden, conditions, &dates, last_day));
    tasks.retain(|task| task.due <= last_day);
    tasks.sort_by(|a, b| (a.due, &a.key).cmp(&(b.due, &b.key)));
    tasks
}
