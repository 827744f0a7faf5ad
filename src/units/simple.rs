//! Readers of one value with its unit.

use crate::units::names::Unit;
use crate::units::reader::{Wanted, read};
use crate::units::{
    Area, AreaUnit, Celsius, Days, Fraction, Hours, Kind, Length, LengthUnit, Mass, MassUnit,
    TemperatureUnit, TimeUnit, Trouble, Volume, VolumeUnit,
};

/// Reads a weight: `640 g`, `1.5 kg`, `2 1/2 lb`. At most 1,000 tonnes.
///
/// ```
/// use trug::units::{self, MassUnit};
/// assert_eq!(units::mass("640 g"), Ok(MassUnit::Kilogram.of(0.64)));
/// assert_eq!(units::mass("½ lb"), units::mass("8 ounces"));
/// assert!(units::mass("3").is_err());
/// ```
pub fn mass(text: &str) -> Result<Mass, Trouble> {
    one(text, &MASS, make_mass)
}

/// Reads a volume: `200 ml`, `18 L`, `1 gal`, `2 imp gal`. At most a million litres.
///
/// ```
/// use trug::units;
/// assert_eq!(units::volume("1 gal"), units::volume("4 quarts"));
/// assert_eq!(units::volume("8 oz").unwrap_err().mended(), Some("8 fl oz"));
/// ```
pub fn volume(text: &str) -> Result<Volume, Trouble> {
    one(text, &VOLUME, make_volume)
}

/// Reads a length or a depth of rain: `4 mm`, `45 cm`, `1.2 m`, `18 in`, `8 ft`. At most 100 km.
pub fn length(text: &str) -> Result<Length, Trouble> {
    one(text, &LENGTH, make_length)
}

/// Reads a height above the sea, which may be below it: `45 m`, `-3 m`, `150 ft`.
pub fn elevation(text: &str) -> Result<Length, Trouble> {
    let wanted = Wanted { signed: true, examples: &["45 m", "150 ft"], ..LENGTH };
    one(text, &wanted, make_length)
}

/// Reads a temperature: `12 °C`, `12 C`, `-3 °C`, `54 °F`. From -100 °C to 150 °C.
///
/// ```
/// use trug::units::{self, Celsius};
/// assert_eq!(units::temperature("50 °F"), Ok(Celsius(10.0)));
/// ```
pub fn temperature(text: &str) -> Result<Celsius, Trouble> {
    temperature_as_written(text).map(|(celsius, _)| celsius)
}

/// Reads a temperature and says in which scale it was written, because the degree days beside a
/// base are in the degrees of that base.
pub fn temperature_as_written(text: &str) -> Result<(Celsius, TemperatureUnit), Trouble> {
    one(text, &TEMPERATURE, |number, unit| {
        let scale = match unit {
            Unit::Temperature(scale) => scale,
            _ => TemperatureUnit::Celsius,
        };
        make_temperature(number, unit).map(|celsius| (celsius, scale))
    })
}

/// Reads a percentage from 0 to 100 as a fraction: `50%`, `12.5 %`.
///
/// ```
/// use trug::units::{self, Fraction};
/// assert_eq!(units::percent("50%"), Ok(Fraction(0.5)));
/// ```
pub fn percent(text: &str) -> Result<Fraction, Trouble> {
    one(text, &PERCENT, |number, _| match number {
        number if number > 100.0 => Err(Trouble::TooLarge { most: "100%" }),
        number => Ok(Fraction(number / 100.0)),
    })
}

/// Reads hours: `8 h`, `1.5 hours`, `90 min`. At most 10,000 h.
pub fn hours(text: &str) -> Result<Hours, Trouble> {
    one(text, &HOURS, make_hours)
}

/// Reads a whole number of days: `3 days`, `2 weeks`. At most 100 years.
///
/// ```
/// use trug::units::{self, Days};
/// assert_eq!(units::days("3 weeks"), Ok(Days(21)));
/// ```
pub fn days(text: &str) -> Result<Days, Trouble> {
    one(text, &DAYS, make_days)
}

/// So much of something that is weighed or measured out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// By weight.
    Mass(Mass),
    Volume(Volume),
}

/// Reads a weight or a volume: `200 ml`, `18 L`, `50 g`.
///
/// ```
/// use trug::units::{self, Amount, VolumeUnit};
/// assert_eq!(units::amount("18 L"), Ok(Amount::Volume(VolumeUnit::Litre.of(18.0))));
/// ```
pub fn amount(text: &str) -> Result<Amount, Trouble> {
    one(text, &AMOUNT, make_amount)
}

/// What a reader does with number and unit.
pub(super) type Make<T> = fn(f64, Unit) -> Result<T, Trouble>;

fn one<T>(text: &str, wanted: &Wanted, make: Make<T>) -> Result<T, Trouble> {
    read(text, wanted.examples, |reader| {
        let (number, unit) = reader.quantity(wanted)?;
        make(number, unit)
    })
}

pub(super) const MASS: Wanted =
    Wanted { kinds: &[Kind::Mass], bare: None, signed: false, examples: &["640 g", "1.5 kg"] };
