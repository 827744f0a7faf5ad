//! Whom a line is about: names to plantings and places, as they were on a day.

use chrono::NaiveDate;

use crate::catalogue::{Catalogue, CropId};
use crate::diagnostics::problem::Problems;
use crate::garden::build::lookup::{self, Lookup};
use crate::garden::build::problems;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::About;
use crate::journal::subject::Subject;
use crate::origin::Written;

/// Whether and where a planting grew on a day, from whatever its history is kept in.
pub(super) trait Growing {
    /// How many plantings there are.
    fn count(&self) -> usize;
    /// What the planting is.
    fn crop(&self, id: PlantingId) -> CropId;
    /// Whether it was growing.
    fn is_alive(&self, id: PlantingId, day: NaiveDate) -> bool;
    /// Whether it stood in the place.
    fn is_in(&self, id: PlantingId, place: PlaceId, day: NaiveDate) -> bool;
}

impl Growing for Garden {
    fn count(&self) -> usize {
        self.plantings().len()
    }
    fn crop(&self, id: PlantingId) -> CropId {
        self.planting(id).crop
    }
    fn is_alive(&self, id: PlantingId, day: NaiveDate) -> bool {
        self.planting(id).is_alive_on(day)
    }
    fn is_in(&self, id: PlantingId, place: PlaceId, day: NaiveDate) -> bool {
        self.planting(id).places_on(day).contains(&place)
    }
}

/// What a subject stands for.
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    /// Plantings named by their ids, with where.
    pub(super) named: Vec<Written<PlantingId>>,
    /// Plantings that a place or crop stands for.
    pub(super) meant: Vec<PlantingId>,
    /// Places named.
    pub(super) places: Vec<PlaceId>,
}

impl Found {
    /// All of them, each once.
    pub(super) fn about(&self) -> About {
        let mut plantings: Vec<_> = self.named.iter().map(|named| named.value).collect();
        plantings.extend(&self.meant);
        plantings.sort_unstable();
        plantings.dedup();
        About { plantings, places: self.places.clone() }
    }
}

/// Looks up a subject. `place` on a line about work may stand for an empty place.
pub(super) fn find<G: Growing + ?Sized>(
    subject: &Subject,
    day: NaiveDate,
    growing: &G,
    lookup: &Lookup,
    catalogue: &Catalogue,
    problems: &mut Problems,
) -> Found {
    let before = problems.len();
    let except = Except::find(&subject.except, lookup, catalogue, problems);
    let mut found = Found::default();
    for name in &subject.plantings {
        let id = lookup.planting(name, problems);
        found.named.extend(id.map(|id| Written::new(id, name.at)));
    }
    let all = || (0..growing.count()).map(PlantingId).filter(|id| growing.is_alive(*id, day));
    for name in &subject.places {
        let Some(place) = lookup.place(name, problems) else { continue };
        found.places.push(place);
        found.meant.extend(all().filter(|id| growing.is_in(*id, place, day)));
    }
    for name in &subject.crops {
        let Some(crop) = lookup::crop(catalogue, name, problems) else { continue };
        let kin: Vec<_> = all().filter(|id| growing.crop(*id) == crop).collect();
        if kin.is_empty() && problems.len() == before && !lookup.is_in_doubt() {
            problems.add(problems::nobody_there(name.at, day, &name.value));
        }
        found.meant.extend(kin);
    }
    found.meant.retain(|id| !except.holds(*id, growing, day));
    found.named.retain(|id| !except.holds(id.value, growing, day));
    found
}

/// Names behind `except`: each may be a planting, a place or a crop.
#[derive(Debug, Default)]
struct Except {
    plantings: Vec<PlantingId>,
    places: Vec<PlaceId>,
    crops: Vec<CropId>,
}

impl Except {
    fn find(
        names: &[Written<String>],
        lookup: &Lookup,
        catalogue: &Catalogue,
        problems: &mut Problems,
    ) -> Except {
        let mut except = Except::default();
        for name in names {
            let planting = lookup.plantings.find(&name.value);
            let place = lookup.places.find(&name.value);
            let crop = catalogue.find(&name.value);
            except.plantings.extend(planting);
            except.places.extend(place);
            except.crops.extend(crop);
            if planting.is_none() && place.is_none() && crop.is_none() {
                lookup.planting(name, problems);
            }
        }
        except
    }

    fn holds<G: Growing + ?Sized>(&self, id: PlantingId, growing: &G, day: NaiveDate) -> bool {
        self.plantings.contains(&id)
            || self.crops.contains(&growing.crop(id))
            || self.places.iter().any(|place| growing.is_in(id, *place, day))
    }
}
