//! What one container holds: by its shape and sizes, by its volume, or by its nursery class.
//!
//! The solids are those of any handbook of mensuration. A class of the nursery trade and a pot that is named by
//! its width alone are no solids: each stands for a range of volumes, and stays one.

use crate::place_kind::{NurseryClass, VesselShape};
use crate::units::{Area, AreaUnit, Length, LengthUnit, Pot, Range, Volume, VolumeUnit};

/// One container.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vessel {
    /// What it holds, filled as far as it is filled; a range where no sizes tell.
    pub holds: Range<Volume>,
    /// The class it was sold as, if nothing else is known of it.
    pub class: Option<NurseryClass>,
}

/// Inside sizes of a container as far as they are known.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sizes {
    /// Its shape; without one, a round container where a diameter is known, else a box.
    pub shape: Option<VesselShape>,
    /// Along the longer side.
    pub length: Option<Length>,
    /// Along the shorter side; of a bag without a diameter, as it lies flat and empty.
    pub width: Option<Length>,
    /// Across the top.
    pub diameter: Option<Length>,
    /// Across the bottom, where it tapers.
    pub bottom_diameter: Option<Length>,
    /// From bottom to rim.
    pub height: Option<Length>,
    /// How high the mix stands in it; to the rim if nothing is said.
    pub filled_to: Option<Length>,
}

impl Vessel {
    /// A container by its volume, its sizes or its class, whichever is the first to be known.
    pub fn new(
        volume: Option<Volume>,
        sizes: Sizes,
        class: Option<NurseryClass>,
    ) -> Option<Vessel> {
        let of = |holds, class| Some(Vessel { holds, class });
        match (volume.or_else(|| solid(&sizes)), class) {
            (Some(volume), _) => of(Range::single(volume), None),
            (None, Some(class)) => of(class_range(class), Some(class)),
            (None, None) => None,
        }
    }

    /// The middle of what it holds.
    pub fn middle(&self) -> Volume {
        middle(self.holds)
    }
}

/// The middle of a range of volumes.
pub fn middle(range: Range<Volume>) -> Volume {
    (range.low + range.high) / 2.0
}

/// The volume of a class: ANSI Z60.1-2014, American Standard for Nursery Stock, container class table (from
/// memory, in cubic inches). The number of a class is not its volume in gallons.
pub fn class_range(class: NurseryClass) -> Range<Volume> {
    let (low, high) = match class {
        NurseryClass::No1 => (152.0, 251.0),
        NurseryClass::No2 => (320.0, 474.0),
        NurseryClass::No3 => (628.0, 742.0),
        NurseryClass::No5 => (785.0, 1242.0),
        NurseryClass::No7 => (1337.0, 1790.0),
        NurseryClass::No10 => (2080.0, 2646.0),
        NurseryClass::No15 => (2768.0, 3696.0),
        NurseryClass::No20 => (4520.0, 5152.0),
        NurseryClass::No25 => (5775.0, 6861.0),
    };
    // A US gallon is 231 cubic inches.
    Range { low, high }.map(|cubic_inches| VolumeUnit::Gallon.of(cubic_inches / 231.0))
}

/// What a round pot takes that is known by its width alone: 0.37 to 0.55 times the cube of the width.
///
/// An assumption that stands for pots as they are made, a little less high than wide and narrower at the
/// foot, filled to below the rim or to it. Common practice; lists of the trade disagree by as much.
pub fn pot_range(pot: Pot) -> Range<Volume> {
    match pot {
        Pot::Holds(volume) => Range::single(volume),
        Pot::Across(width) => {
            let cube = metres(width) * metres(width) * metres(width);
            Range { low: 0.37, high: 0.55 }.map(|share| cubic_metres(share * cube))
        }
    }
}

/// Length times width.
pub fn rectangle(length: Option<Length>, width: Option<Length>) -> Option<Area> {
    Some(AreaUnit::SquareMetre.of(metres(length?) * metres(width?)))
}

/// The opening at the rim, if the sizes tell; a bed is a box without a height.
pub fn opening(sizes: &Sizes) -> Option<Area> {
    match (sizes.diameter, sizes.shape, sizes.width) {
        (Some(diameter), _, _) => Some(disc(metres(diameter))),
        (None, Some(VesselShape::Bag), Some(width)) => Some(disc(stood_up(metres(width)))),
        _ => rectangle(sizes.length, sizes.width),
    }
}

