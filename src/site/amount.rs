//! Quantities as they are shown: rounded here and nowhere else, never more exact than they are.

use serde::{Deserialize, Serialize};

use crate::garden::planting::Plants;
use crate::units::{
    self, Area, AreaUnit, Celsius, Length, LengthUnit, Mass, MassUnit, System, Uses, Volume,
    VolumeUnit,
};

/// A rounded quantity with the key of its unit.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Amount {
    /// The number, with a decimal point whatever the language.
    pub number: String,
    /// The unit's symbol, or the key of a counted noun.
    pub unit: String,
    /// Whether it is only about right.
    pub about: bool,
}

impl Amount {
    /// The same, as a number that is only about right.
    pub(super) fn roughly(self) -> Amount {
        Amount { about: true, ..self }
    }

    fn new(number: String, unit: &str) -> Amount {
        Amount { number, unit: unit.to_owned(), about: false }
    }

    /// A weight: whole grams below a kilogram, three figures above; ounces and pounds likewise.
    pub fn mass(mass: Mass, system: System) -> Amount {
        let unit = system.mass_unit(mass);
        let measure = unit.measure(mass);
        let number = match unit {
            MassUnit::Gram => decimals(measure, 0),
            MassUnit::Ounce => decimals(measure, 1),
            MassUnit::Kilogram | MassUnit::Pound => three_figures(measure),
        };
        Amount::new(number, unit.symbol())
    }

    /// A weight that is an estimate: two figures.
    pub fn estimated_mass(mass: Mass, system: System) -> Amount {
        let unit = system.mass_unit(mass);
        let measure = unit.measure(mass);
        let coarse = if measure.abs() < 99.5 { measure } else { (measure / 10.0).round() * 10.0 };
        let number = match unit {
            MassUnit::Gram => decimals(coarse, 0),
            _ => short(coarse),
        };
        Amount::new(number, unit.symbol())
    }

    pub fn volume(volume: Volume, system: System) -> Amount {
        let unit = system.volume_unit(volume);
        let measure = unit.measure(volume);
        let number = match unit {
            VolumeUnit::Millilitre => decimals(measure, 0),
            _ => short(measure),
        };
        Amount::new(number, unit.symbol())
    }

    /// An amount of care: a weight or a volume.
    pub fn of_care(amount: units::Amount, system: System) -> Amount {
        match amount {
            units::Amount::Mass(mass) => Amount::mass(mass, system),
            units::Amount::Volume(volume) => Amount::volume(volume, system),
        }
    }

    pub fn area(area: Area, system: System) -> Amount {
        let unit: AreaUnit = system.area_unit();
        Amount::new(short(unit.measure(area)), unit.symbol())
    }

    /// A small area, on which pots stand: to a hundredth of a square metre, a tenth of a square foot.
    pub fn small_area(area: Area, system: System) -> Amount {
        let unit: AreaUnit = system.area_unit();
        let places = if system == System::Metric { 2 } else { 1 };
        Amount::new(decimals(unit.measure(area), places), unit.symbol())
    }

    pub fn length(length: Length, system: System) -> Amount {
        let unit = system.length_unit(length);
        let number = match unit {
            LengthUnit::Millimetre | LengthUnit::Centimetre => decimals(unit.measure(length), 0),
            _ => short(unit.measure(length)),
        };
        Amount::new(number, unit.symbol())
    }

    /// The room that plants take: containers, ground, or a row.
    pub fn uses(uses: Uses, system: System) -> Amount {
        match uses {
            Uses::Containers(number) => Amount::count(number, "containers"),
            Uses::Area(area) => Amount::area(area, system),
            Uses::Row(length) => {
                let row = Amount::length(length, system);
                Amount { unit: format!("{} row", row.unit), ..row }
            }
        }
    }

    /// A temperature to a whole degree.
    pub fn temperature(temperature: Celsius, system: System) -> Amount {
        let unit = system.temperature_unit();
        Amount::new(decimals(unit.measure(temperature), 0), unit.symbol())
    }

    /// Rain or evapotranspiration: millimetres to a tenth, inches to a hundredth.
    pub fn water_depth(mm: f64, system: System) -> Amount {
        match system {
            System::Metric => Amount::new(decimals(mm, 1), "mm"),
            System::Us => Amount::new(decimals(mm / 25.4, 2), "in"),
        }
    }

