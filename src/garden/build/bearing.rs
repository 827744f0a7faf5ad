//! What a picking says of the stage that plants are in.

use crate::garden::build::history::Plot;
use crate::garden::model::Garden;
use crate::garden::planting::Step;
use crate::garden::records::HarvestRecord;
use crate::happening::Happening;
use crate::stage::Stage;

/// A picked tomato fruits, whether or not anybody noted its flowers: the first picking of a crop that is
/// picked after flowering is a step of its history, each year of a perennial.
pub(super) fn note_bearing(garden: &mut Garden, harvests: &[HarvestRecord]) {
    for harvest in harvests {
        for id in &harvest.plantings {
            let planting = garden.planting(*id);
            let season = garden.season_of(harvest.date).days;
            let is_this_round = |day| !planting.is_perennial || season.contains(day);
            let is_noted = planting.history.iter().any(|step| match step.what {
                Happening::Reached(stage) => stage >= Stage::Fruiting && is_this_round(step.date),
                _ => false,
            });
            let at = planting.history.partition_point(|step| step.date <= harvest.date);
            let last = planting.history[..at].last();
            let (Some(last), false, true) = (last, is_noted, planting.sheet.bears_fruit()) else {
                continue;
            };
            let step = Step {
                date: harvest.date,
                what: Happening::Reached(Stage::Fruiting),
                is_implied: true,
                count: None,
                plants: last.plants_after,
                uses: None,
                words: Vec::new(),
                source: harvest.source,
                ..last.clone()
            };
            let is_now = is_this_round(garden.today);
            let planting = garden.planting_mut(*id);
            planting.history.insert(at, step);
            if is_now {
                Plot::bear(&mut planting.groups);
            }
        }
    }
}
