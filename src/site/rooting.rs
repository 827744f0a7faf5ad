//! Soil for the roots as it is shown: what a container holds, what each plant has of it, whether that is enough.

use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting::PlantingId;
use crate::places::rooting::{Rooting, TooSmall, Withheld};
use crate::site::amount::Amount;
use crate::site::batch::volumes;
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::units::System;

/// What a planting has of the containers of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RootingView {
    pub place: Link,
    /// Soil for each plant, or why that is not said.
    pub says: Message,
    /// What is too small for the crop.
    pub too_small: Option<Message>,
}

/// A planting whose containers are too small.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SmallRow {
    pub planting: Link,
    /// What is too small.
    pub says: Message,
}

/// The containers that a planting stands in, or is meant for.
pub(super) fn of_planting(
    garden: &Garden,
    findings: &Findings,
    id: PlantingId,
) -> Vec<RootingView> {
    let system = garden.settings.units;
    let view = |rooting: &Rooting| RootingView {
        place: Link::place(garden, rooting.place),
        says: soil(rooting, system),
        too_small: rooting.too_small.map(|small| too_small(small, rooting, system)),
    };
    findings.rootings_of(id).iter().map(view).collect()
}

/// The plantings of a place, there or still to come, whose containers are too small.
pub(super) fn small_in(garden: &Garden, findings: &Findings, place: PlaceId) -> Vec<SmallRow> {
    let mut rows = Vec::new();
    for id in garden.plantings_in(place).iter().copied() {
        let here = findings.rootings_of(id).iter().filter(|rooting| rooting.place == place);
        rows.extend(here.filter_map(|rooting| {
            let says = too_small(rooting.too_small?, rooting, garden.settings.units);
            Some(SmallRow { planting: Link::planting(garden, id), says })
        }));
    }
    rows
}

/// What one container of a place holds.
pub(super) fn container(place: &Place, system: System) -> Option<Message> {
    let vessel = place.vessel?;
    let holds = volumes(vessel.holds, system);
    Some(match vessel.class {
        None => holds,
        Some(class) => {
            Message::new("container.class").with("holds", holds).with("class", class.word())
        }
    })
}

fn soil(rooting: &Rooting, system: System) -> Message {
    match rooting.per_plant {
        Ok(share) => {
            let key = if share.is_about { "rooting.each-about" } else { "rooting.each" };
            Message::new(key).with("volume", volumes(share.volume, system))
        }
        Err(Withheld::Uncounted) => Message::new("rooting.uncounted"),
        Err(Withheld::Shared) => Message::new("rooting.shared"),
        Err(Withheld::NotInContainers) => Message::new("rooting.not-in-containers"),
    }
}

fn too_small(small: TooSmall, rooting: &Rooting, system: System) -> Message {
    let key = if small.is_crowded { "rooting.crowded" } else { "rooting.small" };
    Message::new(key)
        .with("least", Amount::measured_volume(small.least, system))
        .with("holds", volumes(rooting.container, system))
}
