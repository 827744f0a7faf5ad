//! When a planting is meant to be sown and set out, as far as a plan says so.
//!
//! The planting calendar fills it; whoever needs a date for what has not happened yet asks here first.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::calendar::experience::Experience;
use crate::calendar::{self, GrowingYear, Round};
use crate::catalogue::sheet::Way;
use crate::dates::{Period, shift};
use crate::garden::planting::{Planting, PlantingId, Succession};
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
    /// The last day of the window in which it was meant to be begun, if that was missed.
    pub missed: Option<NaiveDate>,
}

/// What was not begun by the end of its window is still asked for so long. Common practice, no source.
const LATE_DAYS: i64 = 14;

/// Plans by planting; a planting without one has none of its own.
pub type Plans = BTreeMap<PlantingId, Plan>;

/// Plans from the planting calendar, for everything that is not yet at its place.
///
/// A planting goes by the first round whose sowing had not closed when it was noted. Under glass or fleece
/// the calendar of that cover counts; indoors there is none. A later sowing of a succession has its own days, as
/// long as they lie in a window of its crop.
pub fn from_calendar(taught: &Taught, years: &[GrowingYear; 3]) -> Plans {
    let garden = taught.garden();
    let span = Period { from: shift(garden.today, -366), to: shift(garden.today, 550) };
    let experience = Experience::of(garden);
    let mut plans = Plans::new();
    for (id, planting) in garden.plantings().filter(|(_, planting)| is_on_its_way(planting)) {
        let place = planting.destined.or(planting.first_place);
        let cover = place.map_or(Cover::None, |id| garden.place(id).cover);
        // By the crop's own sheet, as the calendar's pages go: one window is told of one crop.
        let sheet = garden.catalogue.get(planting.crop).sheet_of(planting.variety.as_deref());
        let mut rounds = calendar::rounds_in(&sheet, years, span, cover);
        if cover == Cover::None {
            let opened = rounds.into_iter().map(|round| experience.opened(planting.crop, round));
            rounds = opened.collect();
        }
        plans.extend(of_planting(planting, &rounds, garden.today).map(|plan| (id, plan)));
    }
    plans
}

/// The plan of a planting that is not yet at its place, by the rounds of its crop.
pub(crate) fn of_planting(planting: &Planting, rounds: &[Round], today: NaiveDate) -> Option<Plan> {
    if !is_on_its_way(planting) {
        return None;
    }
    match planting.succession.filter(|_| planting.stage() == Stage::Intended) {
        Some(succession) => later_sowing(rounds, planting, succession),
        None => still_open(rounds, planting, today),
    }
}

/// The plan of the first round that was open when it was noted; what was not begun in it waits for the next.
fn still_open(rounds: &[Round], planting: &Planting, today: NaiveDate) -> Option<Plan> {
    let first_since = |since| rounds.iter().find_map(|round| plan_of(round, planting, since));
    let plan = first_since(planting.begun().unwrap_or(planting.noted))?;
    let last = plan.sow.or(plan.plant_out).map(|days| days.to);
    let is_meant = planting.stage() == Stage::Intended;
    // Too late for one round, or for the windowsill, is not late while another window is open.
    if is_meant && last.is_some_and(|last| last < today) {
        let in_time =
            |plan: &Plan| plan.sow.or(plan.plant_out).is_some_and(|days| days.contains(today));
        let meant = rounds.iter().filter_map(|round| intended(round, planting));
        let outdoors = rounds.iter().filter_map(|round| round.sow_outdoors);
        let outdoors = outdoors.map(|days| Plan { sow: Some(days), ..Plan::default() });
        if let Some(open) = meant.chain(outdoors).find(in_time) {
            return Some(open);
        }
    }
    match last.filter(|last| is_meant && shift(*last, LATE_DAYS) < today) {
        Some(_) => Some(Plan { missed: last, ..first_since(today).unwrap_or_default() }),
        None => Some(plan),
    }
}

/// The days of a later sowing; with a calendar they have to lie in one of the crop's windows.
fn later_sowing(rounds: &[Round], planting: &Planting, succession: Succession) -> Option<Plan> {
    let sow = Some(Period { from: succession.day, to: succession.until });
    if rounds.is_empty() {
        return Some(Plan { sow, ..Plan::default() });
    }
    let meant = rounds.iter().filter_map(|round| intended(round, planting));
    let mut open = meant.filter(|plan| plan.sow.is_some_and(|days| days.contains(succession.day)));
    open.next().map(|plan| Plan { sow, ..plan })
}

/// Seedlings wait so long at most, after their weeks under cover, for their window; one that opens later is not
/// theirs. Common practice, no source: potted on again and again, they stand about four months.
const WAITS_DAYS: i64 = 120;

fn is_on_its_way(planting: &Planting) -> bool {
    planting.stage() < Stage::PlantedOut && planting.finished.is_none()
}

/// The plan of a round, if its sowing (or, once it is sown, its planting out) is still to come after `since`.
fn plan_of(round: &Round, planting: &Planting, since: NaiveDate) -> Option<Plan> {
    let is_open = |window: &Period| window.to >= since;
    if planting.stage() != Stage::Intended {
        let under_cover = planting.sheet.under_cover.map_or(0, |days| i64::from(days.high.0));
        let waits_until = shift(since, under_cover + WAITS_DAYS);
        let plant_out = round.plant_out.filter(is_open).filter(|out| out.from <= waits_until)?;
        return Some(Plan { plant_out: Some(plant_out), ..Plan::default() });
    }
    let plan = intended(round, planting)?;
    is_open(&plan.sow.or(plan.plant_out)?).then_some(plan)
}

/// The days of a round for what is not begun yet.
fn intended(round: &Round, planting: &Planting) -> Option<Plan> {
    // Raised under cover and set out, unless the crop is usually sown where it grows.
    let ways = planting.sheet.begun_as.as_deref().unwrap_or_default();
    let is_direct = ways.first() == Some(&Way::SeedOutdoors) || round.sow_under_cover.is_none();
    // As the stages count: what is usually planted as sets is not late when seed would be.
    let is_seed =
        ways.first().is_some_and(|way| matches!(way, Way::SeedOutdoors | Way::SeedUnderCover));
    let (sow, plant_out) = match (is_seed, is_direct) {
        (false, _) => (None, round.plant_out),
        (true, true) => (round.sow_outdoors.or(round.sow_under_cover), None),
        (true, false) => (round.sow_under_cover, round.plant_out),
    };
    sow.or(plant_out)?;
    Some(Plan { sow, plant_out, missed: None })
}
