//! What an event of the task feed says, and by which name a phone knows it again.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::tasks::model::Task;
use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::names::folded;
use crate::site::feed::MOST_EVENTS;
use crate::site::identity::event_uid;
use crate::site::message::{Arg, Message};
use crate::site::page::Page;
use crate::site::plantings::PlantingView;
use crate::site::tasks::{self, TaskGroup, TasksView};

/// All that an event says.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The day it stands on.
    pub day: NaiveDate,
    /// One line.
    pub summary: Message,
    /// The job, as a category.
    pub category: Message,
    /// The tasks in it, for its longer text.
    pub groups: Vec<ToldGroup>,
    /// The page it belongs to, from the site's root.
    pub href: String,
}

/// The tasks of an event with one feed or product.
#[derive(Clone, Debug, PartialEq)]
pub struct ToldGroup {
    /// What is to be done.
    pub job: Message,
    /// To whom.
    pub items: Vec<ToldItem>,
    /// The crop sheets' own sentence, where it is the same for all.
    pub reason: Option<String>,
    /// How it is to be done.
    pub notes: Vec<Message>,
    /// What to be careful of.
    pub cautions: Vec<Message>,
}

/// One task.
#[derive(Clone, Debug, PartialEq)]
pub struct ToldItem {
    /// The planting or the place.
    pub whom: String,
    /// How much it takes.
    pub amount: Option<Message>,
    /// For whom, where it is not for all that stand in the place.
    pub only: Vec<String>,
    /// What it follows from.
    pub why: Message,
    /// The crop sheet's own sentence.
    pub reason: Option<String>,
    /// Since when it is overdue.
    pub overdue_since: Option<NaiveDate>,
    /// How many seeds it takes.
    pub seeds: Option<Message>,
}

/// The name of the feed of the whole garden within its UIDs.
const ALL: &str = "all";

/// The events of the whole garden's feed, or of a crop's, by UID.
///
/// At most [`MOST_EVENTS`]: the farthest are dropped first.
pub(super) fn told(
    garden: &Garden,
    tasks: &[Task],
    crop: Option<CropId>,
) -> BTreeMap<String, Told> {
    let is_own = |task: &&Task| {
        let planting = task.key.planting;
        crop.is_none_or(|crop| planting.is_some_and(|id| garden.planting(id).crop == crop))
    };
    let mut by_uid: BTreeMap<String, Vec<&Task>> = BTreeMap::new();
    for task in tasks.iter().filter(is_own) {
        by_uid.entry(uid(garden, task, crop)).or_default().push(task);
    }
    let mut events: Vec<(String, Vec<&Task>)> = by_uid.into_iter().collect();
    events
        .sort_by(|(uid, tasks), (other, others)| (tasks[0].due, uid).cmp(&(others[0].due, other)));
    events.truncate(MOST_EVENTS);
    events.into_iter().map(|(uid, tasks)| (uid, event(garden, &tasks))).collect()
}

/// The event that a task is in: one a job and day, or one a planting, rule and time.
pub fn uid(garden: &Garden, task: &Task, crop: Option<CropId>) -> String {
    let name = folded(&garden.settings.name);
    let feed = crop.map_or(ALL, |id| garden.catalogue.get(id).slug.as_str());
    let job = task.job.word();
    if garden.settings.feed.is_per_planting {
        let whom = match (task.key.planting, task.key.place) {
            (Some(id), _) => folded(&garden.planting(id).id),
            (None, Some(id)) => folded(&garden.place(id).name),
            (None, None) => String::new(),
        };
        let number = task.key.number.to_string();
        let from = task.key.from.word();
        return event_uid(&[&name, feed, &whom, &task.key.rule, job, from, &number]);
    }
    event_uid(&[&name, feed, job, &task.due.to_string()])
}

fn event(garden: &Garden, tasks: &[&Task]) -> Told {
    let first = tasks[0];
    let groups = tasks::groups(garden, tasks.iter().copied());
    let mut whom: Vec<String> = Vec::new();
    for task in tasks {
        let name = match (task.key.planting, task.key.place) {
            (Some(id), _) => {
                let planting = garden.planting(id);
                let crop = &garden.catalogue.get(planting.crop).name;
                let place = planting.places_on(garden.today).first().copied();
                match place {
                    Some(place) => format!("{crop} ({})", garden.place(place).name),
                    None => crop.clone(),
                }
            }
            (None, Some(id)) => garden.place(id).name.clone(),
            (None, None) => continue,
        };
        if !whom.contains(&name) {
            whom.push(name);
        }
    }
    let is_overdue = tasks.iter().any(|task| task.overdue_since.is_some());
    let job = tasks::job(&first.job);
    let summary = if whom.is_empty() {
        job.clone()
    } else {
        let whom: Vec<Arg> = whom.into_iter().map(Arg::Text).collect();
        let key = if is_overdue { "feed.summary-overdue" } else { "feed.summary" };
        Message::new(key).with("job", job.clone()).with("whom", whom)
    };
    let href = match (first.key.planting, garden.settings.feed.is_per_planting) {
        (Some(id), true) => PlantingView::path(garden, &id),
        _ => TasksView::path(garden, &()),
    };
    let groups = groups.into_iter().map(group).collect();
    Told { day: first.due, summary, category: job, groups, href }
}

/// What of a group of the tasks page a phone is told.
fn group(group: TaskGroup) -> ToldGroup {
    let items = group.items.into_iter().map(|item| ToldItem {
        whom: item.whom.map_or(String::new(), |link| link.text),
        amount: item.amount,
        only: item.only.into_iter().map(|link| link.text).collect(),
        why: item.why,
        reason: item.reason,
        overdue_since: item.overdue_since,
        seeds: item.seeds,
    });
    ToldGroup {
        job: group.job,
        items: items.collect(),
        reason: group.reason,
        notes: group.notes,
        cautions: group.cautions,
    }
}
