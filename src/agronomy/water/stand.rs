//! One planting in one place: what it uses on a day, and what its roots can reach.

use chrono::NaiveDate;

use crate::agronomy::water::anchors::Curve;
use crate::agronomy::water::days::Day;
use crate::agronomy::water::estimate::Estimate;
use crate::agronomy::water::holding::{self, Holding};
use crate::agronomy::water::room::{Ground, Room};
use crate::agronomy::water::root_zone::depletion_fraction;
use crate::catalogue::CropSheet;
use crate::garden::place::Place;
use crate::place_kind::{Cover, PlaceKind};
use crate::units::{Length, LengthUnit, Range};

/// A planting in a place, with all that decides how much it uses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// How much room it has.
    pub room: Room,
    /// Its curve.
    pub curve: Curve,
    /// What its soil or mix holds.
    pub holding: Holding,
    /// How much more or less than an open field the place draws.
    pub exposure: Estimate,
    /// Leaves of all its plants when grown, m²; in containers only.
    leaves_m2: f64,
    /// Depth of roots when grown, m; in soil only.
    roots_m: Estimate,
    /// Depletion fraction at 5 mm a day (FAO-56 table 22).
    depletion: f64,
    /// Whether rain reaches it.
    is_rained_on: bool,
}

/// A stand on a day; litres for all of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandDay {
    /// What it uses while it has enough.
    pub uses: Estimate,
    /// What its roots can reach between drained and wilting.
    pub total: Estimate,
    /// The share of that which it takes without effort.
    pub depletion: f64,
    /// Rain that reaches the roots.
    pub rain: Estimate,
}

/// 'A value of 0.50 for p is commonly used for many crops' (FAO-56 ch. 8).
const USUAL_DEPLETION: f64 = 0.5;
/// Roots of a plant that was just set out, m: FAO-56 annex 8 begins with 0.15 to 0.2 m, from memory.
const ROOTS_AT_FIRST_M: f64 = 0.15;
/// Mix or soil between the leaves of a pot, as a share of ET0: wet just after watering (FAO-56 eq. 72: up to
/// about 1.2), all but nothing when its skin is dry. A day between the two. Common practice, no source.
const BARE_MIX: Estimate = Estimate::between(0.3, 0.7);
/// Rain on the rim of a planted pot that gets past the leaves. Common practice, no source.
const PAST_LEAVES: Estimate = Estimate::between(0.5, 1.0);
/// Rain below this share of ET0 dries off again and is not counted (FAO-56 ch. 8).
const RAIN_THAT_COUNTS: f64 = 0.2;

impl Stand {
    /// The stand; nothing if neither the crop sheet nor the place says how deep roots go.
    pub fn of(room: Room, sheet: &CropSheet, curve: Curve, place: &Place) -> Option<Stand> {
        let is_container = matches!(room.ground, Ground::Containers { .. });
        Some(Stand {
            room,
            curve,
            holding: holding::of(place.soil.as_deref(), is_container),
            exposure: exposure(place, is_container),
            leaves_m2: leaves_m2(&room, sheet.leaf_spread),
            roots_m: roots_m(&room, sheet.roots)?,
            depletion: sheet.depletion.unwrap_or(USUAL_DEPLETION),
            is_rained_on: place.is_outdoors(),
        })
    }