fn solid(sizes: &Sizes) -> Option<Volume> {
    let size = |length: Option<Length>| length.map(metres);
    let (length, width) = (size(sizes.length), size(sizes.width));
    let (top, bottom) = (size(sizes.diameter), size(sizes.bottom_diameter));
    let volume = match (sizes.shape, top, length, width) {
        (Some(VesselShape::HalfRound), _, Some(length), Some(width)) => {
            let height = size(sizes.height).unwrap_or(width / 2.0);
            length * segment(width, height, filled(sizes, height))
        }
        (_, Some(top), _, _) => {
            let height = size(sizes.height)?;
            frustum(top, bottom.unwrap_or(top), height, filled(sizes, height))
        }
        (Some(VesselShape::Bag), None, _, Some(width)) => {
            let height = size(sizes.height)?;
            let across = stood_up(width);
            frustum(across, across, height, filled(sizes, height))
        }
        (_, None, Some(length), Some(width)) => length * width * filled(sizes, size(sizes.height)?),
        _ => return None,
    };
    Some(cubic_metres(volume))
}

/// The height of the fill, m: never above the rim.
fn filled(sizes: &Sizes, height: f64) -> f64 {
    sizes.filled_to.map_or(height, |fill| metres(fill).min(height))
}

/// `V = π f / 12 (D² + D d + d²)`: the frustum of a right circular cone up to the fill `f`, m³.
fn frustum(top: f64, bottom: f64, height: f64, fill: f64) -> f64 {
    if height <= 0.0 {
        return 0.0;
    }
    let top = bottom + (top - bottom) * fill / height;
    std::f64::consts::PI * fill / 12.0 * (top * top + top * bottom + bottom * bottom)
}

/// The cross-section of a trough with a round bottom up to the fill, m²: a segment of the circle through
/// the rim and the deepest point, `R² acos((R - f)/R) - (R - f) √(2Rf - f²)`.
fn segment(width: f64, height: f64, fill: f64) -> f64 {
    if height <= 0.0 {
        return 0.0;
    }
    let radius = (width * width / 4.0 + height * height) / (2.0 * height);
    let rest = radius - fill;
    radius * radius * libm::acos(rest / radius)
        - rest * libm::sqrt((2.0 * radius * fill - fill * fill).max(0.0))
}

/// The diameter of a bag that is filled and stood up: its girth is twice its width as it lies flat.
fn stood_up(flat_width: f64) -> f64 {
    2.0 * flat_width / std::f64::consts::PI
}

fn disc(diameter: f64) -> Area {
    AreaUnit::SquareMetre.of(std::f64::consts::PI * diameter * diameter / 4.0)
}

fn metres(length: Length) -> f64 {
    LengthUnit::Metre.measure(length)
}

