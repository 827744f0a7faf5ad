//! How much ground and soil a planting takes.
//!
//! What `uses` says; without it the whole place, if nothing else grew there at the time. A planting
//! that stands between the plants of another (`shares-with`) has that one's ground.

use chrono::NaiveDate;

use crate::garden::model::Garden;
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting::{Planting, PlantingId, Stay};
use crate::place_kind::PlaceKind;
use crate::results::yields::plants::is_planted_out;
use crate::results::yields::why_not::WhyNot;
use crate::units::{Area, AreaUnit, Length, LengthUnit, Uses, Volume};

/// What a planting takes of a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// The surface, or why it is not known.
    pub area: Result<Area, WhyNot>,
    /// The soil or mix, or why it is not known.
    pub soil: Result<Volume, WhyNot>,
    /// Whether both are only about right.
    pub is_about: bool,
    /// What they are taken from.
    pub basis: Basis,
}

/// What the ground of a planting is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// `uses` says so.
    Uses,
    /// A row of `uses` times the distance between rows on the crop sheet.
    Row,
    /// The whole place, where it grew alone.
    Whole,
    /// The ground of the planting between whose plants it stands.
    Shared(PlantingId),
}

/// The ground of a planting.
pub fn of_planting(garden: &Garden, id: PlantingId) -> Ground {
    let planting = garden.planting(id);
    let place = only_place(garden, id);
    let exactly = |area, soil, basis| Ground { area, soil, is_about: false, basis };
    match (planting.uses, planting.shares_with) {
        (Some(Uses::Area(area)), _) => {
            let soil = match &place {
                Ok(there) if is_vessel(garden.place(*there)) => alone_in(garden, id, *there)
                    .and_then(|()| soil_of(garden.place(*there), *there)),
                _ => soil_below(garden, area, place),
            };
            exactly(Ok(area), soil, Basis::Uses)
        }
        (Some(Uses::Row(length)), _) => {
            let area = row(length, planting.sheet.between_rows.map(|rows| (rows.low, rows.high)));
            let soil = area.clone().and_then(|area| soil_below(garden, area, place));
            Ground { area, soil, is_about: true, basis: Basis::Row }
        }
        (Some(Uses::Containers(number)), _) => {
            // Containers that were carried elsewhere are still those they stood in first.
            let first = stays(garden, id).first().map(|stay| stay.place);
            let place = first.map_or(place, Ok);
            let share = place.and_then(|place| share_of_containers(garden, place, number));
            let area = share.clone().and_then(|(place, _)| Err(WhyNot::InContainers(place)));
            let soil = share.and_then(|(place, share)| {
                soil_of(garden.place(place), place).map(|soil| soil * share)
            });
            exactly(area, soil, Basis::Uses)
        }
        (None, Some(other)) if garden.planting(other).shares_with.is_none() => {
            Ground { basis: Basis::Shared(other), ..of_planting(garden, other) }
        }
        (None, _) => {
            let place = place.and_then(|place| alone_in(garden, id, place).map(|()| place));
            let area = place.clone().and_then(|id| match is_vessel(garden.place(id)) {
                true => Err(WhyNot::InContainers(id)),
                false => garden.place(id).area.ok_or(WhyNot::Unmeasured(id)),
            });
            let soil = place.and_then(|id| soil_of(garden.place(id), id));
            exactly(area, soil, Basis::Whole)
        }
    }
}

/// Whether a place is of containers: their tops are not the ground they stand on, over which the plants spread.
pub(super) fn is_vessel(place: &Place) -> bool {
    matches!(place.kind, PlaceKind::Container | PlaceKind::Tray)
}

/// Where a planting stands to crop: where it was planted out, and where it was moved to later; what
/// is sown where it grows stands where it was first picked, or stood last.
pub fn stays(garden: &Garden, id: PlantingId) -> Vec<Stay> {
    let planting = garden.planting(id);
    let own = planting.own_steps();
    let inherited = planting.shared_steps();
    let own_day = own.iter().find(|step| is_planted_out(step)).map(|step| step.date);
    let since = own_day
        .or(own.first().filter(|_| inherited.iter().any(is_planted_out)).map(|step| step.date));
    let Some(since) = since else {
        let picked = garden.harvests_of(id).next();
        let first = picked.map(|harvest| on_day(&planting.stays, harvest.date));
        let first = first.filter(|stays| !stays.is_empty());
        return first.unwrap_or_else(|| planting.stays.last().copied().into_iter().collect());
    };
    let is_set_out_there = |stay: &Stay| {
        own.iter().any(|step| {
            is_planted_out(step)
                && step.place == Some(stay.place)
                && stay.to.is_none_or(|to| step.date < to)
        })
    };
    let is_crop = |stay: &&Stay| stay.from >= since || is_set_out_there(stay);
    planting.stays.iter().filter(is_crop).copied().collect()
}

