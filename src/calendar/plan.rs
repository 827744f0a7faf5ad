//! When a planting is meant to be sown and set out, as far as a plan says so.
//!
//! The planting calendar fills it; whoever needs a date for what has not happened yet asks here first.

use std::collections::BTreeMap;

use crate::calendar::{self, GrowingYear, Round};
use crate::catalogue::sheet::Way;
use crate::dates::Period;
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::taught::Taught;
use crate::place_kind::Cover;
use crate::stage::Stage;

/// The plan of one planting; what is not planned is left to its crop sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// When it is to be sown.
    pub sow: Option<Period>,
    /// When it may be set out at its place.
    pub plant_out: Option<Period>,
}

/// Plans by planting; a planting without one has none of its own.
pub type Plans = BTreeMap<PlantingId, Plan>;

/// Plans from the planting calendar, for everything that is not yet at its place.
///
/// A planting goes by the first round whose sowing had not closed when it was noted. Under glass or fleece
/// the calendar of that cover counts; indoors there is none.
pub fn from_calendar(taught: &Taught, years: &[GrowingYear; 3]) -> Plans {
    let garden = taught.garden();
    let span = Period {
        from: crate::dates::shift(garden.today, -366),
        to: crate::dates::shift(garden.today, 550),
    };
    let mut plans = Plans::new();
    for (id, planting) in garden.plantings().filter(|(_, planting)| is_on_its_way(planting)) {
        let place = planting.destined.or(planting.first_place);
        let cover = place.map_or(Cover::None, |id| garden.place(id).cover);
        let rounds = calendar::rounds_in(&planting.sheet, years, span, cover);
        if let Some(plan) = of_planting(planting, &rounds) {
            plans.insert(id, plan);
        }
    }
    plans
}

/// The plan of a planting that is not yet at its place, by the rounds of its crop.
pub(crate) fn of_planting(planting: &Planting, rounds: &[Round]) -> Option<Plan> {
    if !is_on_its_way(planting) {
        return None;
    }
    let since = planting.begun().unwrap_or(planting.noted);
    rounds.iter().find_map(|round| plan_of(round, planting, since))
}

/// Seedlings wait so long at most, after their weeks under cover, for their window; one that opens later is not
/// theirs. Common practice, no source: potted on again and again, they stand about four months.
const WAITS_DAYS: i64 = 120;

fn is_on_its_way(planting: &Planting) -> bool {
    planting.stage() < Stage::PlantedOut && planting.finished.is_none()
}

/// The plan of a round, if its sowing (or, once it is sown, its planting out) is still to come after `since`.
fn plan_of(round: &Round, planting: &Planting, since: chrono::NaiveDate) -> Option<Plan> {
    let is_open = |window: &Period| window.to >= since;
    if planting.stage() != Stage::Intended {
        let under_cover = planting.sheet.under_cover.map_or(0, |days| i64::from(days.high.0));
        let waits_until = crate::dates::shift(since, under_cover + WAITS_DAYS);
        let plant_out = round.plant_out.filter(is_open).filter(|out| out.from <= waits_until)?;
        return Some(Plan { sow: None, plant_out: Some(plant_out) });
    }
    // Raised under cover and set out, unless the crop is usually sown where it grows.
    let ways = planting.sheet.begun_as.as_deref().unwrap_or_default();
    let is_direct = ways.first() == Some(&Way::SeedOutdoors) || round.sow_under_cover.is_none();
    let is_seed = ways.iter().any(|way| matches!(way, Way::SeedOutdoors | Way::SeedUnderCover));
    let (sow, plant_out) = match (is_seed, is_direct) {
        (false, _) => (None, round.plant_out),
        (true, true) => (round.sow_outdoors.or(round.sow_under_cover), None),
        (true, false) => (round.sow_under_cover, round.plant_out),
    };
    let first = sow.or(plant_out)?;
    is_open(&first).then_some(Plan { sow, plant_out })
}
