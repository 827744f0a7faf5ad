//! Tasks of a planting from the care rules of its crop sheet.

use chrono::{Days, NaiveDate};

use crate::agronomy::tasks::model::{Cause, Caution, Task, TaskKey, Why};
use crate::catalogue::{CareRule, Repeat};
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::jobs::Job;

/// The tasks of one planting that its rules ask for within so many days.
pub(super) fn of_planting(
    garden: &Garden,
    id: PlantingId,
    planting: &Planting,
    days_ahead: u32,
) -> Vec<Task> {
    let last_day = garden.today + Days::new(u64::from(days_ahead));
    let rules = planting.sheet.care.as_deref().unwrap_or_default();
    let mut tasks = Vec::new();
    for rule in rules.iter().filter(|rule| !rule.is_off) {
        let is_on = rule.from <= planting.stage() && planting.stage() < rule.until;
        let started = planting.history.iter().rev().find(|step| match step.what {
            crate::happening::Happening::Reached(stage) => stage >= rule.from,
            _ => false,
        });
        let Some(started) = started.filter(|_| is_on) else { continue };
        let done: Vec<NaiveDate> = garden
            .care
            .iter()
            .filter(|care| care.did == rule.task.value && care.about.plantings.contains(&id))
            .map(|care| care.date)
            .filter(|date| *date >= started.date)
            .collect();
        tasks.extend(times(garden, id, rule, started.date, &done, last_day));
    }
    tasks
}

fn times(
    garden: &Garden,
    id: PlantingId,
    rule: &CareRule,
    started: NaiveDate,
    done: &[NaiveDate],
    last_day: NaiveDate,
) -> Vec<Task> {
    let task = |number: u32, due: NaiveDate, why: Why, cause: NaiveDate| {
        let overdue_since = (due < garden.today).then_some(due);
        Task {
            key: TaskKey {
                planting: Some(id),
                place: None,
                rule: rule.id.clone(),
                from: rule.from,
                number,
            },
            job: rule.task.value.clone(),
            with: rule.with.as_ref().map(|with| with.value.clone()),
            due: due.max(garden.today),
            until: None,
            overdue_since,
            why,
            reason: rule.why.clone(),
            cautions: rule.caution.clone().map(Caution::Sheet).into_iter().collect(),
            cause: Cause { date: cause, entry: None },
        }
    };
    let after = rule.after.map_or(0, |after| after.low.0.unsigned_abs());
    let first = started + Days::new(u64::from(after));
    let number = done.len() as u32 + 1;
    match (rule.repeat, done.last()) {
        (Repeat::Once, Some(_)) => Vec::new(),
        (Repeat::Once, None) if first <= last_day && rule.task.value != Job::Water => {
            vec![task(1, first, Why::Reached(rule.from, started), started)]
        }
        (Repeat::Once, None) => Vec::new(),
        (Repeat::Every(every), last) => {
            let step = Days::new(u64::from(every.low.0.unsigned_abs().max(1)));
            let (mut due, why, cause) = match last {
                Some(last) => (*last + step, Why::LastDone(*last), *last),
                None => (first, Why::Reached(rule.from, started), started),
            };
            let mut tasks = Vec::new();
            for number in number.. {
                if due > last_day {
                    break;
                }
                tasks.push(task(number, due, why, cause));
                due = due.max(garden.today) + step;
            }
            tasks
        }
    }
}
