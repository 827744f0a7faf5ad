//! Readers of numbers without a unit, where the grower's page shows them bare.

use crate::units::names::Unit;
use crate::units::reader::{Reader, Wanted, read};
use crate::units::simple::{HOURS, make_hours};
use crate::units::{Hours, TimeUnit, Trouble};

/// Reads a bare number, below zero or not: a latitude, a crop coefficient, a sum of degree days.
/// Between minus and plus a thousand million.
///
/// ```
/// use trug::units;
/// assert_eq!(units::number("-1.2"), Ok(-1.2));
/// assert!(units::number("30%").is_err());
/// ```
pub fn number(text: &str) -> Result<f64, Trouble> {
    read(text, &["1.2"], bare)
}

/// Reads a price in the garden's currency: `7.20`. Never below zero.
///
/// ```
/// use trug::units;
/// assert_eq!(units::price("7.20"), Ok(7.2));
/// assert_eq!(units::price("€7.20").unwrap_err().mended(), Some("7.20"));
/// ```
pub fn price(text: &str) -> Result<f64, Trouble> {
    read(text, &["7.20"], |reader| {
        let mut ahead = *reader;
        let before = ahead.take_while(|c| c.is_alphabetic() || CURRENCIES.contains(&c));
        ahead.skip_blanks();
        if is_currency(before) && !ahead.rest().is_empty() {
            return Err(Trouble::BareWanted { mended: Some(ahead.rest().to_owned()) });
        }
        let price = bare_or(reader, is_currency)?;
        if price < 0.0 { Err(Trouble::Negative) } else { Ok(price) }
    })
}

/// Reads a whole number of things: `12`. At most a million.
///
/// ```
/// use trug::units;
/// assert_eq!(units::whole("12"), Ok(12));
/// assert!(units::whole("2.5").is_err());
/// ```
pub fn whole(text: &str) -> Result<u32, Trouble> {
    read(text, &["12"], |reader| whole_of(bare_or(reader, is_plant_word)?))
}

/// Reads hours of sun a day, bare or with a unit: `8`, `8 h`. From 0 to 24.
pub fn sun_hours(text: &str) -> Result<Hours, Trouble> {
    let wanted =
        Wanted { bare: Some(Unit::Time(TimeUnit::Hour)), examples: &["8", "8 h"], ..HOURS };
    read(text, wanted.examples, |reader| {
        let (number, unit) = reader.quantity(&wanted)?;
        match make_hours(number, unit)? {
            Hours(hours) if hours > 24.0 => Err(Trouble::TooLarge { most: "24 hours a day" }),
            hours => Ok(hours),
        }
    })
}

/// A number alone; what was meant by a unit after it, nobody can tell.
pub(super) fn bare(reader: &mut Reader) -> Result<f64, Trouble> {
    bare_or(reader, |_| false)
}

/// A number alone, where some words after it can be left out without loss.
fn bare_or(reader: &mut Reader, idle: fn(&str) -> bool) -> Result<f64, Trouble> {
    reader.refuse_about()?;
    let number = reader.number()?;
    let mut ahead = *reader;
    ahead.skip_blanks();
    let after = ahead.rest();
    if after.starts_with(|c: char| c.is_alphabetic() || CURRENCIES.contains(&c) || "%°".contains(c))
        && !after.starts_with("to ")
    {
        let mended = idle(after).then(|| reader.whole[..reader.at].to_owned());
        return Err(Trouble::BareWanted { mended });
    }
    match number.value {
        value if value > 1e9 => Err(Trouble::TooLarge { most: "1000000000" }),
        value if value < -1e9 => Err(Trouble::TooSmall { least: "-1000000000" }),
        value => Ok(value),
    }
}

/// The number of things that a number is.
pub(super) fn whole_of(number: f64) -> Result<u32, Trouble> {
    match number {
        number if number < 0.0 => Err(Trouble::Negative),
        number if number > 1e6 => Err(Trouble::TooLarge { most: "1000000" }),
        number if number.fract() != 0.0 => Err(Trouble::WholeWanted),
        // Between 0 and a million and whole, so the cast is exact.
        number => Ok(number as u32),
    }
}

/// A word that says no more than that plants or seeds are counted.
pub(super) fn is_plant_word(word: &str) -> bool {
    const WORDS: &[&str] = &[
        "seed", "plant", "seedling", "clove", "set", "tuber", "crown", "bulb", "fruit", "cutting",
        "slip", "piece",
    ];
    let word = word.to_lowercase();
    WORDS.contains(&word.strip_suffix('s').unwrap_or(&word))
}

/// A sign, or up to three letters as in `EUR` or `kr`.
fn is_currency(word: &str) -> bool {
    !word.is_empty()
        && word.chars().count() <= 3
        && word.chars().all(|c| c.is_alphabetic() || CURRENCIES.contains(&c))
}

const CURRENCIES: &[char] = &['€', '$', '£', '¥', '₹'];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bare_numbers() {
        assert_eq!(whole("0"), Ok(0));
        assert_eq!(whole("-1"), Err(Trouble::Negative));
        assert_eq!(whole("50 seeds").unwrap_err().mended(), Some("50"));
        assert_eq!(whole("36 months").unwrap_err().mended(), None, "36 of what the field counts?");
        assert_eq!(number("30%").unwrap_err().mended(), None, "30 is not what was meant");
        assert_eq!(whole("2000000"), Err(Trouble::TooLarge { most: "1000000" }));
        assert!(matches!(number("9999999999"), Err(Trouble::TooLarge { .. })));
        assert_eq!((sun_hours("8"), sun_hours("480 min")), (Ok(Hours(8.0)), Ok(Hours(8.0))));
        assert!(matches!(sun_hours("25"), Err(Trouble::TooLarge { .. })));
        assert!(matches!(sun_hours("8 days"), Err(Trouble::WrongKind { .. })));
    }

    #[test]
    fn a_currency_is_left_out() {
        for text in ["€7.20", "EUR 7.20", "7.20 EUR", "7.20€", "7,20 €", "$ 7.20"] {
            assert_eq!(price(text).unwrap_err().mended(), Some("7.20"), "{text}");
        }
        assert_eq!(price("-1"), Err(Trouble::Negative));
        assert_eq!(price("0"), Ok(0.0), "a present costs nothing");
        for text in ["free", "7.20 per 100 g", "7.20%", "seven"] {
            assert_eq!(price(text).map_err(|t| t.mended().map(str::len)), Err(None), "{text}");
        }
    }
}
