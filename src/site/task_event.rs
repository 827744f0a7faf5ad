//! What an event of the task feed says, and by which name a phone knows it again.

use chrono::NaiveDate;

use crate::care::tasks::grouping;
use crate::care::tasks::model::Task;
use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::planting_names::Around;
use crate::names::folded;
use crate::site::frame::{Link, named};
use crate::site::identity::{event_uid, garden_parts};
use crate::site::message::{Arg, Message};
use crate::site::page::Page;
use crate::site::tasks::{self, TaskGroup, TasksView};

/// All that an event says.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The day it stands on.
    pub day: NaiveDate,
    /// One line, the fullest first; the first that is short enough is shown.
    pub summaries: Vec<Message>,
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
    pub whom: Message,
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
/// The name of the event that gathers what is left of a day.
const REST: &str = "rest";
/// So many names at most stand in a summary before the others are counted.
const MOST_NAMES: usize = 6;

/// The tasks of one event.
#[derive(Debug)]
pub(super) struct Bundle<'a> {
    /// By which name a phone knows it.
    pub(super) uid: String,
    pub(super) tasks: Vec<&'a Task>,
    /// Whether it gathers what is left of its day.
    is_rest: bool,
}

/// The events of the whole garden's feed, or of a crop's: one for each job and product of a day, or for
/// each task; of a day that has too many, those that come last in one.
///
/// An event of several tasks has the name of that which belongs to the oldest planting, so that it keeps
/// its name when it moves, and when others join it; that of what is left of a day is named by the day.
pub(super) fn bundles<'a>(
    garden: &Garden,
    tasks: &'a [Task],
    crop: Option<CropId>,
) -> Vec<Bundle<'a>> {
    let is_own = |task: &&Task| {
        let planting = task.key.planting;
        crop.is_none_or(|crop| planting.is_some_and(|id| garden.planting(id).crop == crop))
    };
    let feed = crop.map_or(ALL, |id| garden.catalogue.get(id).slug.as_str());
    let most = garden.settings.feed.events_a_day;
    let mut bundles = Vec::new();
    let own: Vec<&Task> = tasks.iter().filter(is_own).collect();
    for day in own.chunk_by(|one, other| one.due == other.due) {
        let mut events = of_day(garden, day);
        // What is late first, then in the order of jobs.
        events.sort_by_key(|tasks| tasks.iter().all(|task| task.overdue_since.is_none()));
        let kept = if events.len() > most { most - 1 } else { events.len() };
        let rest: Vec<&Task> = events.split_off(kept).concat();
        let mut add = |tasks: Vec<&'a Task>, is_rest| {
            bundles.push(Bundle { uid: uid(garden, feed, &tasks, is_rest), tasks, is_rest });
        };
        events.into_iter().for_each(|tasks| add(tasks, false));
        if !rest.is_empty() {
            add(rest, true);
        }
    }
    bundles
}

/// The tasks of a day as they would be events if there could be any number of them.
fn of_day<'a>(garden: &Garden, tasks: &[&'a Task]) -> Vec<Vec<&'a Task>> {
    if garden.settings.feed.is_per_planting {
        let mut each: Vec<&Task> = tasks.to_vec();
        each.sort_by_key(|task| &task.job);
        return each.into_iter().map(|task| vec![task]).collect();
    }
    let groups = grouping::by_day_and_job(tasks.iter().copied());
    groups.into_iter().map(|group| group.tasks).collect()
}

fn uid(garden: &Garden, feed: &str, tasks: &[&Task], is_rest: bool) -> String {
    let mut parts = garden_parts(&garden.settings);
    parts.push(feed.to_owned());
    if is_rest {
        parts.extend([REST.to_owned(), tasks[0].due.to_string()]);
    } else {
        parts.push(tasks[0].job.word().to_owned());
        let age = |task: &&&Task| {
            let noted = task.key.planting.map(|id| garden.planting(id).noted);
            (noted, task_parts(garden, task))
        };
        parts.extend(
            tasks.iter().min_by_key(age).into_iter().flat_map(|task| task_parts(garden, task)),
        );
    }
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    event_uid(&parts)
}

