//! The grower's own experience: where a crop was begun sooner than its window says and came to harvest, again and
//! again, its window opens sooner.
//!
//! *The rule.* Counted is what was sown or planted out in the open up to [`EARLY_DAYS`] before the window opens, and either
//! was picked or ended without a picking. The window opens on the earliest day of the year from which on at least
//! [`ENOUGH_PLANTINGS`] such plantings were picked, in at least [`ENOUGH_SEASONS`] seasons, and of those begun from then on
//! no more than one in ten failed. The earliest tenth of those picked is left out.
//!
//! *Its reasons.* Plantings of one season share its weather, so that one mild spring proves nothing, however much was sown in
//! it. One failure in ten is the risk of frost that a garden takes unless it says otherwise, and the earliest tenth was luck
//! until it was repeated. The numbers are trug's choice, no source. A window never opens later for it: why a planting
//! failed is seldom known.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Duration, NaiveDate};

use crate::calendar::bounds::Bound;
use crate::calendar::{How, Round};
use crate::catalogue::CropId;
use crate::dates::{MonthDay, Period};
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::place_kind::Cover;
use crate::stage::Stage;

/// What was begun longer before the window opens says nothing of it.
const EARLY_DAYS: i64 = 60;
/// So many plantings have to have been picked.
const ENOUGH_PLANTINGS: usize = 5;
/// In so many seasons.
const ENOUGH_SEASONS: usize = 2;
/// Of so many plantings one may have failed.
const ONE_FAILS_OF: usize = 10;

/// What was begun in the open, by crop.
#[derive(Clone, Debug, Default)]
pub struct Experience {
    begun: BTreeMap<CropId, Vec<Begun>>,
}

#[derive(Clone, Copy, Debug)]
struct Begun {
    how: How,
    day: NaiveDate,
    /// The first day of its season.
    season: NaiveDate,
    is_picked: bool,
}

/// A planting, by days from the usual opening of the window.
struct Early {
    offset: i64,
    season: NaiveDate,
    is_picked: bool,
}

impl Experience {
    /// What a garden's plantings came to.
    pub fn of(garden: &Garden) -> Experience {
        let split: BTreeSet<PlantingId> =
            garden.plantings().filter_map(|(_, planting)| planting.parent).collect();
        let mut begun: BTreeMap<CropId, Vec<Begun>> = BTreeMap::new();
        for (id, planting) in garden.plantings() {
            let is_picked = garden.harvests_of(id).next().is_some();
            // Parts of one sowing count once; what became of a sowing that was split is not told by itself.
            let is_part = planting.parent.is_some() || (split.contains(&id) && !is_picked);
            let is_over = is_picked || planting.finished.is_some();
            if planting.is_perennial || is_part || !is_over {
                continue;
            }
            if let Some((how, day)) = begun_in_the_open(garden, planting) {
                let season = garden.season_of(day).days.from;
                begun.entry(planting.crop).or_default().push(Begun { how, day, season, is_picked });
            }
        }
        Experience { begun }
    }

    /// A round's windows, opened sooner where that has gone well.
    pub fn opened(&self, crop: CropId, mut round: Round) -> Round {
        let Some(begun) = self.begun.get(&crop) else { return round };
        for how in [How::SowOutdoors, How::PlantOut] {
            let window = match how {
                How::SowOutdoors => &mut round.sow_outdoors,
                _ => &mut round.plant_out,
            };
            let Some(usual) = *window else { continue };
            let own = begun.iter().filter(|begun| begun.how == how);
            let Some((days, plantings)) = gone_well(own, usual.from) else { continue };
            let sooner =
                |window: Period| Period { from: window.from - Duration::days(days), ..window };
            *window = Some(sooner(usual));
            if how == How::PlantOut {
                round.sow_under_cover = round.sow_under_cover.map(sooner);
            }
            let is_of = |way: How| way == how || way == How::BeginInAutumn;
            if let Some(bounds) = round.bounds.iter_mut().find(|bounds| is_of(bounds.how)) {
                bounds.opens = vec![Bound::GoneWell(plantings)];
            }
        }
        round
    }
}

/// How a planting came into the open, and when.
fn begun_in_the_open(garden: &Garden, planting: &Planting) -> Option<(How, NaiveDate)> {
    let moved = [Stage::PrickedOut, Stage::PottedOn, Stage::HardeningOff];
    let is_raised = moved.iter().any(|stage| planting.reached(*stage).is_some());
    let (how, day) = match planting.reached(Stage::PlantedOut) {
        Some(day) => (How::PlantOut, day),
        None if is_raised => return None,
        None => (How::SowOutdoors, planting.reached(Stage::Sown)?),
    };
    let stay =
        planting.stays.iter().find(|stay| stay.from <= day && stay.to.is_none_or(|to| day < to));
    stay.is_none_or(|stay| garden.place(stay.place).cover == Cover::None).then_some((how, day))
}

/// How many days sooner than usual it has gone well, and how many plantings say so.
fn gone_well<'a>(begun: impl Iterator<Item = &'a Begun>, usual: NaiveDate) -> Option<(i64, u32)> {
    let early: Vec<Early> = begun
        .map(|begun| Early {
            offset: (begun.day - MonthDay::of(usual).next_on_or_after(begun.day)).num_days(),
            season: begun.season,
            is_picked: begun.is_picked,
        })
        .filter(|early| (-EARLY_DAYS..0).contains(&early.offset))
        .collect();
    let mut picked: Vec<i64> =
        early.iter().filter(|early| early.is_picked).map(|early| early.offset).collect();
    picked.sort_unstable();
    picked.iter().skip(picked.len() / 10).find_map(|from| {
        let since: Vec<&Early> = early.iter().filter(|early| early.offset >= *from).collect();
        let well: Vec<&&Early> = since.iter().filter(|early| early.is_picked).collect();
        let seasons: BTreeSet<NaiveDate> = well.iter().map(|early| early.season).collect();
        let failed = since.len() - well.len();
        let is_enough = well.len() >= ENOUGH_PLANTINGS
            && seasons.len() >= ENOUGH_SEASONS
            && failed * ONE_FAILS_OF <= since.len();
        is_enough.then_some((-from, u32::try_from(well.len()).unwrap_or(u32::MAX)))
    })
}
