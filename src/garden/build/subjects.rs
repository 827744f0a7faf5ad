//! Whom a line is about: names to plantings and places, as they were on a day.

use chrono::NaiveDate;

use crate::catalogue::{Catalogue, CropId};
use crate::diagnostics::problem::Problems;
use crate::garden::build::called::{self, Meaning, Plants, Stranger};
use crate::garden::build::lookup::{self, Lookup};
use crate::garden::build::problems;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::records::About;
use crate::journal::subject::Subject;
use crate::origin::Written;
use crate::stage::Stage;

/// Whether and where a planting grew on a day, from whatever its history is kept in.
pub(super) trait Growing {
    /// How many plantings there are.
    fn count(&self) -> usize;
    fn planting(&self, id: PlantingId) -> &Planting;
    /// The stage it had reached.
    fn stage(&self, id: PlantingId, day: NaiveDate) -> Stage;
    /// Whether it was growing.
    fn is_alive(&self, id: PlantingId, day: NaiveDate) -> bool;
    /// Whether it stood in the place.
    fn is_in(&self, id: PlantingId, place: PlaceId, day: NaiveDate) -> bool;
}

impl Growing for Garden {
    fn count(&self) -> usize {
        self.plantings().len()
    }
    fn planting(&self, id: PlantingId) -> &Planting {
        self.planting(id)
    }
    fn stage(&self, id: PlantingId, day: NaiveDate) -> Stage {
        self.planting(id).stage_on(day)
    }
    fn is_alive(&self, id: PlantingId, day: NaiveDate) -> bool {
        self.planting(id).is_alive_on(day)
    }
    fn is_in(&self, id: PlantingId, place: PlaceId, day: NaiveDate) -> bool {
        self.planting(id).places_on(day).contains(&place)
    }
}

/// To how many plantings a line can happen whose short name fits several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Manner {
    /// Work and sights: to all of them.
    All,
    /// To one, which has not come that far yet.
    Reaches(Stage),
    One,
    /// To one that bears, or was lifted not long ago.
    Picked,
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

/// Where and when a subject is looked for.
pub(super) struct Search<'a, G: ?Sized> {
    pub(super) day: NaiveDate,
    pub(super) growing: &'a G,
    pub(super) lookup: &'a Lookup,
    pub(super) catalogue: &'a Catalogue,
}

