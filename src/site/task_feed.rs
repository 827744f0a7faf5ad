//! Coming tasks as events of a calendar, still without words.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::tasks::model::Task;
use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::site::crops::CropView;
use crate::site::message::Message;
use crate::site::page::Page;
use crate::site::task_event::{self, Told};
use crate::site::tasks::TasksView;

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
    /// What it says.
    pub told: Told,
    /// Since when it says so.
    pub revision: Revision,
}

/// Since when an event says what it says: the first day of an unbroken run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Revision {
    /// The day.
    pub day: NaiveDate,
    /// How much of what is dated on that day was known.
    pub turn: u32,
}

/// The revision of each event of every feed, by UID; [`crate::revisions`] finds them.
pub type Revisions = BTreeMap<String, Revision>;

/// More notes than these on one day are not told apart.
const TURNS_OF_A_DAY: u32 = 100;

impl Revision {
    /// A number that grows from one revision to the next, and never goes back: a hundred for every day
    /// since 2000-01-01 (or before it, none), and the turn of the day.
    pub fn sequence(self) -> u32 {
        let epoch = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap_or_default();
        let days = u32::try_from((self.day - epoch).num_days()).unwrap_or(0);
        days.saturating_mul(TURNS_OF_A_DAY).saturating_add(self.turn.min(TURNS_OF_A_DAY - 1))
    }
}

/// The event each task is in: its position among the tasks → the event's UID.
pub fn uids(garden: &Garden, tasks: &[Task]) -> Vec<String> {
    tasks.iter().map(|task| task_event::uid(garden, task, None)).collect()
}

/// Its file, from the root: of the whole garden, or of a crop.
pub fn path(garden: &Garden, crop: Option<CropId>) -> String {
    match crop {
        None => "tasks.ics".to_owned(),
        Some(id) => format!("crops/{}/tasks.ics", garden.catalogue.get(id).slug),
    }
}

impl TaskFeed {
    /// The feed of the whole garden, or of one crop. An event without a revision is new today.
    pub fn new(
        garden: &Garden,
        tasks: &[Task],
        crop: Option<CropId>,
        revisions: &Revisions,
    ) -> TaskFeed {
        let page = match crop {
            None => TasksView::path(garden, &()),
            Some(id) => CropView::path(garden, &id),
        };
        let site = garden.settings.site_address.as_deref();
        let at = |path: &str| site.map(|site| format!("{site}{path}"));
        let new = Revision { day: garden.today, turn: 0 };
        let events = task_event::told(garden, tasks, crop, |_| true);
        let events = events.into_iter().map(|(uid, told)| {
            let revision = revisions.get(&uid).copied().unwrap_or(new);
            PlannedEvent { uid, told, revision }
        });
        TaskFeed {
            title: feed_title(garden, crop),
            description: Message::new("feed.about"),
            page: at(&page),
            source: at(&path(garden, crop)),
            events: events.collect(),
            remind_hours: remind_hours(garden),
        }
    }
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
