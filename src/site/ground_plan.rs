//! A place drawn from above: what stands where, in proportion.

use serde::Serialize;

use crate::charts::ground_plan::{self, GroundPlan, MOST_CONTAINERS};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting_names::Around;
use crate::places::bookings::Hold;
use crate::places::room::{Measure, Room};
use crate::site::amount::Amount;
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::site::place_use;
use crate::units::LengthUnit;

/// A place drawn from above.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GroundPlanView {
    /// The drawing.
    pub plan: GroundPlan,
    /// Its sides, or how many containers.
    pub size: Message,
    /// Who stands there, in the order of the numbers, and how much room each takes.
    pub standing: Vec<(Link, Amount)>,
    pub free: Option<Amount>,
    /// Who stands there besides, of whom nobody can say how much room.
    pub unmeasured: Vec<Link>,
}

/// The ground of a place with what grows there today; nothing where its sides are not known, or there are too many pots.
pub fn of_place(garden: &Garden, findings: &Findings, id: PlaceId) -> Option<GroundPlanView> {
    let (place, found) = (garden.place(id), findings.place_of(id));
    let capacity = found.capacity?;
    let here = found.bookings.iter().filter(|booking| booking.hold == Hold::Now);
    let mut standing = Vec::new();
    let mut unmeasured = Vec::new();
    for booking in here {
        let link = Link::planting_around(garden, booking.planting, Around::Place(id));
        match booking.room {
            Room::Passing => {}
            Room::Unknown => unmeasured.push(link),
            Room::Takes { much, is_about } => standing.push((link, much, is_about)),
        }
    }
    let much: Vec<f64> = standing.iter().map(|(_, much, _)| *much).collect();
    let amount = |much, is_about| place_use::amount(garden, capacity.measure, much, is_about);
    let (plan, size) = match capacity.measure {
        Measure::Containers => {
            let number = capacity.much as usize;
            let taken: Vec<usize> = much.iter().map(|much| much.ceil() as usize).collect();
            let whole = Message::new("value.amount").with("amount", amount(capacity.much, false));
            ((1..=MOST_CONTAINERS).contains(&number))
                .then(|| (ground_plan::containers(number, &taken), whole))?
        }
        Measure::SquareMetres => {
            let sides = place.sides?;
            let shares: Vec<f64> = much.iter().map(|much| much / capacity.much).collect();
            let metres = sides.map(|side| LengthUnit::Metre.measure(side));
            let [length, width] = sides.map(|side| Amount::length(side, garden.settings.units));
            let size = Message::new("plan.sides").with("length", length).with("width", width);
            (ground_plan::bed(metres, &shares), size)
        }
    };
    let is_about = standing.iter().any(|(_, _, is_about)| *is_about);
    let free = capacity.much - much.iter().sum::<f64>();
    let has_free = plan.pieces.iter().any(|piece| piece.number.is_none());
    Some(GroundPlanView {
        free: (has_free && unmeasured.is_empty()).then(|| amount(free, is_about)),
        standing: standing
            .into_iter()
            .map(|(link, much, is_about)| (link, amount(much, is_about)))
            .collect(),
        plan,
        size,
        unmeasured,
    })
}
