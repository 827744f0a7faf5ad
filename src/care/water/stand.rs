//! One planting in one place: what it uses on a day, and what its roots can reach.

use chrono::NaiveDate;

use crate::care::water::anchors::Curve;
use crate::care::water::days::Day;
use crate::care::water::estimate::Estimate;
use crate::care::water::holding::{self, Holding, SoilKind};
use crate::care::water::room::{Ground, Room};
use crate::care::water::root_zone::depletion_fraction;
use crate::catalogue::CropSheet;
use crate::garden::place::Place;
use crate::place_kind::{Cover, PlaceKind};
use crate::units::{Length, LengthUnit, Range};

/// A planting in a place, with all that decides how much it uses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// How much room it has.
    pub room: Room,
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
    /// The root balls of young plants when they were set out, litres; in containers only.
    balls_l: f64,
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
    pub depletion: Estimate,
    /// Rain that reaches the roots.
    pub rain: Estimate,
}

/// 'A value of 0.50 for p is commonly used for many crops' (FAO-56 ch. 8).
const USUAL_DEPLETION: f64 = 0.5;
/// Of the water that a mix gives, the share that is taken without effort, whatever the crop and the day: water again when
/// half of it is gone (S. A. Tjosvold, University of California Agriculture and Natural Resources, nursery and flower
/// notes, read), up to the two thirds that peat and bark mixes give between 1 and 5 kPa of what they give up to 10 kPa
/// (De Boodt and Verdonck 1972, from memory).
const DEPLETION_OF_MIX: Estimate = Estimate { low: 0.5, middle: 0.5, high: 0.7 };
/// The root ball of a young plant whose pot nobody wrote down: that of a pot of 13 cm. Common practice, no source.
const ROOT_BALL_L: f64 = 1.5;
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
    pub fn of(
        room: Room,
        sheet: &CropSheet,
        curve: Curve,
        place: &Place,
        ball_l: Option<f64>,
    ) -> Option<Stand> {
        let is_container = matches!(room.ground, Ground::Containers { .. });
        Some(Stand {
            room,
            curve,
            holding: holding::of(place.soil.as_deref(), is_container),
            exposure: exposure(place, is_container),
            leaves_m2: leaves_m2(&room, sheet.leaf_spread),
            roots_m: roots_m(&room, sheet.roots)?,
            depletion: sheet.depletion.unwrap_or(USUAL_DEPLETION),
            balls_l: balls_l(&room, ball_l.unwrap_or(ROOT_BALL_L)),
            is_rained_on: place.is_outdoors(),
        })
    }

    /// The stand on a day with so much reference evapotranspiration in mm.
    pub fn on(&self, date: NaiveDate, et0_mm: f64, rain_mm: Estimate) -> StandDay {
        let et0 = self.exposure.times(et0_mm);
        let counts = |mm: f64| if mm < RAIN_THAT_COUNTS * et0_mm { 0.0 } else { mm };
        let rain_mm = if self.is_rained_on { rain_mm.map(counts) } else { Estimate::default() };
        let (uses, total, rain, kc) = match self.room.ground {
            Ground::Containers { number, litres, rim_m2 } => {
                let leaves = self.leaves_m2 * self.curve.cover(date);
                let kc = self.curve.kc_of_leaves(date);
                // Roots reach their ball at first, and with the leaves the whole pot; the skin above dries.
                let whole = number * litres;
                let reached = self.balls_l + (whole - self.balls_l) * self.curve.cover(date);
                let bare = (number * rim_m2 - leaves).max(0.0) * reached / whole;
                let uses = et0.times(kc * leaves) + et0.by(BARE_MIX).times(bare);
                let total = self.holding.share.times(reached);
                let rain = rain_mm.by(PAST_LEAVES).times(number * rim_m2);
                (uses, total, rain, kc)
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
                (uses, total, rain_mm.times(area_m2), kc)
            }
        };
        let depletion = match self.holding.taken_as {
            SoilKind::Mix => DEPLETION_OF_MIX,
            _ => Estimate::exactly(depletion_fraction(self.depletion, et0.middle * kc)),
        };
        StandDay { uses, total, depletion, rain }
    }

    /// The same for a day of the garden's weather.
    pub fn on_day(&self, day: &Day) -> StandDay {
        self.on(day.date, day.et0_mm, day.rain_mm)
    }
}

impl StandDay {
    /// What it takes without effort, litres.
    pub fn ready(&self) -> Estimate {
        self.total.by(self.depletion)
    }
}

