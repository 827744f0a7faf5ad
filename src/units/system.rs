//! Metric or US: which units a garden is kept in, and which of them suits a value.

use crate::units::{
    AreaUnit, Length, LengthUnit, Mass, MassUnit, TemperatureUnit, Volume, VolumeUnit,
};

/// The units that a garden is kept in (`units: metric | us`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum System {
    /// kg, L, m, °C.
    #[default]
    Metric,
    /// lb, gal, ft, °F: US customary.
    Us,
}

impl System {
    /// The unit that suits a weight: grams below a kilogram, ounces below a pound.
    pub fn mass_unit(self, mass: Mass) -> MassUnit {
        suiting(self.mass_units(), |unit| unit.measure(mass))
    }

    /// The unit that suits a volume: the largest of which there is a whole one.
    pub fn volume_unit(self, volume: Volume) -> VolumeUnit {
        suiting(self.volume_units(), |unit| unit.measure(volume))
    }

    /// The unit that suits a length: millimetres below a centimetre, centimetres below a metre;
    /// inches below three feet, because plants are spaced in inches and beds measured in feet.
    pub fn length_unit(self, length: Length) -> LengthUnit {
        suiting(self.length_units(), |unit| match unit {
            LengthUnit::Foot => unit.measure(length).abs() / 3.0,
            _ => unit.measure(length).abs(),
        })
    }

    /// Square metres or square feet.
    pub fn area_unit(self) -> AreaUnit {
        match self {
            System::Metric => AreaUnit::SquareMetre,
            System::Us => AreaUnit::SquareFoot,
        }
    }

    /// Celsius or Fahrenheit.
    pub fn temperature_unit(self) -> TemperatureUnit {
        match self {
            System::Metric => TemperatureUnit::Celsius,
            System::Us => TemperatureUnit::Fahrenheit,
        }
    }

    /// All units of the system for it, the largest first.
    pub(super) fn mass_units(self) -> &'static [MassUnit] {
        match self {
            System::Metric => &[MassUnit::Kilogram, MassUnit::Gram],
            System::Us => &[MassUnit::Pound, MassUnit::Ounce],
        }
    }

    /// All units of the system for it, the largest first.
    pub(super) fn volume_units(self) -> &'static [VolumeUnit] {
        use VolumeUnit::{FluidOunce, Gallon, Litre, Millilitre, Quart, Tablespoon, Teaspoon};
        match self {
            System::Metric => &[Litre, Millilitre],
            System::Us => &[Gallon, Quart, FluidOunce, Tablespoon, Teaspoon],
        }
    }

    /// All units of the system for it, the largest first.
    pub(super) fn length_units(self) -> &'static [LengthUnit] {
        match self {
            System::Metric => &[LengthUnit::Metre, LengthUnit::Centimetre, LengthUnit::Millimetre],
            System::Us => &[LengthUnit::Foot, LengthUnit::Inch],
        }
    }
}

/// Of units from the largest to the smallest, the first of which there is at least one; the last
/// if there is none.
fn suiting<U: Copy>(falling: &[U], measure: impl Fn(U) -> f64) -> U {
    let (least, larger) = falling.split_last().expect("every kind has units");
    larger.iter().copied().find(|unit| measure(*unit) >= 1.0).unwrap_or(*least)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_suit_the_size() {
        let metric = System::Metric;
        assert_eq!(metric.mass_unit(MassUnit::Gram.of(999.0)), MassUnit::Gram);
        assert_eq!(metric.mass_unit(MassUnit::Gram.of(1000.0)), MassUnit::Kilogram);
        assert_eq!(metric.volume_unit(VolumeUnit::Litre.of(0.0)), VolumeUnit::Millilitre);
        assert_eq!(metric.length_unit(LengthUnit::Metre.of(-3.0)), LengthUnit::Metre);
        assert_eq!(System::Us.mass_unit(MassUnit::Ounce.of(15.0)), MassUnit::Ounce);
        assert_eq!(System::Us.volume_unit(VolumeUnit::Quart.of(1.0)), VolumeUnit::Quart);
        assert_eq!(System::Us.volume_unit(VolumeUnit::Millilitre.of(5.0)), VolumeUnit::Teaspoon);
        assert_eq!(System::Us.length_unit(LengthUnit::Inch.of(35.0)), LengthUnit::Inch);
        assert_eq!(System::Us.length_unit(LengthUnit::Foot.of(8.0)), LengthUnit::Foot);
    }
}
