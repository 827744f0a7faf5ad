//! What every page has: its title, where it lies, and the way to the others.

use serde::Serialize;

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::EntryId;
use crate::names;
use crate::sheets::mix::MixSheet;
use crate::site::message::Message;

/// What every page has.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Frame {
    /// The garden's name.
    pub garden: String,
    /// The language of the page.
    pub language: String,
    /// The page itself, from the root.
    pub here: String,
    /// The way from this page up to the site's root: `../../`, or nothing.
    pub root: String,
    /// The part of the site it belongs to, by its key.
    pub section: String,
    /// The title.
    pub title: Message,
    /// The other parts of the site.
    pub parts: Vec<Part>,
}

/// A part of the site, in its menu.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Part {
    /// Its key, which is also the key of its words.
    pub key: &'static str,
    /// Its page, from the root.
    pub href: &'static str,
}

/// The parts of the site in the order of the menu.
const PARTS: &[Part] = &[
    Part { key: "today", href: "index.html" },
    Part { key: "tasks", href: "tasks/index.html" },
    Part { key: "shopping", href: "shopping/index.html" },
    Part { key: "calendar", href: "calendar/index.html" },
    Part { key: "plantings", href: "plantings/index.html" },
    Part { key: "crops", href: "crops/index.html" },
    Part { key: "places", href: "places/index.html" },
    Part { key: "mixes", href: "mixes/index.html" },
    Part { key: "seed", href: "seed/index.html" },
    Part { key: "harvests", href: "harvests/index.html" },
    Part { key: "review", href: "review/index.html" },
    Part { key: "journal", href: "journal/index.html" },
    Part { key: "climate", href: "climate/index.html" },
];

impl Frame {
    /// The frame of a page at `path` (`crops/leek/index.html`) in a part of the site.
    pub fn new(garden: &Garden, path: &str, section: &str, title: Message) -> Frame {
        Frame {
            garden: garden.settings.name.clone(),
            language: garden.settings.language.clone(),
            here: path.to_owned(),
            root: "../".repeat(path.matches('/').count()),
            section: section.to_owned(),
            title,
            parts: PARTS.to_vec(),
        }
    }
}

/// A title that is a name of the grower's.
pub fn named(name: &str) -> Message {
    Message::new("title.name").with("name", name)
}

/// A link to another page, from the root.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Link {
    /// What it says.
    pub text: String,
    /// The page, from the root.
    pub href: String,
}

impl Link {
    /// To a planting.
    pub fn planting(garden: &Garden, id: PlantingId) -> Link {
        let planting = garden.planting(id);
        Link { text: planting.id.clone(), href: planting_path(&planting.slug) }
    }

    /// To a crop.
    pub fn crop(garden: &Garden, id: crate::catalogue::CropId) -> Link {
        let crop = garden.catalogue.get(id);
        Link { text: crop.name.clone(), href: crop_path(&crop.slug) }
    }

    /// To a place.
    pub fn place(garden: &Garden, id: PlaceId) -> Link {
        let place = garden.place(id);
        Link { text: place.name.clone(), href: place_path(&place.slug) }
    }

    /// To a mix or a feed.
    pub fn mix(sheet: &MixSheet) -> Link {
        Link { text: sheet.name.value.clone(), href: mix_path(sheet) }
    }

    /// To an entry, if it has a page.
    pub fn entry(garden: &Garden, id: EntryId) -> Option<EntryLink> {
        let entry = garden.entry(id);
        (!entry.is_private).then(|| EntryLink {
            title: entry.title.clone(),
            date: entry.date,
            href: entry_path(&entry.address),
        })
    }
}

/// A link to an entry: by its title, or by its date if it has none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EntryLink {
    /// Its title.
    pub title: Option<String>,
    /// Its date.
    pub date: chrono::NaiveDate,
    /// Its page, from the root.
    pub href: String,
}

/// The page of a planting.
pub fn planting_path(slug: &str) -> String {
    format!("plantings/{slug}/index.html")
}

/// The page of a crop.
pub fn crop_path(slug: &str) -> String {
    format!("crops/{slug}/index.html")
}

/// The page of a place.
pub fn place_path(slug: &str) -> String {
    format!("places/{slug}/index.html")
}

/// The page of a mix or a feed.
pub fn mix_path(sheet: &MixSheet) -> String {
    format!("mixes/{}/index.html", names::slug(&sheet.name.value))
}

/// The page of an entry.
pub fn entry_path(address: &str) -> String {
    format!("journal/{address}/index.html")
}
