//! Where a planting stood, as far as it matters for what it gave.

use chrono::NaiveDate;

use crate::garden::model::Garden;
use crate::garden::planting::{Planting, Way};
use crate::place_kind::PlaceKind;
use crate::stage::Stage;

/// Where a planting stood from planting out on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stood {
    /// In containers out of doors.
    Containers,
    /// In a bed or open ground out of doors.
    Soil,
    /// Under glass, film or a roof.
    UnderCover,
    /// In more than one of these.
    Several,
    /// Nobody wrote where.
    Unknown,
}

/// Where a planting stood. Trays and shelves, where it waited, do not count.
pub fn stood(garden: &Garden, planting: &Planting) -> Stood {
    let Some(from) = set_out(garden, planting).or_else(|| planting.begun()) else {
        return Stood::Unknown;
    };
    let mut all: Vec<Stood> = planting
        .stays
        .iter()
        .filter(|stay| stay.to.is_none_or(|to| to > from))
        .filter_map(|stay| {
            let place = garden.place(stay.place);
            match place.kind {
                PlaceKind::Tray | PlaceKind::Shelf => None,
                _ if !place.is_outdoors() => Some(Stood::UnderCover),
                PlaceKind::Container => Some(Stood::Containers),
                _ => Some(Stood::Soil),
            }
        })
        .collect();
    all.sort_unstable();
    all.dedup();
    match all.as_slice() {
        [] => Stood::Unknown,
        [only] => *only,
        _ => Stood::Several,
    }
}

/// The day on which it stood where it was to grow: planted out, or sown there. Nothing while it waits in trays.
pub fn set_out(garden: &Garden, planting: &Planting) -> Option<NaiveDate> {
    let waits = |kind: PlaceKind| matches!(kind, PlaceKind::Tray | PlaceKind::Shelf);
    planting.reached(Stage::PlantedOut).or_else(|| {
        let first = garden.place(planting.first_place?);
        let grows_there = planting.way == Way::Sown && !waits(first.kind);
        planting.begun().filter(|_| grows_there)
    })
}
