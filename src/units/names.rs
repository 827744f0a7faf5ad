//! What units are called: symbols, words, plurals, and near misses.

use crate::units::{AreaUnit, Kind, LengthUnit, MassUnit, TemperatureUnit, TimeUnit, VolumeUnit};

/// A unit of any kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Mass(MassUnit),
    Volume(VolumeUnit),
    Length(LengthUnit),
    Area(AreaUnit),
    Temperature(TemperatureUnit),
    Time(TimeUnit),
    /// A hundredth.
    Percent,
}

/// How the units of a kind are written.
pub fn symbols(kind: Kind) -> impl Iterator<Item = &'static str> {
    NAMES.iter().filter(move |(unit, _)| unit.kind() == kind).map(|(unit, _)| unit.symbol())
}

impl Unit {
    /// The unit of that name, whatever its case; up to three words.
    pub(super) fn named(written: &str) -> Option<Unit> {
        let name = plain(written);
        NAMES.iter().find(|(_, names)| names.contains(&name.as_str())).map(|(unit, _)| *unit)
    }

    /// The unit of one of these kinds that was probably meant, where the word leaves little doubt.
    pub(super) fn nearest(written: &str, wanted: &[Kind]) -> Option<Unit> {
        let name = plain(written);
        let fits = |unit: &Unit| wanted.contains(&unit.kind());
        if let Some((unit, _)) =
            MISNAMED.iter().find(|(unit, names)| fits(unit) && names.contains(&name.as_str()))
        {
            return Some(*unit);
        }
        // A slip changes a letter or two of a long word; short symbols are all near each other, and
        // a pint or a cup must not be taken for something else.
        if name.chars().count() < 5 || is_foreign(&name) {
            return None;
        }
        NAMES
            .iter()
            .filter(|(unit, _)| fits(unit))
            .flat_map(|(unit, names)| names.iter().map(move |known| (unit, known)))
            .filter(|(_, known)| known.len() >= 4)
            .map(|(unit, known)| (strsim::osa_distance(&name, known), *unit))
            .min_by_key(|(distance, _)| *distance)
            .filter(|(distance, _)| *distance <= if name.chars().count() < 7 { 1 } else { 2 })
            .map(|(_, unit)| unit)
    }

    /// What the unit measures.
    pub(super) fn kind(self) -> Kind {
        match self {
            Unit::Mass(_) => Kind::Mass,
            Unit::Volume(_) => Kind::Volume,
            Unit::Length(_) => Kind::Length,
            Unit::Area(_) => Kind::Area,
            Unit::Temperature(_) => Kind::Temperature,
            Unit::Percent => Kind::Percent,
            Unit::Time(TimeUnit::Minute | TimeUnit::Hour) => Kind::Hours,
            Unit::Time(TimeUnit::Day | TimeUnit::Week) => Kind::Days,
        }
    }

    /// How the unit is written.
    pub(super) fn symbol(self) -> &'static str {
        match self {
            Unit::Mass(unit) => unit.symbol(),
            Unit::Volume(unit) => unit.symbol(),
            Unit::Length(unit) => unit.symbol(),
            Unit::Area(unit) => unit.symbol(),
            Unit::Temperature(unit) => unit.symbol(),
            Unit::Percent => "%",
            Unit::Time(TimeUnit::Minute) => "min",
            Unit::Time(TimeUnit::Hour) => "h",
            Unit::Time(TimeUnit::Day) => "days",
            Unit::Time(TimeUnit::Week) => "weeks",
        }
    }
}

/// Lower case, without dots, one blank between words, one spelling for degrees and squares.
fn plain(written: &str) -> String {
    let mut name = String::with_capacity(written.len());
    for word in written.split_whitespace() {
        if !name.is_empty() && !name.ends_with('°') {
            name.push(' ');
        }
        for letter in word.chars() {
            match letter {
                '.' | '^' => {}
                '²' => name.push('2'),
                'º' | '˚' => name.push('°'),
                '℃' => name.push_str("°c"),
                '℉' => name.push_str("°f"),
                'ℓ' => name.push('l'),
                _ => name.extend(letter.to_lowercase()),
            }
        }
    }
    name
}

