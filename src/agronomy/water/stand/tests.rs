use super::*;
use crate::agronomy::evapotranspiration::hargreaves_mm;
use crate::agronomy::water::{Rhythm, need};
use crate::garden::place::{container_volume, disc};
use crate::garden::planting::PlantingId;
use crate::units::VolumeUnit;

fn on(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn place(kind: PlaceKind, soil: &str) -> Place {
    Place {
        name: "here".to_owned(),
        slug: "here".to_owned(),
        kind,
        area: None,
        soil_volume: None,
        containers: None,
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
    Stand::of(room, sheet, curve, place).unwrap()
}

/// 16 in wide and high, 13 in at the bottom.
fn pot() -> Ground {
    let inch = |inches: f64| LengthUnit::Inch.of(inches);
    let volume = container_volume(Some(inch(16.0)), Some(inch(13.0)), Some(inch(16.0)), None);
    Ground::Containers {
        number: 1.0,
        litres: VolumeUnit::Litre.measure(volume.unwrap()),
        rim_m2: crate::units::AreaUnit::SquareMetre.measure(disc(inch(16.0))),
    }
}

/// A pot of 16 in by 16 in with a fruiting nightshade whose leaves span 30 in wants one to two waterings a day
/// in summer heat (27 to 41 °C at 33° north in July): common practice, no source. Nothing in the sum knows
/// that rule.
#[test]
fn a_pot_of_sixteen_inches_in_summer_heat_wants_one_to_two_waterings_a_day() {
    let stand = stand(pot(), &nightshade(76.0), &place(PlaceKind::Container, "mix"));
    let july = on("2026-07-15");
    let heat = stand.on(july, hargreaves_mm(july, 33.0, 27.0, 41.0), Estimate::default());
    let a_day = heat.uses.over(heat.ready()).unwrap();
    assert!((0.7..=1.0).contains(&a_day.low), "{a_day:?}");
    assert!((1.0..=2.0).contains(&a_day.middle), "{a_day:?}");
    assert!((1.2..=2.3).contains(&a_day.high), "{a_day:?}");
    assert_eq!(need(&[(&stand, heat)]).unwrap().rhythm, Rhythm::MorningAndEvening);
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
    assert!((grown.low - 1.484).abs() < 0.005 && (grown.high - 2.078).abs() < 0.005, "{grown:?}");
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
    assert!((day.depletion - 0.398).abs() < 1e-9);
    // Roots that were just set out reach 15 cm and a little.
    let young = stand.on(on("2026-04-25"), 6.0, Estimate::default());
    assert!(young.total.high < 0.25 * day.total.high + 8.0, "{young:?}");
}

#[test]
fn rain_falls_into_the_rim_and_not_under_glass() {
    let july = on("2026-07-15");
    let rain = Estimate::exactly(10.0);
    let open = place(PlaceKind::Container, "mix");
    let pot_day = stand(pot(), &nightshade(60.0), &open).on(july, 4.0, rain);
    // 10 mm on 0.1297 m², half to all of it past the leaves.
    assert!((pot_day.rain.low - 0.649).abs() < 0.001 && (pot_day.rain.high - 1.297).abs() < 0.001);
    let glass = Place { cover: Cover::Glass, ..place(PlaceKind::Container, "mix") };
    let under = stand(pot(), &nightshade(60.0), &glass).on(july, 4.0, rain);
    assert_eq!(under.rain, Estimate::default());
    assert!(under.uses.high < pot_day.uses.high);
    // FAO-56 ch. 8: less than a fifth of ET0 dries off again.
    let drizzle = stand(pot(), &nightshade(60.0), &open).on(july, 4.0, Estimate::exactly(0.7));
    assert_eq!(drizzle.rain, Estimate::default());
}
