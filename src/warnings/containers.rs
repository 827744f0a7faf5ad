//! The words for containers that are too small for what grows in them or is meant to.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::Tick;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::origin::Origin;
use crate::places::rooting::{Rooting, TooSmall};
use crate::units::{Range, System, Volume, VolumeUnit};

/// Every planting whose containers are surely too small. The sowings of a succession are written in one line and
/// told once.
pub(super) fn of(garden: &Garden, findings: &Findings) -> Vec<Problem> {
    let mut told: Vec<Origin> = Vec::new();
    let mut problems = Vec::new();
    for (id, planting) in garden.plantings() {
        let small = findings
            .rootings_of(id)
            .iter()
            .find_map(|rooting| rooting.too_small.map(|small| (rooting, small)));
        if let Some((rooting, small)) = small
            && !told.contains(&planting.at)
        {
            told.push(planting.at);
            problems.push(too_small(garden, id, planting, rooting, small));
        }
    }
    problems
}

fn too_small(
    garden: &Garden,
    id: PlantingId,
    planting: &Planting,
    rooting: &Rooting,
    small: TooSmall,
) -> Problem {
    let system = garden.settings.units;
    let crop = &garden.catalogue.get(garden.planting(id).crop).name;
    let place = &garden.place(rooting.place).name;
    let least = volumes(Range::single(small.least), system);
    let message = match (small.is_crowded, rooting.per_plant) {
        (true, Ok(share)) => format!(
            "in {place} each plant of {} has {} of soil; {crop} wants at least {least} for a fair crop",
            Tick(&planting.id),
            volumes(share.volume, system),
        ),
        _ => format!(
            "a container of {place} holds {}; {crop} wants at least {least} for a fair crop",
            volumes(rooting.container, system),
        ),
    };
    let hint = match small.is_crowded {
        true => {
            "fewer plants, or more containers; if they have more, say so with `uses: 4 containers`"
        }
        false => {
            "larger containers if there are any; else water and feed little and often, and expect less"
        }
    };
    Problem::new(Code::ContainerSmall, planting.at, message).hint(hint)
}

fn volumes(range: Range<Volume>, system: System) -> String {
    let (unit, symbol) = match system {
        System::Metric => (VolumeUnit::Litre, "L"),
        System::Us => (VolumeUnit::Gallon, "gal"),
    };
    let (low, high) = (unit.measure(range.low), unit.measure(range.high));
    match low < high {
        true => format!("{} to {} {symbol}", tenths(low), tenths(high)),
        false => format!("{} {symbol}", tenths(low)),
    }
}

fn tenths(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}
