//! The kinds of quantity, their units, and how large each unit is.
//!
//! Sizes are the exact definitions of NIST Special Publication 811 (2008), Appendix B, and NIST
//! Handbook 44, Appendix C: the international pound is 0.453 592 37 kg, the inch 25.4 mm, the US
//! gallon 231 cubic inches, the imperial gallon 4.546 09 L.

/// A weight (strictly a mass), SI base kilogram.
pub type Mass = uom::si::f64::Mass;
/// A volume, SI base cubic metre.
pub type Volume = uom::si::f64::Volume;
/// A length, SI base metre.
pub type Length = uom::si::f64::Length;
/// An area, SI base square metre.
pub type Area = uom::si::f64::Area;
/// Mass by volume, SI base kilogram per cubic metre (1 kg per L = 1000 kg/m³).
pub type Density = uom::si::f64::MassDensity;

/// A temperature in degrees Celsius.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Celsius(pub f64);

/// A share of a whole: 0.5 is what a grower writes as `50%`.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Fraction(pub f64);

/// A length of time within a day, in hours.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Hours(pub f64);

/// A whole number of days; below zero for 'before'.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Days(pub i32);

/// What kind of thing a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// g, kg, oz, lb.
    Mass,
    /// ml, L, and the spoons, ounces, quarts and gallons.
    Volume,
    /// mm, cm, m, in, ft.
    Length,
    /// m², ft².
    Area,
    /// °C, °F.
    Temperature,
    /// %.
    Percent,
    /// min, h.
    Hours,
    /// days, weeks.
    Days,
    /// So many plants or containers.
    Number,
}

/// Declares the units of one kind: variant, symbol, and the size in SI as `times / over`, two
/// numbers that a binary fraction holds exactly, so that a conversion is off by a rounding or two.
macro_rules! units {
    ($(#[$about:meta])* $name:ident of $quantity:ident, $base:ty;
     $($(#[$doc:meta])* $unit:ident $symbol:literal = $times:literal / $over:literal;)+) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name { $($(#[$doc])* $unit,)+ }

        impl $name {
            /// The symbol that readers accept and pages show.
            pub fn symbol(self) -> &'static str {
                match self { $($name::$unit => $symbol,)+ }
            }

            /// So many of this unit as a quantity.
            pub fn of(self, how_many: f64) -> $quantity {
                let (times, over) = self.size();
                $quantity::new::<$base>(how_many * times / over)
            }

            /// How many of this unit the quantity is.
            pub fn measure(self, quantity: $quantity) -> f64 {
                let (times, over) = self.size();
                quantity.get::<$base>() * over / times
            }

            fn size(self) -> (f64, f64) {
                match self { $($name::$unit => ($times, $over),)+ }
            }
        }
    };
}

units! {
    /// Units of weight; ounce and pound are avoirdupois.
    MassUnit of Mass, uom::si::mass::kilogram;
    /// 1/1000 kg.
    Gram "g" = 1.0 / 1e3;
    /// The base.
    Kilogram "kg" = 1.0 / 1.0;
    /// 1/16 lb.
    Ounce "oz" = 45_359_237.0 / 16e8;
    /// 0.453 592 37 kg.
    Pound "lb" = 45_359_237.0 / 1e8;
}

units! {
    /// Units of volume; all but the last are US customary where they are not metric.
    VolumeUnit of Volume, uom::si::volume::cubic_meter;
    /// 1/1000 L.
    Millilitre "ml" = 1.0 / 1e6;
    /// 1/1000 m³.
    Litre "L" = 1.0 / 1e3;
    /// 1/3 tablespoon.
    Teaspoon "tsp" = 3_785_411_784.0 / 768e12;
    /// 1/2 fluid ounce.
    Tablespoon "tbsp" = 3_785_411_784.0 / 256e12;
    /// 1/128 gallon.
    FluidOunce "fl oz" = 3_785_411_784.0 / 128e12;
    /// The liquid quart, 1/4 gallon.
    Quart "qt" = 3_785_411_784.0 / 4e12;
    /// 231 cubic inches of 16.387 064 mL.
    Gallon "gal" = 3_785_411_784.0 / 1e12;
    /// 4.546 09 L.
    ImperialGallon "imp gal" = 454_609.0 / 1e8;
}

units! {
    /// Units of length.
    LengthUnit of Length, uom::si::length::meter;
    /// 1/1000 m.
    Millimetre "mm" = 1.0 / 1e3;
    /// 1/100 m.
    Centimetre "cm" = 1.0 / 1e2;
    /// The base.
    Metre "m" = 1.0 / 1.0;
    /// 25.4 mm.
    Inch "in" = 254.0 / 1e4;
    /// 12 inches.
    Foot "ft" = 3_048.0 / 1e4;
}

units! {
    /// Units of area.
    AreaUnit of Area, uom::si::area::square_meter;
    /// The base.
    SquareMetre "m²" = 1.0 / 1.0;
    /// 144 square inches.
    SquareFoot "ft²" = 9_290_304.0 / 1e8;
}

/// Scales of temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit: 32 at 0 °C, nine to every five.
    Fahrenheit,
}

impl TemperatureUnit {
    /// The symbol: `°C` or `°F`.
    pub fn symbol(self) -> &'static str {
        match self {
            TemperatureUnit::Celsius => "°C",
            TemperatureUnit::Fahrenheit => "°F",
        }
    }

    /// A reading of this scale as a temperature.
    pub fn of(self, degrees: f64) -> Celsius {
        match self {
            TemperatureUnit::Celsius => Celsius(degrees),
            TemperatureUnit::Fahrenheit => Celsius((degrees - 32.0) * 5.0 / 9.0),
        }
    }

    /// What this scale reads at the temperature.
    pub fn measure(self, temperature: Celsius) -> f64 {
        match self {
            TemperatureUnit::Celsius => temperature.0,
            TemperatureUnit::Fahrenheit => temperature.0 * 9.0 / 5.0 + 32.0,
        }
    }
}