const NAMES: &[(Unit, &[&str])] = &[
    (Unit::Mass(MassUnit::Gram), &["g", "gram", "grams", "gramme", "grammes"]),
    (Unit::Mass(MassUnit::Kilogram), &["kg", "kilogram", "kilograms", "kilogramme", "kilogrammes"]),
    (Unit::Mass(MassUnit::Ounce), &["oz", "ounce", "ounces"]),
    (Unit::Mass(MassUnit::Pound), &["lb", "lbs", "pound", "pounds"]),
    (
        Unit::Volume(VolumeUnit::Millilitre),
        &["ml", "millilitre", "millilitres", "milliliter", "milliliters"],
    ),
    (Unit::Volume(VolumeUnit::Litre), &["l", "litre", "litres", "liter", "liters"]),
    (Unit::Volume(VolumeUnit::Teaspoon), &["tsp", "teaspoon", "teaspoons"]),
    (Unit::Volume(VolumeUnit::Tablespoon), &["tbsp", "tablespoon", "tablespoons"]),
    (
        Unit::Volume(VolumeUnit::FluidOunce),
        &["fl oz", "floz", "fluid ounce", "fluid ounces", "us fl oz"],
    ),
    (Unit::Volume(VolumeUnit::Quart), &["qt", "quart", "quarts", "us qt"]),
    (Unit::Volume(VolumeUnit::Gallon), &["gal", "gallon", "gallons", "us gal", "us gallons"]),
    (
        Unit::Volume(VolumeUnit::ImperialGallon),
        &["imp gal", "imp gallon", "imp gallons", "imperial gallon", "imperial gallons"],
    ),
    (
        Unit::Length(LengthUnit::Millimetre),
        &["mm", "millimetre", "millimetres", "millimeter", "millimeters"],
    ),
    (
        Unit::Length(LengthUnit::Centimetre),
        &["cm", "centimetre", "centimetres", "centimeter", "centimeters"],
    ),
    (Unit::Length(LengthUnit::Metre), &["m", "metre", "metres", "meter", "meters"]),
    (Unit::Length(LengthUnit::Inch), &["in", "inch", "inches"]),
    (Unit::Length(LengthUnit::Foot), &["ft", "foot", "feet"]),
    (
        Unit::Area(AreaUnit::SquareMetre),
        &["m2", "sq m", "sqm", "square metre", "square metres", "square meter", "square meters"],
    ),
    (
        Unit::Area(AreaUnit::SquareFoot),
        &["ft2", "sq ft", "sqft", "square foot", "square feet", "sq foot", "sq feet"],
    ),
    (
        Unit::Temperature(TemperatureUnit::Celsius),
        &["°c", "c", "deg c", "degc", "degrees c", "celsius", "degrees celsius"],
    ),
    (
        Unit::Temperature(TemperatureUnit::Fahrenheit),
        &["°f", "f", "deg f", "degf", "degrees f", "fahrenheit", "degrees fahrenheit"],
    ),
    (Unit::Percent, &["%", "percent", "per cent"]),
    (Unit::Time(TimeUnit::Minute), &["min", "mins", "minute", "minutes"]),
    (Unit::Time(TimeUnit::Hour), &["h", "hr", "hrs", "hour", "hours"]),
    (Unit::Time(TimeUnit::Day), &["day", "days", "d"]),
    (Unit::Time(TimeUnit::Week), &["week", "weeks", "wk", "wks"]),
];

/// Short forms that are not ours but leave no doubt.
const MISNAMED: &[(Unit, &[&str])] = &[
    (Unit::Mass(MassUnit::Gram), &["gr", "grs", "gm", "gms", "gs"]),
    (Unit::Mass(MassUnit::Kilogram), &["kgs", "kilo", "kilos", "kgr"]),
    (Unit::Mass(MassUnit::Ounce), &["ozs", "onz"]),
    (Unit::Volume(VolumeUnit::Millilitre), &["mls", "cc", "ccm", "cm3", "cm³"]),
    (Unit::Volume(VolumeUnit::Litre), &["lt", "ltr", "ltrs", "ls", "dm3", "dm³"]),
    (Unit::Volume(VolumeUnit::Teaspoon), &["tsps", "teasp"]),
    (Unit::Volume(VolumeUnit::Tablespoon), &["tbs", "tbl", "tbsps", "tblsp"]),
    (Unit::Volume(VolumeUnit::Gallon), &["gals", "gall"]),
    (Unit::Volume(VolumeUnit::Quart), &["qts"]),
    (Unit::Volume(VolumeUnit::ImperialGallon), &["uk gal", "uk gallon", "uk gallons"]),
    (Unit::Length(LengthUnit::Centimetre), &["cms"]),
    (Unit::Length(LengthUnit::Millimetre), &["mms"]),
    (Unit::Length(LengthUnit::Metre), &["mtr", "mtrs"]),
    (Unit::Length(LengthUnit::Inch), &["ins", "\"", "″", "''"]),
    (Unit::Length(LengthUnit::Foot), &["fts", "'", "′"]),
    (Unit::Area(AreaUnit::SquareMetre), &["qm"]),
    (Unit::Area(AreaUnit::SquareFoot), &["sf"]),
    (Unit::Temperature(TemperatureUnit::Celsius), &["centigrade"]),
    (Unit::Volume(VolumeUnit::FluidOunce), &["oz", "ounce", "ounces"]),
    (Unit::Time(TimeUnit::Minute), &["m"]),
];

