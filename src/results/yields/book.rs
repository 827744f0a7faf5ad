//! Every picking with what it is sorted by, and sums of them under any heading.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
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
    /// Where each picking grew, by picking.
    places: Vec<Only<PlaceId>>,
}

/// One thing, or several that were weighed together and are never split.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Only<T> {
    /// This one.
    One(T),
    /// Several.
    Several,
    /// Nobody wrote it down.
    Unknown,
}

/// A picking with what it can be sorted by.
#[derive(Clone, Debug)]
pub struct Picked<'a> {
    /// The picking.
    pub harvest: &'a HarvestRecord,
    /// Whose it is.
    pub whose: Whose,
    /// Of which variety.
    pub variety: Only<String>,
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
        let place = |harvest: &HarvestRecord| {
            let places = harvest
                .plantings
                .iter()
                .flat_map(|id| ground::places_of(&stays[id.0], garden.planting(*id), harvest.date));
            only(places)
        };
        Book { measures: measures.collect(), places: garden.harvests.iter().map(place).collect() }
    }

    /// What a planting gave.
    pub fn of_planting(&self, id: PlantingId) -> &Measures {
        &self.measures[id.0]
    }

    /// Every picking, oldest first.
    pub fn pickings<'a>(&'a self, garden: &'a Garden) -> impl Iterator<Item = Picked<'a>> {
        garden.harvests.iter().zip(&self.places).map(|(harvest, place)| {
            let plantings = harvest.plantings.iter().map(|id| garden.planting(*id));
            Picked {
                harvest,
                whose: whose(garden, harvest),
                variety: match only(plantings.map(|planting| planting.variety.as_deref())) {
                    Only::One(Some(variety)) => Only::One(variety.to_owned()),
                    Only::Several => Only::Several,
                    Only::One(None) | Only::Unknown => Only::Unknown,
                },
                place: place.clone(),
                kind: match place {
                    Only::One(id) => Only::One(garden.place(*id).kind),
                    // Two beds are both beds.
                    Only::Several => only(harvest.plantings.iter().flat_map(|id| {
                        ground::places_on(garden, *id, harvest.date)
                            .into_iter()
                            .map(|id| garden.place(id).kind)
                    })),
                    Only::Unknown => Only::Unknown,
                },
                season: garden.season_of(harvest.date).days.from,
            }
        })
    }

    /// Sums of pickings by a key; what has none is left out.
    pub fn lots<K: Ord>(
        &self,
        garden: &Garden,
        key: impl Fn(&Picked<'_>) -> Option<K>,
    ) -> BTreeMap<K, Lot> {
        let mut sorted: BTreeMap<K, Vec<&HarvestRecord>> = BTreeMap::new();
        for picked in self.pickings(garden) {
            if let Some(key) = key(&picked) {
                sorted.entry(key).or_default().push(picked.harvest);
            }
        }
        sorted.into_iter().map(|(key, own)| (key, Lot::of(garden, &self.measures, &own))).collect()
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
