//! What can still follow in a place and be picked before frost, dark or heat end it.
//!
//! The planting calendar knows on which days a crop can be begun so that it is ready in time, under the cover
//! of the place. What is raised first has to be sown first: its seedlings are not there today.

use chrono::NaiveDate;

use crate::calendar::experience::Experience;
use crate::calendar::{self, GrowingYear, How, Round};
use crate::catalogue::sheet::Way;
use crate::catalogue::{CropId, CropSheet};
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::place::{Place, PlaceId};
use crate::place_kind::{Cover, PlaceKind};
use crate::places::bookings::Booking;
use crate::places::openings::Opening;
use crate::places::rotation;
use crate::units::VolumeUnit;

/// A crop that can follow.
#[derive(Clone, Debug, PartialEq)]
pub struct Follower {
    pub crop: CropId,
    /// How it comes to the place: sown there, or planted.
    pub how: How,
    /// From the first day on which it can, to the last on which it is worth while.
    pub begin: Period,
    /// When it is to be sown under cover for that, if it is raised first.
    pub sow: Option<Period>,
    /// The first picking of what is begun on the first day: quick kinds to slow kinds.
    pub first_picking: Option<Period>,
    /// How long it can be put off, days: how much season it leaves.
    pub spare_days: i64,
    /// Whether only quick kinds are ready in time.
    pub is_for_quick_kinds: bool,
    /// Whether it was grown in this garden before.
    pub is_grown: bool,
    /// The day on which its family has had its rest here, if that is later than its beginning.
    pub rest_until: Option<NaiveDate>,
}

/// What begins later than this after a place is free does not follow, it comes next. Common practice, no
/// source.
const FOLLOWS_WITHIN_DAYS: i64 = 60;

/// The rounds of each crop.
type Calendars = Vec<(CropId, Vec<Round>)>;

/// The planting calendars under each cover, computed when they are first asked for.
pub struct Almanac<'a> {
    garden: &'a Garden,
    years: &'a [GrowingYear; 3],
    experience: Experience,
    by_cover: Vec<(Cover, Calendars)>,
}

impl<'a> Almanac<'a> {
    /// An empty one.
    pub fn new(garden: &'a Garden, years: &'a [GrowingYear; 3]) -> Almanac<'a> {
        Almanac { garden, years, experience: Experience::of(garden), by_cover: Vec::new() }
    }

    /// What can follow in an opening: crops whose family has rested first, then those that leave most season.
    pub fn followers(
        &mut self,
        place: PlaceId,
        opening: &Opening,
        bookings: &[Booking],
    ) -> Vec<Follower> {
        let garden = self.garden;
        let years = self.years;
        let cover = garden.place(place).cover;
        let mut found: Vec<Follower> = Vec::new();
        for (crop, rounds) in self.under(cover) {
            let sheet = &garden.catalogue.get(*crop).sheet;
            if !suits(garden.place(place), sheet) {
                continue;
            }
            let ways = rounds.iter().flat_map(|round| ways(sheet, round));
            let best = ways
                .filter_map(|way| follow(garden, years, sheet, *crop, cover, way, opening))
                .max_by_key(|follower| {
                    (follower.spare_days, std::cmp::Reverse(follower.begin.from))
                });
            found.extend(best.map(|follower| Follower {
                rest_until: rotation::rest_until(
                    garden,
                    place,
                    bookings,
                    sheet,
                    follower.begin.from,
                ),
                ..follower
            }));
        }
        found.sort_by_key(|follower| {
            let name = &garden.catalogue.get(follower.crop).name;
            (follower.rest_until.is_some(), std::cmp::Reverse(follower.spare_days), name)
        });
        found
    }

    fn under(&mut self, cover: Cover) -> &[(CropId, Vec<Round>)] {
        let index = self.by_cover.iter().position(|(known, _)| *known == cover);
        let index = index.unwrap_or_else(|| {
            let today = self.garden.today;
            let span = Period { from: today, to: shift(today, 550) };
            // What went well in the open says nothing of a place under cover.
            let opened = |id, round| match cover {
                Cover::None => self.experience.opened(id, round),
                _ => round,
            };
            let rounds = self.garden.catalogue.crops().map(|(id, crop)| {
                let rounds = calendar::rounds_in(&crop.sheet, self.years, span, cover);
                (id, rounds.into_iter().map(|round| opened(id, round)).collect())
            });
            let rounds: Calendars = rounds.collect();
            self.by_cover.push((cover, rounds));
            self.by_cover.len() - 1
        });
        &self.by_cover[index].1
    }
}

