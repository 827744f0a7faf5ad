//! What a planting is called: as its grower would call it, and no longer than it takes to tell it from others.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId};
use crate::names::folded;
use crate::stage::Stage;

/// What tells a planting from its twins: those of the same crop, variety and place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Which {
    /// The only one that is not begun, and has no day.
    Planned,
    /// The only one of its season, by the season's name.
    Season(String),
    /// The only one begun in its month; whether the year has to be said.
    Month(NaiveDate, bool),
    /// So many were begun before it in its season, and itself; the season, if there are several.
    Number(u64, Option<String>),
}

/// How much of a planting's name has to be said. One that is not over is told from those that are not over,
/// one that is over from all: so no two in the garden are called the same.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct PlantingName {
    /// Its place, if its crop and variety do not say enough.
    needs_place: bool,
    /// What tells it from its twins.
    which: Option<Which>,
    /// Whether its variety is that of another crop, too.
    needs_crop: bool,
}

/// The names of all plantings, in their order.
#[derive(Clone, Debug, Default)]
pub(crate) struct PlantingNames(Vec<PlantingName>);

/// Where a name is read, and what goes without saying there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Around {
    /// Anywhere.
    Garden,
    /// Among plantings of its crop.
    Crop,
    /// Among those of a place.
    Place(PlaceId),
    /// At the head of its own page, where it is called in full.
    Own,
}

/// Crop, and variety in the form in which names are compared.
type Kind = (CropId, String);

impl PlantingNames {
    /// Of a garden whose plantings are complete.
    pub(super) fn of(garden: &Garden) -> PlantingNames {
        let all: Vec<PlantingId> = garden.plantings().map(|(id, _)| id).collect();
        let mut names = vec![PlantingName::default(); all.len()];
        name(garden, &all, &mut names);
        let is_open = |id: &PlantingId| garden.planting(*id).finished.is_none();
        let open: Vec<PlantingId> = all.iter().copied().filter(is_open).collect();
        name(garden, &open, &mut names);
        let mut crops: BTreeMap<String, BTreeSet<CropId>> = BTreeMap::new();
        for (_, planting) in garden.plantings() {
            let variety = planting.variety.as_deref().map(folded).unwrap_or_default();
            crops.entry(variety).or_default().insert(planting.crop);
        }
        for (id, planting) in garden.plantings() {
            let variety = planting.variety.as_deref().map(folded).unwrap_or_default();
            names[id.0].needs_crop = crops.get(&variety).is_some_and(|crops| crops.len() > 1);
        }
        PlantingNames(names)
    }
}

/// Tells these plantings from each other.
fn name(garden: &Garden, among: &[PlantingId], names: &mut [PlantingName]) {
    let mut kinds: BTreeMap<Kind, BTreeMap<Option<PlaceId>, Vec<PlantingId>>> = BTreeMap::new();
    for id in among {
        let planting = garden.planting(*id);
        let kind = (planting.crop, planting.variety.as_deref().map(folded).unwrap_or_default());
        let places = kinds.entry(kind).or_default();
        places.entry(place(planting)).or_default().push(*id);
    }
    for places in kinds.into_values() {
        let is_alone = places.values().map(Vec::len).sum::<usize>() == 1;
        for (place, mut twins) in places {
            twins.sort_by_key(|id| (begin(garden.planting(*id)), *id));
            for id in &twins {
                names[id.0].needs_place = !is_alone && place.is_some();
                names[id.0].which = which(garden, *id, &twins);
            }
        }
    }
}

/// What tells one from its twins, which come in the order in which they were begun.
fn which(garden: &Garden, id: PlantingId, twins: &[PlantingId]) -> Option<Which> {
    if twins.len() == 1 {
        return None;
    }
    let is_planned = |id: &&PlantingId| {
        let planting = garden.planting(**id);
        planting.begun().or(planting.sow_on()).is_none()
    };
    let planned: Vec<&PlantingId> = twins.iter().filter(is_planned).collect();
    if planned == [&id] {
        return Some(Which::Planned);
    }
    let of = |id: &PlantingId| begin(garden.planting(*id));
    let season = garden.season_of(of(&id));
    let in_season: Vec<&PlantingId> =
        twins.iter().filter(|twin| season.days.contains(of(twin))).collect();
    if in_season.len() == 1 {
        return Some(Which::Season(season.name()));
    }
    let has_others = in_season.len() < twins.len();
    let month = |id: &PlantingId| (of(id).year(), of(id).month());
    let is_alone = in_season.iter().filter(|twin| month(twin) == month(&id)).count() == 1;
    if is_alone && garden.planting(id).year_alone(of(&id)).is_none() {
        return Some(Which::Month(of(&id), has_others));
    }
    let before = in_season.iter().take_while(|twin| ***twin != id).count() as u64;
    Some(Which::Number(before + 1, has_others.then(|| season.name())))
}

/// The day it was begun, or is meant to be.
fn begin(planting: &Planting) -> NaiveDate {
    planting.begun().or(planting.sow_on()).unwrap_or(planting.noted)
}

/// The place it is called by: where it was planted out, or is meant to be; none if it stands in several.
fn place(planting: &Planting) -> Option<PlaceId> {
    let has_arrived = planting.stage() >= Stage::PlantedOut;
    let last = planting.finished.or(planting.stays.iter().map(|stay| stay.from).max());
    let stands = last.map_or(Vec::new(), |day| planting.places_on(day));
    let stands = match stands.as_slice() {
        [only] => Some(*only),
        [] => planting.stays.last().map(|stay| stay.place),
        _ => return planting.destined,
    };
    if has_arrived { stands.or(planting.destined) } else { planting.destined.or(stands) }
}

impl Garden {
    /// What a planting is called, without what tells it from its twins.
    pub fn called(&self, id: PlantingId, around: Around) -> String {
        let planting = self.planting(id);
        let name = &self.planting_names.0[id.0];
        let crop = &self.catalogue.get(planting.crop).name;
        let at = place(planting).filter(|at| match around {
            Around::Own => true,
            Around::Place(here) => name.needs_place && *at != here,
            Around::Garden | Around::Crop => name.needs_place,
        });
        let at = at.map(|at| self.place(at).name.as_str());
        let kind = match &planting.variety {
            Some(variety) if matches!(around, Around::Crop) => Some(variety.to_string()),
            Some(variety) if matches!(around, Around::Place(_)) && !name.needs_crop => {
                Some(variety.to_string())
            }
            Some(variety) => Some(format!("{crop} {variety}")),
            None if matches!(around, Around::Crop) && at.is_some() => None,
            None => Some(crop.clone()),
        };
        let parts: Vec<&str> = kind.as_deref().into_iter().chain(at).collect();
        capitalised(&parts.join(", "))
    }

    /// What tells a planting from those of the same crop, variety and place.
    pub fn which(&self, id: PlantingId) -> Option<&Which> {
        self.planting_names.0[id.0].which.as_ref()
    }
}

/// With a capital, as a name that stands alone.
pub(crate) fn capitalised(name: &str) -> String {
    let mut chars = name.chars();
    chars.next().map_or(String::new(), |first| first.to_uppercase().chain(chars).collect())
}
