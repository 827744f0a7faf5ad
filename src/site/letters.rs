//! Everything that has a name and a page, by letter.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::names::slug;
use crate::site::frame::{Frame, Link};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};

/// Everything by letter. Entries are in the journal, by month; plantings of other years stand on the pages of their crops.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LettersView {
    pub frame: Frame,
    /// The letters under which there is something.
    pub letters: Vec<Letter>,
}

/// What begins with a letter.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Letter {
    /// In Latin script, as in a page's address.
    pub letter: String,
    /// What, by name.
    pub entries: Vec<LetterEntry>,
}

/// A name, and what it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct LetterEntry {
    pub link: Link,
    pub what: Message,
}

impl Page for LettersView {
    type Key = ();

    const PART: Part = Part { key: "letters", href: "letters/index.html", area: Area::More };
    const TEMPLATE: &'static str = "letters.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, _: &Findings, (): &()) -> Self {
        let mut letters: BTreeMap<String, BTreeSet<(String, LetterEntry)>> = BTreeMap::new();
        for entry in entries(garden) {
            let sorted = slug(&entry.link.text);
            let letter = sorted.chars().next().map_or(String::new(), |char| char.to_string());
            letters.entry(letter.to_uppercase()).or_default().insert((sorted, entry));
        }
        let letter = |(letter, entries): (String, BTreeSet<(String, LetterEntry)>)| Letter {
            letter,
            entries: entries.into_iter().map(|(_, entry)| entry).collect(),
        };
        LettersView {
            frame: Frame::new::<Self>(garden, &(), Message::new("part.letters")),
            letters: letters.into_iter().map(letter).collect(),
        }
    }
}

pub(super) fn entries(garden: &Garden) -> Vec<LetterEntry> {
    let entry = |link: Link, what: &str| LetterEntry { link, what: Message::new(what) };
    let mut all: Vec<LetterEntry> = Vec::new();
    for (id, _) in garden.catalogue.crops() {
        let link = Link::crop(garden, id);
        all.extend(garden.catalogue.get(id).also_called.iter().map(|name| LetterEntry {
            link: Link::new(name.as_str(), link.href.clone()),
            what: Message::new("letters.also").with("crop", link.text.as_str()),
        }));
        all.push(entry(link, "letters.crop"));
    }
    all.extend(garden.places().map(|(id, _)| entry(Link::place(garden, id), "letters.place")));
    all.extend(garden.mixes.iter().map(|mix| entry(Link::mix(mix), "letters.mix")));
    let plantings = garden.plantings().map(|(id, _)| id).filter(|id| is_of_today(garden, *id));
    all.extend(plantings.map(|id| entry(Link::planting(garden, id), "letters.planting")));
    all
}

/// Whether a planting stands, or stood this season.
pub(super) fn is_of_today(garden: &Garden, id: PlantingId) -> bool {
    let season = garden.season().days;
    garden.planting(id).finished.is_none_or(|finished| season.contains(finished))
}
