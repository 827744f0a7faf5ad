//! What is to be done: the coming tasks of a garden, from its crop sheets and what really happened.

pub mod model;

mod rules;

use crate::agronomy::conditions::Conditions;
use crate::agronomy::tasks::model::Task;
use crate::garden::model::Garden;

/// The tasks from the garden's day on, soonest first; what is overdue stands on that day.
pub fn upcoming(garden: &Garden, conditions: &Conditions, days_ahead: u32) -> Vec<Task> {
    let _ = conditions;
    let mut tasks = Vec::new();
    for (id, planting) in garden.plantings().filter(|(_, planting)| planting.is_growing()) {
        tasks.extend(rules::of_planting(garden, id, planting, days_ahead));
    }
    tasks.sort_by(|a, b| (a.due, &a.key).cmp(&(b.due, &b.key)));
    tasks
}