/// Units of time that a grower writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeUnit {
    /// 1/60 of an hour.
    Minute,
    /// An hour.
    Hour,
    /// A day.
    Day,
    /// Seven days.
    Week,
}

impl Kind {
    /// The kind in a sentence: 'a weight'.
    pub(super) fn words(self) -> &'static str {
        match self {
            Kind::Mass => "a weight",
            Kind::Volume => "a volume",
            Kind::Length => "a length",
            Kind::Area => "an area",
            Kind::Temperature => "a temperature",
            Kind::Percent => "a percentage",
            Kind::Hours => "a number of hours",
            Kind::Days => "a number of days or weeks",
            Kind::Number => "a number",
        }
    }

    /// The units of the kind, as a message lists them.
    pub(super) fn symbols(self) -> &'static str {
        match self {
            Kind::Mass => "g, kg, oz, lb",
            Kind::Volume => "ml, L, tsp, tbsp, fl oz, qt, gal, imp gal",
            Kind::Length => "mm, cm, m, in, ft",
            Kind::Area => "m², ft²",
            Kind::Temperature => "°C, °F",
            Kind::Percent => "%",
            Kind::Hours => "h, min",
            Kind::Days => "days, weeks",
            Kind::Number => "containers, m row, ft row",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn agree(ours: f64, published: f64, within: f64) {
        assert!(((ours - published) / published).abs() <= within, "{ours} against {published}");
    }

    /// Source: NIST SP 811 (2008), Appendix B.8, factors to seven significant digits, or all
    /// digits where the guide prints them bold (exact). The guide itself was out of reach; the
    /// figures were read in its transcription, the R package NISTunits 1.0.1.
    #[test]
    fn factors_are_those_of_sp_811_appendix_b8() {
        const SEVEN_DIGITS: f64 = 5e-7;
        const EXACT: f64 = 5e-16;
        let kg = |unit: MassUnit| MassUnit::Kilogram.measure(unit.of(1.0));
        agree(kg(MassUnit::Pound), 4.535_924e-1, SEVEN_DIGITS);
        agree(kg(MassUnit::Ounce), 2.834_952e-2, SEVEN_DIGITS);

        let m3 = |unit: VolumeUnit| unit.of(1.0).get::<uom::si::volume::cubic_meter>();
        agree(m3(VolumeUnit::Gallon), 3.785_412e-3, SEVEN_DIGITS);
        agree(m3(VolumeUnit::Quart), 9.463_529e-4, SEVEN_DIGITS);
        agree(m3(VolumeUnit::FluidOunce), 2.957_353e-5, SEVEN_DIGITS);
        agree(m3(VolumeUnit::Tablespoon), 1.478_676e-5, SEVEN_DIGITS);
        agree(m3(VolumeUnit::Teaspoon), 4.928_922e-6, SEVEN_DIGITS);
        agree(m3(VolumeUnit::ImperialGallon), 4.546_09e-3, EXACT);
        agree(m3(VolumeUnit::Litre), 1.0e-3, EXACT);

        let m = |unit: LengthUnit| LengthUnit::Metre.measure(unit.of(1.0));
        agree(m(LengthUnit::Inch), 2.54e-2, EXACT);
        agree(m(LengthUnit::Foot), 3.048e-1, EXACT);
        agree(AreaUnit::SquareMetre.measure(AreaUnit::SquareFoot.of(1.0)), 9.290_304e-2, EXACT);
    }

    /// Source: NIST Handbook 44, Appendix C, tables of exact values (underlined there): 1 lb =
    /// 453.592 37 g, 1 oz = 28.349 523 125 g, 1 gal = 3.785 411 784 L, 1 liq qt = 0.946 352 946 L,
    /// 1 fl oz = 29.573 529 562 5 mL; its household measures: 1 fl oz = 2 tbsp = 6 tsp. Written
    /// from memory; the Python library pint 0.25.3 gives the same digits in decimal arithmetic.
    #[test]
    fn sizes_are_exact_beyond_the_seven_digits() {
        const EXACT: f64 = 5e-16;
        agree(MassUnit::Gram.measure(MassUnit::Pound.of(1.0)), 453.592_37, EXACT);
        agree(MassUnit::Gram.measure(MassUnit::Ounce.of(1.0)), 28.349_523_125, EXACT);
        let litres = |unit: VolumeUnit| VolumeUnit::Litre.measure(unit.of(1.0));
        agree(litres(VolumeUnit::Gallon), 3.785_411_784, EXACT);
        agree(litres(VolumeUnit::Quart), 0.946_352_946, EXACT);
        agree(litres(VolumeUnit::FluidOunce), 0.029_573_529_562_5, EXACT);
        agree(litres(VolumeUnit::Tablespoon), 0.014_786_764_781_25, EXACT);
        agree(litres(VolumeUnit::Teaspoon), 0.004_928_921_593_75, EXACT);
        agree(litres(VolumeUnit::ImperialGallon), 4.546_09, EXACT);
    }

    /// The reason why this file exists: the library's own factors stop at seven digits.
    #[test]
    fn the_library_rounds_its_pound() {
        let ours = MassUnit::Pound.of(1.0).get::<uom::si::mass::kilogram>();
        let theirs = Mass::new::<uom::si::mass::pound>(1.0).get::<uom::si::mass::kilogram>();
        assert_eq!(ours, 0.453_592_37);
        assert!((theirs / ours - 1.0).abs() > 5e-8, "uom is exact now: use its factors");
    }

    /// Source: NIST SP 811, B.8, degree Fahrenheit: t/°C = (t/°F − 32)/1.8; the fixed points 0 °C
    /// and 100 °C, and the crossing at −40, follow from it.
    #[test]
    fn fahrenheit_follows_sp_811() {
        let of = |degrees| TemperatureUnit::Fahrenheit.of(degrees).0;
        assert_eq!((of(32.0), of(212.0), of(-40.0), of(50.0)), (0.0, 100.0, -40.0, 10.0));
        assert_eq!(TemperatureUnit::Fahrenheit.measure(Celsius(37.0)), 98.6);
        let written = crate::units::temperature_as_written("50 °F");
        assert_eq!(written, Ok((Celsius(10.0), TemperatureUnit::Fahrenheit)));
    }

    #[test]
    fn metric_steps_are_clean() {
        assert_eq!(MassUnit::Gram.of(640.0), MassUnit::Kilogram.of(0.64));
        assert_eq!(LengthUnit::Centimetre.of(45.0), LengthUnit::Metre.of(0.45));
        assert_eq!(VolumeUnit::Millilitre.of(200.0), VolumeUnit::Litre.of(0.2));
    }
}
