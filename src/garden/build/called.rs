//! What the names of short lines stand for: `pepper`, `tubs`, `lemon drop on the balcony`.

use crate::catalogue::{Catalogue, CropId};
use crate::garden::build::lookup::Lookup;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId};
use crate::names::{folded, spoken};
use crate::origin::{Origin, Written};

/// The words between plants and the place in which they stand.
pub(super) const WHERE: &[&str] = &[" in ", " on ", " at "];

/// Plants, told apart as far as a name does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Plants {
    /// Whatever grows there.
    All,
    /// One planting, by its id.
    Planting(PlantingId),
    Crop(CropId),
    /// Of a variety, folded; of a crop, if that is said too.
    Variety(Option<CropId>, String),
}

/// What a name stands for: plants, and the places they are looked for in (none: anywhere).
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Meaning {
    pub(super) plants: Plants,
    pub(super) places: Vec<PlaceId>,
}

impl Meaning {
    /// Whether a planting is of these plants, wherever it stands.
    pub(super) fn fits(&self, id: PlantingId, planting: &Planting) -> bool {
        match &self.plants {
            Plants::All => true,
            Plants::Planting(own) => *own == id,
            Plants::Crop(crop) => planting.crop == *crop,
            Plants::Variety(crop, variety) => {
                crop.is_none_or(|crop| planting.crop == crop) && planting.is_called(variety)
            }
        }
    }
}

/// Why a name stands for nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Stranger {
    /// The plants are known, the place behind them is not.
    Place(Written<String>),
    /// Nothing of the name is known.
    Name,
}

/// What a name stands for; more than one meaning only for a group.
pub(super) fn meanings(
    name: &Written<String>,
    lookup: &Lookup,
    catalogue: &Catalogue,
) -> Result<Vec<Meaning>, Stranger> {
    if let Some(found) = whole(&name.value, lookup, catalogue) {
        return Ok(found);
    }
    let mut stranger = Stranger::Name;
    for (plants, place) in cuts(name) {
        let Some(found) = plants_of(&plants.value, lookup, catalogue) else { continue };
        match places_of(&place.value, lookup) {
            Some(places) => return Ok(vec![Meaning { plants: found, places }]),
            None => stranger = Stranger::Place(place),
        }
    }
    Err(stranger)
}

/// Every way to cut a name at a word for 'where': the plants before, the place behind.
pub(super) fn cuts(name: &Written<String>) -> Vec<(Written<String>, Written<String>)> {
    let text = &name.value;
    let mut cuts = Vec::new();
    for word in WHERE {
        for (at, _) in text.to_ascii_lowercase().match_indices(word) {
            cuts.push((at, (part(name, 0, at), part(name, at + word.len(), text.len()))));
        }
    }
    cuts.sort_by_key(|(at, _)| *at);
    cuts.into_iter().map(|(_, cut)| cut).collect()
}

/// The bytes `from..to` of a name, and where they stand if the name stands in the file as it is.
fn part(name: &Written<String>, from: usize, to: usize) -> Written<String> {
    let text = &name.value[from..to];
    let at = match (name.at, name.at.range()) {
        (Origin::Span(file, span), Some(range)) if range.len() == name.value.len() => {
            let start = span.start as usize;
            Origin::span(file, start + from, start + to)
        }
        (at, _) => at,
    };
    Written::new(text.trim().to_owned(), at)
}

/// A name that says where or who, not both.
fn whole(name: &str, lookup: &Lookup, catalogue: &Catalogue) -> Option<Vec<Meaning>> {
    let place = |name: &str| lookup.places.find(name).map(|place| vec![place]);
    readings(name).into_iter().find_map(|name| {
        if let Some(planting) = lookup.plantings.find(name) {
            return Some(vec![Meaning { plants: Plants::Planting(planting), places: Vec::new() }]);
        }
        if let Some(places) = place(name) {
            return Some(vec![Meaning { plants: Plants::All, places }]);
        }
        if let Some(members) = lookup.group(name) {
            // A group of groups would go round in circles: a member is a place, a planting or a crop.
            let meaning = |member: &String| match place(member) {
                Some(places) => Some(Meaning { plants: Plants::All, places }),
                None => {
                    let plants = plants_of(member, lookup, catalogue)?;
                    Some(Meaning { plants, places: Vec::new() })
                }
            };
            return Some(members.iter().filter_map(meaning).collect());
        }
        let plants = plants_of(name, lookup, catalogue)?;
        Some(vec![Meaning { plants, places: Vec::new() }])
    })
}

/// Plants by id, crop, variety, or crop and variety in either order; `everything` is whatever grows.
pub(super) fn plants_of(name: &str, lookup: &Lookup, catalogue: &Catalogue) -> Option<Plants> {
    readings(name).into_iter().find_map(|name| {
        if let Some(planting) = lookup.plantings.find(name) {
            return Some(Plants::Planting(planting));
        }
        if let Some(crop) = catalogue.find(name) {
            return Some(Plants::Crop(crop));
        }
        if lookup.varieties.find(name).is_some() {
            return Some(Plants::Variety(None, folded(name)));
        }
        let blanks = name.match_indices(' ').map(|(at, _)| at);
        let both = blanks.into_iter().find_map(|at| {
            let (before, behind) = (spoken(&name[..at]), spoken(&name[at..]));
            let both = [(before, behind), (behind, before)];
            both.into_iter().find_map(|(crop, variety)| {
                lookup.varieties.find(variety)?;
                Some(Plants::Variety(Some(catalogue.find(crop)?), folded(variety)))
            })
        });
        both.or_else(|| {
            ["everything", "all"].contains(&folded(name).as_str()).then_some(Plants::All)
        })
    })
}

/// A place, or all places of a group.
pub(super) fn places_of(name: &str, lookup: &Lookup) -> Option<Vec<PlaceId>> {
    readings(name).into_iter().find_map(|name| {
        if let Some(place) = lookup.places.find(name) {
            return Some(vec![place]);
        }
        let members = lookup.group(name)?;
        Some(members.iter().filter_map(|member| lookup.places.find(member)).collect())
    })
}

/// The parts of `tomatoes and leeks`, if one of them at least is known.
pub(super) fn each_of(
    name: &Written<String>,
    lookup: &Lookup,
    catalogue: &Catalogue,
) -> Option<Vec<Written<String>>> {
    let text = &name.value;
    let (mut parts, mut from) = (Vec::new(), 0);
    let joints = [" and ", " & ", " + "].into_iter().flat_map(|joint| {
        text.match_indices(joint).map(|(at, joint)| (at, at + joint.len())).collect::<Vec<_>>()
    });
    let mut joints: Vec<_> = joints.collect();
    joints.sort_unstable();
    for (end, next) in joints {
        parts.push(part(name, from, end));
        from = next;
    }
    parts.push(part(name, from, text.len()));
    let is_known = |part: &Written<String>| meanings(part, lookup, catalogue).is_ok();
    (parts.len() > 1 && parts.iter().any(is_known)).then_some(parts)
}

/// A name as it stands there, and as it is spoken of.
fn readings(name: &str) -> [&str; 2] {
    [name.trim(), spoken(name)]
}
