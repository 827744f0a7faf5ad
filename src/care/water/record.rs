//! Waterings as they were noted, shared among the plantings they were for.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::water::account::Poured;
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::CareRecord;
use crate::jobs::Job;
use crate::names::folded;
use crate::units::{Amount, MassUnit, VolumeUnit};

/// A planting in a place that can take water: since when it stands there, and its weight when a total is
/// shared out.
#[derive(Clone, Copy, Debug)]
pub struct Taker {
    pub planting: PlantingId,
    pub place: PlaceId,
    /// The first day.
    pub from: NaiveDate,
    /// What its roots can reach, litres.
    pub holds: f64,
    /// Its plants, or containers where the place is made of them.
    pub pieces: f64,
}

/// What each taker was given, by day.
///
/// A total that was noted for several is shared by what they hold; plantings it was for that are no longer
/// there, or whose size is not known, take as much as the others do on average. That is a rule of ours.
pub fn poured(garden: &Garden, takers: &[Taker]) -> Vec<BTreeMap<NaiveDate, Poured>> {
    let mut given = vec![BTreeMap::new(); takers.len()];
    for care in garden.care.iter().filter(|care| care.did == Job::Water) {
        let for_whom: Vec<usize> = (0..takers.len())
            .filter(|index| is_for(garden, care, takers[*index].planting, takers[*index].place))
            .filter(|index| takers[*index].from <= care.date)
            .collect();
        let held: f64 = for_whom.iter().map(|index| takers[*index].holds).sum();
        let known = |id: &PlantingId| for_whom.iter().any(|index| takers[*index].planting == *id);
        let others = care.about.plantings.iter().filter(|id| !known(id)).count() as f64;
        let all = held * (1.0 + others / (for_whom.len() as f64).max(1.0));
        for index in for_whom {
            let taker = &takers[index];
            let poured = match (care.amount, care.each) {
                (Some(total), _) if all > 0.0 => Poured::Litres(litres(total) * taker.holds / all),
                (_, Some(each)) => Poured::Litres(litres(each) * taker.pieces),
                _ => Poured::Full,
            };
            given[index]
                .entry(care.date)
                .and_modify(|before: &mut Poured| *before = before.and(poured))
                .or_insert(poured);
        }
    }
    given
}

/// Whether a line is about a planting in a place: by the place's name, or by the planting's alone.
pub fn is_for(garden: &Garden, care: &CareRecord, planting: PlantingId, place: PlaceId) -> bool {
    if !care.about.plantings.contains(&planting) {
        return false;
    }
    let places = &care.about.places;
    let stood = garden.planting(planting).places_on(care.date);
    places.contains(&place) || !places.iter().any(|named| stood.contains(named))
}

/// Whether watering a place was put off on a day.
pub fn is_skipped(garden: &Garden, place: PlaceId, planting: PlantingId, day: NaiveDate) -> bool {
    garden.care_in_days(Period { from: day, to: day }).iter().any(|care| {
        let names_it = |task: &str| folded(task) == Job::Water.word();
        let is_water = || care.task.as_ref().is_some_and(|task| task.compared(names_it));
        care.did == Job::Skip && is_water() && is_for(garden, care, planting, place)
    })
}

/// Water weighed is water measured: a kilogram is a litre.
fn litres(amount: Amount) -> f64 {
    match amount {
        Amount::Volume(volume) => VolumeUnit::Litre.measure(volume),
        Amount::Mass(mass) => MassUnit::Kilogram.measure(mass),
    }
}
