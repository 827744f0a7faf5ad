//! What every page has: its title, where it lies, and the way to the others.

use serde::Serialize;

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::EntryId;
use crate::sheets::mix::MixSheet;
use crate::site::crops::CropView;
use crate::site::each_page;
use crate::site::journal::EntryView;
use crate::site::message::Message;
use crate::site::mixes::mix_path;
use crate::site::page::{Page, Part, Visit};
use crate::site::places::PlaceView;
use crate::site::plantings::PlantingView;

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
    pub section: &'static str,
    /// The title.
    pub title: Message,
    /// The other parts of the site.
    pub parts: Vec<Part>,
}

impl Frame {
    /// The frame of a page.
    pub fn new<P: Page>(garden: &Garden, key: &P::Key, title: Message) -> Frame {
        let here = P::path(garden, key);
        Frame {
            garden: garden.settings.name.clone(),
            language: garden.settings.language.clone(),
            root: "../".repeat(here.matches('/').count()),
            here,
            section: P::PART.key,
            title,
            parts: menu(),
        }
    }
}

/// The parts of the site, each once, in the order in which their pages are listed.
fn menu() -> Vec<Part> {
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
        Link { text: planting.id.clone(), href: PlantingView::path(garden, &id) }
    }

    /// To a crop.
    pub fn crop(garden: &Garden, id: crate::catalogue::CropId) -> Link {
        let crop = garden.catalogue.get(id);
        Link { text: crop.name.clone(), href: CropView::path(garden, &id) }
    }

    /// To a place.
    pub fn place(garden: &Garden, id: PlaceId) -> Link {
        let place = garden.place(id);
        Link { text: place.name.clone(), href: PlaceView::path(garden, &id) }
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
            href: EntryView::path(garden, &id),
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