/// Units that exist but are not read here: whoever writes one means it, and no other.
fn is_foreign(name: &str) -> bool {
    const FOREIGN: &[&str] = &[
        "centilit",
        "decilit",
        "hectolit",
        "kilomet",
        "decimet",
        "micromet",
        "milligram",
        "microgram",
        "grain",
        "stone",
        "tonne",
        "pint",
        "gill",
        "bushel",
        "yard",
        "hectare",
        "acre",
        "month",
        "year",
        "second",
        "kelvin",
    ];
    FOREIGN.iter().any(|unit| name.starts_with(unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_name_one_unit() {
        let mut all: Vec<_> = NAMES.iter().flat_map(|(_, names)| names.iter()).collect();
        let count = all.len();
        all.sort();
        all.dedup();
        assert_eq!(all.len(), count);
        for (unit, names) in NAMES {
            assert_eq!(Unit::named(unit.symbol()), Some(*unit));
            for name in *names {
                assert_eq!(plain(name), *name, "names are kept in plain form");
            }
        }
    }

    #[test]
    fn spellings_of_one_unit() {
        for name in ["°C", "° C", "ºC", "˚c", "℃", "C", "deg. C", "degrees Celsius"] {
            assert_eq!(Unit::named(name), Some(Unit::Temperature(TemperatureUnit::Celsius)));
        }
        for name in ["m²", "m2", "m^2", "sq m", "sq. m", "Square Metres"] {
            assert_eq!(Unit::named(name), Some(Unit::Area(AreaUnit::SquareMetre)), "{name}");
        }
        for name in ["fl oz", "fl. oz.", "FL OZ", "fluid ounces"] {
            assert_eq!(Unit::named(name), Some(Unit::Volume(VolumeUnit::FluidOunce)));
        }
        assert_eq!(Unit::named("℉"), Some(Unit::Temperature(TemperatureUnit::Fahrenheit)));
        assert_eq!(Unit::named("mℓ"), Some(Unit::Volume(VolumeUnit::Millilitre)));
    }

    /// A message lists the units that are read, and no others.
    #[test]
    fn messages_list_what_is_read() {
        for kind in [
            Kind::Mass,
            Kind::Volume,
            Kind::Length,
            Kind::Area,
            Kind::Temperature,
            Kind::Percent,
            Kind::Hours,
            Kind::Days,
        ] {
            let mut listed: Vec<&str> = kind.symbols().split(", ").collect();
            let mut read: Vec<&str> = symbols(kind).collect();
            listed.sort_unstable();
            read.sort_unstable();
            assert_eq!(listed, read, "{kind:?}");
        }
    }

    #[test]
    fn near_names_only_where_there_is_little_doubt() {
        let near = |name: &str, kind| Unit::nearest(name, &[kind]).map(Unit::symbol);
        assert_eq!(near("kilos", Kind::Mass), Some("kg"));
        assert_eq!(near("ouncs", Kind::Mass), Some("oz"));
        assert_eq!(near("litters", Kind::Volume), Some("L"));
        assert_eq!(near("centimetrs", Kind::Length), Some("cm"));
        assert_eq!(near("oz", Kind::Volume), Some("fl oz"));
        // Two letters off: of seven that is a slip, of six it can be another word.
        assert_eq!(near("gramess", Kind::Mass), Some("g"));
        assert_eq!(near("metric", Kind::Length), None);
        assert_eq!(near("weak", Kind::Days), None, "four letters are too few");
        for foreign in [
            "pint",
            "pints",
            "pt",
            "cup",
            "cups",
            "stone",
            "bushel",
            "yd",
            "yards",
            "months",
            "years",
            "mg",
            "milligrams",
            "tonnes",
            "centilitres",
            "decilitres",
            "kilometres",
            "hectares",
            "grain",
            "grains",
        ] {
            for kind in [Kind::Mass, Kind::Volume, Kind::Length, Kind::Days] {
                assert_eq!(near(foreign, kind), None, "{foreign}");
            }
        }
    }
}
