//! The words for places in which more is wanted than there is, and for families that come back too soon.

use chrono::NaiveDate;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::Place;
use crate::garden::planting::PlantingId;
use crate::origin::Origin;
use crate::places::PlaceUse;
use crate::places::bookings::{Booking, Hold};
use crate::places::crowding::Crowd;
use crate::places::room::{Capacity, Measure};
use crate::places::rotation::{Before, Repeat};
use crate::units::{AreaUnit, System};

/// Every over-booked place, and every family that surely comes back to the same soil too soon.
pub(super) fn of(garden: &Garden, findings: &Findings) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (id, place) in garden.places() {
        let found = findings.place_of(id);
        let crowds = found.capacity.iter().flat_map(|capacity| {
            found.crowds.iter().filter_map(|crowd| crowded(garden, place, found, *capacity, crowd))
        });
        problems.extend(crowds);
        // Where both fit side by side it may be other soil: the place's page says so, the keyboard does not.
        let mut told: Vec<Origin> = Vec::new();
        for repeat in found.repeats.iter().filter(|repeat| !repeat.may_be_apart) {
            // The sowings of a succession are written in one line.
            let at = garden.planting(repeat.planting).at;
            if !told.contains(&at) {
                told.push(at);
                problems.push(too_soon(garden, place, repeat));
            }
        }
    }
    problems
}

fn crowded(
    garden: &Garden,
    place: &Place,
    found: &PlaceUse,
    capacity: Capacity,
    crowd: &Crowd,
) -> Option<Problem> {
    let booking = |id: &PlantingId| found.bookings.iter().find(|one| is_of(one, *id));
    let mut here: Vec<&Booking> = crowd.plantings.iter().filter_map(booking).collect();
    // The one that comes last is the one that can still go elsewhere.
    let last = here.pop()?;
    let id = |booking: &Booking| garden.planting(booking.planting);
    let until = match crowd.days.to {
        NaiveDate::MAX => String::new(),
        day => format!(" to {day}"),
    };
    let message = format!(
        "{} is over-booked from {}{until}: {}{} wanted, {} there",
        place.name,
        crowd.days.from,
        if crowd.is_about { "about " } else { "" },
        measured(crowd.wanted, capacity.measure, garden.settings.units),
        measured(capacity.much, capacity.measure, garden.settings.units),
    );
    let mut problem = Problem::new(Code::PlaceCrowded, id(last).at, message).label(here_from(last));
    for one in &here {
        problem = problem.also(id(one).at, here_until(one));
    }
    let remedy = match last.hold {
        Hold::Meant => {
            let id = Tick(&id(last).id);
            format!("choose another place for {id} with `for:`, or begin it later")
        }
        Hold::Past | Hold::Now => {
            "one of them can be moved or cleared sooner; crowded plants want more water".to_owned()
        }
    };
    Some(problem.hint(remedy).hint(
        "if one stands between the other's plants, say so with `shares-with:`; if they take less room, with \
         `uses:`",
    ))
}

fn is_of(booking: &Booking, id: PlantingId) -> bool {
    booking.planting == id && booking.hold != Hold::Past && booking.is_growing()
}

fn here_from(booking: &Booking) -> String {
    match booking.hold {
        Hold::Meant => format!("expected there by {}", booking.from.to),
        Hold::Past | Hold::Now => format!("there since {}", booking.from.from),
    }
}

fn here_until(booking: &Booking) -> String {
    match booking.to {
        Some(to) if to.from == to.to => format!("there until about {}", to.from),
        Some(to) => format!("there until {} at least, {} at most", to.from, to.to),
        None => "stands there for years".to_owned(),
    }
}

fn too_soon(garden: &Garden, place: &Place, repeat: &Repeat) -> Problem {
    let planting = garden.planting(repeat.planting);
    let verb = if repeat.is_there { "stands" } else { "is meant to stand" };
    let message = format!(
        "{} {verb} where {} grew too short a time ago: {} of rest would end on {}",
        Tick(&planting.id),
        repeat.family,
        words::count(usize::try_from(repeat.rest_years).unwrap_or(usize::MAX), "year"),
        repeat.rest_until
    );
    let problem = Problem::new(Code::FamilyTooSoon, planting.at, message)
        .label(format!("{} in {} again", repeat.family, place.name));
    let problem = match repeat.before {
        Before::Planting(id, Some(day)) => {
            problem.also(garden.planting(id).at, format!("of the same family, there until {day}"))
        }
        Before::Planting(id, None) => {
            problem.also(garden.planting(id).at, "of the same family, and there still")
        }
        Before::Written(year) => problem
            .hint(format!("the `family-history` of {} names this family for {year}", place.name)),
    };
    match (repeat.is_there, place.containers) {
        (false, None) => problem.hint("another place for it, or a crop of another family here"),
        (false, Some(_)) => problem.hint(
            "another place for it, or all new mix in the containers: `care: [{place: …, did: refill}]`",
        ),
        (true, _) => problem
            .hint("nothing has to be dug up: watch it for disease, and give the place a rest after it"),
    }
}

fn measured(much: f64, measure: Measure, system: System) -> String {
    match measure {
        Measure::Containers => words::count(much.ceil() as usize, "container"),
        Measure::SquareMetres => {
            let unit = system.area_unit();
            let much = unit.measure(AreaUnit::SquareMetre.of(much));
            format!("{much:.1} {}", unit.symbol())
        }
    }
}
