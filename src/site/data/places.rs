//! The places of garden.json: sizes, who was there, how full they are, what can follow.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::calendar::How;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::places::PlaceUse;
use crate::places::bookings::{Booking, Hold};
use crate::places::crowding::Crowd;
use crate::places::following::Follower;
use crate::places::openings::Opening;
use crate::places::room::{Measure, Room};
use crate::places::rotation::{Before, Repeat};
use crate::site::amount::rounded;
use crate::site::data::id_of;
use crate::site::plantings::Span;
use crate::units::{AreaUnit, VolumeUnit};

/// A place.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct PlaceData {
    /// By which other keys name it.
    slug: String,
    /// Its name.
    name: String,
    /// What it is.
    kind: &'static str,
    /// To 0.001 m².
    area_m2: Option<f64>,
    /// To 0.01 L.
    soil_volume_l: Option<f64>,
    /// How many containers it is.
    containers: Option<u32>,
    /// What is taken on the day; `null` if nobody measured it.
    used: Option<RoomData>,
    /// Who was there, and is.
    occupied: Vec<StayData>,
    /// What is to come.
    meant: Vec<MeantData>,
    /// Days on which more is wanted than there is.
    over_booked: Vec<CrowdData>,
    /// When there is room.
    openings: Vec<OpeningData>,
    /// Families that come back early, now or as meant.
    too_soon: Vec<RepeatData>,
}

/// So much of a place, in one of its two measures.
#[derive(Clone, Copy, Debug, JsonSchema, Serialize)]
struct RoomData {
    /// To 0.001 m²; one of the two measures is `null`.
    area_m2: Option<f64>,
    /// So many containers, to 0.001.
    containers: Option<f64>,
    /// Whether a guess is in it.
    about: bool,
}

