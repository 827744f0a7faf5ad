//! Watering, one task for each place and day: from the water that is left, with the amount; where that cannot be told,
//! at the usual interval.

use chrono::NaiveDate;

use crate::care::prospect::Prospect;
use crate::care::tasks::model::{Cause, Caution, Note, Task, TaskKey, Why};
use crate::care::tasks::{away, doings};
use crate::care::water::refills::DAYS_AHEAD;
use crate::care::water::{PlaceWater, Rhythm, Withheld, record};
use crate::dates::shift;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{PlantingId, Step};
use crate::garden::records::{CareRecord, Source};
use crate::happening::Happening;
use crate::jobs::Job;
use crate::place_kind::{Cover, PlaceKind};
use crate::stage::Stage;

/// The waterings of all places, at most a week ahead and not after `last_day`.
///
/// The n-th of a place is counted on from those that were noted, so that one that is noted late is the same
/// task still.
pub(super) fn of_garden(prospect: &Prospect<'_>, last_day: NaiveDate) -> Vec<Task> {
    let garden = prospect.garden();
    let mut tasks = Vec::new();
    for place in &prospect.water {
        let refills = place.refills.iter().filter(|refill| refill.date <= last_day);
        let numbered = (place.times + 1..).zip(refills);
        tasks.extend(numbered.map(|(number, refill)| Task {
            overdue_since: refill.overdue_since,
            refill: Some(refill.clone()),
            ..task(garden, place.place, number, refill.date, &refill.plantings)
        }));
        tasks.extend(at_intervals(garden, place, last_day));
    }
    tasks
}

/// After so many intervals without a note nobody knows what was done.
const SILENT_AFTER: i64 = 3;

/// What has no figure, and pots of which nobody ever noted a watering: asked for at the usual interval from the last
/// that was noted on, or from the beginning. None is late: nobody knows what was done.
fn at_intervals(garden: &Garden, place: &PlaceWater, last_day: NaiveDate) -> Vec<Task> {
    let Some((interval, plantings)) = interval(garden, place) else { return Vec::new() };
    let here = garden.care_in(place.place);
    let own = plantings.iter().flat_map(|id| garden.care_of(*id));
    let is_water = |care: &&CareRecord| {
        care.did == Job::Water || doings::is_skipped(care, Job::Water.word(), &Job::Water)
    };
    let mut noted: Vec<NaiveDate> =
        here.chain(own).filter(is_water).map(|care| care.date).collect();
    noted.sort_unstable();
    noted.dedup();
    let begun = plantings.iter().filter_map(|id| garden.planting(*id).begun()).min();
    let Some(from) = noted.last().copied().or(begun) else { return Vec::new() };
    let passed = (garden.today - from).num_days();
    // Who notes it has one that is open until it is noted; who does not is reminded, and no more.
    let is_followed = !noted.is_empty() && passed <= SILENT_AFTER * interval;
    let time = if is_followed { 1 } else { ((passed + interval - 1) / interval).max(1) };
    let first = shift(from, time * interval).max(garden.today);
    let times = (0..).map(|more| (time + more, shift(first, more * interval)));
    let last_day = last_day.min(shift(garden.today, DAYS_AHEAD as i64));
    times
        .take_while(|(_, day)| *day <= last_day)
        .map(|(time, day)| {
            let number = noted.len() as i64 + time;
            let number = u32::try_from(number).unwrap_or(u32::MAX);
            let mut task = task(garden, place.place, number, day, &plantings);
            if garden.place(place.place).cover == Cover::Indoors {
                task.cautions.push(Caution::Electricity);
            }
            task
        })
        .collect()
}

/// How often a place is watered of which there is no account, and for whom. Seedlings indoors and in trays want it every
/// other day (common practice, no source), pots as often as what grows in them empties them today.
fn interval(garden: &Garden, water: &PlaceWater) -> Option<(i64, Vec<PlantingId>)> {
    const INDOORS_DAYS: i64 = 2;
    let place = garden.place(water.place);
    if place.is_on_timer {
        return None;
    }
    let is_tray = matches!(place.kind, PlaceKind::Tray | PlaceKind::Shelf);
    let without = water
        .withheld
        .iter()
        .filter(|(_, why)| *why == Withheld::Indoors || (*why == Withheld::NoSize && is_tray));
    let without: Vec<PlantingId> = without.map(|(id, _)| *id).collect();
    if !without.is_empty() {
        return Some((INDOORS_DAYS, without));
    }
    let is_untold = place.kind == PlaceKind::Container && water.times == 0 && !water.is_known();
    let plantings = water.stands.iter().map(|own| own.stand.room.planting).collect();
    let days = match water.today.filter(|_| is_untold)?.rhythm {
        Rhythm::Days(low, high) => (i64::from(low) + i64::from(high)) / 2,
        Rhythm::DailyOrTwice | Rhythm::MorningAndEvening => 1,
    };
    Some((days.max(1), plantings))
}

fn task(
    garden: &Garden,
    place: PlaceId,
    number: u32,
    day: NaiveDate,
    plantings: &[PlantingId],
) -> Task {
    let (why, cause) = cause(garden, place, plantings);
    Task {
        key: TaskKey {
            planting: None,
            place: Some(place),
            rule: Job::Water.word().to_owned(),
            from: Stage::Intended,
            number,
        },
        job: Job::Water,
        with: None,
        purpose: None,
        due: day,
        until: None,
        overdue_since: None,
        why,
        reason: None,
        notes: vec![Note::FeelFirst],
        refill: None,
        seeds: None,
        cautions: Vec::new(),
        is_while_away: away::on(&garden.settings, day).is_some(),
        cause,
    }
}

/// The last watering that was noted, or the setting out of the newest of them.
fn cause(garden: &Garden, place: PlaceId, plantings: &[PlantingId]) -> (Why, Cause) {
    let last_of = |id: &PlantingId| {
        let mut own = garden.care_of(*id).rev().filter(|care| care.did == Job::Water);
        own.find(|care| record::is_for(garden, care, *id, place))
    };
    let last =
        plantings.iter().filter_map(last_of).max_by_key(|care| (care.date, care.source.entry));
    let is_stage = |step: &&Step| matches!(step.what, Happening::Reached(_));
    let steps = plantings.iter().flat_map(|id| {
        let planting = garden.planting(*id);
        planting.history.iter().filter(is_stage).map(|step| (step, planting.stage()))
    });
    let begun = steps.max_by_key(|(step, _)| step.date);
    let (why, date, source) = match (last, begun) {
        (Some(care), _) => (Why::LastDone(care.date), care.date, Some(care.source)),
        (None, Some((step, stage))) => {
            (Why::Reached(stage, step.date), step.date, Some(step.source))
        }
        (None, None) => (Why::LastDone(garden.today), garden.today, None),
    };
    (why, cause_of(garden, source, date))
}

fn cause_of(garden: &Garden, source: Option<Source>, date: NaiveDate) -> Cause {
    let entry = source.and_then(|source| source.entry);
    let written = entry.map_or(date, |entry| garden.entry(entry).date);
    Cause { date: written.max(date).min(garden.today), entry }
}
