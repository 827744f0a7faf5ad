//! When there is room in a place: today, or when something that stands there is cleared.

use chrono::NaiveDate;

use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::places::bookings::{Booking, Hold};
use crate::places::crowding;
use crate::places::room::{Capacity, Measure};

/// Room in a place from a day on.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// The first day: what leaves has left by then at the latest.
    pub from: NaiveDate,
    /// The last day before something that is meant for the place needs the room, if it waits as long as it can;
    /// nothing if nothing does.
    pub until: Option<NaiveDate>,
    /// How much: containers, or m².
    pub room: f64,
    /// Whether that is only about right.
    pub is_about: bool,
    /// Who left it, if it is not free today.
    pub left_by: Vec<PlantingId>,
}

/// So far ahead it is asked what frees up: within a year.
const AHEAD_DAYS: i64 = 365;
/// A patch of bed smaller than this is not worth a crop of its own, m². Common practice, no source.
const LEAST_PATCH_M2: f64 = 0.3;
/// What frees up within so many days of one another is told as one. Common practice, no source.
const TOGETHER_DAYS: i64 = 14;
/// Not even a radish is ready in fewer days. Common practice, no source.
const SHORTEST_DAYS: i64 = 28;
/// More than so many openings of one place are not told.
const MOST: usize = 3;

/// The openings of a place, soonest first. None while something there takes room that nobody measured.
pub fn of_place(garden: &Garden, bookings: &[Booking], capacity: Capacity) -> Vec<Opening> {
    let least = match capacity.measure {
        Measure::Containers => 1.0,
        Measure::SquareMetres => LEAST_PATCH_M2.min(capacity.much),
    };
    let coming: Vec<&Booking> = bookings
        .iter()
        .filter(|booking| booking.hold != Hold::Past && booking.is_growing())
        .collect();
    let asked = Asked { garden, coming: &coming, capacity };
    let today = garden.today;
    let horizon = shift(today, AHEAD_DAYS);
    let mut days: Vec<NaiveDate> = coming
        .iter()
        .map(|booking| held(booking).to)
        .filter(|last| *last < horizon)
        .map(|last| shift(last, 1).max(today))
        .collect();
    days.push(today);
    days.sort_unstable();
    days.dedup();
    let mut openings: Vec<Opening> = Vec::new();
    let mut first_of_group = today;
    for day in days {
        let Some(opening) = asked.opening(day, least) else { continue };
        let known = openings.iter().map(|known| known.room).fold(0.0, f64::max);
        let is_after = |last: &Opening| last.until.is_some_and(|until| until < day);
        if !openings.last().is_some_and(is_after) && opening.room < known + least {
            continue;
        }
        let is_soon = day <= shift(first_of_group, TOGETHER_DAYS);
        let is_full = openings.len() == MOST;
        match openings.last_mut().filter(|last| last.from > today && is_soon) {
            Some(last) => {
                let mut left_by = std::mem::take(&mut last.left_by);
                left_by.extend(&opening.left_by);
                *last = Opening { left_by, ..opening };
            }
            None if is_full => break,
            None => {
                first_of_group = day;
                openings.push(opening);
            }
        }
    }
    openings
}

/// The days that a booking takes from others: until it has left at the latest; and what is only meant can wait
/// until the last day on which it may come.
fn held(booking: &Booking) -> Period {
    let days = booking.perhaps();
    let from = if booking.hold == Hold::Meant { booking.from.to } else { days.from };
    Period { from, to: days.to.max(from) }
}

struct Asked<'a> {
    garden: &'a Garden,
    coming: &'a [&'a Booking],
    capacity: Capacity,
}

impl Asked<'_> {
    fn opening(&self, day: NaiveDate, least: f64) -> Option<Opening> {
        let (free_now, mut is_about) = self.free_on(day)?;
        if free_now < least {
            return None;
        }
        // What comes later takes its share; if that leaves too little, the room is there for a time.
        let mut later: Vec<NaiveDate> = self
            .coming
            .iter()
            .map(|booking| held(booking).from)
            .filter(|from| *from > day)
            .collect();
        later.sort_unstable();
        let (mut room, mut until) = (free_now, None);
        for next in later {
            let Some((free, about)) = self.free_on(next) else { continue };
            if free < least {
                until = Some(shift(next, -1));
                break;
            }
            if free < room {
                (room, is_about) = (free, is_about || about);
            }
        }
        if until.is_some_and(|until| (until - day).num_days() < SHORTEST_DAYS) {
            return None;
        }
        let left_by = self.coming.iter().filter(|booking| {
            booking.to.is_some() && shift(held(booking).to, 1).max(self.garden.today) == day
        });
        Some(Opening {
            from: day,
            until,
            room,
            is_about,
            left_by: left_by.map(|booking| booking.planting).collect(),
        })
    }

    /// What is surely free on a day, and whether that is only about right.
    fn free_on(&self, day: NaiveDate) -> Option<(f64, bool)> {
        let here: Vec<&Booking> =
            self.coming.iter().copied().filter(|one| held(one).contains(day)).collect();
        let used = crowding::used(self.garden, &here);
        (used.unmeasured == 0).then_some((self.capacity.much - used.much, used.is_about))
    }
}
