//! How a place is used: what is taken and free, when it is over-booked, what can follow, and families that
//! come back too soon.

use chrono::NaiveDate;
use serde::Serialize;

use crate::calendar::How;
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::places::PlaceUse;
use crate::places::bookings::Hold;
use crate::places::crowding::Crowd;
use crate::places::following::Follower;
use crate::places::openings::Opening;
use crate::places::room::{Capacity, Measure, Room};
use crate::places::rotation::{Before, Repeat};
use crate::site::amount::Amount;
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::units::AreaUnit;

/// So many followers are shown at once; the others can be opened.
const FIRST_FOLLOWERS: usize = 8;

/// How a place is used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UseView {
    /// What is taken of what there is; nothing where nobody measures it.
    pub used: Option<Message>,
    /// Times in which more is wanted than there is.
    pub crowds: Vec<CrowdView>,
    /// Families that come back too soon.
    pub repeats: Vec<RepeatView>,
    /// When there is room, soonest first.
    pub openings: Vec<OpeningView>,
    /// When each that stands here now leaves.
    pub leaving: Vec<LeavingView>,
}

/// A time in which more is wanted of a place than there is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CrowdView {
    /// The sentence.
    pub says: Message,
    pub plantings: Vec<Link>,
}

/// A family that comes back too soon.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RepeatView {
    /// What grows there or is meant to.
    pub planting: Link,
    pub family: String,
    /// What was there before, if it has a page.
    pub before: Option<Link>,
    pub left: Message,
    /// The day on which the family has had its rest, and how long that is.
    pub rest: Message,
    /// What to think of it.
    pub note: Message,
}

/// Room in a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OpeningView {
    /// When, and how much.
    pub says: Message,
    /// Who leaves it.
    pub left_by: Vec<Link>,
    /// The first day.
    pub from: NaiveDate,
    pub first: Vec<FollowerView>,
    /// What else can.
    pub others: Vec<FollowerView>,
}

/// A crop that can follow.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FollowerView {
    pub crop: Link,
    /// Whether it was grown here before.
    pub is_grown: bool,
    /// How and when it is begun.
    pub begin: Vec<Message>,
    /// When it is picked first.
    pub picking: Option<Message>,
    /// Days for which it can be put off.
    pub spare: Amount,
    /// Only quick kinds; no rest yet.
    pub notes: Vec<Message>,
}

/// When something that stands in a place leaves.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeavingView {
    pub planting: Link,
    pub says: Message,
}

impl UseView {
    /// How a place is used.
    pub fn new(garden: &Garden, findings: &Findings, id: PlaceId) -> UseView {
        let found = findings.place_of(id);
        let opening = |(opening, followers): &(Opening, Vec<Follower>)| {
            let capacity = found.capacity?;
            Some(opening_view(garden, capacity, opening, followers))
        };
        UseView {
            used: used(garden, found),
            crowds: crowds(garden, found),
            repeats: repeats(garden, found),
            openings: found.openings.iter().filter_map(opening).collect(),
            leaving: leaving(garden, found),
        }
    }
}

/// So much of what a place is measured in.
pub fn amount(garden: &Garden, measure: Measure, much: f64, is_about: bool) -> Amount {
    let amount = match measure {
        Measure::Containers => Amount::count(much.ceil() as u32, "containers"),
        Measure::SquareMetres => {
            Amount::area(AreaUnit::SquareMetre.of(much), garden.settings.units)
        }
    };
    Amount { about: is_about, ..amount }
}

/// The room that a planting takes; nothing where it takes none.
pub fn room_of(garden: &Garden, capacity: Option<Capacity>, room: Room) -> Option<Message> {
    let measure = capacity?.measure;
    match room {
        Room::Passing => None,
        Room::Unknown => Some(Message::new("room.unknown")),
        Room::Takes { much, is_about } => {
            let amount = amount(garden, measure, much, is_about);
            Some(Message::new("value.amount").with("amount", amount))
        }
    }
}

/// The times in which more of a place is wanted than there is.
pub fn crowds(garden: &Garden, found: &PlaceUse) -> Vec<CrowdView> {
    let Some(capacity) = found.capacity else { return Vec::new() };
    let view = |crowd: &Crowd| {
        let key = match crowd.days.to {
            NaiveDate::MAX => "crowd.from",
            _ => "crowd.days",
        };
        let wanted = amount(garden, capacity.measure, crowd.wanted, crowd.is_about);
        let there = amount(garden, capacity.measure, capacity.much, false);
        let says = Message::new(key).with("wanted", wanted).with("there", there);
        CrowdView {
            says: says.with("from", crowd.days.from).with("to", crowd.days.to),
            plantings: links(garden, &crowd.plantings),
        }
    };
    found.crowds.iter().map(view).collect()
}