#[derive(Debug, JsonSchema, Serialize)]
struct StayData {
    /// Its id.
    planting: String,
    /// Since when.
    from: NaiveDate,
    /// Until when; `null` while it stands there.
    to: Option<NaiveDate>,
    /// When it is expected to leave.
    leaves: Option<Span>,
    /// `false` for seedlings on their way.
    grows: bool,
    /// How much of the place.
    takes: Option<RoomData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct MeantData {
    /// Its id.
    planting: String,
    /// When it is expected to come.
    comes: Span,
    /// When it is expected to leave.
    leaves: Option<Span>,
    /// How much of the place.
    takes: Option<RoomData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct CrowdData {
    /// The first day.
    from: NaiveDate,
    /// The last day; `null`: for good.
    to: Option<NaiveDate>,
    /// Their ids.
    plantings: Vec<String>,
    /// How much they want together.
    wanted: RoomData,
}

#[derive(Debug, JsonSchema, Serialize)]
struct OpeningData {
    /// The first day.
    from: NaiveDate,
    /// The last day; `null`: for good.
    until: Option<NaiveDate>,
    /// How much is free.
    free: RoomData,
    /// Ids of the plantings that leave it.
    left_by: Vec<String>,
    /// What could follow there.
    can_follow: Vec<FollowerData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct FollowerData {
    /// A slug.
    crop: String,
    /// `sow outdoors` or `plant out`.
    how: &'static str,
    /// When to begin there.
    begin: Span,
    /// When to sow for it under cover.
    sow_under_cover: Option<Span>,
    /// When the first picking can be expected.
    first_picking: Option<Span>,
    /// How long it can be put off.
    spare_days: i64,
    /// Whether only quick kinds will do.
    quick_kinds_only: bool,
    /// When its family has had its rest, if not by then.
    rest_until: Option<NaiveDate>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct RepeatData {
    /// Its id.
    planting: String,
    /// The botanical family.
    family: String,
    /// The planting before it, or a year of `family-history`.
    before: String,
    /// When the family has had its rest.
    rest_until: NaiveDate,
    /// Whether both find room side by side.
    may_be_apart: bool,
}

/// Every place.
pub(super) fn places(garden: &Garden, findings: &Findings) -> Vec<PlaceData> {
    garden
        .places()
        .map(|(id, place)| {
            let found = findings.place_of(id);
            let teller = Teller { garden, found };
            let of = |held: Hold| found.bookings.iter().filter(move |one| one.hold == held);
            let mut occupied: Vec<&Booking> = of(Hold::Past).chain(of(Hold::Now)).collect();
            occupied.sort_by_key(|one| (one.from.from, one.planting));
            let area = place.area.map(|area| AreaUnit::SquareMetre.measure(area));
            let volume = place.soil_volume.map(|volume| VolumeUnit::Litre.measure(volume));
            let used = found.used;
            PlaceData {
                slug: place.slug.clone(),
                name: place.name.clone(),
                kind: place.kind.word(),
                area_m2: area.map(|area| rounded(area, 3)),
                soil_volume_l: volume.map(|volume| rounded(volume, 2)),
                containers: place.containers,
                used: teller.room(used.much, used.is_about).filter(|_| used.unmeasured == 0),
                occupied: occupied.into_iter().map(|stay| teller.stay(stay)).collect(),
                meant: of(Hold::Meant).map(|stay| teller.meant(stay)).collect(),
                over_booked: found.crowds.iter().filter_map(|one| teller.crowd(one)).collect(),
                openings: found.openings.iter().filter_map(|one| teller.opening(one)).collect(),
                too_soon: found.repeats.iter().map(|one| teller.repeat(one)).collect(),
            }
        })
        .collect()
}

struct Teller<'a> {
    garden: &'a Garden,
    found: &'a PlaceUse,
}

impl Teller<'_> {
    fn room(&self, much: f64, about: bool) -> Option<RoomData> {
        let much = rounded(much, 3);
        let (area_m2, containers) = match self.found.capacity?.measure {
            Measure::SquareMetres => (Some(much), None),
            Measure::Containers => (None, Some(much)),
        };
        Some(RoomData { area_m2, containers, about })
    }

    fn takes(&self, room: Room) -> Option<RoomData> {
        match room {
            Room::Takes { much, is_about } => self.room(much, is_about),
            Room::Passing | Room::Unknown => None,
        }
    }

    fn stay(&self, stay: &Booking) -> StayData {
        let is_past = stay.hold == Hold::Past;
        StayData {
            planting: self.id(stay.planting),
            from: stay.from.from,
            to: stay.to.filter(|_| is_past).map(|to| to.from),
            leaves: stay.to.filter(|_| !is_past).map(Span::from),
            grows: stay.is_growing(),
            takes: self.takes(stay.room),
        }
    }

    fn meant(&self, stay: &Booking) -> MeantData {
        MeantData {
            planting: self.id(stay.planting),
            comes: Span::from(stay.from),
            leaves: stay.to.map(Span::from),
            takes: self.takes(stay.room),
        }
    }

    fn crowd(&self, crowd: &Crowd) -> Option<CrowdData> {
        Some(CrowdData {
            from: crowd.days.from,
            to: Some(crowd.days.to).filter(|to| *to < NaiveDate::MAX),
            plantings: self.ids(&crowd.plantings),
            wanted: self.room(crowd.wanted, crowd.is_about)?,
        })
    }

    fn opening(&self, (opening, followers): &(Opening, Vec<Follower>)) -> Option<OpeningData> {
        Some(OpeningData {
            from: opening.from,
            until: opening.until,
            free: self.room(opening.room, opening.is_about)?,
            left_by: self.ids(&opening.left_by),
            can_follow: followers.iter().map(|follower| self.follower(follower)).collect(),
        })
    }

    fn follower(&self, follower: &Follower) -> FollowerData {
        FollowerData {
            crop: self.garden.catalogue.get(follower.crop).slug.clone(),
            how: match follower.how {
                How::SowOutdoors => "sow outdoors",
                How::SowUnderCover | How::PlantOut | How::BeginInAutumn => "plant out",
            },
            begin: Span::from(follower.begin),
            sow_under_cover: follower.sow.map(Span::from),
            first_picking: follower.first_picking.map(Span::from),
            spare_days: follower.spare_days,
            quick_kinds_only: follower.is_for_quick_kinds,
            rest_until: follower.rest_until,
        }
    }

    fn repeat(&self, repeat: &Repeat) -> RepeatData {
        RepeatData {
            planting: self.id(repeat.planting),
            family: repeat.family.clone(),
            before: match repeat.before {
                Before::Planting(id, _) => self.id(id),
                Before::Written(year) => year.to_string(),
            },
            rest_until: repeat.rest_until,
            may_be_apart: repeat.may_be_apart,
        }
    }

    fn id(&self, id: PlantingId) -> String {
        id_of(self.garden, id)
    }

    fn ids(&self, ids: &[PlantingId]) -> Vec<String> {
        ids.iter().map(|id| self.id(*id)).collect()
    }
}