/// Whether a place is of the right kind: sun enough, a container large enough, and no perennial among what
/// only follows.
fn suits(place: &Place, sheet: &CropSheet) -> bool {
    let has_sun = place.sun_h.zip(sheet.sun).is_none_or(|(has, needs)| has >= needs.low.0);
    let number = f64::from(place.containers.unwrap_or(1));
    let each_l = place.soil_volume.map(|volume| VolumeUnit::Litre.measure(volume) / number);
    let needs_l = sheet.container.map(|volume| VolumeUnit::Litre.measure(volume));
    let is_large = place.kind != PlaceKind::Container
        || each_l.zip(needs_l).is_none_or(|(has, needs)| has >= needs);
    has_sun && is_large && sheet.is_perennial != Some(true)
}

/// A window in which a crop can come to a place.
#[derive(Clone, Copy)]
struct WayIn<'a> {
    how: How,
    window: Period,
    round: &'a Round,
}

fn ways<'a>(sheet: &CropSheet, round: &'a Round) -> Vec<WayIn<'a>> {
    let is_sown_outdoors = |way: &Way| *way == Way::SeedOutdoors;
    let told = sheet.begun_as.as_deref().unwrap_or_default();
    let is_direct = told.iter().any(is_sown_outdoors);
    let sown = round.sow_outdoors.filter(|_| is_direct || round.plant_out.is_none());
    [(How::SowOutdoors, sown), (How::PlantOut, round.plant_out)]
        .into_iter()
        .filter_map(|(how, window)| Some(WayIn { how, window: window?, round }))
        .collect()
}

fn follow(
    garden: &Garden,
    years: &[GrowingYear; 3],
    sheet: &CropSheet,
    crop: CropId,
    cover: Cover,
    way: WayIn<'_>,
    opening: &Opening,
) -> Option<Follower> {
    let is_raised = way.how == How::PlantOut && way.round.sow_under_cover.is_some();
    let weeks = sheet.under_cover.filter(|_| is_raised);
    let least_days = weeks.map_or(0, |days| i64::from(days.low.0));
    let first = opening.from.max(way.window.from).max(shift(garden.today, least_days));
    let is_soon = first <= shift(opening.from, FOLLOWS_WITHIN_DAYS);
    if first > way.window.to || !is_soon {
        return None;
    }
    let picking = calendar::picking_of(sheet, years, cover, way.how, first);
    let (first_picking, is_quick) = match picking {
        Some(picking) => (Some(picking.first), picking.is_for_quick_kinds),
        None => (way.round.harvest, way.round.is_for_quick_kinds),
    };
    // It has to give something before the next one needs the room.
    if opening.until.is_some_and(|until| first_picking.is_none_or(|picking| picking.to > until)) {
        return None;
    }
    let last = way.window.to;
    let sow = weeks.map(|days| Period {
        from: shift(first, -i64::from(days.high.0)).max(garden.today),
        to: shift(last, -i64::from(days.low.0)),
    });
    Some(Follower {
        crop,
        how: way.how,
        begin: Period { from: first, to: last },
        sow,
        first_picking,
        spare_days: (last - first).num_days(),
        is_for_quick_kinds: is_quick,
        is_grown: !garden.plantings_of(crop).is_empty(),
        rest_until: None,
    })
}
