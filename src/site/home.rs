//! The front page: today.

use chrono::NaiveDate;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::bench;
use crate::site::day_jobs::{self, PlaceJobs, Stretch};
use crate::site::entry::linked;
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::harvests;
use crate::site::journal::shown;
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::photo::PhotoView;
use crate::site::place_use;

/// The front page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HomeView {
    pub frame: Frame,
    /// The newest photograph.
    pub photo: Option<PhotoView>,
    /// The day it is made for.
    pub today: NaiveDate,
    /// That day, in words.
    pub heading: Message,
    /// How much there is to do, in one sentence.
    pub counts: Option<Message>,
    /// What is to be done today, and what is late, place by place.
    pub places: Vec<PlaceJobs>,
    /// What is so late that it may never be done.
    pub long_late: Vec<PlaceJobs>,
    /// What to be careful of with it.
    pub cautions: Vec<Message>,
    /// The days after today.
    pub ahead: Vec<Stretch>,
    /// Places in which more is wanted than there is.
    pub crowded: Vec<CrowdedPlace>,
    /// The newest entries.
    pub entries: Vec<Latest>,
    /// What was picked so far, against a year ago.
    pub picked: Option<Message>,
    /// The season as lines.
    pub year: Option<GrowthView>,
    /// Whether nothing was ever written.
    pub is_empty: bool,
}

/// One of the last entries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Latest {
    pub link: EntryLink,
    /// Its first paragraph, as Markdown.
    pub opening: String,
}

/// A place in which more is wanted than there is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CrowdedPlace {
    pub place: Link,
    /// When, and how much.
    pub says: Message,
}

/// So many entries stand on the front page: the newest.
const LATEST: usize = 1;

impl Page for HomeView {
    type Key = ();

    const PART: Part = Part { key: "today", href: "index.html", area: Area::Today };
    const TEMPLATE: &'static str = "home.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let frame = Frame::new::<Self>(garden, &(), Message::new("part.today"));
        let (long_late, due) = day_jobs::open(garden, &findings.tasks);
        let entries = shown(garden)
            .rev()
            .take(LATEST)
            .map(|(id, entry)| Latest {
                link: Link::entry(garden, id).unwrap_or(EntryLink {
                    title: None,
                    date: entry.date,
                    href: String::new(),
                }),
                opening: linked(garden, opening(&entry.prose), &frame.root),
            })
            .collect();
        HomeView {
            today: garden.today,
            heading: Message::new("home.day").with("date", garden.today),
            photo: PhotoView::newest(garden, findings),
            counts: day_jobs::counts(garden, due.iter().copied()),
            places: day_jobs::by_place(garden, due.iter().copied()),
            long_late: day_jobs::by_place(garden, long_late),
            cautions: day_jobs::cautions(due),
            ahead: day_jobs::days(garden, &findings.tasks),
            crowded: garden
                .places()
                .flat_map(|(id, _)| {
                    let crowds = place_use::crowds(garden, findings.place_of(id)).into_iter();
                    let place = Link::place(garden, id);
                    crowds.map(move |crowd| CrowdedPlace { place: place.clone(), says: crowd.says })
                })
                .chain(findings.benches.iter().flat_map(|found| {
                    let place = Link::place(garden, found.place);
                    let times = bench::overfull(garden, found).into_iter();
                    times.map(move |says| CrowdedPlace { place: place.clone(), says })
                }))
                .collect(),
            entries,
            picked: harvests::in_a_sentence(garden, garden.season()),
            year: growth_lines::of_season(garden, findings, garden.season()),
            is_empty: garden.entries.is_empty(),
            frame,
        }
    }
}

/// The first paragraph of a prose.
fn opening(prose: &str) -> &str {
    prose.split("\n\n").map(str::trim).find(|part| !part.is_empty()).unwrap_or("")
}
