//! Coming tasks as events of a calendar, still without words.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::tasks::model::{Task, TaskKey};
use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::site::crops::CropView;
use crate::site::feed::MOST_EVENTS;
use crate::site::message::Message;
use crate::site::page::Page;
use crate::site::task_event::{self, Told};
use crate::site::tasks::TasksView;

/// A feed of tasks before its words are put in.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskFeed {
    /// The day it is made for.
    pub day: NaiveDate,
    pub title: Message,
    /// What it says about itself.
    pub description: Message,
    /// The page it belongs to, as an absolute address, where one is known.
    pub page: Option<String>,
    /// Where it is published itself.
    pub source: Option<String>,
    pub events: Vec<PlannedEvent>,
    /// Hours before midnight of the day at which a phone may remind.
    pub remind_hours: Option<u16>,
}

/// An event before its words are put in.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedEvent {
    /// Stable from build to build.
    pub uid: String,
    pub told: Told,
}

/// The name of every task feed's file.
const FILE: &str = "tasks.ics";

/// Where the feed of the whole garden, or of one crop, goes, from the site's root.
pub fn feed_path(garden: &Garden, crop: Option<CropId>) -> String {
    match crop {
        None => FILE.to_owned(),
        Some(id) => format!("crops/{}/{FILE}", garden.catalogue.get(id).slug),
    }
}

/// Whether a file of the site is a task feed.
pub fn is_feed(path: &str) -> bool {
    path.rsplit('/').next() == Some(FILE)
}

/// The event each task is in: its position among the tasks → the event's UID.
pub fn uids(garden: &Garden, tasks: &[Task]) -> Vec<String> {
    let bundles = task_event::bundles(garden, tasks, None);
    let of_task = bundles
        .iter()
        .flat_map(|bundle| bundle.tasks.iter().map(|task| (&task.key, bundle.uid.as_str())));
    let by_task: BTreeMap<&TaskKey, &str> = of_task.collect();
    tasks
        .iter()
        .map(|task| by_task.get(&task.key).copied().unwrap_or_default().to_owned())
        .collect()
}

impl TaskFeed {
    /// The feed of the whole garden, or of one crop.
    pub fn new(garden: &Garden, tasks: &[Task], crop: Option<CropId>) -> TaskFeed {
        let page = match crop {
            None => TasksView::path(garden, &()),
            Some(id) => CropView::path(garden, &id),
        };
        let site = garden.settings.site_address.as_deref();
        let at = |path: &str| site.map(|site| format!("{site}{path}"));
        let mut bundles = task_event::bundles(garden, tasks, crop);
        bundles.truncate(MOST_EVENTS);
        let events = bundles.iter().map(|bundle| PlannedEvent {
            uid: bundle.uid.clone(),
            told: task_event::told(garden, bundle),
        });
        TaskFeed {
            day: garden.today,
            title: feed_title(garden, crop),
            description: Message::new("feed.about"),
            page: at(&page),
            source: at(&feed_path(garden, crop)),
            events: events.collect(),
            remind_hours: remind_hours(garden),
        }
    }
}

/// How many events of the whole garden's feed are too many for it; the farthest are left out.
pub fn left_out(garden: &Garden, tasks: &[Task]) -> usize {
    task_event::bundles(garden, tasks, None).len().saturating_sub(MOST_EVENTS)
}

/// Whole hours before midnight of a task's day at which a phone is asked to remind: one to ten days'. After
/// midnight is not offered, because programs in wide use read that as before.
pub fn remind_hours(garden: &Garden) -> Option<u16> {
    let hours = garden.settings.feed.remind_hours?;
    Some(hours.round().clamp(1.0, 240.0) as u16)
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
