//! Who was in a place, is in it, and shall be in it.
//!
//! What was is taken from the journal. What is to come follows from the stages that are expected of a
//! planting, and stays a range: the first day, and the day of clearing, each from the earliest to the latest.

use chrono::NaiveDate;

use crate::calendar::plan::Plan;
use crate::calendar::shelter;
use crate::catalogue::sheet::Hardiness;
use crate::climate::conditions::Conditions;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId, Plants, Stay};
use crate::happening::Happening;
use crate::places::room::{self, Capacity, Room};
use crate::results::yields::plants;
use crate::stage::Stage;
use crate::stages::course::{Beginning, Course};
use crate::stages::{Milestone, StageDates};
use crate::units::Uses;

/// A planting in a place for a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Booking {
    pub planting: PlantingId,
    /// Whether it was, is, or shall be.
    pub hold: Hold,
    /// Its first day: one day if it is known, else from the earliest to the latest.
    pub from: Period,
    /// The day it leaves, likewise; nothing if nobody can say.
    pub to: Option<Period>,
    /// Whether it stands on for years.
    pub stands_on: bool,
    /// How much of the place it takes.
    pub room: Room,
}

/// Whether a planting was in a place, is, or shall be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hold {
    /// It left.
    Past,
    /// It stands there.
    Now,
    Meant,
}

impl Booking {
    /// The days on which it is there whatever happens; none if it may leave before it surely comes.
    pub fn surely(&self) -> Option<Period> {
        let to = match self.to {
            Some(to) => shift(to.from, -1),
            None if self.stands_on => NaiveDate::MAX,
            None => return None,
        };
        (self.from.to <= to).then_some(Period { from: self.from.to, to })
    }

    /// The days on which it may be there; to the end of days if nobody can say when it leaves.
    pub fn perhaps(&self) -> Period {
        let to = self.to.map_or(NaiveDate::MAX, |to| shift(to.to, -1));
        Period { from: self.from.from, to: to.max(self.from.from) }
    }

    /// Whether it grows there, rather than waiting in pots and trays.
    pub fn is_growing(&self) -> bool {
        self.room != Room::Passing
    }
}

/// Plants that grow in a place, as far as their room is concerned.
#[derive(Clone, Copy, Debug)]
pub struct Stand {
    /// What the grower wrote about their room.
    pub uses: Option<Uses>,
    pub plants: Plants,
}

/// A sowing or planting that is so late is given up. Common practice, no source.
const GIVEN_UP_DAYS: i64 = 28;

/// Who was, is and shall be in a place, by first day.
pub fn of_place(
    garden: &Garden,
    conditions: &Conditions,
    stages: &[Vec<StageDates>],
    place: PlaceId,
    capacity: Option<Capacity>,
) -> Vec<Booking> {
    let mut bookings = Vec::new();
    for id in garden.plantings_in(place).iter().copied() {
        let planting = garden.planting(id);
        let course = Course::of(garden, conditions, id, Plan::default());
        let dates = &stages[id.0];
        let teller = Teller { garden, conditions, course, planting, dates, place, capacity };
        let stays = planting.stays.iter().filter(|stay| stay.place == place);
        bookings.extend(stays.map(|stay| teller.stay(stay)));
        bookings.extend(teller.meant());
    }
    bookings.sort_by_key(|booking| (booking.from.from, booking.from.to, booking.planting));
    bookings
}

struct Teller<'a> {
    garden: &'a Garden,
    conditions: &'a Conditions,
    course: Course<'a>,
    planting: &'a Planting,
    dates: &'a [StageDates],
    place: PlaceId,
    capacity: Option<Capacity>,
}

