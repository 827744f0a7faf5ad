//! Every picking with what it is sorted by, and sums of them under any heading.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{PlantingId, Stay};
use crate::garden::records::HarvestRecord;
use crate::place_kind::PlaceKind;
use crate::results::yields::ground;
use crate::results::yields::lot::Lot;
use crate::results::yields::measures::{self, Measures};
use crate::results::yields::{Whose, whose};

/// What has to be looked up once for all sums.
#[derive(Clone, Debug)]
pub struct Book {
    /// What each planting gave, by planting.
    pub measures: Vec<Measures>,
    /// By what each picking is sorted, by picking.
    sorted: Vec<Sorted>,
    places: BTreeMap<PlaceId, Vec<usize>>,
    seasons: BTreeMap<NaiveDate, Vec<usize>>,
    of_seasons: OnceLock<BTreeMap<NaiveDate, Lot>>,
}

#[derive(Clone, Debug)]
struct Sorted {
    whose: Whose,
    variety: Only<String>,
    place: Only<PlaceId>,
    kind: Only<PlaceKind>,
    season: NaiveDate,
}

/// Which pickings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Among {
    #[default]
    All,
    /// Those of one season, by its first day.
    Season(NaiveDate),
    /// Those of one crop alone.
    Crop(CropId),
    /// Those of one planting, by itself or together with others.
    Planting(PlantingId),
    /// Those of one place alone.
    Place(PlaceId),
}

/// One thing, or several that were weighed together and are never split.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Only<T> {
    One(T),
    Several,
    /// Nobody wrote it down.
    Unknown,
}

impl Only<&str> {
    /// The same, by itself.
    pub fn owned(self) -> Only<String> {
        match self {
            Only::One(one) => Only::One(one.to_owned()),
            Only::Several => Only::Several,
            Only::Unknown => Only::Unknown,
        }
    }
}

/// A picking with what it can be sorted by.
#[derive(Clone, Copy, Debug)]
pub struct Picked<'a> {
    /// The picking.
    pub harvest: &'a HarvestRecord,
    pub whose: Whose,
    pub variety: Only<&'a str>,
    /// Where it grew.
    pub place: Only<PlaceId>,
    /// In what kind of place.
    pub kind: Only<PlaceKind>,
    /// The first day of its season.
    pub season: NaiveDate,
}

impl Book {
    /// Looks them up.
    pub fn of(garden: &Garden) -> Book {
        let measures = garden.plantings().map(|(id, _)| measures::of_planting(garden, id));
        let stays: Vec<_> = garden.plantings().map(|(id, _)| ground::stays(garden, id)).collect();
        let sorted = garden.harvests.iter().map(|harvest| Sorted::of(garden, &stays, harvest));
        let mut book = Book {
            measures: measures.collect(),
            sorted: sorted.collect(),
            places: BTreeMap::new(),
            seasons: BTreeMap::new(),
            of_seasons: OnceLock::new(),
        };
        for (index, sorted) in book.sorted.iter().enumerate() {
            book.seasons.entry(sorted.season).or_default().push(index);
            if let Only::One(place) = sorted.place {
                book.places.entry(place).or_default().push(index);
            }
        }
        book
    }

    /// What a planting gave.
    pub fn of_planting(&self, id: PlantingId) -> &Measures {
        &self.measures[id.0]
    }

    /// Every picking, oldest first.
    pub fn pickings<'a>(&'a self, garden: &'a Garden) -> impl Iterator<Item = Picked<'a>> {
        (0..self.sorted.len()).map(|index| self.picked(garden, index))
    }

    /// Seasons in which something was picked, oldest first, by their first days.
    pub fn seasons(&self) -> impl Iterator<Item = NaiveDate> {
        self.seasons.keys().copied()
    }

    /// The sum of each season, oldest first, by its first day.
    pub fn of_seasons(&self, garden: &Garden) -> &BTreeMap<NaiveDate, Lot> {
        self.of_seasons.get_or_init(|| self.lots(garden, Among::All, |picked| Some(picked.season)))
    }

    /// Sums of pickings by a key; what has none is left out.
    pub fn lots<K: Ord>(
        &self,
        garden: &Garden,
        among: Among,
        key: impl Fn(&Picked<'_>) -> Option<K>,
    ) -> BTreeMap<K, Lot> {
        let all: Vec<usize>;
        let none: &[usize] = &[];
        let indices = match among {
            Among::All => {
                all = (0..self.sorted.len()).collect();
                &all
            }
            Among::Season(day) => self.seasons.get(&day).map_or(none, Vec::as_slice),
            Among::Crop(id) => garden.harvest_indices_of_crop(id),
            Among::Planting(id) => garden.harvest_indices_of(id),
            Among::Place(id) => self.places.get(&id).map_or(none, Vec::as_slice),
        };
        let mut lots: BTreeMap<K, Vec<&HarvestRecord>> = BTreeMap::new();
        for picked in indices.iter().map(|index| self.picked(garden, *index)) {
            let is_among = match among {
                Among::Crop(id) => picked.whose == Whose::Crop(id),
                _ => true,
            };
            if let Some(key) = key(&picked).filter(|_| is_among) {
                lots.entry(key).or_default().push(picked.harvest);
            }
        }
        lots.into_iter().map(|(key, own)| (key, Lot::of(garden, &self.measures, &own))).collect()
    }

    fn picked<'a>(&'a self, garden: &'a Garden, index: usize) -> Picked<'a> {
        let Sorted { whose, variety, place, kind, season } = &self.sorted[index];
        Picked {
            harvest: &garden.harvests[index],
            whose: *whose,
            variety: match variety {
                Only::One(variety) => Only::One(variety.as_str()),
                Only::Several => Only::Several,
                Only::Unknown => Only::Unknown,
            },
            place: *place,
            kind: *kind,
            season: *season,
        }
    }
}

impl Sorted {
    fn of(garden: &Garden, stays: &[Vec<Stay>], harvest: &HarvestRecord) -> Sorted {
        let places = || {
            harvest
                .plantings
                .iter()
                .flat_map(|id| ground::places_of(&stays[id.0], garden.planting(*id), harvest.date))
        };
        let plantings = harvest.plantings.iter().map(|id| garden.planting(*id));
        Sorted {
            whose: whose(garden, harvest),
            variety: match only(plantings.map(|planting| planting.variety.as_deref())) {
                Only::One(Some(variety)) => Only::One(variety.to_owned()),
                Only::Several => Only::Several,
                Only::One(None) | Only::Unknown => Only::Unknown,
            },
            place: only(places()),
            // Two beds are both beds.
            kind: only(places().map(|id| garden.place(id).kind)),
            season: garden.season_of(harvest.date).days.from,
        }
    }
}

fn only<T: PartialEq>(all: impl IntoIterator<Item = T>) -> Only<T> {
    let mut all = all.into_iter();
    match all.next() {
        None => Only::Unknown,
        Some(first) if all.all(|other| other == first) => Only::One(first),
        Some(_) => Only::Several,
    }
}
