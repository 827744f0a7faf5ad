//! After lifting: what keeps is dried, then stored.

use chrono::NaiveDate;

use crate::care::tasks::doings;
use crate::care::tasks::model::{Task, Why};
use crate::care::tasks::outlook::{Draft, Outlook, Window};
use crate::care::tasks::rules::WEEK_DAYS;
use crate::care::tasks::visits;
use crate::dates::shift;
use crate::jobs::Job;

/// What was lifted longer ago than this lies where it lies. Common practice, no source.
const LONGEST_DAYS: i64 = 90;

/// Curing and storing of what was lifted last, until each is done or its time is over.
pub(super) fn of_planting(outlook: &Outlook<'_>) -> Vec<Task> {
    let Some(curing) = outlook.course.sheet().curing else { return Vec::new() };
    let mut pickings = visits::of(outlook).into_iter().filter(|visit| visit.is_picking);
    let Some(lifted) =
        pickings.next_back().filter(|visit| outlook.course.is_this_round(visit.date))
    else {
        return Vec::new();
    };
    let lifted = lifted.date;
    if shift(lifted, LONGEST_DAYS) < outlook.today() {
        return Vec::new();
    }
    let is_done = |job: &Job| doings::of(outlook, job).iter().any(|doing| doing.date >= lifted);
    let mut tasks = Vec::new();
    let cure = Window { due: lifted, until: shift(lifted, WEEK_DAYS) };
    if !is_done(&Job::Cure)
        && !is_done(&Job::Store)
        && shift(cure.until, WEEK_DAYS) >= outlook.today()
    {
        tasks.push(task(outlook, Job::Cure, cure, lifted));
    }
    let dry = i64::from(curing.days.high.0).max(i64::from(curing.days.low.0));
    let due = shift(lifted, dry);
    let store = Window { due, until: shift(due, WEEK_DAYS) };
    if !is_done(&Job::Store) && shift(store.until, WEEK_DAYS) >= outlook.today() {
        tasks.push(task(outlook, Job::Store, store, lifted));
    }
    tasks
}

fn task(outlook: &Outlook<'_>, job: Job, window: Window, lifted: NaiveDate) -> Task {
    let cause = outlook.plan_cause(outlook.newest_step(), window.due);
    outlook.task(Draft::of_plan(job, window, Why::Lifted(lifted), cause))
}