    /// Rain of a month: whole millimetres, inches to a tenth.
    pub fn monthly_rain(mm: f64, system: System) -> Amount {
        match system {
            System::Metric => Amount::new(decimals(mm, 0), "mm"),
            System::Us => Amount::new(decimals(mm / 25.4, 1), "in"),
        }
    }

    /// Hours to a tenth.
    pub fn hours(hours: f64) -> Amount {
        Amount::new(decimals(hours, 1), "h")
    }

    pub fn money(sum: f64, currency: Option<&str>) -> Amount {
        Amount::new(decimals(sum, 2), currency.unwrap_or(""))
    }

    /// Days to a tenth.
    pub fn days(days: f64) -> Amount {
        Amount::new(decimals(days, 1), "days")
    }

    /// A whole number without a unit.
    pub fn whole(number: f64) -> Amount {
        Amount::new(decimals(number, 0), "")
    }

    /// A share from 0 to 1 as whole per cent.
    pub fn percent(share: f64) -> Amount {
        Amount::new(decimals(share * 100.0, 0), "%")
    }

    /// So many of something.
    pub fn count(number: u32, noun: &str) -> Amount {
        Amount::new(number.to_string(), noun)
    }

    /// About so many seeds to sow: counted out up to twenty, by fives up to a hundred, by tens above. Rounded up:
    /// too few would break the chance that was asked for.
    pub fn seeds_to_sow(number: u32) -> Amount {
        let by = match number {
            0..=20 => 1,
            21..=100 => 5,
            _ => 10,
        };
        let number = number.div_ceil(by).saturating_mul(by);
        Amount::count(number, "seeds").roughly()
    }

    /// So many plants, if anybody counted.
    pub fn plants(plants: Plants) -> Option<Amount> {
        Amount::plants_as(plants, "plants")
    }

    /// So many seeds, sets or plants, if anybody counted.
    pub fn plants_as(plants: Plants, noun: &str) -> Option<Amount> {
        let number = plants.number?;
        Some(Amount { about: plants.is_about, ..Amount::count(number, noun) })
    }
}

/// A number with so many decimals, rounded half away from zero, without `-0`.
pub fn decimals(value: f64, places: usize) -> String {
    let scale = 10_f64.powi(places as i32);
    let rounded = (value * scale).round() / scale;
    format!("{:.places$}", rounded + 0.0)
}

/// A number rounded for a data file, still a number.
pub fn rounded(value: f64, places: i32) -> f64 {
    let scale = 10_f64.powi(places);
    (value * scale).round() / scale + 0.0
}

/// Grams to a tenth, as data files have them.
pub fn grams(mass: Mass) -> f64 {
    rounded(MassUnit::Gram.measure(mass), 1)
}

/// Three figures: 1.25, 12.5, 125.
fn three_figures(value: f64) -> String {
    match value.abs() {
        size if size < 9.995 => decimals(value, 2),
        size if size < 99.95 => decimals(value, 1),
        _ => decimals(value, 0),
    }
}

/// One decimal below ten, none above, and none where it would be a zero.
fn short(value: f64) -> String {
    let number = if value.abs() < 9.95 { decimals(value, 1) } else { decimals(value, 0) };
    number.strip_suffix(".0").map_or(number.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_false_precision() {
        let shown = |grams: f64| Amount::mass(MassUnit::Gram.of(grams), System::Metric);
        assert_eq!((shown(640.4).number.as_str(), shown(640.4).unit.as_str()), ("640", "g"));
        assert_eq!((shown(2483.7).number.as_str(), shown(2483.7).unit.as_str()), ("2.48", "kg"));
        assert_eq!(shown(248_370.0).number, "248");
        assert_eq!(Amount::volume(VolumeUnit::Litre.of(2.0), System::Metric).number, "2");
        let estimated =
            |grams: f64| Amount::estimated_mass(MassUnit::Gram.of(grams), System::Metric).number;
        assert_eq!(
            [4.2, 94.4, 948.9, 1534.0, 15_340.0].map(estimated),
            ["4", "94", "950", "1.5", "15"]
        );
        assert_eq!(decimals(-0.04, 1), "0.0");
        let seeds = [7, 20, 21, 61, 100, 179].map(|number| Amount::seeds_to_sow(number).number);
        assert_eq!(seeds, ["7", "20", "25", "65", "100", "180"]);
    }
}