pub(super) const VOLUME: Wanted =
    Wanted { kinds: &[Kind::Volume], examples: &["200 ml", "18 L"], ..MASS };
pub(super) const AMOUNT: Wanted =
    Wanted { kinds: &[Kind::Volume, Kind::Mass], examples: &["200 ml", "18 L", "50 g"], ..MASS };
pub(super) const LENGTH: Wanted =
    Wanted { kinds: &[Kind::Length], examples: &["45 cm", "1.2 m"], ..MASS };
pub(super) const AREA: Wanted = Wanted { kinds: &[Kind::Area], examples: &["1.2 m²"], ..MASS };
pub(super) const TEMPERATURE: Wanted =
    Wanted { kinds: &[Kind::Temperature], signed: true, examples: &["12 °C"], ..MASS };
pub(super) const HOURS: Wanted =
    Wanted { kinds: &[Kind::Hours], examples: &["8 h", "90 min"], ..MASS };
pub(super) const DAYS: Wanted =
    Wanted { kinds: &[Kind::Days], examples: &["10 days", "3 weeks"], ..MASS };
const PERCENT: Wanted = Wanted { kinds: &[Kind::Percent], examples: &["50%"], ..MASS };

pub(super) fn make_mass(number: f64, unit: Unit) -> Result<Mass, Trouble> {
    let Unit::Mass(unit) = unit else { return Err(stray(unit)) };
    let mass = unit.of(number);
    match MassUnit::Kilogram.measure(mass) > 1e6 {
        true => Err(Trouble::TooLarge { most: "1000000 kg" }),
        false => Ok(mass),
    }
}

pub(super) fn make_volume(number: f64, unit: Unit) -> Result<Volume, Trouble> {
    let Unit::Volume(unit) = unit else { return Err(stray(unit)) };
    let volume = unit.of(number);
    match VolumeUnit::Litre.measure(volume) > 1e6 {
        true => Err(Trouble::TooLarge { most: "1000000 L" }),
        false => Ok(volume),
    }
}

pub(super) fn make_amount(number: f64, unit: Unit) -> Result<Amount, Trouble> {
    match unit {
        Unit::Mass(_) => make_mass(number, unit).map(Amount::Mass),
        _ => make_volume(number, unit).map(Amount::Volume),
    }
}

pub(super) fn make_length(number: f64, unit: Unit) -> Result<Length, Trouble> {
    let Unit::Length(unit) = unit else { return Err(stray(unit)) };
    let length = unit.of(number);
    match LengthUnit::Metre.measure(length) {
        metres if metres > 1e5 => Err(Trouble::TooLarge { most: "100000 m" }),
        metres if metres < -1e5 => Err(Trouble::TooSmall { least: "-100000 m" }),
        _ => Ok(length),
    }
}

pub(super) fn make_area(number: f64, unit: Unit) -> Result<Area, Trouble> {
    let Unit::Area(unit) = unit else { return Err(stray(unit)) };
    let area = unit.of(number);
    match AreaUnit::SquareMetre.measure(area) > 1e6 {
        true => Err(Trouble::TooLarge { most: "1000000 m²" }),
        false => Ok(area),
    }
}

pub(super) fn make_temperature(number: f64, unit: Unit) -> Result<Celsius, Trouble> {
    let Unit::Temperature(scale) = unit else { return Err(stray(unit)) };
    match scale.of(number) {
        Celsius(degrees) if degrees > 150.0 => Err(Trouble::TooLarge { most: "150 °C" }),
        Celsius(degrees) if degrees < -100.0 => Err(Trouble::TooSmall { least: "-100 °C" }),
        celsius => Ok(celsius),
    }
}

pub(super) fn make_hours(number: f64, unit: Unit) -> Result<Hours, Trouble> {
    let hours = match unit {
        Unit::Time(TimeUnit::Minute) => number / 60.0,
        Unit::Time(TimeUnit::Hour) => number,
        _ => return Err(stray(unit)),
    };
    if hours > 1e4 { Err(Trouble::TooLarge { most: "10000 h" }) } else { Ok(Hours(hours)) }
}

pub(super) fn make_days(number: f64, unit: Unit) -> Result<Days, Trouble> {
    let days = match unit {
        Unit::Time(TimeUnit::Day) => number,
        Unit::Time(TimeUnit::Week) => number * 7.0,
        _ => return Err(stray(unit)),
    };
    match days {
        days if days > 36_525.0 => Err(Trouble::TooLarge { most: "36525 days" }),
        days if days < -36_525.0 => Err(Trouble::TooSmall { least: "-36525 days" }),
        days if days.fract() != 0.0 => Err(Trouble::WholeWanted),
        // Within ±36525 and whole, so the cast is exact.
        days => Ok(Days(days as i32)),
    }
}

/// A reader asks only for kinds that its maker knows; this keeps the makers total all the same.
fn stray(unit: Unit) -> Trouble {
    Trouble::WrongKind {
        unit: unit.symbol().to_owned(),
        found: unit.kind(),
        wanted: &[],
        examples: &[],
        mended: None,
    }
}
