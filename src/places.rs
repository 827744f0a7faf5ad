//! Places through the years: who is where and when, how full a place is, when it frees up, what can still
//! follow there, and which family comes back to the same soil too soon.

pub mod bookings;
pub mod crowding;
pub mod following;
pub mod openings;
pub mod room;
pub mod rooting;
pub mod rotation;

use crate::calendar::basis::Basis;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::taught::Taught;
use crate::places::bookings::{Booking, Hold};
use crate::places::crowding::{Crowd, Used};
use crate::places::following::{Almanac, Follower};
use crate::places::openings::Opening;
use crate::places::room::Capacity;
use crate::places::rotation::Repeat;
use crate::stages::StageDates;

/// What is computed of one place.
#[derive(Clone, Debug)]
pub struct PlaceUse {
    /// Who was there, is there, and shall be there, by first day.
    pub bookings: Vec<Booking>,
    /// What there is to be filled; nothing where plants only pass through, or nobody wrote the sizes.
    pub capacity: Option<Capacity>,
    /// What of it is taken today.
    pub used: Used,
    /// Times from today on at which more is wanted than there is.
    pub crowds: Vec<Crowd>,
    /// When there is room, and what can follow then.
    pub openings: Vec<(Opening, Vec<Follower>)>,
    /// Families that come back too soon, in what grows here now or is meant to.
    pub repeats: Vec<Repeat>,
}

/// Every place of a garden, in its order; `stages` by planting.
pub fn of(taught: &Taught, basis: &Basis, stages: &[Vec<StageDates>]) -> Vec<PlaceUse> {
    let garden = taught.garden();
    let mut almanac = Almanac::new(garden, &basis.years);
    garden.places().map(|(id, _)| of_place(garden, basis, stages, id, &mut almanac)).collect()
}

fn of_place(
    garden: &Garden,
    basis: &Basis,
    stages: &[Vec<StageDates>],
    id: PlaceId,
    almanac: &mut Almanac<'_>,
) -> PlaceUse {
    let place = garden.place(id);
    let capacity = room::capacity(place);
    let bookings = bookings::of_place(garden, &basis.conditions, stages, id, capacity);
    let here: Vec<&Booking> = bookings.iter().filter(|booking| booking.hold == Hold::Now).collect();
    let used = crowding::used(garden, &here);
    let repeats = rotation::repeats(garden, id, &bookings, capacity);
    let (crowds, openings) = match capacity {
        None => (Vec::new(), Vec::new()),
        Some(capacity) => {
            let crowds = crowding::crowds(garden, &bookings, capacity);
            let openings = openings::of_place(garden, &bookings, capacity);
            (crowds, openings)
        }
    };
    let openings = openings
        .into_iter()
        .map(|opening| {
            let followers = almanac.followers(id, &opening, &bookings);
            (opening, followers)
        })
        .collect();
    PlaceUse { bookings, capacity, used, crowds, openings, repeats }
}
