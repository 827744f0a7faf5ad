//! Quantities as they are written (`1.5 kg`, `18-22 °C`, `about 20`) and as typed values.
//!
//! This is the only reader of a quantity in the house, and the only place that knows how large a
//! unit is. It knows nothing of files, entries or problems: a reader takes a text and returns a
//! value or a [`Trouble`], which says in plain words what is wrong and often what to write instead.
//!
//! Weights, volumes, lengths and areas are SI quantities of the library `uom`, so that a kilogram
//! cannot stand where a litre is meant. Go in and out of them through [`MassUnit`], [`VolumeUnit`],
//! [`LengthUnit`] and [`AreaUnit`] only: `uom` rounds its pound, ounce and gallon to seven digits,
//! ours are the exact definitions. Nothing is rounded here; what is shown is rounded by the views.
//!
//! ```
//! use trug::units::{self, MassUnit};
//!
//! let picked = units::mass("1 1/2 lb").unwrap();
//! assert_eq!(MassUnit::Gram.measure(picked), 680.388555);
//!
//! let trouble = units::mass("1,5 kg").unwrap_err();
//! assert_eq!(trouble.mended(), Some("1.5 kg"));
//! ```

mod bare;
mod compound;
mod count;
mod kinds;
mod names;
mod number;
mod range;
mod reader;
mod simple;
#[cfg(test)]
mod spell;
mod system;
mod trouble;