fn cubic_metres(volume: f64) -> Volume {
    VolumeUnit::Litre.of(volume * 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units;

    fn cm(centimetres: f64) -> Option<Length> {
        Some(LengthUnit::Centimetre.of(centimetres))
    }

    fn litres(sizes: Sizes) -> f64 {
        let vessel = Vessel::new(None, sizes, None).unwrap();
        assert_eq!(vessel.holds.low, vessel.holds.high);
        VolumeUnit::Litre.measure(vessel.middle())
    }

    fn gallons(range: Range<Volume>) -> (f64, f64) {
        (VolumeUnit::Gallon.measure(range.low), VolumeUnit::Gallon.measure(range.high))
    }

    fn assert_near(ours: f64, other: f64, tolerance: f64) {
        assert!((ours - other).abs() <= tolerance, "{ours} is not {other} within {tolerance}");
    }

    /// A tapered pot 16 in across and 16 in high holds about 7 to 10 US gallons (common practice, no source): the
    /// wider and the narrower foot that such pots have, filled to two inches below the rim.
    #[test]
    fn a_sixteen_inch_pot_holds_seven_to_ten_gallons() {
        let inch = |inches: f64| Some(LengthUnit::Inch.of(inches));
        for bottom in [11.0, 12.0, 13.0] {
            let sizes = Sizes {
                diameter: inch(16.0),
                bottom_diameter: inch(bottom),
                height: inch(16.0),
                filled_to: inch(14.0),
                ..Sizes::default()
            };
            let holds = Vessel::new(None, sizes, None).unwrap().holds;
            let (low, high) = gallons(holds);
            assert!(low > 7.0 && high < 10.0, "{bottom} in: {low} gal");
        }
    }

    /// Against sums of a hundred thousand thin slices: each solid's cross-section as it is at that height.
    #[test]
    fn solids_agree_with_their_slices() {
        let summed = |height: f64, area: &dyn Fn(f64) -> f64| {
            let slices = 100_000;
            let thick = height / f64::from(slices);
            (0..slices).map(|n| area((f64::from(n) + 0.5) * thick) * thick).sum::<f64>() * 1e-3
        };
        let round = |diameter: f64| std::f64::consts::PI * diameter * diameter / 4.0;

        let tapered = Sizes {
            diameter: cm(44.0),
            bottom_diameter: cm(36.0),
            height: cm(32.0),
            filled_to: cm(29.0),
            ..Sizes::default()
        };
        let slices = summed(29.0, &|at| round(36.0 + 8.0 * at / 32.0));
        assert_near(litres(tapered), slices, 1e-6);
        let to_the_rim = Sizes { filled_to: None, ..tapered };
        assert_near(litres(to_the_rim), summed(32.0, &|at| round(36.0 + 8.0 * at / 32.0)), 1e-6);

        // A trough of 60 cm: first a true half circle of 15 cm radius, then a flatter one.
        for (height, fill) in [(15.0, 15.0), (15.0, 11.0), (10.0, 10.0), (10.0, 7.0)] {
            let trough = Sizes {
                shape: Some(VesselShape::HalfRound),
                length: cm(60.0),
                width: cm(30.0),
                height: cm(height),
                filled_to: cm(fill),
                ..Sizes::default()
            };
            // The circle by its equation, from three points: the two ends of the rim and the bottom.
            let radius: f64 = (15.0 * 15.0 + height * height) / (2.0 * height);
            let across = |at: f64| 2.0 * (radius * radius - (radius - at) * (radius - at)).sqrt();
            assert_near(litres(trough), summed(fill, &|at| 60.0 * across(at)), 1e-4);
        }
    }

    /// Half a pipe of diameter 30 cm and length 60 cm: ½ π r² l = 21.206 L (any handbook of mensuration).
    #[test]
    fn a_half_pipe_and_a_box_and_a_drum() {
        let trough = Sizes {
            shape: Some(VesselShape::HalfRound),
            length: cm(60.0),
            width: cm(30.0),
            ..Sizes::default()
        };
        assert_near(litres(trough), 21.206, 5e-4);
        let long =
            Sizes { length: cm(80.0), width: cm(20.0), height: cm(18.0), ..Sizes::default() };
        assert_near(litres(long), 28.8, 1e-9);
        assert_near(litres(Sizes { filled_to: cm(15.0), ..long }), 24.0, 1e-9);
        // Mix that is heaped above the rim is not counted.
        assert_near(litres(Sizes { filled_to: cm(25.0), ..long }), 28.8, 1e-9);
        // One cubic foot in a drum: 13.54 in across and 12 in high (13.5406² π/4 · 12 = 1728 in³).
        let inch = |inches: f64| Some(LengthUnit::Inch.of(inches));
        let drum = Sizes { diameter: inch(13.5406), height: inch(12.0), ..Sizes::default() };
        assert_near(litres(drum), 28.316_846_592, 1e-3);
    }

    /// A bag 40 cm wide as it lies flat has a girth of 80 cm: stood up it is 25.46 cm across.
    #[test]
    fn a_bag_is_as_wide_as_its_girth_allows() {
        let bag = Sizes {
            shape: Some(VesselShape::Bag),
            width: cm(40.0),
            height: cm(50.0),
            filled_to: cm(45.0),
            ..Sizes::default()
        };
        // girth² / 4π = 6400 / 12.566 = 509.296 cm²
        assert_near(litres(bag), 509.296 * 45.0 / 1000.0, 1e-4);
        assert_near(AreaUnit::SquareMetre.measure(opening(&bag).unwrap()) * 1e4, 509.296, 1e-3);
    }

    /// By hand: 120 cm by 80 cm is 0.96 m²; a circle of 40 cm has π/4 · 0.16 = 0.12566 m², whatever shape was named.
    #[test]
    fn what_opens_at_the_rim() {
        let square_metres = |sizes| AreaUnit::SquareMetre.measure(opening(&sizes).unwrap());
        let bed = Sizes { length: cm(120.0), width: cm(80.0), ..Sizes::default() };
        assert_near(square_metres(bed), 0.96, 1e-12);
        let pot = Sizes { diameter: cm(40.0), ..Sizes::default() };
        assert_near(square_metres(pot), 0.12566, 5e-6);
        assert_eq!(opening(&Sizes { length: cm(120.0), ..Sizes::default() }), None);
    }

    /// ANSI Z60.1-2014 in litres (from memory): #1 2.49–4.11, #5 12.86–20.35, #10 34.09–43.36, #25 94.64–112.43.
    #[test]
    fn a_class_is_a_range_and_not_its_number_of_gallons() {
        for (class, low, high) in [
            (NurseryClass::No1, 2.49, 4.11),
            (NurseryClass::No2, 5.24, 7.77),
            (NurseryClass::No3, 10.29, 12.16),
            (NurseryClass::No5, 12.86, 20.35),
            (NurseryClass::No7, 21.91, 29.33),
            (NurseryClass::No10, 34.09, 43.36),
            (NurseryClass::No15, 45.36, 60.57),
            (NurseryClass::No20, 74.07, 84.43),
            (NurseryClass::No25, 94.64, 112.43),
        ] {
            let vessel = Vessel::new(None, Sizes::default(), Some(class)).unwrap();
            let litres = vessel.holds.map(|volume| VolumeUnit::Litre.measure(volume));
            assert_near(litres.low, low, 0.006);
            assert_near(litres.high, high, 0.006);
        }
        // Pots of the trade that were measured (growers' tables, a weak source) lie in their class: 0.734 gal for
        // a #1, 1.66 for a #2, 3.843 for a #5; what #5 says, five gallons, most of the class does not reach.
        for (class, gallon) in
            [(NurseryClass::No1, 0.734), (NurseryClass::No2, 1.66), (NurseryClass::No5, 3.843)]
        {
            assert!(class_range(class).contains(VolumeUnit::Gallon.of(gallon)), "{class:?}");
        }
        assert!(gallons(class_range(NurseryClass::No5)).0 < 3.5);
        // Sizes are better than a class.
        let volume = VolumeUnit::Litre.of(14.0);
        let known = Vessel::new(Some(volume), Sizes::default(), Some(NurseryClass::No5)).unwrap();
        assert_eq!((known.middle(), known.class), (volume, None));
    }

    /// Two lists of the trade, which disagree: Jacksons Nurseries (Staffordshire) gives top, foot and height in
    /// cm (9 · 6 · 8.5; 13 · 10 · 11; 17 · 12 · 13; 19 · 13 · 15; 22.5 · 16.5 · 18), a Hortico note of what pots really take gives
    /// litres (9 cm 0.27; 11 cm 0.5; 13 cm 1; 15 cm 1.35; 17 cm 2; 19 cm 3; 23 cm 5). Both were read.
    #[test]
    fn a_pot_by_its_width_is_a_range_that_holds_both_lists() {
        let range = |width: f64| {
            pot_range(Pot::Across(LengthUnit::Centimetre.of(width)))
                .map(|volume| VolumeUnit::Litre.measure(volume))
        };
        for (top, bottom, height) in [
            (9.0, 6.0, 8.5),
            (13.0, 10.0, 11.0),
            (17.0, 12.0, 13.0),
            (19.0, 13.0, 15.0),
            (22.5, 16.5, 18.0),
        ] {
            let sizes = Sizes {
                diameter: cm(top),
                bottom_diameter: cm(bottom),
                height: cm(height),
                ..Sizes::default()
            };
            assert!(range(top).contains(litres(sizes)), "{top} cm: {}", litres(sizes));
        }
        for (width, holds) in [
            (9.0, 0.27),
            (11.0, 0.5),
            (13.0, 1.0),
            (15.0, 1.35),
            (17.0, 2.0),
            (19.0, 3.0),
            (23.0, 5.0),
        ] {
            // To the last digit that the list has.
            let range = range(width);
            assert!(range.low - 0.005 <= holds && holds <= range.high, "{width} cm: {range:?}");
        }
        assert_eq!(pot_range(units::pot("2 L pot").unwrap()).high, VolumeUnit::Litre.of(2.0));
    }

    #[test]
    fn what_is_not_known_holds_nothing_known() {
        assert_eq!(Vessel::new(None, Sizes::default(), None), None);
        let no_height = Sizes { diameter: cm(30.0), ..Sizes::default() };
        assert_eq!(Vessel::new(None, no_height, None), None);
    }
}