/// The n-th time of a rule of a planting or a place.
fn task_parts(garden: &Garden, task: &Task) -> Vec<String> {
    let key = &task.key;
    let planting = key.planting.map_or(String::new(), |id| folded(&garden.planting(id).id));
    let place = key.place.map_or(String::new(), |id| folded(&garden.place(id).name));
    vec![planting, place, key.rule.clone(), key.from.word().to_owned(), key.number.to_string()]
}

/// What an event says.
pub(super) fn told(garden: &Garden, bundle: &Bundle<'_>) -> Told {
    let tasks = &bundle.tasks;
    let first = tasks[0];
    let groups = grouping::by_day_and_job(tasks.iter().copied());
    let shown = tasks::groups(garden, tasks.iter().copied());
    let named = groups.iter().map(|group| group.tasks.as_slice());
    let groups =
        shown.into_iter().zip(named).map(|(shown, tasks)| told_group(garden, shown, tasks));
    Told {
        day: first.due,
        summaries: summaries(garden, bundle),
        category: if bundle.is_rest { Message::new("feed.other") } else { tasks::job(&first.job) },
        groups: groups.collect(),
        href: format!("{}#day-{}", TasksView::path(garden, &()), first.due),
    }
}

/// One line about an event, the fullest first: what is late, what is to be done, and to whom.
fn summaries(garden: &Garden, bundle: &Bundle<'_>) -> Vec<Message> {
    let tasks = &bundle.tasks;
    let is_late = tasks.iter().any(|task| task.overdue_since.is_some());
    let key = |key: &str| Message::new(format!("feed.{key}{}", if is_late { "-late" } else { "" }));
    if bundle.is_rest {
        return vec![key("rest").with("count", tasks.len() as u64)];
    }
    let job = tasks::job_with(&tasks[0].job, tasks[0].with.as_deref());
    let plain = tasks::job(&tasks[0].job);
    let (long, short) = (unique(garden, tasks, true), unique(garden, tasks, false));
    let some = |job: &Message, names: &[String], more: usize| {
        let whom: Vec<Arg> = names.iter().cloned().map(Arg::Text).collect();
        let message = key(if more == 0 { "summary" } else { "summary-more" });
        message.with("job", job.clone()).with("whom", whom).with("count", more as u64)
    };
    let mut lines = vec![some(&job, &long, 0), some(&plain, &long, 0), some(&plain, &short, 0)];
    for names in (1..short.len().min(MOST_NAMES)).rev() {
        lines.push(some(&plain, &short[..names], short.len() - names));
    }
    lines.push(key("summary-count").with("job", plain).with("count", short.len() as u64));
    lines
}

/// The crops and places that tasks are about, each once; a crop with its place if that is asked for.
fn unique(garden: &Garden, tasks: &[&Task], with_place: bool) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for task in tasks {
        let name = match (task.key.planting, task.key.place) {
            (Some(id), _) if with_place => {
                in_place(garden, id, garden.catalogue.get(garden.planting(id).crop).name.clone())
            }
            (Some(id), _) => garden.catalogue.get(garden.planting(id).crop).name.clone(),
            (None, Some(id)) => garden.place(id).name.clone(),
            (None, None) => continue,
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

fn in_place(garden: &Garden, id: PlantingId, name: String) -> String {
    match garden.planting(id).places_on(garden.today).first() {
        Some(place) => format!("{name} ({})", garden.place(*place).name),
        None => name,
    }
}

/// What of a group of the tasks page a phone is told.
fn told_group(garden: &Garden, group: TaskGroup, tasks: &[&Task]) -> ToldGroup {
    let items = group.items.into_iter().zip(tasks).map(|(item, task)| {
        let refill = task.refill.iter().filter(|refill| !refill.is_for_all);
        ToldItem {
            whom: match (task.key.planting, task.key.place) {
                (Some(id), _) => Link::planting_around(garden, id, Around::Own).name(),
                (None, Some(id)) => named(&garden.place(id).name),
                (None, None) => named(""),
            },
            amount: item.amount,
            only: refill
                .flat_map(|refill| &refill.plantings)
                .map(|id| garden.catalogue.get(garden.planting(*id).crop).name.clone())
                .collect(),
            why: item.why,
            reason: item.reason,
            overdue_since: item.overdue_since,
            seeds: item.seeds,
        }
    });
    ToldGroup {
        job: group.job,
        items: items.collect(),
        reason: group.reason,
        notes: group.notes,
        cautions: group.cautions,
    }
}
