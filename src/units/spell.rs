//! Typed values back to written ones, for the tests: what is spelled is read as the same value.

use crate::units::range::joined;
use crate::units::{
    Amount, Area, Celsius, Count, Days, Density, Dose, Fill, Fraction, Hours, Length, Mass,
    MassUnit, Pot, Range, System, Uses, Volume, VolumeUnit,
};

/// A value that can be written so that its reader reads it back.
///
/// What was read in one system and is spelled in the same comes back as the very same value. Where
/// systems are crossed, or a value was computed, it comes back to within two units in the last of
/// its sixteen places.
pub(super) trait Spell {
    /// The text, in the units of the system.
    fn spell(&self, system: System) -> String;
}

/// A value of one number and one unit.
trait Measured: Copy + PartialEq {
    /// The number and its unit.
    fn parts(&self, system: System) -> (f64, &'static str);
}

impl<T: Measured> Spell for T {
    fn spell(&self, system: System) -> String {
        let (number, unit) = self.parts(system);
        match unit {
            "" | "%" => format!("{number}{unit}"),
            _ => format!("{number} {unit}"),
        }
    }
}

impl<T: Measured> Spell for Range<T> {
    fn spell(&self, system: System) -> String {
        let ((low, low_unit), (high, high_unit)) =
            (self.low.parts(system), self.high.parts(system));
        if self.low == self.high {
            self.low.spell(system)
        } else if low_unit == high_unit {
            joined([&low.to_string(), &high.to_string()], high_unit)
        } else {
            format!("{} to {}", self.low.spell(system), self.high.spell(system))
        }
    }
}

impl Measured for Mass {
    fn parts(&self, system: System) -> (f64, &'static str) {
        let units = (system.mass_unit(*self), system.mass_units());
        let (number, unit) = exact(units, |u| u.measure(*self), |u, number| u.of(number) == *self);
        (number, unit.symbol())
    }
}

impl Measured for Volume {
    fn parts(&self, system: System) -> (f64, &'static str) {
        let units = (system.volume_unit(*self), system.volume_units());
        let (number, unit) = exact(units, |u| u.measure(*self), |u, number| u.of(number) == *self);
        (number, unit.symbol())
    }
}

impl Measured for Length {
    fn parts(&self, system: System) -> (f64, &'static str) {
        let units = (system.length_unit(*self), system.length_units());
        let (number, unit) = exact(units, |u| u.measure(*self), |u, number| u.of(number) == *self);
        (number, unit.symbol())
    }
}

impl Measured for Area {
    fn parts(&self, system: System) -> (f64, &'static str) {
        let unit = system.area_unit();
        (tidy(unit.measure(*self), |number| unit.of(number) == *self), unit.symbol())
    }
}

impl Measured for Celsius {
    fn parts(&self, system: System) -> (f64, &'static str) {
        let unit = system.temperature_unit();
        (tidy(unit.measure(*self), |number| unit.of(number) == *self), unit.symbol())
    }
}

impl Measured for Fraction {
    fn parts(&self, _: System) -> (f64, &'static str) {
        (tidy(self.0 * 100.0, |number| number / 100.0 == self.0), "%")
    }
}

impl Measured for Hours {
    fn parts(&self, _: System) -> (f64, &'static str) {
        (tidy(self.0, |number| number == self.0), "h")
    }
}

impl Measured for f64 {
    fn parts(&self, _: System) -> (f64, &'static str) {
        (tidy(*self, |number| number == *self), "")
    }
}

impl Measured for Density {
    fn parts(&self, system: System) -> (f64, &'static str) {
        let (mass, volume, unit) = match system {
            System::Metric => (MassUnit::Kilogram, VolumeUnit::Litre, "kg per L"),
            System::Us => (MassUnit::Pound, VolumeUnit::Gallon, "lb per gal"),
        };
        let of = |number| mass.of(number) / volume.of(1.0);
        (tidy((*self / of(1.0)).into(), |number| of(number) == *self), unit)
    }
}

impl Spell for Days {
    fn spell(&self, system: System) -> String {
        Range::single(*self).spell(system)
    }
}

impl Spell for Range<Days> {
    fn spell(&self, _: System) -> String {
        let weeks = self.low.0 % 7 == 0 && self.high.0 % 7 == 0 && self.high.0 != 0;
        let number = |days: Days| (if weeks { days.0 / 7 } else { days.0 }).to_string();
        let (low, high) = (number(self.low), number(self.high));
        let plural = if low == high && (high == "1" || high == "-1") { "" } else { "s" };
        let unit = format!("{}{plural}", if weeks { "week" } else { "day" });
        if low == high { format!("{high} {unit}") } else { joined([&low, &high], &unit) }
    }
}

impl Spell for Amount {
    fn spell(&self, system: System) -> String {
        match self {
            Amount::Mass(mass) => mass.spell(system),
            Amount::Volume(volume) => volume.spell(system),
        }
    }
}

impl Spell for Count {
    fn spell(&self, system: System) -> String {
        match self {
            Count::Exactly(number) => number.to_string(),
            Count::About(number) => format!("about {number}"),
            Count::Groups { groups, each } => format!("{groups} x {each}"),
            Count::Row(length) => format!("{} row", length.spell(system)),
            Count::Unknown => "unknown".to_owned(),
        }
    }
}

impl Spell for Uses {
    fn spell(&self, system: System) -> String {
        match self {
            Uses::Containers(1) => "1 container".to_owned(),
            Uses::Containers(number) => format!("{number} containers"),
            Uses::Area(area) => area.spell(system),
            Uses::Row(length) => format!("{} row", length.spell(system)),
        }
    }
}

impl Spell for Dose {
    fn spell(&self, system: System) -> String {
        format!("{} per {}", self.amount.spell(system), self.per.spell(system))
    }
}

impl Spell for Pot {
    fn spell(&self, system: System) -> String {
        match self {
            Pot::Across(length) => format!("{} pot", length.spell(system)),
            Pot::Holds(volume) => format!("{} pot", volume.spell(system)),
        }
    }
}

impl Spell for Fill {
    fn spell(&self, system: System) -> String {
        match self {
            Fill::Pots { count, pot } => format!("{count} x {}", pot.spell(system)),
            Fill::Volume(volume) => volume.spell(system),
        }
    }
}

/// The unit that suits, with the number that gives the value back; where no number of that unit
/// does (a step of it can be wider than a step of the SI value), another unit that can.
fn exact<U: Copy>(
    (suits, all): (U, &[U]),
    measure: impl Fn(U) -> f64,
    gives_back: impl Fn(U, f64) -> bool,
) -> (f64, U) {
    std::iter::once(suits)
        .chain(all.iter().copied())
        .map(|unit| (tidy(measure(unit), |number| gives_back(unit, number)), unit))
        .find(|(number, unit)| gives_back(*unit, *number))
        .unwrap_or((measure(suits), suits))
}

/// The shortest number near `measured` that gives the value back; failing that, a neighbour that
/// does; failing that, `measured`.
fn tidy(measured: f64, gives_back: impl Fn(f64) -> bool) -> f64 {
    if measured == 0.0 {
        return 0.0;
    }
    let shorter = (0..17).filter_map(|digits| format!("{measured:.digits$e}").parse().ok());
    let beside = [measured.next_up(), measured.next_down()];
    shorter.chain(beside).find(|number| gives_back(*number)).unwrap_or(measured)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{self, AreaUnit, LengthUnit, Trouble};
    use proptest::prelude::*;

    #[test]
    fn values_are_spelled_as_people_write_them() {
        let metric = |text: &str| units::amount(text).unwrap().spell(System::Metric);
        let us = |text: &str| units::amount(text).unwrap().spell(System::Us);
        assert_eq!(metric("640 g"), "640 g");
        assert_eq!(metric("1500 g"), "1.5 kg");
        assert_eq!(metric("0.2 L"), "200 ml");
        assert_eq!(metric("1 lb"), "453.59237 g");
        assert_eq!(us("8 oz"), "8 oz");
        assert_eq!(us("24 oz"), "1.5 lb");
        assert_eq!(us("3 tsp"), "1 tbsp");
        assert_eq!(us("2 tsp"), "2 tsp");
        assert_eq!(us("128 fl oz"), "1 gal");

        let length = |text: &str, system| units::length(text).unwrap().spell(system);
        assert_eq!(length("4 mm", System::Metric), "4 mm");
        assert_eq!(length("0.45 m", System::Metric), "45 cm");
        assert_eq!(length("8 ft", System::Us), "8 ft");
        assert_eq!(length("1 1/2 ft", System::Us), "18 in");
        assert_eq!(units::percent("10%").unwrap().spell(System::Us), "10%");
        // 0.07 times 100 is a little more than 7 where numbers are binary.
        assert_eq!(units::percent("7%").unwrap().spell(System::Us), "7%");
        assert_eq!(units::temperature("54 °F").unwrap().spell(System::Us), "54 °F");
        assert_eq!(units::hours("90 min").unwrap().spell(System::Metric), "1.5 h");
        assert_eq!(units::density("1.2 kg/L").unwrap().spell(System::Metric), "1.2 kg per L");
        assert_eq!(units::dose("20 ml/5 L").unwrap().spell(System::Metric), "20 ml per 5 L");
        let filling = units::fill("24x9cm pots").unwrap();
        assert_eq!(filling.spell(System::Metric), "24 x 9 cm pot");
    }

    #[test]
    fn ranges_are_spelled_as_people_write_them() {
        let days = |text: &str| units::offset_range(text).unwrap().spell(System::Metric);
        assert_eq!(days("5-7 weeks"), "5-7 weeks");
        assert_eq!(days("10-14 days"), "10-14 days");
        assert_eq!(days("-28 to -14 days"), "-4 to -2 weeks");
        assert_eq!((days("7 days"), days("1 day"), days("0 weeks")), both("1 week", "1 day"));
        let length = |text: &str| units::length_range(text).unwrap().spell(System::Metric);
        assert_eq!(length("46-60 cm"), "46-60 cm");
        assert_eq!(length("90-120 cm"), "90 cm to 1.2 m");
        let degrees = units::temperature_range("-5 to 2 °C").unwrap();
        assert_eq!(degrees.spell(System::Metric), "-5 to 2 °C");
        assert_eq!(units::number_range("3-4").unwrap().spell(System::Us), "3-4");
    }

    fn both(week: &str, day: &str) -> (String, String, String) {
        (week.to_owned(), day.to_owned(), "0 days".to_owned())
    }

    /// A number as a person writes it: up to six figures, up to three decimals.
    fn written() -> impl Strategy<Value = String> {
        (1_u32..1_000_000, 0_usize..4).prop_map(|(number, decimals)| {
            format!("{}", f64::from(number) / [1.0, 10.0, 100.0, 1000.0][decimals])
        })
    }

    /// What was read in a system and is spelled in it is read as the very same value.
    fn comes_back<T: Spell + PartialEq + std::fmt::Debug>(
        text: &str,
        system: System,
        reader: impl Fn(&str) -> Result<T, Trouble>,
    ) -> Result<(), TestCaseError> {
        let value = reader(text).map_err(|trouble| TestCaseError::fail(trouble.message()))?;
        let again = reader(&value.spell(system));
        prop_assert_eq!(again, Ok(value), "{} spelled {:?}", text, system);
        Ok(())
    }

    proptest! {
        #[test]
        fn metric_comes_back(n in written(), kilo in any::<bool>()) {
            let (g, ml, cm) = if kilo { ("kg", "L", "m") } else { ("g", "ml", "cm") };
            let metric = System::Metric;
            comes_back(&format!("{n} {g}"), metric, units::mass)?;
            comes_back(&format!("{n} {ml}"), metric, units::volume)?;
            comes_back(&format!("{n} {ml}"), metric, units::amount)?;
            if n.len() < 6 {
                comes_back(&format!("{n} {cm}"), metric, units::length)?;
                comes_back(&format!("{n} {cm} row"), metric, units::uses)?;
                comes_back(&format!("{n} {cm} row"), metric, units::count)?;
                comes_back(&format!("{n} m²"), metric, units::uses)?;
            }
            comes_back(&format!("{n} {ml} per 5 L"), metric, units::dose)?;
            comes_back(&format!("{n} {g} per {n} {ml}"), metric, units::dose)?;
            comes_back(&format!("12 x {n} {ml} pot"), metric, units::fill)?;
            comes_back(&n, metric, units::price)?;
        }

        #[test]
        fn us_comes_back(n in written(), unit in 0_usize..5) {
            let us = System::Us;
            let volume = ["tsp", "tbsp", "fl oz", "qt", "gal"][unit];
            comes_back(&format!("{n} {}", ["oz", "lb"][unit % 2]), us, units::mass)?;
            if n.len() < 6 {
                comes_back(&format!("{n} {volume}"), us, units::volume)?;
                comes_back(&format!("{n} {}", ["in", "ft"][unit % 2]), us, units::length)?;
            }
        }

        #[test]
        fn degrees_shares_and_hours_come_back(tenths in -900_i32..1400, share in 0_u32..=1000) {
            let degrees = f64::from(tenths) / 10.0;
            comes_back(&format!("{degrees} °C"), System::Metric, units::temperature)?;
            comes_back(&format!("{degrees} °F"), System::Us, units::temperature)?;
            comes_back(&format!("{}%", f64::from(share) / 10.0), System::Us, units::percent)?;
            comes_back(&format!("{share} min"), System::Us, units::hours)?;
            comes_back(&format!("{} kg per L", f64::from(share + 1) / 50.0), System::Metric,
                units::density)?;
            comes_back(&degrees.to_string(), System::Us, units::number)?;
        }

        #[test]
        fn counts_and_days_come_back(a in 0_u32..1000, b in 0_u32..1000, low in -500_i32..500) {
            let metric = System::Metric;
            comes_back(&format!("{a} x {b}"), metric, units::count)?;
            comes_back(&format!("about {a}"), metric, units::count)?;
            comes_back(&format!("{} containers", a + 1), metric, units::uses)?;
            let range = Range { low: Days(low), high: Days(low + b as i32) };
            prop_assert_eq!(units::offset_range(&range.spell(metric)), Ok(range));
            comes_back(&format!("{a} days"), metric, units::days)?;
            comes_back(&format!("{a}-{} cm", a + b), metric, units::length_range)?;
            comes_back(&format!("{a}-{}", a + b), metric, units::number_range)?;
        }

        /// Values that were computed, or that cross from one system to the other.
        #[test]
        fn any_value_comes_back_to_the_last_places(si in 1e-6_f64..1e2, us in any::<bool>()) {
            let system = if us { System::Us } else { System::Metric };
            let near = |again: f64| prop_assert_near(again, si);
            let mass = MassUnit::Kilogram.of(si);
            near(MassUnit::Kilogram.measure(units::mass(&mass.spell(system)).unwrap()))?;
            let litres = VolumeUnit::Litre.of(si);
            near(VolumeUnit::Litre.measure(units::volume(&litres.spell(system)).unwrap()))?;
            let metres = LengthUnit::Metre.of(si);
            near(LengthUnit::Metre.measure(units::length(&metres.spell(system)).unwrap()))?;
            let area = AreaUnit::SquareMetre.of(si);
            let Ok(Uses::Area(area)) = units::uses(&area.spell(system)) else {
                return Err(TestCaseError::fail("no area"));
            };
            near(AreaUnit::SquareMetre.measure(area))?;
        }
    }

    fn prop_assert_near(again: f64, value: f64) -> Result<(), TestCaseError> {
        prop_assert!((again / value - 1.0).abs() <= 1e-15, "{} became {}", value, again);
        Ok(())
    }
}
