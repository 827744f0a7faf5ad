//! How much of a place a planting takes, in the measure of the place: containers, or square metres.
//!
//! What the grower wrote (`uses`) counts. Where nothing is written, the number of plants and the crop sheet
//! tell, and the figure is only about right: in a bed at the closest spacing of the sheet, so that a place is
//! rather called roomy than full; in containers as many plants as hold the sheet's least volume each.

use crate::catalogue::CropSheet;
use crate::garden::place::Place;
use crate::garden::planting::{Planting, Plants};
use crate::place_kind::PlaceKind;
use crate::places::bookings::Stand;
use crate::units::{AreaUnit, Length, LengthUnit, Uses, VolumeUnit};

/// In what a place is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Pots, tubs, boxes, bags.
    Containers,
    /// Square metres of soil.
    SquareMetres,
}

/// What there is of a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    pub measure: Measure,
    /// How much: containers, or m².
    pub much: f64,
}

/// The room that a planting takes in a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Room {
    /// It only passes through, in pots or trays of its own: it fills nothing.
    Passing,
    /// It fills something, but neither the grower nor the sheet says how much.
    Unknown,
    /// It fills so much.
    Takes {
        /// Containers, or m².
        much: f64,
        /// Whether that rests on spacing, or on a number that is a guess.
        is_about: bool,
    },
}

/// Whether plants root in a place for good: in a tray or on a shelf they only wait.
pub fn is_soil(place: &Place) -> bool {
    !matches!(place.kind, PlaceKind::Tray | PlaceKind::Shelf)
}

/// What there is to be filled: containers by their number, beds and ground by their surface.
pub fn capacity(place: &Place) -> Option<Capacity> {
    match place.kind {
        PlaceKind::Tray | PlaceKind::Shelf => None,
        PlaceKind::Container => Some(Capacity {
            measure: Measure::Containers,
            much: f64::from(place.containers.unwrap_or(1)),
        }),
        PlaceKind::Bed | PlaceKind::Glasshouse | PlaceKind::Ground => {
            let much = AreaUnit::SquareMetre.measure(place.area?);
            (much > 0.0).then_some(Capacity { measure: Measure::SquareMetres, much })
        }
    }
}

/// The room of plants that grow in a place.
pub fn of_plants(place: &Place, capacity: Capacity, planting: &Planting, stand: Stand) -> Room {
    let written = stand.uses.and_then(|uses| as_written(place, capacity, &planting.sheet, uses));
    written
        .or_else(|| by_spacing(place, capacity, &planting.sheet, stand.plants))
        .unwrap_or(Room::Unknown)
}

fn as_written(place: &Place, capacity: Capacity, sheet: &CropSheet, uses: Uses) -> Option<Room> {
    let row_m = |length: Length| LengthUnit::Metre.measure(length);
    let (area_m2, is_about) = match uses {
        Uses::Containers(number) => {
            let fits = capacity.measure == Measure::Containers;
            let much = f64::from(number);
            return fits.then_some(Room::Takes { much, is_about: false });
        }
        Uses::Area(area) => (AreaUnit::SquareMetre.measure(area), false),
        // A row is as wide as the gap to the next, at the closest the sheet has.
        Uses::Row(length) => (row_m(length) * row_m(sheet.between_rows?.low), true),
    };
    match capacity.measure {
        Measure::SquareMetres => Some(Room::Takes { much: area_m2, is_about }),
        Measure::Containers => {
            let each = AreaUnit::SquareMetre.measure(place.area?) / capacity.much;
            (each > 0.0).then(|| Room::Takes { much: (area_m2 / each).ceil(), is_about: true })
        }
    }
}

/// By the number of plants and the closest spacing, or the least volume, of the sheet.
fn by_spacing(
    place: &Place,
    capacity: Capacity,
    sheet: &CropSheet,
    plants: Plants,
) -> Option<Room> {
    let number = f64::from(plants.number.filter(|number| *number > 0)?);
    let metres = |length: Length| LengthUnit::Metre.measure(length);
    let much = match capacity.measure {
        Measure::SquareMetres => {
            number * metres(sheet.in_row?.low) * metres(sheet.between_rows?.low)
        }
        Measure::Containers => {
            let needs_l = VolumeUnit::Litre.measure(sheet.container?);
            let each_l = VolumeUnit::Litre.measure(place.soil_volume?) / capacity.much;
            (number / (each_l / needs_l).floor().max(1.0)).ceil()
        }
    };
    (much > 0.0 && much.is_finite()).then_some(Room::Takes { much, is_about: true })
}
