//! Tasks of one day and one job together, as a page, the terminal and the feed show them.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::tasks::model::{Caution, Note, Task};
use crate::catalogue::Purpose;
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
    /// How it is to be done, said for at least one of them.
    pub notes: Vec<Note>,
    /// What to be careful of with at least one of them.
    pub cautions: Vec<Caution>,
}

/// Day, job, product in folded letters, and what a feed without one is for.
type GroupKey<'a> = (NaiveDate, &'a Job, Option<String>, Option<Purpose>);

/// Groups tasks by day, job and product, by day first and in the order of jobs.
///
/// Feeds and products that are called differently make groups of their own.
pub fn by_day_and_job<'a>(tasks: impl IntoIterator<Item = &'a Task>) -> Vec<TaskGroup<'a>> {
    let mut groups: BTreeMap<GroupKey<'_>, Vec<&Task>> = BTreeMap::new();
    for task in tasks {
        let with = task.with.as_deref().map(folded);
        groups.entry((task.due, &task.job, with, task.purpose)).or_default().push(task);
    }
    groups.into_values().filter_map(group).collect()
}

fn group(mut tasks: Vec<&Task>) -> Option<TaskGroup<'_>> {
    // Nothing overdue sorts behind everything that is.
    tasks.sort_by_key(|task| (task.overdue_since.is_none(), task.overdue_since, &task.key));
    let mut notes: Vec<Note> = tasks.iter().flat_map(|task| task.notes.iter().copied()).collect();
    notes.sort_unstable();
    notes.dedup();
    let mut cautions: Vec<Caution> =
        tasks.iter().flat_map(|task| task.cautions.iter().cloned()).collect();
    cautions.sort_unstable();
    cautions.dedup();
    let first = *tasks.first()?;
    Some(TaskGroup {
        day: first.due,
        job: first.job.clone(),
        with: first.with.as_deref(),
        purpose: first.purpose,
        tasks,
        notes,
        cautions,
    })
}
