//! Cold nights: what frost would kill is covered or brought in, and uncovered again.

use crate::care::tasks::doings;
use crate::care::tasks::model::{Task, Why};
use crate::care::tasks::outlook::{Draft, Outlook, Window};
use crate::dates::shift;
use crate::jobs::Job;
use crate::stage::Stage;

/// What was covered in spring is uncovered within a week of the last frost. Common practice, no source.
const UNCOVER_WITHIN_DAYS: i64 = 7;

/// The tasks of cold nights of a planting. They go by the frosts there usually are; nobody knows tonight's.
pub(super) fn of_planting(outlook: &Outlook<'_>) -> Vec<Task> {
    let is_out = outlook.has_reached(Stage::PlantedOut) || !outlook.course.is_raised();
    if outlook.course.planting.begun().is_none() || !is_out {
        return Vec::new();
    }
    let mut tasks = Vec::new();
    let covered = covered(outlook);
    if let Some(spring) = outlook.frost_of_spring() {
        let is_covered = covered.iter().any(|day| *day >= spring.due && *day <= spring.until);
        let why = Why::FrostUntil(spring.until);
        if !is_covered && spring.until >= outlook.today() {
            tasks.push(task(outlook, Job::Protect, "protect in spring", spring, why));
        }
        let uncovered = doings::of(outlook, &Job::Uncover);
        let is_open = uncovered.iter().all(|doing| doing.date < spring.due);
        let due = shift(spring.until, 1);
        let open = Window { due, until: shift(due, UNCOVER_WITHIN_DAYS) };
        if is_covered && is_open && shift(open.until, UNCOVER_WITHIN_DAYS) >= outlook.today() {
            tasks.push(task(outlook, Job::Uncover, "uncover in spring", open, why));
        }
    }
    if let Some(autumn) = outlook.frost_of_autumn() {
        let is_covered = covered.iter().any(|day| *day >= shift(autumn.due, -UNCOVER_WITHIN_DAYS));
        let lasts = outlook.clear_day().is_none_or(|day| day > autumn.due.max(outlook.today()));
        let is_lifted = outlook.course.sheet().picking_every.is_none();
        if !is_covered && lasts && !is_lifted && autumn.until > outlook.today() {
            let why = Why::FrostFrom(autumn.due);
            tasks.push(task(outlook, Job::Protect, "protect in autumn", autumn, why));
        }
    }
    tasks
}

/// The days on which it was covered, brought in, or the grower chose not to.
fn covered(outlook: &Outlook<'_>) -> Vec<chrono::NaiveDate> {
    let jobs = [Job::Protect, Job::Cover];
    jobs.iter().flat_map(|job| doings::of(outlook, job)).map(|doing| doing.date).collect()
}

fn task(outlook: &Outlook<'_>, job: Job, rule: &str, window: Window, why: Why) -> Task {
    let cause = outlook.plan_cause(outlook.newest_step(), window.due);
    outlook.task(Draft { rule: rule.to_owned(), ..Draft::of_plan(job, window, why, cause) })
}