impl<G: Growing + ?Sized> Search<'_, G> {
    /// Looks up a subject. `place` on a line about work may stand for an empty place.
    pub(super) fn find(&self, subject: &Subject, manner: Manner, problems: &mut Problems) -> Found {
        let Search { day, growing, lookup, catalogue } = *self;
        let before = problems.len();
        let except = Except::find(&subject.except, lookup, catalogue, problems);
        let mut found = Found::default();
        for name in &subject.plantings {
            let id = lookup.planting(name, problems);
            found.named.extend(id.map(|id| Written::new(id, name.at)));
        }
        for name in &subject.places {
            let Some(place) = lookup.place(name, problems) else { continue };
            found.places.push(place);
            found.meant.extend(self.alive().filter(|id| growing.is_in(*id, place, day)));
        }
        for name in &subject.crops {
            let Some(crop) = lookup::crop(catalogue, name, problems) else { continue };
            let kin: Vec<_> =
                self.alive().filter(|id| growing.planting(*id).crop == crop).collect();
            if kin.is_empty() && problems.len() == before && !lookup.is_in_doubt() {
                problems.add(problems::nobody_there(name.at, day, &name.value));
            }
            found.meant.extend(kin);
        }
        for name in &subject.called {
            self.call(&mut found, name, manner, problems);
        }
        found.meant.retain(|id| !except.holds(*id, growing, day));
        found.named.retain(|id| !except.holds(id.value, growing, day));
        found
    }

    fn all(&self) -> impl Iterator<Item = PlantingId> + use<'_, G> {
        (0..self.growing.count()).map(PlantingId)
    }

    fn alive(&self) -> impl Iterator<Item = PlantingId> + use<'_, G> {
        self.all().filter(|id| self.growing.is_alive(*id, self.day))
    }

    /// Adds whoever is called so in a short line.
    fn call(
        &self,
        found: &mut Found,
        name: &Written<String>,
        manner: Manner,
        problems: &mut Problems,
    ) {
        let meanings = match called::meanings(name, self.lookup, self.catalogue) {
            Ok(meanings) => meanings,
            Err(Stranger::Place(place)) => {
                self.lookup.place(&place, problems);
                return;
            }
            Err(Stranger::Name) => {
                return match called::each_of(name, self.lookup, self.catalogue) {
                    Some(parts) => {
                        parts.iter().for_each(|part| self.call(found, part, manner, problems));
                    }
                    None => self.lookup.stranger(name, self.catalogue, problems),
                };
            }
        };
        if let [Meaning { plants: Plants::Planting(id), places }] = meanings.as_slice()
            && places.is_empty()
        {
            return found.named.push(Written::new(*id, name.at));
        }
        let mut kin: Vec<_> = self.alive().filter(|id| self.is_meant(*id, &meanings)).collect();
        if manner == Manner::All {
            let whole = meanings.iter().filter(|meaning| meaning.plants == Plants::All);
            found.places.extend(whole.flat_map(|meaning| &meaning.places));
        } else if kin.len() > 1 {
            let by_crop = matches!(meanings.as_slice(), [Meaning { plants: Plants::Crop(_), .. }]);
            self.narrow(&mut kin, manner, by_crop);
        } else if kin.is_empty() && manner == Manner::Picked {
            let lifted = |id: &PlantingId| {
                self.growing.planting(*id).was_lifted_before(self.day)
                    && self.is_meant(*id, &meanings)
            };
            kin.extend(self.all().filter(lifted));
        }
        let is_about_plants = meanings.iter().any(|meaning| meaning.plants != Plants::All);
        let has_to_grow = is_about_plants || manner != Manner::All;
        if kin.is_empty() && has_to_grow && !self.lookup.is_in_doubt() {
            problems.add(problems::nobody_there(name.at, self.day, &name.value));
        }
        if kin.len() > 1 && manner != Manner::All {
            let plantings: Vec<_> = kin.iter().map(|id| self.growing.planting(*id)).collect();
            return problems.add(problems::names::several_meant(name, &plantings));
        }
        found.meant.extend(kin);
    }

    fn is_meant(&self, id: PlantingId, meanings: &[Meaning]) -> bool {
        meanings.iter().any(|meaning| {
            let mut places = meaning.places.iter();
            meaning.fits(id, self.growing.planting(id))
                && (meaning.places.is_empty()
                    || places.any(|place| self.growing.is_in(id, *place, self.day)))
        })
    }

    /// Of several, those to which it can have happened; all again if that is none.
    fn narrow(&self, kin: &mut Vec<PlantingId>, manner: Manner, by_crop: bool) {
        let stage = |id: &PlantingId| self.growing.stage(*id, self.day);
        let can = |id: &PlantingId| match manner {
            Manner::Reaches(reached) => stage(id) < reached,
            Manner::Picked => stage(id) >= Stage::PlantedOut,
            Manner::All | Manner::One => true,
        };
        if kin.iter().any(can) {
            kin.retain(can);
        }
        // Beside a pepper 'Lemon Drop', `pepper` is the one that has no other name.
        let is_plain = |id: &PlantingId| self.growing.planting(*id).variety.is_none();
        if by_crop && kin.iter().filter(|id| is_plain(id)).count() == 1 {
            kin.retain(is_plain);
        }
    }
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
            || self.crops.contains(&growing.planting(id).crop)
            || self.places.iter().any(|place| growing.is_in(id, *place, day))
    }
}
