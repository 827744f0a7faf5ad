//! The front page: today.

use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::results::yields::{self, Whose, Yield};
use crate::site::bench;
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::heading::Heading;
use crate::site::journal::{linked, shown};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::place_use;
use crate::site::plantings::PlantingSummary;
use crate::site::tasks::{self, TaskGroup};
use crate::site::yields::YieldView;

/// The front page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HomeView {
    /// Title, menu, root.
    pub frame: Frame,
    /// The day it is made for.
    pub heading: Message,
    /// What is overdue.
    pub overdue: Vec<TaskGroup>,
    /// What is to be done today.
    pub due: Vec<TaskGroup>,
    /// What is to be done in the next week.
    pub soon: Vec<TaskGroup>,
    /// Places in which more is wanted than there is.
    pub crowded: Vec<CrowdedPlace>,
    /// What grows now.
    pub growing: Vec<PlantingSummary>,
    /// The last entries.
    pub entries: Vec<Latest>,
    /// The season so far, crop by crop.
    pub season: String,
    /// What it gave.
    pub harvest: Vec<CropHarvest>,
    /// Whether nothing was ever written.
    pub is_empty: bool,
}

/// One of the last entries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Latest {
    /// To its page.
    pub link: EntryLink,
    /// Its first paragraph, as Markdown.
    pub opening: String,
}

/// A place in which more is wanted than there is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CrowdedPlace {
    /// To its page.
    pub place: Link,
    /// When, and how much.
    pub says: Message,
}

/// What a crop gave.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropHarvest {
    /// The crop; nothing for what was weighed together.
    pub crop: Option<Link>,
    /// What it gave.
    pub harvest: YieldView,
}

/// So many entries stand on the front page.
const LATEST: usize = 4;

impl Page for HomeView {
    type Key = ();

    const PART: Part = Part { key: "today", href: "index.html", area: Area::Today };
    const TEMPLATE: &'static str = "home.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let frame = Frame::new::<Self>(garden, &(), Message::new("part.today"));
        let week = crate::dates::shift(garden.today, 7);
        let of = |wanted: &dyn Fn(&tasks::TaskGroup) -> bool, overdue: bool| {
            let list = findings.tasks.iter().filter(|task| task.overdue_since.is_some() == overdue);
            let mut groups = tasks::groups(garden, list);
            groups.retain(|group| wanted(group));
            groups
        };
        let season = garden.season();
        let table = yields::by_crop_and_month(garden, season.days);
        let mut harvest: Vec<CropHarvest> = table
            .keys()
            .map(|whose| {
                let own = garden
                    .harvests_in(season.days)
                    .iter()
                    .filter(|harvest| yields::whose(garden, harvest) == *whose);
                CropHarvest {
                    crop: match whose {
                        Whose::Crop(id) => Some(Link::crop(garden, *id)),
                        Whose::Several => None,
                    },
                    harvest: YieldView::new(&Yield::of(own), garden.settings.units).about(
                        &Heading::default().season(garden, garden.today).crop(garden, *whose),
                    ),
                }
            })
            .collect();
        harvest.sort_by(|a, b| (a.crop.is_none(), &a.crop).cmp(&(b.crop.is_none(), &b.crop)));
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
            heading: Message::new("home.day").with("date", garden.today),
            overdue: of(&|_| true, true),
            due: of(&|group| group.date == garden.today, false),
            soon: of(&|group| group.date > garden.today && group.date <= week, false),
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
            growing: garden
                .plantings()
                .filter(|(_, planting)| planting.is_growing())
                .map(|(id, _)| PlantingSummary::new(garden, findings, id))
                .collect(),
            entries,
            season: season.name(),
            harvest,
            is_empty: garden.entries.is_empty(),
            frame,
        }
    }
}

/// The first paragraph of a prose.
fn opening(prose: &str) -> &str {
    prose.split("\n\n").map(str::trim).find(|part| !part.is_empty()).unwrap_or("")
}