/// Root balls of young plants, no more than their containers hold.
fn balls_l(room: &Room, ball_l: f64) -> f64 {
    match room.ground {
        Ground::Containers { number, litres, .. } => {
            (room.plants.unwrap_or(number) * ball_l).min(number * litres)
        }
        Ground::Soil { .. } => 0.0,
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
mod tests {
    use super::*;
    use crate::care::water::{Rhythm, need};
    use crate::climate::evapotranspiration::{Air, hargreaves_mm, penman_monteith_mm};
    use crate::garden::planting::PlantingId;
    use crate::garden::vessel::{self, Sizes, Vessel};
    use crate::units::VolumeUnit;

    fn on(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn place(kind: PlaceKind, soil: &str) -> Place {
        Place {
            name: "here".to_owned(),
            slug: "here".to_owned(),
            kind,
            sides: None,
            area: None,
            soil_volume: None,
            containers: None,
            vessel: None,
            depth: None,
            trays: None,
            cells: None,
            sun_h: Some(9.0),
            cover: Cover::None,
            temperature: None,
            is_on_timer: false,
            soil: Some(soil.to_owned()),
            family_history: Vec::new(),
            prose: String::new(),
        }
    }

    /// A nightshade grown for its fruit, by FAO-56 tables 11, 12 and 22 (aubergine, as on its sheet).
    fn nightshade(leaf_spread_cm: f64) -> CropSheet {
        CropSheet {
            kc: Some([0.6, 1.05, 0.9]),
            kc_days: Some([30.0, 45.0, 40.0, 25.0]),
            depletion: Some(0.45),
            roots: Some(Range { low: LengthUnit::Metre.of(0.7), high: LengthUnit::Metre.of(1.2) }),
            leaf_spread: Some(LengthUnit::Centimetre.of(leaf_spread_cm)),
            ..CropSheet::default()
        }
    }

    fn stand(ground: Ground, sheet: &CropSheet, place: &Place) -> Stand {
        let room = Room { planting: PlantingId(0), plants: Some(1.0), ground };
        let curve = Curve::of(sheet, &[], on("2026-04-25"), None).unwrap();
        Stand::of(room, sheet, curve, place, None).unwrap()
    }

    /// 16 in wide and high, 13 in at the bottom.
    fn pot() -> Ground {
        let inch = |inches: f64| Some(LengthUnit::Inch.of(inches));
        let sizes = Sizes {
            diameter: inch(16.0),
            bottom_diameter: inch(13.0),
            height: inch(16.0),
            ..Sizes::default()
        };
        let vessel = Vessel::new(None, sizes, None);
        Ground::Containers {
            number: 1.0,
            litres: VolumeUnit::Litre.measure(vessel.unwrap().middle()),
            rim_m2: crate::units::AreaUnit::SquareMetre.measure(vessel::opening(&sizes).unwrap()),
        }
    }

    /// A pot of 16 in by 16 in, all rooted, with a fruiting nightshade whose leaves span 30 in, in summer heat (27 to 41 °C
    /// at 33° north in July): 'typically applied at least once daily during the peak growing season' (Nursery Management
    /// on container nurseries, whose pots are smaller, read). The middle has to come near that and the thirsty end to pass it.
    /// Desert air: nine tenths of the sunshine, 2.2 m/s of wind, 30 % humidity, from memory.
    #[test]
    fn a_pot_of_sixteen_inches_in_summer_heat_is_watered_about_daily() {
        let stand = stand(pot(), &nightshade(76.0), &place(PlaceKind::Container, "mix"));
        let july = on("2026-07-15");
        let air = Air { sunshine: 0.9, wind_2m: 2.2, humidity: 0.3, elevation_m: 340.0 };
        let et0_mm = penman_monteith_mm(july, 33.0, 27.0, 41.0, &air);
        let heat = stand.on(july, et0_mm, Estimate::default());
        let a_day = heat.uses.over(heat.ready()).unwrap();
        assert!((0.35..=0.6).contains(&a_day.low), "{a_day:?}");
        assert!((0.7..=1.05).contains(&a_day.middle), "{a_day:?}");
        assert!((1.0..=1.5).contains(&a_day.high), "{a_day:?}");
        // On a mild day at 50° north once is enough.
        let mild = stand.on(july, hargreaves_mm(july, 50.0, 12.0, 20.0), Estimate::default());
        assert!(matches!(need(&[(&stand, mild)]).unwrap().rhythm, Rhythm::Days(..)), "{mild:?}");
    }

    /// The leaves drive it, not the rim: twice the spread is four times the leaves. By hand at 5 mm and Kc 1.05 with
    /// leaves of 60 cm on a rim of 1297 cm²: 5 × 1.05 × π/4 × 0.6² × 1.0 to 1.4 = 1.48 to 2.08 L.
    #[test]
    fn a_pot_uses_by_its_leaves() {
        let at = place(PlaceKind::Container, "mix");
        let july = on("2026-07-15");
        let uses = |spread| {
            let stand = stand(pot(), &nightshade(spread), &at);
            stand.on(july, 5.0, Estimate::default()).uses
        };
        let grown = uses(60.0);
        assert!(
            (grown.low - 1.484).abs() < 0.005 && (grown.high - 2.078).abs() < 0.005,
            "{grown:?}"
        );
        assert!((uses(120.0).middle / grown.middle - 4.0).abs() < 1e-9);
        // A seedling in the same pot: the bare mix around it dries, too.
        let young = stand(pot(), &nightshade(60.0), &at);
        let day = young.on(on("2026-04-26"), 5.0, Estimate::default());
        assert!(day.uses.middle > 5.0 * 1.05 * 0.05 * 0.283, "{day:?}");
        assert!(day.uses.middle < grown.middle / 2.0, "{day:?}");
    }

    /// By hand: loam of 40 cm over cobbles, 1 m², 13–18 % of it water: 52 to 72 L for grown roots that would
    /// go deeper; 6 mm × Kc 1.05 × 0.9–1.1 = 5.67 to 6.93 L; p = 0.45 + 0.04 (5 − 6.3) = 0.398.
    #[test]
    fn a_bed_holds_as_deep_as_its_soil_is() {
        let ground = Ground::Soil { area_m2: 1.0, depth_m: Some(0.4) };
        let stand = stand(ground, &nightshade(60.0), &place(PlaceKind::Bed, "loam"));
        let day = stand.on(on("2026-07-15"), 6.0, Estimate::default());
        assert!((day.total.low - 52.0).abs() < 1e-9 && (day.total.high - 72.0).abs() < 1e-9);
        assert!((day.uses.low - 5.67).abs() < 1e-9 && (day.uses.high - 6.93).abs() < 1e-9);
        assert!((day.depletion.middle - 0.398).abs() < 1e-9);
        // On the first day: cover 0.05 + 0.05/30, so roots of 15 cm and 5.2 % of the other 25: 16.3 cm, 29.3 L.
        let young = stand.on(on("2026-04-25"), 6.0, Estimate::default());
        assert!((young.total.high - 29.3).abs() < 0.05, "{young:?}");
    }

    /// A tub of 100 L that was just planted from a pot of 1.5 L: by hand 1.5 L and 5.2 % of the other 98.5 are reached,
    /// 6.6 L, of which a quarter to a third is water. Grown it is all of it.
    #[test]
    fn a_fresh_transplant_is_watered_as_its_root_ball() {
        let tub = Ground::Containers { number: 1.0, litres: 100.0, rim_m2: 0.25 };
        let stand = stand(tub, &nightshade(60.0), &place(PlaceKind::Container, "mix"));
        let young = stand.on(on("2026-04-25"), 4.0, Estimate::default());
        assert!(
            (young.total.low - 1.65).abs() < 0.05 && (young.total.high - 2.31).abs() < 0.05,
            "{young:?}"
        );
        assert!((young.depletion.low, young.depletion.high) == (0.5, 0.7));
        let grown = stand.on(on("2026-07-15"), 4.0, Estimate::default());
        assert!((grown.total.low - 25.0).abs() < 1e-6, "{grown:?}");
    }

    #[test]
    fn rain_falls_into_the_rim_and_not_under_glass() {
        let july = on("2026-07-15");
        let rain = Estimate::exactly(10.0);
        let open = place(PlaceKind::Container, "mix");
        let pot_day = stand(pot(), &nightshade(60.0), &open).on(july, 4.0, rain);
        // 10 mm on 0.1297 m², half to all of it past the leaves.
        assert!(
            (pot_day.rain.low - 0.649).abs() < 0.001 && (pot_day.rain.high - 1.297).abs() < 0.001
        );
        let glass = Place { cover: Cover::Glass, ..place(PlaceKind::Container, "mix") };
        let under = stand(pot(), &nightshade(60.0), &glass).on(july, 4.0, rain);
        assert_eq!(under.rain, Estimate::default());
        assert!(under.uses.high < pot_day.uses.high);
        // FAO-56 ch. 8: less than a fifth of ET0 dries off again.
        let drizzle = stand(pot(), &nightshade(60.0), &open).on(july, 4.0, Estimate::exactly(0.7));
        assert_eq!(drizzle.rain, Estimate::default());
    }
}
