//! What every page has: its title, where it lies, and the way to the others.

use std::cmp::Ordering;
use std::sync::LazyLock;

use serde::Serialize;

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{PlantingId, Way};
use crate::garden::planting_names::{Around, Which};
use crate::garden::records::EntryId;
use crate::names;
use crate::sheets::mix::MixSheet;
use crate::site::crops::CropView;
use crate::site::each_page;
use crate::site::entry::EntryView;
use crate::site::message::Message;
use crate::site::mixes::mix_path;
use crate::site::page::{Area, Page, Part, Visit};
use crate::site::places::PlaceView;
use crate::site::planting::PlantingView;

/// What every page has.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Frame {
    pub garden: String,
    /// The language of the page.
    pub language: String,
    /// The page itself, from the root.
    pub here: String,
    /// The way from this page up to the site's root: `../../`, or nothing.
    pub root: String,
    /// The part of the site it belongs to, by its key.
    pub section: &'static str,
    /// The address of the site, if it is known: what is told to other programs starts from it.
    pub site: Option<String>,
    /// Whether it has an address of its own.
    pub is_listed: bool,
    pub title: Message,
    /// The menu's row.
    pub areas: Vec<MenuEntry>,
    /// What stands behind the last entry of the row.
    pub more: Vec<MenuEntry>,
    /// The way to this page from the menu.
    pub trail: Vec<TrailStep>,
    /// Pages beside this one, such as the same of other years.
    pub siblings: Vec<Link>,
}

/// A link of the menu.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MenuEntry {
    pub name: Message,
    /// The page, from the root.
    pub href: &'static str,
    /// Whether this page is it (`page`), or belongs to it (`true`).
    pub current: Option<&'static str>,
}

/// A step of the way to a page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrailStep {
    pub name: Message,
    /// The page, from the root.
    pub href: String,
}

impl Frame {
    /// The frame of a page.
    pub fn new<P: Page>(garden: &Garden, key: &P::Key, title: Message) -> Frame {
        let here = P::path(garden, key);
        let (areas, more) = menu(P::PART, &here);
        let trail = trail(P::PART, &here);
        Frame {
            garden: garden.settings.name.clone(),
            language: garden.settings.language.value.clone(),
            root: "../".repeat(here.matches('/').count()),
            here,
            site: garden.settings.site_address.clone(),
            is_listed: P::PART.key != "lost",
            section: P::PART.key,
            title,
            areas,
            more,
            trail,
            siblings: Vec::new(),
        }
    }

    /// With one more step on the way to it.
    pub fn below(mut self, link: &Link) -> Frame {
        self.trail.push(TrailStep { name: link.name(), href: link.href.clone() });
        self
    }

    /// With these pages beside it.
    pub fn beside(mut self, siblings: Vec<Link>) -> Frame {
        self.siblings = siblings;
        self
    }
}

/// The row of the menu, and what stands behind its last entry; each as seen from a page.
fn menu(own: Part, here: &str) -> (Vec<MenuEntry>, Vec<MenuEntry>) {
    let parts = parts();
    let is_first = |part: &Part| {
        part.area != Area::More && parts.iter().find(|one| one.area == part.area) == Some(part)
    };
    let (row, rest): (Vec<&Part>, Vec<&Part>) = parts.iter().partition(|part| is_first(part));
    let state = |part: &Part, is_own: bool| match (part.href == here, is_own) {
        (true, _) => Some("page"),
        (false, true) => Some("true"),
        (false, false) => None,
    };
    let row = row.iter().map(|part| MenuEntry {
        name: area_name(part.area),
        href: part.href,
        current: state(part, part.area == own.area),
    });
    let rest = rest.iter().map(|part| MenuEntry {
        name: Message::new(format!("part.{}", part.key)),
        href: part.href,
        current: state(part, **part == own).filter(|_| own.area == Area::More || part.href == here),
    });
    (row.collect(), rest.collect())
}

fn area_name(area: Area) -> Message {
    Message::new(match area {
        Area::Today => "area.today",
        Area::Growing => "area.growing",
        Area::Picked => "area.picked",
        Area::Journal => "area.journal",
        Area::More => "area.more",
    })
}

/// From the area to the part, as far as these are other pages.
fn trail(own: Part, here: &str) -> Vec<TrailStep> {
    let parts = parts();
    let first = parts.iter().find(|part| part.area == own.area && own.area != Area::More);
    let mut steps = Vec::new();
    if let Some(first) = first.filter(|first| first.href != here) {
        steps.push(TrailStep { name: area_name(first.area), href: first.href.to_owned() });
    }
    if first != Some(&own) && own.href != here {
        steps.push(TrailStep {
            name: Message::new(format!("part.{}", own.key)),
            href: own.href.to_owned(),
        });
    }
    steps
}

