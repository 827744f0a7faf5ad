//! Tasks of one day and one job together, as a page, the terminal and the feed show them.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::tasks::model::{Cause, Caution, Note, Task};
use crate::catalogue::Purpose;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::jobs::Job;
use crate::names::folded;

/// The same work on the same day.
#[derive(Clone, Debug)]
pub struct TaskGroup<'a> {
    pub day: NaiveDate,
    /// What is to be done.
    pub job: Job,
    /// With which feed or product.
    pub with: Option<&'a str>,
    /// What the feed is for, where no product is named.
    pub purpose: Option<Purpose>,
    /// The tasks, those overdue longest first.
    pub tasks: Vec<&'a Task>,
    /// For which plantings, each once, in the garden's order.
    pub plantings: Vec<PlantingId>,
    /// Where: where these plantings stand, and places that have a task themselves.
    pub places: Vec<PlaceId>,
    /// Since when the oldest of them is overdue.
    pub overdue_since: Option<NaiveDate>,
    /// How it is to be done, said for at least one of them.
    pub notes: Vec<Note>,
    /// What to be careful of with at least one of them.
    pub cautions: Vec<Caution>,
    /// The newest cause of them all.
    pub cause: Cause,
}

/// Day, job, product in folded letters, and what a feed without one is for.
type GroupKey<'a> = (NaiveDate, &'a Job, Option<String>, Option<Purpose>);

/// Groups tasks by day, job and product, by day first and in the order of jobs.
///
/// Feeds and products that are called differently make groups of their own.
pub fn by_day_and_job<'a>(
    garden: &Garden,
    tasks: impl IntoIterator<Item = &'a Task>,
) -> Vec<TaskGroup<'a>> {
    let mut groups: BTreeMap<GroupKey<'_>, Vec<&Task>> = BTreeMap::new();
    for task in tasks {
        let with = task.with.as_deref().map(folded);
        groups.entry((task.due, &task.job, with, task.purpose)).or_default().push(task);
    }
    let groups = groups.into_iter();
    groups.filter_map(|((day, job, ..), tasks)| group(garden, day, job, tasks)).collect()
}

fn group<'a>(
    garden: &Garden,
    day: NaiveDate,
    job: &Job,
    mut tasks: Vec<&'a Task>,
) -> Option<TaskGroup<'a>> {
    // Nothing overdue sorts behind everything that is.
    tasks.sort_by_key(|task| (task.overdue_since.is_none(), task.overdue_since, &task.key));
    let mut plantings: Vec<PlantingId> =
        tasks.iter().filter_map(|task| task.key.planting).collect();
    plantings.sort_unstable();
    plantings.dedup();
    let stands = plantings.iter().flat_map(|id| garden.planting(*id).places_on(garden.today));
    let mut places: Vec<PlaceId> =
        stands.chain(tasks.iter().filter_map(|task| task.key.place)).collect();
    places.sort_unstable();
    places.dedup();
    let mut notes: Vec<Note> = tasks.iter().flat_map(|task| task.notes.iter().copied()).collect();
    notes.sort_unstable();
    notes.dedup();
    let mut cautions: Vec<Caution> =
        tasks.iter().flat_map(|task| task.cautions.iter().cloned()).collect();
    cautions.sort_unstable();
    cautions.dedup();
    Some(TaskGroup {
        day,
        job: job.clone(),
        with: tasks.first().and_then(|task| task.with.as_deref()),
        purpose: tasks.first().and_then(|task| task.purpose),
        overdue_since: tasks.iter().filter_map(|task| task.overdue_since).min(),
        cause: tasks.iter().map(|task| task.cause).reduce(Cause::newest)?,
        tasks,
        plantings,
        places,
        notes,
        cautions,
    })
}
