//! Days on which the grower is away, and what a helper has to water.

use chrono::{Datelike, NaiveDate};

use crate::care::tasks::model::{Caution, Task};
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::CareRecord;
use crate::jobs::Job;
use crate::place_kind::Cover;
use crate::settings::Settings;
use crate::settings::away::{Away, AwayDay};

/// Days away that are dated, with whoever looks after the garden.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Absence {
    /// From the first day to the last.
    pub days: Period,
    pub helper: Option<String>,
}

/// What a helper has to look after.
#[derive(Clone, Debug, PartialEq)]
pub struct HelperSheet {
    /// When, and who.
    pub absence: Absence,
    /// Places with plants in them, in the order of the garden.
    pub places: Vec<PlaceToWater>,
    /// Plantings that stand in no place anybody named.
    pub elsewhere: Vec<PlantingId>,
    /// Tasks that fall into these days, soonest first.
    pub tasks: Vec<Task>,
}

/// A place whose plants want water.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceToWater {
    pub place: PlaceId,
    /// Who stands there.
    pub plantings: Vec<PlantingId>,
    /// Whether a timer does it, and the helper only looks.
    pub is_on_timer: bool,
    /// When it was last watered, as far as it was noted.
    pub last_watered: Option<NaiveDate>,
    /// What to be careful of.
    pub cautions: Vec<Caution>,
}

/// The days away that lie in a period, wholly or in part, soonest first.
pub fn absences(settings: &Settings, within: Period) -> Vec<Absence> {
    let mut found: Vec<Absence> = settings
        .away
        .iter()
        .flat_map(|away| {
            // A yearly one may have begun in the year before.
            let years = within.from.year().saturating_sub(1)..=within.to.year();
            let dated = years.filter_map(|year| dated(away, year));
            dated.map(|days| Absence { days, helper: away.helper.clone() })
        })
        .filter(|absence| absence.days.overlap(&within).is_some())
        .collect();
    found.sort_by_key(|absence| (absence.days.from, absence.days.to));
    found.dedup();
    found
}

/// The absence that a day lies in.
pub fn on(settings: &Settings, day: NaiveDate) -> Option<Absence> {
    absences(settings, Period { from: day, to: day }).into_iter().next()
}

/// What stands in the garden today and has to be watered through an absence, and the tasks that fall
/// into it. What is watered how much is not said here.
pub fn helper_sheet(garden: &Garden, absence: Absence, tasks: &[Task]) -> HelperSheet {
    let mut places: Vec<PlaceToWater> = Vec::new();
    for (id, place) in garden.places() {
        let plantings: Vec<PlantingId> = growing(garden)
            .filter(|planting| garden.planting(*planting).places_on(garden.today).contains(&id))
            .collect();
        if plantings.is_empty() {
            continue;
        }
        let is_indoors = place.cover == Cover::Indoors;
        places.push(PlaceToWater {
            place: id,
            last_watered: last_watered(garden, id, &plantings),
            plantings,
            is_on_timer: place.is_on_timer,
            cautions: if is_indoors { vec![Caution::Electricity] } else { Vec::new() },
        });
    }
    let elsewhere = growing(garden)
        .filter(|id| garden.planting(*id).places_on(garden.today).is_empty())
        .collect();
    let tasks = tasks.iter().filter(|task| absence.days.contains(task.due)).cloned().collect();
    HelperSheet { absence, places, elsewhere, tasks }
}

fn dated(away: &Away, year: i32) -> Option<Period> {
    match (away.from, away.to) {
        (AwayDay::Date(from), AwayDay::Date(to)) => Some(Period { from, to }),
        (AwayDay::Yearly(from), AwayDay::Yearly(to)) => {
            let from = from.in_year(year);
            Some(Period { from, to: to.next_on_or_after(from) })
        }
        _ => None,
    }
}

fn growing(garden: &Garden) -> impl Iterator<Item = PlantingId> {
    garden.plantings().filter(|(_, planting)| planting.is_growing()).map(|(id, _)| id)
}

fn last_watered(garden: &Garden, place: PlaceId, plantings: &[PlantingId]) -> Option<NaiveDate> {
    let waters = |care: &&CareRecord| care.did == Job::Water;
    let is_for_all =
        |care: &&CareRecord| plantings.iter().all(|id| care.about.plantings.contains(id));
    let of_place = garden.care_in(place).rev().find(waters);
    let first = plantings.first()?;
    let of_all = garden.care_of(*first).rev().filter(waters).find(is_for_all);
    of_place.into_iter().chain(of_all).map(|care| care.date).max()
}
