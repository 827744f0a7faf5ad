//! How much of a place each planting in it takes: so many containers, or so much of the soil.

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Group, Planting, PlantingId, standing};
use crate::place_kind::PlaceKind;
use crate::units::{AreaUnit, Length, LengthUnit, Range, Uses, VolumeUnit};

/// What a planting takes of a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    pub planting: PlantingId,
    /// Its plants there, if anybody counted.
    pub plants: Option<f64>,
    /// What they stand in.
    pub ground: Ground,
}

/// What plants stand in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ground {
    /// Containers alike.
    Containers {
        /// How many; a share of one where plantings stand in it together.
        number: f64,
        /// What one holds to its rim, litres.
        litres: f64,
        /// The opening of one, m².
        rim_m2: f64,
    },
    /// Soil, m².
    Soil {
        /// The ground these plants take.
        area_m2: f64,
        /// How deep it is, if that is known, m.
        depth_m: Option<f64>,
    },
}

/// Plantings that grow in a place on the garden's day, each with its room; nothing where the sizes do not
/// tell.
pub fn of_place(garden: &Garden, id: PlaceId) -> Vec<(PlantingId, Option<Room>)> {
    let standing: Vec<Claim> = garden
        .plantings()
        .filter(|(_, planting)| planting.is_growing())
        .filter(|(_, planting)| planting.places_on(garden.today).contains(&id))
        .map(|(planting_id, planting)| Claim::of(planting_id, planting, id))
        .collect();
    let grounds = match garden.place(id).kind {
        PlaceKind::Container => containers(garden, id, &standing),
        PlaceKind::Bed | PlaceKind::Ground | PlaceKind::Glasshouse => soil(garden, id, &standing),
        PlaceKind::Tray | PlaceKind::Shelf => vec![None; standing.len()],
    };
    let rooms = standing.into_iter().zip(grounds).map(|(claim, ground)| {
        let room =
            ground.map(|ground| Room { planting: claim.planting, plants: claim.plants, ground });
        (claim.planting, room)
    });
    rooms.collect()
}

/// A planting in a place, before its neighbours are looked at.
#[derive(Clone, Copy, Debug)]
struct Claim {
    planting: PlantingId,
    plants: Option<f64>,
    uses: Option<Uses>,
    /// The ground of one plant by the crop sheet's spacing, m².
    spacing_m2: Option<f64>,
    row_width_m: Option<f64>,
}

impl Claim {
    fn of(id: PlantingId, planting: &Planting, place: PlaceId) -> Claim {
        let here: Vec<Group> =
            planting.groups.iter().filter(|group| group.place == Some(place)).copied().collect();
        let plants = standing(&here).number.filter(|number| *number > 0).map(f64::from);
        let sheet = &planting.sheet;
        let row_width_m = sheet.between_rows.map(middle_m);
        let spacing_m2 = sheet.in_row.map(middle_m).zip(row_width_m).map(|(a, b)| a * b);
        // What a planting uses is said of all of it; plants that stand elsewhere take their part.
        let all = standing(&planting.groups).number.filter(|number| *number > 0).map(f64::from);
        let is_whole = all.is_none() || plants.is_none() || all == plants;
        let uses = planting.uses.filter(|_| is_whole);
        Claim { planting: id, plants, uses, spacing_m2, row_width_m }
    }
}

fn containers(garden: &Garden, id: PlaceId, claims: &[Claim]) -> Vec<Option<Ground>> {
    let place = garden.place(id);
    let there = f64::from(place.containers.unwrap_or(1));
    let Some(volume) = place.soil_volume else { return vec![None; claims.len()] };
    let litres = VolumeUnit::Litre.measure(volume) / there;
    let rim_m2 = match place.area {
        Some(area) => AreaUnit::SquareMetre.measure(area) / there,
        // Of a bag or a barrel only the volume is known: taken to be as wide as it is high.
        None => libm::pow(litres / 1000.0, 2.0 / 3.0),
    };
    let said = |claim: &Claim| match claim.uses {
        Some(Uses::Containers(number)) => Some(f64::from(number)),
        _ => None,
    };
    let taken: f64 = claims.iter().filter_map(said).sum();
    let left = (there - taken).max(0.0);
    let open: Vec<&Claim> = claims.iter().filter(|claim| said(claim).is_none()).collect();
    let plants: f64 = open.iter().map(|claim| claim.plants.unwrap_or(1.0)).sum();
    claims
        .iter()
        .map(|claim| {
            let number = match said(claim) {
                Some(number) => number * (there / taken).min(1.0),
                None => {
                    let own = claim.plants.unwrap_or(1.0);
                    let share = left * own / plants;
                    if claim.plants.is_some() { share.min(own) } else { share }
                }
            };
            (number > 0.0).then_some(Ground::Containers { number, litres, rim_m2 })
        })
        .collect()
}

fn soil(garden: &Garden, id: PlaceId, claims: &[Claim]) -> Vec<Option<Ground>> {
    let place = garden.place(id);
    let there = place.area.map(|area| AreaUnit::SquareMetre.measure(area));
    let depth_m = place.depth.map(|depth| LengthUnit::Metre.measure(depth));
    let said = |claim: &Claim| match claim.uses {
        Some(Uses::Area(area)) => Some(AreaUnit::SquareMetre.measure(area)),
        Some(Uses::Row(length)) => {
            claim.row_width_m.map(|width| LengthUnit::Metre.measure(length) * width)
        }
        _ => claim.plants.zip(claim.spacing_m2).map(|(plants, each)| plants * each),
    };
    let wanted: Vec<Option<f64>> = claims.iter().map(said).collect();
    let taken: f64 = wanted.iter().flatten().sum();
    let open = wanted.iter().filter(|area| area.is_none()).count() as f64;
    wanted
        .into_iter()
        .map(|area| {
            let area_m2 = match (area, there) {
                // Closer together than the sheet says, or between each other's rows.
                (Some(area), Some(there)) => Some(area * (there / taken).min(1.0)),
                (Some(area), None) => Some(area),
                (None, Some(there)) => Some((there - taken) / open).filter(|area| *area > 0.0),
                (None, None) => None,
            };
            area_m2.map(|area_m2| Ground::Soil { area_m2, depth_m })
        })
        .collect()
}

fn middle_m(range: Range<Length>) -> f64 {
    (LengthUnit::Metre.measure(range.low) + LengthUnit::Metre.measure(range.high)) / 2.0
}