fn used(garden: &Garden, found: &PlaceUse) -> Option<Message> {
    let capacity = found.capacity?;
    let of = amount(garden, capacity.measure, capacity.much, false);
    let taken = amount(garden, capacity.measure, found.used.much, found.used.is_about);
    let key = if found.used.unmeasured > 0 { "used.and-more" } else { "used.of" };
    let count = u64::from(found.used.unmeasured);
    Some(Message::new(key).with("used", taken).with("of", of).with("count", count))
}

fn leaving(garden: &Garden, found: &PlaceUse) -> Vec<LeavingView> {
    let here = found.bookings.iter().filter(|booking| booking.hold == Hold::Now);
    let mut here: Vec<_> = here.filter(|booking| booking.is_growing()).collect();
    here.sort_by_key(|booking| (booking.perhaps().to, booking.planting));
    here.into_iter()
        .map(|booking| LeavingView {
            planting: Link::planting(garden, booking.planting),
            says: match booking.to {
                Some(to) if to.from == to.to => Message::new("leaves.by").with("to", to.to),
                Some(to) => Message::new("leaves.between").with("from", to.from).with("to", to.to),
                None if booking.stands_on => Message::new("stay.for-years"),
                None => Message::new("stay.open"),
            },
        })
        .collect()
}

/// Those that are surely in the same soil first.
fn repeats(garden: &Garden, found: &PlaceUse) -> Vec<RepeatView> {
    let mut repeats: Vec<&Repeat> = found.repeats.iter().collect();
    repeats.sort_by_key(|repeat| (repeat.may_be_apart, repeat.from, repeat.planting));
    repeats.into_iter().map(|repeat| repeat_view(garden, repeat)).collect()
}

fn repeat_view(garden: &Garden, repeat: &Repeat) -> RepeatView {
    RepeatView {
        planting: Link::planting(garden, repeat.planting),
        family: repeat.family.clone(),
        before: match repeat.before {
            Before::Planting(id, _) => Some(Link::planting(garden, id)),
            Before::Written(_) => None,
        },
        left: match repeat.before {
            Before::Planting(_, Some(day)) => Message::new("rotation.left").with("date", day),
            Before::Planting(_, None) => Message::new("rotation.still"),
            Before::Written(year) => {
                Message::new("rotation.written").with("year", year.to_string())
            }
        },
        rest: Message::new("rotation.rest")
            .with("until", repeat.rest_until)
            .with("count", u64::from(repeat.rest_years)),
        note: Message::new(match (repeat.may_be_apart, repeat.is_there) {
            (true, _) => "rotation.apart",
            (false, true) => "rotation.watch",
            (false, false) => "rotation.choose",
        }),
    }
}

fn opening_view(
    garden: &Garden,
    capacity: Capacity,
    opening: &Opening,
    followers: &[Follower],
) -> OpeningView {
    let is_cleared = opening.left_by.is_empty();
    let key = match (opening.from <= garden.today, opening.until) {
        (true, None) if is_cleared => "opening.now",
        (true, Some(_)) if is_cleared => "opening.now-until",
        // What should be over by now still stands there.
        (true, None) => "opening.cleared",
        (true, Some(_)) => "opening.cleared-until",
        (false, None) => "opening.from",
        (false, Some(_)) => "opening.from-until",
    };
    let room = amount(garden, capacity.measure, opening.room, opening.is_about);
    let says = Message::new(key).with("room", room).with("from", opening.from);
    let mut first: Vec<FollowerView> =
        followers.iter().map(|follower| follower_view(garden, follower)).collect();
    let others = first.split_off(FIRST_FOLLOWERS.min(first.len()));
    OpeningView {
        says: match opening.until {
            Some(until) => says.with("until", until),
            None => says,
        },
        left_by: links(garden, &opening.left_by),
        from: opening.from,
        first,
        others,
    }
}

fn follower_view(garden: &Garden, follower: &Follower) -> FollowerView {
    let days =
        |key: &str, days: Period| Message::new(key).with("from", days.from).with("to", days.to);
    let mut begin: Vec<Message> =
        follower.sow.iter().map(|sow| days("follow.under-cover", *sow)).collect();
    let key = match follower.how {
        How::SowOutdoors => "follow.sow",
        How::SowUnderCover | How::PlantOut | How::BeginInAutumn => "follow.plant",
    };
    begin.push(days(key, follower.begin));
    let mut notes = Vec::new();
    notes.extend(follower.is_for_quick_kinds.then(|| Message::new("follow.quick")));
    notes.extend(follower.rest_until.map(|day| Message::new("follow.rest").with("date", day)));
    FollowerView {
        crop: Link::crop(garden, follower.crop),
        is_grown: follower.is_grown,
        begin,
        picking: follower.first_picking.map(|first| match first.from == first.to {
            true => Message::new("stay.day").with("date", first.from),
            false => days("stay.expected", first),
        }),
        spare: Amount::count(u32::try_from(follower.spare_days).unwrap_or(0), "days"),
        notes,
    }
}

fn links(garden: &Garden, ids: &[PlantingId]) -> Vec<Link> {
    ids.iter().map(|id| Link::planting(garden, *id)).collect()
}
