//! Quantities as somebody measures them out: with a watering can, a jug, a spoon, a kitchen scale.
//!
//! A computed `2.4837 L` is no instruction. Here it becomes the nearest mark that a vessel or a scale has, and
//! 'about' if that moved it by more than two per cent. US measures are halved and quartered, as their
//! spoons and jugs are.

use crate::site::amount::{Amount, decimals};
use crate::units::{self, MassUnit, System, Volume, VolumeUnit};

/// A mark moved the quantity by so much of itself that it has to be said.
const ABOUT_FROM: f64 = 0.02;

impl Amount {
    /// A volume to be measured out.
    pub fn measured_volume(volume: Volume, system: System) -> Amount {
        Vessel::of(units::Amount::Volume(volume), system).marked(system)
    }

    /// A weight or a volume to be measured out.
    pub fn measured(amount: units::Amount, system: System) -> Amount {
        Vessel::of(amount, system).marked(system)
    }

    /// A weight or a volume that is printed on a label or a bag: in the other system where it lies on a mark
    /// there and on none here, because that is how it stands on the thing itself.
    pub fn printed(amount: units::Amount, system: System) -> Amount {
        let other = match system {
            System::Metric => System::Us,
            System::Us => System::Metric,
        };
        let is_there =
            !Vessel::of(amount, system).is_on_a_mark() && Vessel::of(amount, other).is_on_a_mark();
        Amount::measured(amount, if is_there { other } else { system })
    }
}

/// What a quantity is measured with.
struct Vessel {
    /// The quantity in its unit.
    exact: f64,
    /// From one mark to the next, in that unit.
    mark: f64,
    unit: &'static str,
}

impl Vessel {
    fn of(amount: units::Amount, system: System) -> Vessel {
        // A quantity that would be rounded up to a whole of the larger unit is said in that one.
        match amount {
            units::Amount::Volume(volume) => {
                let unit = system.volume_unit(volume * 1.005);
                let exact = unit.measure(volume);
                Vessel { exact, mark: volume_mark(unit, exact), unit: unit.symbol() }
            }
            units::Amount::Mass(mass) => {
                let unit = system.mass_unit(mass * 1.005);
                let exact = unit.measure(mass);
                Vessel { exact, mark: mass_mark(unit, exact), unit: unit.symbol() }
            }
        }
    }

    fn is_on_a_mark(&self) -> bool {
        let marks = self.exact / self.mark;
        (marks - marks.round()).abs() < 1e-6 * marks.max(1.0)
    }

    /// The nearest mark; of something that is more than nothing, at least the first.
    fn marked(&self, system: System) -> Amount {
        let Vessel { exact, mark, unit } = *self;
        let nearest = (exact / mark).round() * mark;
        let shown = if exact > 0.0 { nearest.max(mark) } else { nearest };
        let number = match system {
            System::Us => with_fraction(shown),
            System::Metric => {
                let number = decimals(shown, 1);
                number.strip_suffix(".0").map_or(number.clone(), str::to_owned)
            }
        };
        let about = (shown - exact).abs() > ABOUT_FROM * exact.abs();
        Amount { number, unit: unit.to_owned(), about }
    }
}

fn volume_mark(unit: VolumeUnit, exact: f64) -> f64 {
    match unit {
        VolumeUnit::Litre => decimal_mark(exact),
        VolumeUnit::Millilitre => match exact.abs() {
            size if size < 10.0 => 0.5,
            size if size < 50.0 => 1.0,
            size if size < 200.0 => 5.0,
            _ => 10.0,
        },
        VolumeUnit::Gallon if exact.abs() >= 10.0 => 1.0,
        VolumeUnit::Gallon | VolumeUnit::Quart => 0.25,
        VolumeUnit::Teaspoon if exact.abs() < 0.25 => 0.125,
        VolumeUnit::Teaspoon => 0.25,
        _ => 0.5,
    }
}

fn mass_mark(unit: MassUnit, exact: f64) -> f64 {
    match unit {
        MassUnit::Kilogram => decimal_mark(exact),
        MassUnit::Gram => match exact.abs() {
            size if size < 10.0 => 0.5,
            size if size < 100.0 => 1.0,
            _ => 10.0,
        },
        MassUnit::Pound if exact.abs() >= 10.0 => 1.0,
        _ => 0.25,
    }
}

/// Tenths below ten, wholes below a hundred, fives above.
fn decimal_mark(size: f64) -> f64 {
    match size.abs() {
        size if size < 9.95 => 0.1,
        size if size < 99.5 => 1.0,
        _ => 5.0,
    }
}

/// `2½`, `¾`, `3`: eighths are the finest that a spoon has.
fn with_fraction(value: f64) -> String {
    const EIGHTHS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
    let eighths = (value * 8.0).round() as i64;
    let (whole, part) = (eighths.div_euclid(8), eighths.rem_euclid(8) as usize);
    match (whole, EIGHTHS[part]) {
        (0, "") => "0".to_owned(),
        (0, part) => part.to_owned(),
        (whole, part) => format!("{whole}{part}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str, system: System) -> String {
        let amount = Amount::measured(units::amount(text).unwrap(), system);
        let about = if amount.about { "about " } else { "" };
        format!("{about}{} {}", amount.number, amount.unit)
    }

    #[test]
    fn what_is_printed_on_a_thing_stays_as_it_is_printed() {
        let said = |text: &str, system| {
            let amount = Amount::printed(units::amount(text).unwrap(), system);
            format!("{} {}", amount.number, amount.unit)
        };
        for (text, system, shown) in [
            ("45 L", System::Us, "45 L"),
            ("25 ml", System::Us, "25 ml"),
            ("1 L", System::Us, "1 L"),
            ("10 g", System::Us, "10 g"),
            ("2 gal", System::Us, "2 gal"),
            ("2 gal", System::Metric, "2 gal"),
            ("1 tbsp", System::Metric, "1 tbsp"),
            ("20 L", System::Metric, "20 L"),
            // On no mark of either: measured out here.
            ("13.3 L", System::Us, "3½ gal"),
            ("13.3 L", System::Metric, "13 L"),
        ] {
            assert_eq!(said(text, system), shown, "{text}");
        }
    }

    #[test]
    fn as_a_can_a_jug_and_a_spoon_are_marked() {
        for (exact, metric) in [
            ("2.4837 L", "2.5 L"),
            ("0.9984 L", "1 L"),
            ("0.7312 L", "730 ml"),
            ("18.34 L", "18 L"),
            ("131 L", "130 L"),
            ("3.2 ml", "about 3 ml"),
            ("0.1 ml", "about 0.5 ml"),
            ("37.7 g", "38 g"),
            ("1234 g", "about 1.2 kg"),
        ] {
            assert_eq!(said(exact, System::Metric), metric, "{exact}");
        }
        for (exact, us) in [
            ("9.6 L", "2½ gal"),
            ("9.1 L", "about 2½ gal"),
            ("3.7 ml", "¾ tsp"),
            ("1 L", "about 1 qt"),
            ("3.79 L", "1 gal"),
            ("60 L", "16 gal"),
            ("500 g", "about 1 lb"),
            ("0.3 ml", "about ⅛ tsp"),
        ] {
            assert_eq!(said(exact, System::Us), us, "{exact}");
        }
    }
}
