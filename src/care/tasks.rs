//! What is to be done: the coming tasks of a garden, from its crop sheets and what really happened.

pub mod away;
pub mod grouping;
pub mod model;

mod cautions;
mod doings;
mod feeding;
mod harvest;
mod outlook;
mod rules;
mod steps;
mod watering;

use crate::care::prospect::Prospect;
use crate::care::tasks::model::Task;
use crate::care::tasks::outlook::Outlook;
use crate::dates::shift;

/// The tasks from the garden's day on for so many days, soonest first; what is open from an earlier day
/// stands on the garden's.
///
/// Without a plan only the garden's own dates and the crop sheet's weeks count. Rules of care begin once a
/// planting has.
pub fn upcoming(prospect: &Prospect<'_>, days_ahead: u32) -> Vec<Task> {
    let garden = prospect.garden();
    let last_day = shift(garden.today, i64::from(days_ahead));
    let mut tasks = Vec::new();
    for (id, planting) in garden.plantings() {
        if planting.finished.is_some() {
            continue;
        }
        let outlook = Outlook::of(prospect, id);
        tasks.extend(steps::of_planting(&outlook, last_day));
        if planting.begun().is_some() {
            tasks.extend(rules::of_planting(&outlook, last_day));
            tasks.extend(harvest::of_planting(&outlook, last_day));
        }
    }
    tasks.extend(watering::of_garden(prospect, last_day));
    tasks.sort_by(|a, b| (a.due, &a.key).cmp(&(b.due, &b.key)));
    tasks
}
