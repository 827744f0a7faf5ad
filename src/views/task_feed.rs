//! Coming tasks as events of a calendar, still without words.

use chrono::NaiveDate;

use crate::agronomy::findings::Findings;
use crate::agronomy::tasks::model::Task;
use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::names::folded;
use crate::views::frame::{crop_path, planting_path};
use crate::views::identity::event_uid;
use crate::views::message::{Arg, Message};
use crate::views::tasks::{self, TaskGroup};

/// A feed of tasks before its words are put in.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskFeed {
    /// Its title.
    pub title: Message,
    /// What it says about itself.
    pub description: Message,
    /// The page it belongs to, as an absolute address, where one is known.
    pub page: Option<String>,
    /// Where it is published itself.
    pub source: Option<String>,
    /// Its events.
    pub events: Vec<PlannedEvent>,
    /// Hours before midnight of the day at which a phone may remind.
    pub remind_hours: Option<u16>,
}

/// An event before its words are put in.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedEvent {
    /// Stable from build to build.
    pub uid: String,
    /// The day it stands on.
    pub day: NaiveDate,
    /// One line.
    pub summary: Message,
    /// The job, as a category.
    pub category: Message,
    /// The tasks in it, for its longer text.
    pub groups: Vec<TaskGroup>,
    /// The page it belongs to, from the site's root.
    pub href: String,
    /// The newest dated cause.
    pub stamp: NaiveDate,
}

/// The event each task is in: its position among the tasks → the event's UID.
pub fn uids(garden: &Garden, findings: &Findings) -> Vec<String> {
    findings.tasks.iter().map(|task| uid(garden, task, ALL)).collect()
}

/// The name of the feed of the whole garden within its UIDs.
const ALL: &str = "all";

impl TaskFeed {
    /// The feed of the whole garden, or of one crop.
    pub fn new(garden: &Garden, findings: &Findings, crop: Option<CropId>) -> TaskFeed {
        let (feed, path, page) = match crop {
            None => (ALL.to_owned(), "tasks.ics".to_owned(), "tasks/index.html".to_owned()),
            Some(id) => {
                let slug = &garden.catalogue.get(id).slug;
                (slug.clone(), format!("crops/{slug}/tasks.ics"), crop_path(slug))
            }
        };
        let is_own = |task: &&Task| {
            crop.is_none_or(|crop| {
                task.key.planting.is_some_and(|id| garden.planting(id).crop == crop)
            })
        };
        let mut by_uid: Vec<(String, Vec<&Task>)> = Vec::new();
        for task in findings.tasks.iter().filter(is_own) {
            let uid = uid(garden, task, &feed);
            match by_uid.iter_mut().find(|(known, _)| *known == uid) {
                Some((_, tasks)) => tasks.push(task),
                None => by_uid.push((uid, vec![task])),
            }
        }
        let site = garden.settings.site_address.as_deref();
        let at = |path: &str| site.map(|site| format!("{site}{path}"));
        let remind = garden.settings.feed.remind_hours;
        TaskFeed {
            title: feed_title(garden, crop),
            description: Message::new("feed.about"),
            page: at(&page),
            source: at(&path),
            events: by_uid.into_iter().map(|(uid, tasks)| event(garden, uid, &tasks)).collect(),
            remind_hours: remind.map(|hours| hours.round().clamp(1.0, 240.0) as u16),
        }
    }
}

/// One event a job and day, or one a planting, rule and time.
fn uid(garden: &Garden, task: &Task, feed: &str) -> String {
    let name = folded(&garden.settings.name);
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

fn feed_title(garden: &Garden, crop: Option<CropId>) -> Message {
    let own = garden.settings.feed.title.as_deref();
    let title = match own {
        Some(title) => Message::new("title.name").with("name", title),
        None => Message::new("feed.title").with("garden", garden.settings.name.as_str()),
    };
    match crop {
        None => title,
        Some(id) => Message::new("feed.of-crop")
            .with("feed", title)
            .with("crop", garden.catalogue.get(id).name.as_str()),
    }
}

fn event(garden: &Garden, uid: String, tasks: &[&Task]) -> PlannedEvent {
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
        (Some(id), true) => planting_path(&garden.planting(id).slug),
        _ => "tasks/index.html".to_owned(),
    };
    PlannedEvent {
        uid,
        day: first.due,
        summary,
        category: job,
        groups,
        href,
        stamp: tasks.iter().map(|task| task.cause.date).max().unwrap_or(first.due),
    }
}
