//! Sums of pickings by season, month, crop, variety, planting, place and kind of place: the same ones
//! for the tables of all pages and for garden.json.

use chrono::{Datelike, NaiveDate};

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::place_kind::PlaceKind;
use crate::results::yields::Whose;
use crate::results::yields::book::{Among, Book, Only, Picked};
use crate::results::yields::lot::Lot;
use crate::site::frame::Link;
use crate::site::harvests::HarvestsView;
use crate::site::heading::Heading;
use crate::site::message::Message;
use crate::site::page::Page;
use crate::site::yields::LotRow;

/// What sums are made by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    All,
    Season,
    /// By month of a year.
    Month,
    Crop,
    /// By crop and month of a year.
    CropAndMonth,
    /// By crop and variety.
    Variety,
    /// By planting; what was weighed together is left out.
    Planting,
    Place,
    /// By kind of place.
    Kind,
}

/// A sum with what it is about.
#[derive(Clone, Debug)]
pub struct Headed {
    /// What it is about.
    pub heading: Heading,
    /// The sum.
    pub lot: Lot,
    key: Key,
}

/// What a sum is made by, in the order of a table's rows.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    All,
    Season(NaiveDate),
    Month(i32, u32),
    Whose(Whose),
    WhoseMonth(Whose, i32, u32),
    Variety(Whose, Only<String>),
    Planting(PlantingId),
    Place(Only<PlaceId>),
    Kind(Only<PlaceKind>),
}

/// The sums, in the order of their keys.
pub fn sums(garden: &Garden, book: &Book, by: By, among: Among) -> Vec<Headed> {
    let lots = match (by, among) {
        // Every season's page has them.
        (By::Season, Among::All) => {
            let seasons = book.of_seasons(garden).iter();
            seasons.map(|(day, lot)| (Key::Season(*day), lot.clone())).collect()
        }
        _ => book.lots(garden, among, |picked| key(by, picked)),
    };
    lots.into_iter()
        .map(|(key, lot)| {
            let lot = match &key {
                // Of a whole place the whole ground counts, whoever stood there.
                Key::Place(Only::One(id)) => lot.on(garden, &[*id]),
                Key::Season(_) if let Among::Place(id) = among => lot.on(garden, &[id]),
                _ => lot,
            };
            Headed { heading: heading(garden, among, &key), lot, key }
        })
        .collect()
}

impl Headed {
    /// As a row of a table.
    pub fn row(&self, garden: &Garden) -> LotRow {
        let system = garden.settings.units;
        let text = |text: &str| Message::new("title.name").with("name", text);
        let row = |name| LotRow::new(&self.lot, system, &self.heading, name);
        let linked = |link: Link| row(link.name()).linked(link.href);
        match &self.key {
            Key::All => row(Message::new("yields.all")),
            Key::Season(day) => {
                let season = garden.season_of(*day);
                row(text(&season.name())).linked(HarvestsView::path(garden, &season))
            }
            Key::Month(year, month) | Key::WhoseMonth(_, year, month) => {
                let day = NaiveDate::from_ymd_opt(*year, *month, 1).unwrap_or(garden.today);
                row(Message::new("title.month").with("month", day))
            }
            Key::Whose(Whose::Crop(id)) => linked(Link::crop(garden, *id)),
            Key::Whose(Whose::Several) => row(Message::new("harvest.several")),
            Key::Variety(whose, variety) => {
                let name = match variety {
                    Only::One(variety) => text(variety),
                    Only::Several => Message::new("yields.several-varieties"),
                    Only::Unknown => Message::new("yields.no-variety"),
                };
                match whose {
                    Whose::Crop(id) => {
                        LotRow { note: Some(text(&Link::crop(garden, *id).text)), ..row(name) }
                    }
                    Whose::Several => row(Message::new("harvest.several")),
                }
            }
            Key::Planting(id) => {
                let kind = crate::results::yields::ground::kind(garden, *id);
                let kind = kind.map(|kind| Message::new(format!("kind.{}", kind.word())));
                LotRow { note: kind, ..linked(Link::planting(garden, *id)) }
            }
            Key::Place(Only::One(id)) => linked(Link::place(garden, *id)),
            Key::Place(Only::Several) => row(Message::new("yields.several-places")),
            Key::Kind(Only::One(kind)) => row(Message::new(format!("kind.{}", kind.word()))),
            Key::Kind(Only::Several) => row(Message::new("yields.several-kinds")),
            Key::Place(Only::Unknown) | Key::Kind(Only::Unknown) => {
                row(Message::new("yields.no-place"))
            }
        }
    }
}

fn key(by: By, picked: &Picked<'_>) -> Option<Key> {
    let date = picked.harvest.date;
    Some(match by {
        By::All => Key::All,
        By::Season => Key::Season(picked.season),
        By::Month => Key::Month(date.year(), date.month()),
        By::Crop => Key::Whose(picked.whose),
        By::CropAndMonth => Key::WhoseMonth(picked.whose, date.year(), date.month()),
        By::Variety => Key::Variety(picked.whose, picked.variety.owned()),
        By::Planting => match picked.harvest.plantings.as_slice() {
            [only] => Key::Planting(*only),
            _ => return None,
        },
        By::Place => Key::Place(picked.place),
        By::Kind => Key::Kind(picked.kind),
    })
}

fn heading(garden: &Garden, among: Among, key: &Key) -> Heading {
    let of = match among {
        Among::Season(day) => Heading::default().season(garden, day),
        Among::Crop(id) => Heading::default().crop(garden, Whose::Crop(id)),
        Among::Place(id) => Heading::default().place(garden, &Only::One(id)),
        Among::All | Among::Planting(_) => Heading::default(),
    };
    let first = |year: i32, month: u32| NaiveDate::from_ymd_opt(year, month, 1);
    match key {
        Key::All => of,
        Key::Season(day) => of.season(garden, *day),
        Key::Month(year, month) => of.month(first(*year, *month).unwrap_or(garden.today)),
        Key::Whose(whose) => of.crop(garden, *whose),
        Key::WhoseMonth(whose, year, month) => {
            of.crop(garden, *whose).month(first(*year, *month).unwrap_or(garden.today))
        }
        Key::Variety(whose, variety) => {
            let of = of.crop(garden, *whose);
            if *whose == Whose::Several { of } else { of.variety(variety) }
        }
        // A planting is of one crop: to say so would be a second name of the same sum.
        Key::Planting(id) => Heading { crop: None, ..of }.planting(garden, *id),
        Key::Place(place) => of.place(garden, place),
        Key::Kind(kind) => of.kind(kind),
    }
}
