//! Soil for the roots in a container: how much each plant has, and whether that is enough for its crop.

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Group, Planting, PlantingId, Plants};
use crate::stage::Stage;
use crate::units::{LengthUnit, Range, Uses, Volume};

/// What a planting has, or will have, of the containers of a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rooting {
    pub place: PlaceId,
    /// What one container holds.
    pub container: Range<Volume>,
    /// Soil for each plant, or why that cannot be said.
    pub per_plant: Result<PerPlant, Withheld>,
    /// The least volume for a fair crop, where these containers are surely below it.
    pub too_small: Option<TooSmall>,
}

/// Soil for each plant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PerPlant {
    /// The containers' volume shared evenly.
    pub volume: Range<Volume>,
    /// Whether the number of plants is a guess.
    pub is_about: bool,
    /// Whether so many are to stay: they are set out, or so many are wanted.
    pub is_settled: bool,
}

/// Why the soil for each plant cannot be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Withheld {
    /// Nobody counted the plants.
    Uncounted,
    /// Other plantings use these containers, and `uses` does not say how many are whose.
    Shared,
    /// `uses` is not a number of containers.
    NotInContainers,
}

/// Less soil than the crop sheet asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooSmall {
    /// The least for a fair crop, from the crop sheet.
    pub least: Volume,
    /// Whether a container would do for one plant, but not for as many as stand in it.
    pub is_crowded: bool,
}

/// A tenth less is not told: what sheets and their sources ask for is not that exact. Common practice, no source.
const NEARLY_ENOUGH: f64 = 0.9;

/// The containers that a planting stands in on the garden's day; of one that is not yet set out, those it is
/// meant for.
pub fn of_planting(garden: &Garden, id: PlantingId) -> Vec<Rooting> {
    let planting = garden.planting(id);
    if planting.stage() == Stage::Finished {
        return Vec::new();
    }
    let mut places: Vec<PlaceId> = planting.groups.iter().filter_map(|group| group.place).collect();
    places.extend(planting.destined.filter(|_| is_on_its_way(planting)));
    let mut seen: Vec<PlaceId> = Vec::new();
    for place in places {
        if !seen.contains(&place) {
            seen.push(place);
        }
    }
    seen.into_iter().filter_map(|place| rooting(garden, id, place)).collect()
}

fn rooting(garden: &Garden, id: PlantingId, place: PlaceId) -> Option<Rooting> {
    let planting = garden.planting(id);
    let container = garden.place(place).vessel?.holds;
    let per_plant = per_plant(garden, id, place, container);
    let too_small = planting.sheet.container.and_then(|least| {
        let enough = least * NEARLY_ENOUGH;
        if container.high < enough {
            return Some(TooSmall { least, is_crowded: false });
        }
        let is_crowded = !is_grown_in_groups(planting)
            && per_plant.is_ok_and(|share| {
                share.is_settled && !share.is_about && share.volume.high < enough
            });
        is_crowded.then_some(TooSmall { least, is_crowded })
    });
    Some(Rooting { place, container, per_plant, too_small })
}

fn per_plant(
    garden: &Garden,
    id: PlantingId,
    place: PlaceId,
    container: Range<Volume>,
) -> Result<PerPlant, Withheld> {
    let planting = garden.planting(id);
    let containers = match planting.uses {
        Some(Uses::Containers(number)) => number,
        Some(_) => return Err(Withheld::NotInContainers),
        None if is_shared(garden, id, place) => return Err(Withheld::Shared),
        None => garden.place(place).containers.unwrap_or(1),
    };
    // Seeds are no plants yet, and seedlings will be thinned or moved on.
    let is_up = |group: &&Group| group.place == Some(place) && group.stage > Stage::SownAgain;
    let here = planting.groups.iter().filter(is_up);
    let is_set_out = here.clone().all(|group| group.stage >= Stage::PlantedOut);
    let (plants, is_settled) =
        match (here.map(|group| group.plants).reduce(Plants::and), planting.aim) {
            (Some(plants), _) if is_set_out => (plants, true),
            (_, Some(aim)) => (Plants::exactly(aim), true),
            (Some(plants), None) => (plants, false),
            (None, None) => (Plants::UNKNOWN, false),
        };
    let (number, is_about) = (plants.number, plants.is_about);
    let number = number.filter(|number| *number > 0).ok_or(Withheld::Uncounted)?;
    let share = f64::from(containers) / f64::from(number);
    Ok(PerPlant { volume: container.map(|volume| volume * share), is_about, is_settled })
}

/// Whether another planting stands in the place now, or is meant for it, other than between this one's plants.
fn is_shared(garden: &Garden, id: PlantingId, place: PlaceId) -> bool {
    garden.plantings_in(place).iter().any(|other| {
        let planting = garden.planting(*other);
        let stands = planting.groups.iter().any(|group| group.place == Some(place));
        let comes = planting.destined == Some(place) && is_on_its_way(planting);
        *other != id
            && planting.stage() != Stage::Finished
            && planting.shares_with != Some(id)
            && (stands || comes)
    })
}

/// Whether a planting is still to be set out.
fn is_on_its_way(planting: &Planting) -> bool {
    planting.stage() < Stage::PlantedOut
}

/// Crops that stand closer than 30 cm are grown several to a container, and the volume on their sheet is that of
/// a group. Common practice, no source.
fn is_grown_in_groups(planting: &Planting) -> bool {
    planting.sheet.in_row.is_none_or(|in_row| LengthUnit::Centimetre.measure(in_row.high) < 30.0)
}