impl Teller<'_> {
    fn stay(&self, stay: &Stay) -> Booking {
        let grows = self.grows(stay);
        let hold = if stay.to.is_some() { Hold::Past } else { Hold::Now };
        let to = match stay.to {
            Some(day) => Some(Period { from: day, to: day }),
            None if grows => self.clearing(stay.from),
            None => self.setting_out(),
        };
        Booking {
            planting: self.course.id,
            hold,
            from: Period { from: stay.from, to: stay.from },
            to,
            stands_on: grows && self.course.is_perennial(),
            room: if grows { self.room(self.plants(hold)) } else { Room::Passing },
        }
    }

    /// The stay that is still to come, in the place it is meant for.
    fn meant(&self) -> Option<Booking> {
        let today = self.garden.today;
        let meant_for = match self.planting.destined {
            Some(place) => Some(place),
            None => self.planting.first_place.filter(|_| self.planting.begun().is_none()),
        };
        let is_here = self.planting.stays.iter().any(|stay| {
            self.grows_anywhere(stay) && (stay.to.is_none() || stay.place == self.place)
        });
        let is_over = self.planting.finished.is_some() || is_here;
        let soil = room::is_soil(self.garden.place(self.place));
        if meant_for != Some(self.place) || is_over || !soil {
            return None;
        }
        let set_out = self.expected(Milestone::Stage(Stage::PlantedOut));
        let from = set_out.or_else(|| self.expected(Milestone::Stage(Stage::Sown)))?;
        let is_begun = self.planting.begun().is_some();
        if !is_begun && shift(from.to, GIVEN_UP_DAYS) < today {
            return None;
        }
        let from = from.not_before(today);
        Some(Booking {
            planting: self.course.id,
            hold: Hold::Meant,
            from,
            to: self.clearing(from.from).map(|to| to.not_before(from.from)),
            stands_on: self.course.is_perennial(),
            room: self.room(self.plants(Hold::Meant)),
        })
    }

    fn room(&self, plants: Plants) -> Room {
        let Some(capacity) = self.capacity else { return Room::Unknown };
        let place = self.garden.place(self.place);
        // What was written is about the place it is meant for; if it went elsewhere, too, spacing tells.
        let own = self.planting.destined.or(self.planting.first_place);
        let is_own = |own| own == self.place || !room::is_soil(self.garden.place(own));
        let uses = self.planting.uses.filter(|_| own.is_none_or(is_own));
        room::of_plants(place, capacity, self.planting, Stand { uses, plants })
    }

    /// Whether plants grew here during a stay, rather than waiting to go elsewhere.
    fn grows(&self, stay: &Stay) -> bool {
        room::is_soil(self.garden.place(stay.place)) && self.grows_anywhere(stay)
    }

    fn grows_anywhere(&self, stay: &Stay) -> bool {
        if self.course.beginning != Beginning::Raised {
            return true;
        }
        let is_out = |stage: Stage| stage >= Stage::PlantedOut && stage != Stage::Finished;
        let stands = self.planting.groups.iter();
        let mut stands = stands.filter(|group| group.place == Some(stay.place));
        if stay.to.is_none() && stands.any(|group| is_out(group.stage)) {
            return true;
        }
        let mut furthest = Stage::Intended;
        self.planting.history.iter().any(|step| {
            let here = step.place == Some(stay.place)
                && step.date >= stay.from
                && stay.to.is_none_or(|to| step.date <= to);
            match step.what {
                Happening::Reached(stage) => {
                    furthest = furthest.max(stage.settled());
                    here && is_out(stage)
                }
                Happening::Moved => here && is_out(furthest),
                _ => false,
            }
        })
    }

    /// How many plants are meant when room is asked for: what stood at its place, what stands there now
    /// (seedlings that stayed behind are not among them), what is wanted.
    fn plants(&self, hold: Hold) -> Plants {
        let planting = self.planting;
        let is_raised = self.course.beginning == Beginning::Raised;
        let aim = planting.aim.map(Plants::exactly);
        let counted = match hold {
            Hold::Past => {
                let counted = plants::of_planting(self.garden, self.course.id).ok();
                let counted = counted.map(|plants| Plants {
                    number: Some(plants.number),
                    is_about: plants.is_about,
                });
                counted.or(aim)
            }
            Hold::Now => {
                let groups = planting.groups.iter().filter(|group| {
                    let is_out = !is_raised || group.stage >= Stage::PlantedOut;
                    group.place == Some(self.place) && is_out
                });
                groups.map(|group| group.plants).reduce(Plants::and)
            }
            Hold::Meant => aim.or_else(|| Some(planting.plants())),
        };
        let counted = counted.unwrap_or(Plants::UNKNOWN);
        // Sown thickly and thinned to what is wanted.
        match (planting.aim, counted.number) {
            (Some(aim), Some(number)) if number > aim && !is_raised => Plants::exactly(aim),
            (Some(aim), None) => Plants { number: Some(aim), is_about: true },
            _ => counted,
        }
    }

    /// When it goes from here to where it is meant to grow.
    fn setting_out(&self) -> Option<Period> {
        let out = self.expected(Milestone::Stage(Stage::PlantedOut))?;
        Some(out.not_before(self.garden.today))
    }

    /// When it will be cleared: when its harvest is over, and outdoors no later than frost ends it.
    fn clearing(&self, since: NaiveDate) -> Option<Period> {
        if self.course.is_perennial() {
            return None;
        }
        let mut over = self.expected(Milestone::Stage(Stage::Finished))?;
        if let Some(frost) = self.frost_after(since) {
            over = Period { from: over.from.min(frost.from), to: over.to.min(frost.to) };
        }
        Some(over.not_before(self.garden.today))
    }

    /// The usual days of the first frost of autumn after a day, for what a light frost kills: from one year
    /// of two to nine of ten, later under glass or fleece.
    fn frost_after(&self, since: NaiveDate) -> Option<Period> {
        if self.planting.sheet.hardiness != Some(Hardiness::Tender) {
            return None;
        }
        let later = shelter::frost_shift(self.garden.place(self.place).cover)?;
        let dates = self.conditions.autumn_frost.model()?.dates();
        let from = shift(dates.p50?.next_on_or_after(since), later);
        let to = dates.p90.map_or(NaiveDate::MAX, |day| shift(day.next_on_or_after(since), later));
        (from <= to).then_some(Period { from, to })
    }

    fn expected(&self, what: Milestone) -> Option<Period> {
        let dates = self.dates.iter().find(|dates| dates.what == what)?;
        dates.expected.filter(|_| dates.actual.is_none())
    }
}