    /// The stand on a day with so much reference evapotranspiration in mm.
    pub fn on(&self, date: NaiveDate, et0_mm: f64, rain_mm: Estimate) -> StandDay {
        let et0 = self.exposure.times(et0_mm);
        let counts = |mm: f64| if mm < RAIN_THAT_COUNTS * et0_mm { 0.0 } else { mm };
        let rain_mm = if self.is_rained_on { rain_mm.map(counts) } else { Estimate::default() };
        let (uses, total, rain, etc_mm) = match self.room.ground {
            Ground::Containers { number, litres, rim_m2 } => {
                let leaves = self.leaves_m2 * self.curve.cover(date);
                let kc = self.curve.kc_of_leaves(date);
                let bare = (number * rim_m2 - leaves).max(0.0);
                let uses = et0.times(kc * leaves) + et0.by(BARE_MIX).times(bare);
                let total = self.holding.share.times(number * litres);
                let rain = rain_mm.by(PAST_LEAVES).times(number * rim_m2);
                (uses, total, rain, et0.middle * kc)
            }
            Ground::Soil { area_m2, .. } => {
                let kc = self.curve.kc(date);
                let uses = et0.times(kc * area_m2);
                let cover = self.curve.cover(date);
                let roots = self.roots_m.map(|full| {
                    let first = ROOTS_AT_FIRST_M.min(full);
                    first + (full - first) * cover
                });
                let total = roots.by(self.holding.share).times(1000.0 * area_m2);
                (uses, total, rain_mm.times(area_m2), et0.middle * kc)
            }
        };
        StandDay { uses, total, depletion: depletion_fraction(self.depletion, etc_mm), rain }
    }

    /// The same for a day of the garden's weather.
    pub fn on_day(&self, day: &Day) -> StandDay {
        self.on(day.date, day.et0_mm, day.rain_mm)
    }
}

impl StandDay {
    /// What it takes without effort, litres.
    pub fn ready(&self) -> Estimate {
        self.total.times(self.depletion)
    }
}

/// The area of the leaves of grown plants, from above.
///
/// Plants that stand close share the room: over a container they reach half a leaf spread beyond its edge at most.
fn leaves_m2(room: &Room, spread: Option<Length>) -> f64 {
    let Ground::Containers { number, rim_m2, .. } = room.ground else { return 0.0 };
    let Some(spread) = spread else { return number * rim_m2 };
    let radius = LengthUnit::Metre.measure(spread) / 2.0;
    let disc = |radius: f64| std::f64::consts::PI * radius * radius;
    let room_for_leaves = number * disc((rim_m2 / std::f64::consts::PI).sqrt() + radius);
    let plants = room.plants.unwrap_or(number);
    (plants * disc(radius)).min(room_for_leaves)
}

fn roots_m(room: &Room, of_sheet: Option<Range<Length>>) -> Option<Estimate> {
    let Ground::Soil { depth_m, .. } = room.ground else { return Some(Estimate::default()) };
    let sheet = of_sheet.map(|range| range.map(|length| LengthUnit::Metre.measure(length)));
    let sheet = sheet.map(|range| Estimate::between(range.low, range.high));
    match (sheet, depth_m) {
        (Some(roots), Some(depth)) => Some(roots.map(|roots| roots.min(depth))),
        (Some(roots), None) => Some(roots),
        (None, depth) => depth.map(Estimate::exactly),
    }
}

/// How much more or less than an open field a place draws: the microclimate factor of the landscape
/// coefficient method (Costello, Matheny, Clark and Jones 2000: high 1.1–1.4, average 1.0, low 0.5–0.9;
/// from memory). A pot stands free, with warm stone and wind around it; less than six hours of sun are
/// 'low'. Glass lets less light and no wind in (0.6–0.8 of outdoors) and fleece a little less (0.8–0.9);
/// common practice, no source.
fn exposure(place: &Place, is_container: bool) -> Estimate {
    const SUNNY_H: f64 = 6.0;
    let is_sunny = place.sun_h.is_none_or(|hours| hours >= SUNNY_H);
    let open = match (is_container, is_sunny) {
        (true, true) => Estimate::between(1.0, 1.4),
        (true, false) => Estimate::between(0.7, 1.1),
        (false, true) => Estimate::between(0.9, 1.1),
        (false, false) => Estimate::between(0.5, 0.9),
    };
    let is_under_glass = place.cover == Cover::Glass || place.kind == PlaceKind::Glasshouse;
    match place.cover {
        _ if is_under_glass => open.by(Estimate::between(0.6, 0.8)),
        Cover::Fleece => open.by(Estimate::between(0.8, 0.9)),
        _ => open,
    }
}

#[cfg(test)]
mod tests;
