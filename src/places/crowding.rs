//! How much of a place is taken, and when more is wanted than there is.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::places::bookings::{Booking, Hold};
use crate::places::room::{Capacity, Measure, Room};

/// What is taken of a place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Used {
    /// Containers, or m².
    pub much: f64,
    /// Whether some of it is only about right.
    pub is_about: bool,
    /// How many plantings take room that nobody measured.
    pub unmeasured: u32,
}

/// A time in which more of a place is wanted than there is.
#[derive(Clone, Debug, PartialEq)]
pub struct Crowd {
    /// The days on which that is so even if the first goes early and the next comes late.
    pub days: Period,
    /// Who is there, in the order in which they come.
    pub plantings: Vec<PlantingId>,
    /// The most that is wanted: containers, or m².
    pub wanted: f64,
    /// Whether some of it is only about right.
    pub is_about: bool,
}

/// A tape is laid along a bed so well, and no better. Common practice, no source.
const TAPE_SHARE: f64 = 0.05;
/// Plants are set so much closer than a sheet has it without harm. Common practice, no source.
const SPACING_SHARE: f64 = 0.2;

/// A crowd of fewer days than this is none: what goes can go a little earlier, and what comes can wait in its
/// pots. Common practice, no source.
const SQUEEZE_DAYS: i64 = 14;

/// What some bookings take together. What stands between the plants of another counts once with it.
pub fn used(garden: &Garden, bookings: &[&Booking]) -> Used {
    let mut sum = Used::default();
    let mut by_patch: BTreeMap<PlantingId, (f64, bool)> = BTreeMap::new();
    for booking in bookings {
        match booking.room {
            Room::Passing => {}
            Room::Unknown if shares(garden, booking.planting) => {}
            Room::Unknown => sum.unmeasured += 1,
            Room::Takes { much, is_about } => {
                let patch = by_patch.entry(patch(garden, booking.planting)).or_default();
                if much > patch.0 {
                    *patch = (much, is_about);
                }
            }
        }
    }
    for (much, is_about) in by_patch.into_values() {
        sum.much += much;
        sum.is_about |= is_about;
    }
    sum
}

/// The times from today on, two weeks or longer, in which at least two plantings want more of a place than there
/// is.
pub fn crowds(garden: &Garden, bookings: &[Booking], capacity: Capacity) -> Vec<Crowd> {
    let today = garden.today;
    let coming: Vec<(Period, &Booking)> = bookings
        .iter()
        .filter(|booking| booking.hold != Hold::Past)
        .filter_map(|booking| Some((booking.surely()?, booking)))
        .filter(|(days, _)| days.to >= today)
        .collect();
    let mut crowds: Vec<Crowd> = Vec::new();
    for (from, to) in stretches(&coming, today) {
        let here: Vec<&Booking> = coming
            .iter()
            .filter(|(days, booking)| days.contains(from) && booking.is_growing())
            .map(|(_, booking)| *booking)
            .collect();
        let used = used(garden, &here);
        if here.len() < 2 || used.much <= limit(capacity, used) {
            continue;
        }
        let plantings: Vec<PlantingId> = here.iter().map(|booking| booking.planting).collect();
        match crowds.last_mut().filter(|last| shift(last.days.to, 1) == from) {
            Some(last) => {
                last.days.to = to;
                last.plantings.extend(plantings);
                let mut seen = std::collections::BTreeSet::new();
                last.plantings.retain(|id| seen.insert(*id));
                if used.much > last.wanted {
                    (last.wanted, last.is_about) = (used.much, used.is_about);
                }
            }
            None => crowds.push(Crowd {
                days: Period { from, to },
                plantings,
                wanted: used.much,
                is_about: used.is_about,
            }),
        }
    }
    crowds.retain(|crowd| crowd.days.days() >= SQUEEZE_DAYS);
    crowds
}

/// How much may be used before a place counts as over-full.
fn limit(capacity: Capacity, used: Used) -> f64 {
    let spare = match (used.is_about, capacity.measure) {
        (true, _) => SPACING_SHARE,
        (false, Measure::SquareMetres) => TAPE_SHARE,
        (false, Measure::Containers) => 0.0,
    };
    capacity.much * (1.0 + spare) + 1e-9
}

/// Stretches of days from today on in which the same plantings are there.
fn stretches(coming: &[(Period, &Booking)], today: NaiveDate) -> Vec<(NaiveDate, NaiveDate)> {
    let mut starts = vec![today];
    for (days, _) in coming {
        starts.push(days.from.max(today));
        if days.to < NaiveDate::MAX {
            starts.push(shift(days.to, 1));
        }
    }
    starts.sort_unstable();
    starts.dedup();
    let ends = starts.iter().skip(1).map(|next| shift(*next, -1)).chain([NaiveDate::MAX]);
    starts.iter().copied().zip(ends).filter(|(from, _)| *from >= today).collect()
}

/// The planting whose patch it stands in: its own, or that of the one it stands between.
pub(super) fn patch(garden: &Garden, id: PlantingId) -> PlantingId {
    let mut chain = vec![id];
    let mut last = id;
    while let Some(next) = garden.planting(last).shares_with {
        if chain.contains(&next) {
            // They stand between each other.
            return chain.into_iter().min().unwrap_or(id);
        }
        chain.push(next);
        last = next;
    }
    last
}

fn shares(garden: &Garden, id: PlantingId) -> bool {
    garden.planting(id).shares_with.is_some()
}