pub use bare::{number, price, sun_hours, whole};
pub use compound::{Dose, Fill, Pot, density, dose, fill, pot};
pub use count::{Count, Uses, count, uses};
pub use kinds::{Area, Density, Length, Mass, Volume};
pub use kinds::{AreaUnit, LengthUnit, MassUnit, TemperatureUnit, TimeUnit, VolumeUnit};
pub use kinds::{Celsius, Days, Fraction, Hours, Kind};
pub use names::symbols;
pub use range::{
    Range, days_range, days_range_in, hours_range, length_range, number_range, offset_range,
    temperature_range,
};
pub use simple::{
    Amount, amount, days, elevation, hours, length, mass, percent, temperature,
    temperature_as_written, volume,
};
pub use system::System;
pub use trouble::Trouble;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    type Read = fn(&str) -> Result<String, Trouble>;

    /// Every reader of the room, its value as text.
    const READERS: &[(&str, Read)] = &[
        ("mass", |text| mass(text).map(shown)),
        ("volume", |text| volume(text).map(shown)),
        ("amount", |text| amount(text).map(shown)),
        ("length", |text| length(text).map(shown)),
        ("elevation", |text| elevation(text).map(shown)),
        ("temperature", |text| temperature_as_written(text).map(shown)),
        ("percent", |text| percent(text).map(shown)),
        ("hours", |text| hours(text).map(shown)),
        ("sun_hours", |text| sun_hours(text).map(shown)),
        ("days", |text| days(text).map(shown)),
        ("number", |text| number(text).map(shown)),
        ("price", |text| price(text).map(shown)),
        ("whole", |text| whole(text).map(shown)),
        ("count", |text| count(text).map(shown)),
        ("uses", |text| uses(text).map(shown)),
        ("density", |text| density(text).map(shown)),
        ("dose", |text| dose(text).map(shown)),
        ("pot", |text| pot(text).map(shown)),
        ("fill", |text| fill(text).map(shown)),
        ("days_range", |text| days_range(text).map(shown)),
        ("days_range_in", |text| days_range_in(text, TimeUnit::Week).map(shown)),
        ("offset_range", |text| offset_range(text).map(shown)),
        ("length_range", |text| length_range(text).map(shown)),
        ("temperature_range", |text| temperature_range(text).map(shown)),
        ("number_range", |text| number_range(text).map(shown)),
    ];

    fn shown(value: impl std::fmt::Debug) -> String {
        format!("{value:?}")
    }

    /// No reader panics, each trouble has words, and what it proposes can be read by the same.
    fn check(text: &str) -> Result<(), TestCaseError> {
        for (name, reader) in READERS {
            match reader(text) {
                Ok(value) => {
                    prop_assert!(!value.contains("NaN") && !value.contains("inf"), "{name} {text}");
                }
                Err(trouble) => {
                    let message = trouble.message();
                    prop_assert!(message.len() > 10 && message.len() < 400, "{name} {message}");
                    if let Some(mended) = trouble.mended() {
                        prop_assert!(reader(mended).is_ok(), "{name}: {text} → {mended}");
                    }
                }
            }
        }
        Ok(())
    }

    #[test]
    fn odd_texts_are_refused_by_every_reader() {
        let long = "9".repeat(5000);
        let deep = "about ".repeat(30);
        for text in [
            "",
            " ",
            "\t\n",
            "\u{a0}",
            "\0",
            "kg",
            "- kg",
            "--",
            "½½",
            "1/0 kg",
            "0/0 kg",
            "/",
            "٣ kg",
            "３ kg",
            "1e400 kg",
            "1e5",
            "NaN kg",
            "NaN",
            "inf",
            "infinity kg",
            "0x10 g",
            "1..2 kg",
            "1,2,3 kg",
            "kg 3",
            "3 kg kg",
            "3 kg 4 kg",
            "3 (kg)",
            "{3 kg}",
            "null",
            "~",
            "about",
            "about kg",
            "to",
            "3 to",
            "-",
            "%",
            "°",
            "x",
            "3 x",
            "x 3",
            "per L",
            "3 per",
            "🍅 3 kg",
            "3 🍅",
            "\u{feff}3 kg",
            "3\u{200b} kg",
            "3 k\u{301}g",
            &long,
            &deep,
        ] {
            check(text).unwrap_or_else(|error| panic!("{text:?}: {error}"));
            for (name, reader) in READERS {
                assert!(reader(text).is_err(), "{name} reads {text:?}");
            }
        }
    }

    #[test]
    fn what_a_message_shows_as_an_example_can_be_read() {
        let mut shown = 0;
        for (name, reader) in READERS {
            for trouble in ["", "3", "x"].iter().filter_map(|text| reader(text).err()) {
                let message = trouble.message();
                let examples = message.split_once("for example ").map_or("", |(_, after)| after);
                for example in examples.split('`').skip(1).step_by(2) {
                    assert!(reader(example).is_ok(), "{name}: {message}");
                    shown += 1;
                }
            }
        }
        assert!(shown > READERS.len());
    }

    #[test]
    fn limits_hold() {
        assert!(matches!(mass(&format!("{} kg", "9".repeat(60))), Err(Trouble::TooLarge { .. })));
        assert!(matches!(temperature("-274 °C"), Err(Trouble::TooSmall { .. })));
        assert!(matches!(days("5300 weeks"), Err(Trouble::TooLarge { .. })));
        assert_eq!(percent("101%"), Err(Trouble::TooLarge { most: "100%" }));
        assert_eq!(mass(&"9".repeat(201)), Err(Trouble::TooLong));
        assert_eq!(mass("-3 kg"), Err(Trouble::Negative));
        assert!(elevation("-3 m").is_ok() && length("-3 m").is_err());
    }

    /// The limits that the readers' descriptions name: they are read themselves, and nothing beyond them.
    #[test]
    fn limits_are_read_and_nothing_beyond() {
        let reader = |wanted: &str| {
            READERS.iter().find(|(name, _)| *name == wanted).map(|(_, reader)| reader).unwrap()
        };
        for (name, most, more) in [
            ("mass", "1000000 kg", "1000001 kg"),
            ("volume", "1000000 L", "1000001 L"),
            ("length", "100000 m", "100001 m"),
            ("elevation", "100000 m", "100001 m"),
            ("uses", "1000000 m²", "1000001 m²"),
            ("temperature", "150 °C", "150.1 °C"),
            ("percent", "100%", "100.1%"),
            ("hours", "10000 h", "10001 h"),
            ("sun_hours", "24", "24.1"),
            ("days", "36525 days", "36526 days"),
            ("number", "1000000000", "1000000001"),
            ("whole", "1000000", "1000001"),
            ("density", "25 kg per L", "25.1 kg per L"),
            ("number_range", "1000000000-1000000000", "1000000001-3"),
        ] {
            assert!(reader(name)(most).is_ok(), "{name} {most}");
            assert!(matches!(reader(name)(more), Err(Trouble::TooLarge { .. })), "{name} {more}");
        }
        for (name, least, less) in [
            ("elevation", "-100000 m", "-100001 m"),
            ("temperature", "-100 °C", "-100.1 °C"),
            ("offset_range", "-36525 days", "-36526 days"),
            ("number", "-1000000000", "-1000000001"),
            ("density", "0.001 kg per L", "0 kg per L"),
            ("pot", "1 mm pot", "0 cm pot"),
        ] {
            assert!(reader(name)(least).is_ok(), "{name} {least}");
            assert!(matches!(reader(name)(less), Err(Trouble::TooSmall { .. })), "{name} {less}");
        }
    }

    #[test]
    fn mending_goes_on_until_it_reads() {
        let mended = |text: &str| mass(text).unwrap_err().mended().map(str::to_owned);
        assert_eq!(mended("1,5kg").as_deref(), Some("1.5kg"));
        assert_eq!(mended("1,5 kilos of beans").as_deref(), Some("1.5 kg"));
        assert_eq!(mended("about 1,5 kilos").as_deref(), Some("1.5 kg"));
        assert_eq!(mended("1,5 cm"), None, "the comma is mended, the length stays a length");
        assert_eq!(mended("3kilos").as_deref(), Some("3 kg"));
        for text in ["3 lb 8 oz", "3 kg each", "3 kg (6 lb)", "3 kg per plant"] {
            assert_eq!(mended(text), None, "{text} must not lose a part of what it says");
        }
    }

    #[test]
    fn full_words_and_plurals_are_read() {
        for (long, short) in [
            ("3 grams", "3 g"),
            ("3 Kilograms", "3 kg"),
            ("3 ounces", "3 oz"),
            ("3 pounds", "3 lb"),
            ("3 litres", "3 L"),
            ("3 liters", "3 l"),
            ("3 millilitres", "3 ml"),
            ("3 gallons", "3 gal"),
            ("3 imperial gallons", "3 imp gal"),
            ("3 teaspoons", "3 tsp"),
            ("3 fluid ounces", "3 fl. oz."),
        ] {
            assert_eq!(amount(long), amount(short), "{long}");
            assert!(amount(short).is_ok(), "{short}");
        }
        for (long, short) in [("3 inches", "3 in"), ("3 feet", "3 ft"), ("3 metres", "3m")] {
            assert_eq!(length(long), length(short), "{long}");
            assert!(length(short).is_ok(), "{short}");
        }
    }

    /// Texts that are nearly right, which random letters never are.
    fn nearly() -> impl Strategy<Value = String> {
        let number = "(-|−)?([0-9]{1,4}|½|1/2|2 1/2)([.,' ][0-9]{1,3}){0,2}";
        let unit = "( )?(g|kg|kilos|oz|lb|ml|mls|L|litters|gal|imp gal|fl oz|tsp|mm|cm|m|in|ft|m²|\
                    sq ft|°C|F|%|h|min|days|weeks|weks|pint|EUR)?";
        let join = "( )?(-|–|to|x|per|/|of|row|pot|\u{a0})?( )?";
        let pattern = format!("(about |~)?{number}{unit}({join}{number}?{unit})?{join}");
        proptest::string::string_regex(&pattern).expect("a pattern of our own")
    }

    proptest! {
        #[test]
        fn no_text_breaks_a_reader(text in "\\PC{0,60}") {
            check(&text)?;
        }

        #[test]
        fn no_nearly_right_text_breaks_a_reader(text in nearly()) {
            check(&text)?;
        }
    }
}
