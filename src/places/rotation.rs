//! The same family in the same soil before it has had its rest.
//!
//! Rest counts from the day on which the last of a family left a place, in the years of the crop sheet. Sowings
//! of one season are one crop: lettuce after lettuce every three weeks is no repeat. New mix in the containers
//! of a place starts its count anew; where part of the old mix stays (`old: 50%`) it does not, for what lived
//! in it lives on. Each of these is common practice, no source; the years stand with their sources on the crop sheets.
//!
//! Nobody writes down in which end of a bed a crop stood. Where both crops find room side by side it may have
//! been elsewhere in it, and then that is said.

use chrono::{Datelike, NaiveDate};

use crate::catalogue::CropSheet;
use crate::catalogue::family::accepted;
use crate::dates::MonthDay;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::jobs::Job;
use crate::places::bookings::{Booking, Hold};
use crate::places::crowding;
use crate::places::room::{self, Capacity, Room};

/// A family that comes back too soon.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeat {
    /// What grows there now, or is meant to.
    pub planting: PlantingId,
    pub family: String,
    /// Its first day there, at the latest.
    pub from: NaiveDate,
    /// Whether it stands there already.
    pub is_there: bool,
    pub before: Before,
    /// Years of rest that its sheet asks for.
    pub rest_years: u32,
    /// The day on which the family has had its rest.
    pub rest_until: NaiveDate,
    /// Whether both find room side by side, so that it may be other soil of the same place.
    pub may_be_apart: bool,
}

/// What of the family was in the place before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Before {
    /// A planting that left on this day; without a day it stands there still.
    Planting(PlantingId, Option<NaiveDate>),
    /// The place's `family-history` names it for this year.
    Written(u32),
}

/// The repeats of what grows in a place now or is meant for it, the newest before it each.
pub fn repeats(
    garden: &Garden,
    place: PlaceId,
    bookings: &[Booking],
    capacity: Option<Capacity>,
) -> Vec<Repeat> {
    if !room::is_soil(garden.place(place)) {
        return Vec::new();
    }
    let told = bookings.iter().filter(|new| new.hold != Hold::Past && new.is_growing());
    told.filter_map(|new| repeat(garden, place, bookings, capacity, new)).collect()
}

fn repeat(
    garden: &Garden,
    place: PlaceId,
    bookings: &[Booking],
    capacity: Option<Capacity>,
    new: &Booking,
) -> Option<Repeat> {
    let sheet = &garden.planting(new.planting).sheet;
    let rest_years = sheet.rest_years?;
    let family = sheet.family.clone()?;
    let from = new.from.to;
    let priors = priors(garden, place, bookings, sheet, Some(new), from);
    let may_be_apart = |prior: &Prior| {
        let rooms = prior.room.zip(room_of(garden, bookings, new)).zip(capacity);
        rooms.is_some_and(|((one, two), capacity)| one + two <= capacity.much)
    };
    // Rather the one that is surely in the same soil, then the newest.
    let newest = priors
        .into_iter()
        .filter(|prior| rested(prior.last, rest_years) > from)
        .max_by_key(|prior| (!may_be_apart(prior), prior.last))?;
    Some(Repeat {
        planting: new.planting,
        family,
        from,
        is_there: new.hold == Hold::Now,
        rest_years,
        rest_until: rested(newest.last, rest_years),
        may_be_apart: may_be_apart(&newest),
        before: newest.before,
    })
}

/// The day on which a crop's family has had its rest in a place, if that is later than `day`.
pub fn rest_until(
    garden: &Garden,
    place: PlaceId,
    bookings: &[Booking],
    sheet: &CropSheet,
    day: NaiveDate,
) -> Option<NaiveDate> {
    let years = sheet.rest_years?;
    let newest = priors(garden, place, bookings, sheet, None, day).into_iter();
    let until = rested(newest.map(|prior| prior.last).max()?, years);
    (until > day).then_some(until)
}

struct Prior {
    before: Before,
    last: NaiveDate,
    /// Containers, or m².
    room: Option<f64>,
}

/// What of a family was in a place in seasons before that of `from`, and no new mix since.
fn priors(
    garden: &Garden,
    place: PlaceId,
    bookings: &[Booking],
    sheet: &CropSheet,
    new: Option<&Booking>,
    from: NaiveDate,
) -> Vec<Prior> {
    let Some(family) = sheet.family.as_deref().map(accepted) else { return Vec::new() };
    let season = garden.season_of(from);
    let is_family = |name: &str| accepted(name) == family;
    let stood = bookings.iter().filter(|old| {
        let own = garden.planting(old.planting).sheet.family.as_deref();
        let is_other = new.is_none_or(|new| new.planting != old.planting);
        let is_earlier = old.from.to < season.days.from && old.hold != Hold::Meant;
        is_other && is_earlier && old.is_growing() && own.is_some_and(is_family)
    });
    let stood = stood.map(|old| {
        // What still stands there has had no rest yet.
        let left = old.to.filter(|_| old.hold == Hold::Past).map(|to| to.to);
        Prior {
            before: Before::Planting(old.planting, left),
            last: left.unwrap_or(from),
            room: room_of(garden, bookings, old),
        }
    });
    let written = garden.place(place).family_history.iter().filter_map(|(year, families)| {
        let last = NaiveDate::from_ymd_opt(i32::try_from(*year).ok()?, 12, 31)?;
        let last = garden.season_of(last).days.to;
        let is_it = last < season.days.from && families.iter().any(|name| is_family(name));
        is_it.then_some(Prior { before: Before::Written(*year), last, room: None })
    });
    let renewed = renewed(garden, place, from);
    stood.chain(written).filter(|prior| renewed.is_none_or(|day| day < prior.last)).collect()
}

/// The last day up to `day` on which all mix of a place was replaced.
fn renewed(garden: &Garden, place: PlaceId, day: NaiveDate) -> Option<NaiveDate> {
    let refills = garden.care_in(place).filter(|care| {
        care.did == Job::Refill
            && care.date <= day
            && care.old_share.is_none_or(|share| share <= 0.0)
    });
    refills.map(|care| care.date).max()
}

/// Containers or m² that a planting took; of one that stood between the plants of another, theirs.
fn room_of(garden: &Garden, bookings: &[Booking], of: &Booking) -> Option<f64> {
    match of.room {
        Room::Takes { much, .. } => Some(much),
        Room::Passing => None,
        Room::Unknown => {
            let host = crowding::patch(garden, of.planting);
            let rooms = bookings.iter().filter(|other| other.planting == host);
            rooms.filter(|_| host != of.planting).find_map(|other| match other.room {
                Room::Takes { much, .. } => Some(much),
                Room::Passing | Room::Unknown => None,
            })
        }
    }
}

/// So many years after a day.
fn rested(last: NaiveDate, years: u32) -> NaiveDate {
    let year = i32::try_from(years).ok().and_then(|years| last.year().checked_add(years));
    year.map_or(NaiveDate::MAX, |year| MonthDay::of(last).in_year(year))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rest_is_whole_years_from_the_day_it_left() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        assert_eq!(rested(day("2025-10-18"), 3), day("2028-10-18"));
        assert_eq!(rested(day("2024-02-29"), 1), day("2025-02-28"));
    }
}