/// The parts of the site, each once, in the order in which their pages are listed.
fn parts() -> &'static [Part] {
    static PARTS: LazyLock<Vec<Part>> = LazyLock::new(listed_parts);
    &PARTS
}

fn listed_parts() -> Vec<Part> {
    struct Parts(Vec<Part>);
    impl Visit for Parts {
        fn page<P: Page>(&mut self) {
            if !self.0.contains(&P::PART) {
                self.0.push(P::PART);
            }
        }
    }
    let mut parts = Parts(Vec::new());
    each_page(&mut parts);
    parts.0
}

/// A title that is a name of the grower's.
pub fn named(name: &str) -> Message {
    Message::new("title.name").with("name", name)
}

/// What a planting is called in a sentence.
pub fn planting_name(garden: &Garden, id: PlantingId) -> Message {
    Link::planting(garden, id).name()
}

fn which(garden: &Garden, id: PlantingId) -> Option<Message> {
    Some(match garden.which(id)? {
        Which::Planned => Message::new("which.planned"),
        Which::Season(season) => Message::new("which.season").with("season", season.as_str()),
        Which::Month(day, with_year) => {
            let key = match garden.planting(id).way {
                Way::Sown => "which.sown",
                Way::Intended => "which.to-sow",
                Way::Planted | Way::Bought | Way::Split => "which.begun",
            };
            let key = if *with_year { format!("{key}-year") } else { key.to_owned() };
            Message::new(key).with("date", *day)
        }
        Which::Number(number, None) => Message::new("which.number").with("number", *number),
        Which::Number(number, Some(season)) => Message::new("which.number-season")
            .with("number", *number)
            .with("season", season.as_str()),
    })
}

/// A link to another page, from the root.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Link {
    pub text: String,
    /// What tells a planting from others that would be called the same.
    pub which: Option<Message>,
    /// The page, from the root.
    pub href: String,
}

/// As people look for names: capital letters make no difference.
impl Ord for Link {
    fn cmp(&self, other: &Link) -> Ordering {
        let key = |link: &Link| (names::folded(&link.text), link.text.clone());
        let others = (&self.which, &self.href).cmp(&(&other.which, &other.href));
        key(self).cmp(&key(other)).then(others)
    }
}

impl PartialOrd for Link {
    fn partial_cmp(&self, other: &Link) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Link {
    /// To what has one name everywhere.
    pub fn new(text: impl Into<String>, href: String) -> Link {
        Link { text: text.into(), which: None, href }
    }

    pub fn planting(garden: &Garden, id: PlantingId) -> Link {
        Link::planting_around(garden, id, Around::Garden)
    }

    /// To a planting, by the name that is enough here.
    pub fn planting_around(garden: &Garden, id: PlantingId, around: Around) -> Link {
        Link {
            text: garden.called(id, around),
            which: which(garden, id),
            href: PlantingView::path(garden, &id),
        }
    }

    /// What it says, in a sentence.
    pub fn name(&self) -> Message {
        match &self.which {
            Some(which) => Message::new("planting.called")
                .with("name", self.text.as_str())
                .with("which", which.clone()),
            None => named(&self.text),
        }
    }

    pub fn crop(garden: &Garden, id: crate::catalogue::CropId) -> Link {
        let crop = garden.catalogue.get(id);
        Link::new(crop.name.as_str(), CropView::path(garden, &id))
    }

    pub fn place(garden: &Garden, id: PlaceId) -> Link {
        let place = garden.place(id);
        Link::new(place.name.as_str(), PlaceView::path(garden, &id))
    }

    /// To a mix or a feed.
    pub fn mix(sheet: &MixSheet) -> Link {
        Link::new(sheet.name.value.as_str(), mix_path(sheet))
    }

    /// To an entry, if it has a page.
    pub fn entry(garden: &Garden, id: EntryId) -> Option<EntryLink> {
        let entry = garden.entry(id);
        (!entry.is_private).then(|| EntryLink {
            title: entry.title.clone().map(String::from),
            date: entry.date,
            href: EntryView::path(garden, &id),
        })
    }
}

/// A link to an entry: by its title, or by its date if it has none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EntryLink {
    pub title: Option<String>,
    pub date: chrono::NaiveDate,
    /// Its page, from the root.
    pub href: String,
}
