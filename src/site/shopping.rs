//! The shopping list: what to get, what there is, and the work of the same time.

mod needs;

use crate::site::shopping::needs::{
    FeedRow, MixRow, PotRow, SeedRow, feed_row, mix_row, pot_row, seed_row,
};
use chrono::NaiveDate;
use serde::Serialize;

use crate::care::mixes::{self};
use crate::care::tasks::model::Task;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::raising::seeds::SeedBox;
use crate::raising::shopping::{Shopping, Span as Time};
use crate::site::frame::{Frame, Link};
use crate::site::message::{Arg, Message};
use crate::site::page::{Area, Page, Part};
use crate::site::tasks;

/// The shopping list of a time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShoppingView {
    pub frame: Frame,
    /// From when to when.
    pub lead: Message,
    /// The lists of other times.
    pub times: Vec<TimeLink>,
    pub seeds: Vec<SeedRow>,
    pub pots: Vec<PotRow>,
    /// Potting mix for the pots.
    pub mixes: Vec<MixRow>,
    /// Potting mix for containers, if they are filled anew.
    pub containers: Vec<MixRow>,
    pub feeds: Vec<FeedRow>,
    /// The work of that time.
    pub jobs: Vec<JobRow>,
}

/// The list of a time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TimeLink {
    pub words: Message,
    /// Its page, from the root.
    pub href: String,
    /// Whether it is this page.
    pub is_here: bool,
}

/// A job of that time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JobRow {
    pub job: Message,
    /// To whom and when.
    pub items: Vec<JobItem>,
}

/// To whom and when.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JobItem {
    /// The planting or the place.
    pub whom: Link,
    /// The days: each, or from when to when and how often.
    pub days: Message,
}

impl Page for ShoppingView {
    type Key = Time;

    const PART: Part = Part { key: "shopping", href: "shopping/index.html", area: Area::More };
    const TEMPLATE: &'static str = "shopping.html";

    fn keys(_: &Garden) -> Vec<Time> {
        Time::ALL.to_vec()
    }

    fn path(_: &Garden, time: &Time) -> String {
        match time {
            Time::FourWeeks => Self::PART.href.to_owned(),
            Time::Season => "shopping/season/index.html".to_owned(),
        }
    }

    fn view(garden: &Garden, findings: &Findings, &time: &Time) -> Self {
        let title = Message::new("part.shopping");
        let frame = Frame::new::<Self>(garden, &time, title);
        let times = Time::ALL.into_iter().map(|other| TimeLink {
            words: Message::new(match other {
                Time::FourWeeks => "shopping.four-weeks",
                Time::Season => "shopping.season",
            }),
            href: Self::path(garden, &other),
            is_here: other == time,
        });
        let days = time.days(garden);
        let lead = Message::new("shopping.lead").with("from", days.from).with("to", days.to);
        let none = ShoppingView {
            frame,
            lead,
            times: times.collect(),
            seeds: Vec::new(),
            pots: Vec::new(),
            mixes: Vec::new(),
            containers: Vec::new(),
            feeds: Vec::new(),
            jobs: Vec::new(),
        };
        match findings.shopping.iter().find(|shopping| shopping.span == time) {
            Some(shopping) => none.filled(garden, &findings.seeds, shopping),
            None => none,
        }
    }
}

impl ShoppingView {
    fn filled(self, garden: &Garden, seeds: &SeedBox, shopping: &Shopping) -> ShoppingView {
        // What one takes from the store, the next does not find there.
        let mut store = garden.settings.stock.clone();
        let mut mixes = Vec::new();
        for need in &shopping.mixes {
            let pots = need.pots.map(|fill| mix_row(garden, need, fill, Vec::new(), &mut store));
            mixes.extend(pots);
        }
        let mut containers = Vec::new();
        for need in &shopping.mixes {
            let fill = need.containers.iter().map(|(_, fill)| *fill).reduce(mixes::and);
            let places = need.containers.iter().map(|(id, _)| Link::place(garden, *id)).collect();
            let row = fill.map(|fill| mix_row(garden, need, fill, places, &mut store));
            containers.extend(row);
        }
        let mut kept = garden.settings.stock_pots.clone();
        ShoppingView {
            seeds: shopping.seeds.iter().map(|need| seed_row(garden, seeds, need)).collect(),
            pots: shopping.pots.iter().map(|need| pot_row(garden, need, &mut kept)).collect(),
            mixes,
            containers,
            feeds: shopping.feeds.iter().map(|need| feed_row(garden, need)).collect(),
            jobs: jobs(garden, &shopping.tasks),
            ..self
        }
    }
}

/// A planting or a place, and its days.
type WhomDays = (Link, Vec<NaiveDate>);

/// By job, each planting with its days.
fn jobs(garden: &Garden, list: &[Task]) -> Vec<JobRow> {
    let mut rows: Vec<(Message, Vec<WhomDays>)> = Vec::new();
    for task in list {
        let whom = task.key.planting.map(|id| Link::planting(garden, id));
        let Some(whom) = whom.or(task.key.place.map(|id| Link::place(garden, id))) else {
            continue;
        };
        let job = tasks::job_with(&task.job, task.with.as_deref());
        let at = rows.iter().position(|row| row.0 == job).unwrap_or_else(|| {
            rows.push((job, Vec::new()));
            rows.len() - 1
        });
        let items = &mut rows[at].1;
        match items.iter_mut().find(|(other, _)| *other == whom) {
            Some((_, days)) if days.contains(&task.due) => {}
            Some((_, days)) => days.push(task.due),
            None => items.push((whom, vec![task.due])),
        }
    }
    let item = |(whom, days): WhomDays| JobItem { whom, days: days_words(&days) };
    let row = |(job, items): (Message, Vec<_>)| JobRow {
        job,
        items: items.into_iter().map(item).collect(),
    };
    rows.into_iter().map(row).collect()
}

/// More days than these are counted, not listed.
const MOST_DAYS: usize = 3;

fn days_words(days: &[NaiveDate]) -> Message {
    match (days, days.last()) {
        ([first, ..], Some(last)) if days.len() > MOST_DAYS => Message::new("shopping.days-often")
            .with("from", *first)
            .with("to", *last)
            .with("count", days.len() as u64),
        _ => {
            let days = days
                .iter()
                .map(|day| Arg::Message(Message::new("shopping.one-day").with("date", *day)));
            Message::new("shopping.days").with("days", days.collect::<Vec<_>>())
        }
    }
}
