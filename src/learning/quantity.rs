//! What can be learned, and what must not be pooled.

use chrono::{Datelike, NaiveDate};

use crate::catalogue::sheet::{CropSheet, Way as SheetWay};
use crate::climate::half_year::{Half, HalfYear};
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::place_kind::{Cover, PlaceKind};
use crate::stage::Stage;
use crate::stages::Milestone;

/// What can be learned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Days between two milestones.
    Days(Span),
    /// Warmth between two milestones in the open, in days of the weather that the crop sheet means
    /// ([`crate::stages::usual_weather`]).
    Warmth(Span),
    /// The share of sown seeds that come up, 0 to 1.
    Germination,
    /// Days between two visits in which the crop is picked.
    PickingInterval,
    /// Days from the first to the last picking of a season, both counted.
    SeasonLength,
}

/// From a beginning to a milestone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// What it counts from.
    pub from: Beginning,
    /// What it leads to.
    pub to: Milestone,
}

/// What a span counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Beginning {
    /// Seed goes into the soil; if it was sown again, the last time before it came up.
    Sown,
    /// Young plants, own or bought, go to the place where they will crop.
    PlantedOut,
    /// Cloves, sets, tubers or crowns are planted.
    Planted,
}

impl Span {
    /// Every span that is learned. Those from sowing to flowers and harvest are of plants that were sown
    /// where they stay; those of plants that move count from planting out.
    pub const ALL: &'static [Span] = &[
        Span::new(Beginning::Sown, Milestone::Stage(Stage::Emerged)),
        Span::new(Beginning::Sown, Milestone::Stage(Stage::PrickedOut)),
        Span::new(Beginning::Sown, Milestone::Stage(Stage::PlantedOut)),
        Span::new(Beginning::Sown, Milestone::Stage(Stage::Flowering)),
        Span::new(Beginning::Sown, Milestone::FirstHarvest),
        Span::new(Beginning::PlantedOut, Milestone::Stage(Stage::Flowering)),
        Span::new(Beginning::PlantedOut, Milestone::FirstHarvest),
        Span::new(Beginning::Planted, Milestone::Stage(Stage::Emerged)),
        Span::new(Beginning::Planted, Milestone::Stage(Stage::Flowering)),
        Span::new(Beginning::Planted, Milestone::FirstHarvest),
    ];

    /// The span between the two.
    pub const fn new(from: Beginning, to: Milestone) -> Span {
        Span { from, to }
    }

    /// `planted out to first harvest`: what garden.json calls it.
    pub(crate) fn key(self) -> String {
        let from = match self.from {
            Beginning::Sown => "sown",
            Beginning::PlantedOut => "planted out",
            Beginning::Planted => "planted",
        };
        format!("{from} to {}", self.to.word())
    }

    /// Whether it is of plants that were sown where they stay.
    pub(super) fn is_of_direct_sowing(self) -> bool {
        let is_growth =
            matches!(self.to, Milestone::Stage(Stage::Flowering) | Milestone::FirstHarvest);
        self.from == Beginning::Sown && is_growth
    }
}

/// What must not be pooled: where and in which half of the year it began.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Kind {
    /// Whether it began under glass, film or a roof, or in a tray or on a shelf; fleece is open ground.
    pub is_under_cover: bool,
    /// The time of year in which it began.
    pub time: TimeOfYear,
}

/// The part of the growing year in which something begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TimeOfYear {
    /// From midwinter on. Young plants, sets and tubers know no summer: they go out as it grows warm.
    Spring,
    /// Seed sown in the first two months of summer, into warm soil: June and July, south December and January.
    Summer,
    /// From then to midwinter.
    Autumn,
}

impl TimeOfYear {
    /// What garden.json calls it.
    pub(crate) fn word(self) -> &'static str {
        match self {
            TimeOfYear::Spring => "spring",
            TimeOfYear::Summer => "summer",
            TimeOfYear::Autumn => "autumn",
        }
    }
}

impl Kind {
    /// The kind of a beginning on a day at a place. Where no place is known, a sowing is taken as the
    /// crop sheet's first way, and anything else as in the open.
    pub fn of_beginning(
        garden: &Garden,
        sheet: &CropSheet,
        from: Beginning,
        day: NaiveDate,
        place: Option<PlaceId>,
    ) -> Kind {
        let first_way = sheet.begun_as.as_ref().and_then(|ways| ways.first());
        let is_under_cover = match place {
            Some(place) => is_covered(garden, place) || is_for_raising(garden, place),
            None => from == Beginning::Sown && first_way == Some(&SheetWay::SeedUnderCover),
        };
        Kind { is_under_cover, time: time_of(garden, from, day) }
    }
}

/// The part of the year in which a day lies at the garden's latitude.
fn time_of(garden: &Garden, from: Beginning, day: NaiveDate) -> TimeOfYear {
    let latitude_deg = garden.settings.position.latitude_deg;
    if HalfYear::at(Half::Spring, latitude_deg).number(day).is_none() {
        return TimeOfYear::Autumn;
    }
    // Meteorological summer, as far as it lies in this half.
    let summer = if latitude_deg < 0.0 { [12, 1] } else { [6, 7] };
    let is_summer = from == Beginning::Sown && summer.contains(&day.month());
    if is_summer { TimeOfYear::Summer } else { TimeOfYear::Spring }
}

/// Whether there is glass, film or a roof over a place.
pub(super) fn is_covered(garden: &Garden, place: PlaceId) -> bool {
    matches!(garden.place(place).cover, Cover::Glass | Cover::Indoors)
}

/// Whether plants are only raised in a place, and move on.
pub(super) fn is_for_raising(garden: &Garden, place: PlaceId) -> bool {
    matches!(garden.place(place).kind, PlaceKind::Tray | PlaceKind::Shelf)
}