/// Where a planting cropped on a day; several where its plants stood apart.
pub fn places_on(garden: &Garden, id: PlantingId, day: NaiveDate) -> Vec<PlaceId> {
    places_of(&stays(garden, id), garden.planting(id), day)
}

/// The same, from stays that were looked up before.
pub(super) fn places_of(stays: &[Stay], planting: &Planting, day: NaiveDate) -> Vec<PlaceId> {
    let mut there = on_day(stays, day);
    if there.is_empty() {
        there = on_day(&planting.stays, day);
    }
    if there.is_empty() {
        // What was lifted may be weighed later, once it is dry.
        there = stays.last().copied().into_iter().collect();
    }
    let mut places: Vec<PlaceId> = there.iter().map(|stay| stay.place).collect();
    places.sort_unstable();
    places.dedup();
    places
}

/// In what kind of place a planting crops, if it is one kind.
pub fn kind(garden: &Garden, id: PlantingId) -> Option<PlaceKind> {
    let stays = stays(garden, id);
    let mut kinds = stays.iter().map(|stay| garden.place(stay.place).kind);
    let first = kinds.next()?;
    kinds.all(|kind| kind == first).then_some(first)
}

/// The stays that a day lies in; on a day of moving the new one.
fn on_day(stays: &[Stay], day: NaiveDate) -> Vec<Stay> {
    let there: Vec<Stay> = stays
        .iter()
        .filter(|stay| stay.from <= day && stay.to.is_none_or(|to| day <= to))
        .copied()
        .collect();
    let stays_on: Vec<Stay> = there.iter().filter(|stay| stay.to != Some(day)).copied().collect();
    if stays_on.is_empty() { there } else { stays_on }
}

fn only_place(garden: &Garden, id: PlantingId) -> Result<PlaceId, WhyNot> {
    let mut places: Vec<PlaceId> = stays(garden, id).iter().map(|stay| stay.place).collect();
    places.sort_unstable();
    places.dedup();
    match places.as_slice() {
        [] => garden.planting(id).destined.ok_or(WhyNot::NoPlace),
        [only] => Ok(*only),
        _ => Err(WhyNot::SeveralPlaces),
    }
}

/// Who else stood there meanwhile, but for those that share its ground.
fn others(garden: &Garden, id: PlantingId, place: PlaceId) -> Vec<PlantingId> {
    let own = stays(garden, id);
    let is_shared =
        |other: PlantingId| garden.planting(other).shares_with.is_some_and(|with| with == id);
    let overlaps =
        |a: &Stay, b: &Stay| b.to.is_none_or(|to| a.from < to) && a.to.is_none_or(|to| b.from < to);
    garden
        .plantings_in(place)
        .iter()
        .copied()
        .filter(|other| *other != id && !is_shared(*other))
        .filter(|other| {
            let planting = garden.planting(*other);
            let there = planting.stays.iter().filter(|stay| stay.place == place);
            there.into_iter().any(|theirs| own.iter().any(|own| overlaps(own, theirs)))
        })
        .collect()
}

fn alone_in(garden: &Garden, id: PlantingId, place: PlaceId) -> Result<(), WhyNot> {
    match others(garden, id, place) {
        others if others.is_empty() => Ok(()),
        others => Err(WhyNot::NotAlone(others)),
    }
}

fn row(length: Length, between: Option<(Length, Length)>) -> Result<Area, WhyNot> {
    let metres = |length: Length| LengthUnit::Metre.measure(length);
    let (low, high) = between.ok_or(WhyNot::RowWidth)?;
    Ok(AreaUnit::SquareMetre.of(metres(length) * (metres(low) + metres(high)) / 2.0))
}

fn share_of_containers(
    garden: &Garden,
    id: PlaceId,
    number: u32,
) -> Result<(PlaceId, f64), WhyNot> {
    let place = garden.place(id);
    match place.containers {
        Some(all) if all > 0 => Ok((id, f64::from(number) / f64::from(all))),
        None if place.kind == PlaceKind::Container => Ok((id, f64::from(number))),
        _ => Err(WhyNot::NoContainers(id)),
    }
}

fn soil_below(
    garden: &Garden,
    area: Area,
    place: Result<PlaceId, WhyNot>,
) -> Result<Volume, WhyNot> {
    let id = place?;
    let place = garden.place(id);
    let soil = soil_of(place, id)?;
    let whole = place.area.ok_or(WhyNot::Unmeasured(id))?;
    let metres = |area: Area| AreaUnit::SquareMetre.measure(area);
    Ok(soil * (metres(area) / metres(whole)))
}

fn soil_of(place: &Place, id: PlaceId) -> Result<Volume, WhyNot> {
    let why = if place.area.is_some() { WhyNot::NoDepth(id) } else { WhyNot::Unmeasured(id) };
    place.soil_volume.ok_or(why)
}
