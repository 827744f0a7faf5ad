//! Ranges: `5-7 weeks`, `-4 to -2 weeks`, `18-22 °C`; one value is a range with equal ends.

use crate::units::bare::bare;
use crate::units::names::Unit;
use crate::units::number::Number;
use crate::units::reader::{Named, Reader, Wanted, read};
use crate::units::simple::{
    DAYS, HOURS, LENGTH, Make, TEMPERATURE, make_days, make_hours, make_length, make_temperature,
};
use crate::units::{Celsius, Days, Hours, Length, TimeUnit, Trouble};

/// From the smaller to the larger value, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Range<T> {
    /// The smaller end.
    pub low: T,
    /// The larger end; equal to `low` where one value was written.
    pub high: T,
}

impl<T: PartialOrd + Copy> Range<T> {
    /// The range whose two ends are one value.
    pub fn single(value: T) -> Range<T> {
        Range { low: value, high: value }
    }

    /// Whether the value lies in the range, ends included.
    pub fn contains(&self, value: T) -> bool {
        self.low <= value && value <= self.high
    }

    /// Both ends changed in the same way; the change must keep their order.
    pub fn map<U>(self, change: impl Fn(T) -> U) -> Range<U> {
        Range { low: change(self.low), high: change(self.high) }
    }
}

/// Reads a range of days: `10-14 days`, `3 weeks`, `10 days to 2 weeks`. Never below zero.
///
/// ```
/// use trug::units::{self, Days, Range};
/// assert_eq!(units::days_range("5–7 weeks"), Ok(Range { low: Days(35), high: Days(49) }));
/// assert_eq!(units::days_range("7-5 weeks").unwrap_err().mended(), Some("5-7 weeks"));
/// ```
pub fn days_range(text: &str) -> Result<Range<Days>, Trouble> {
    range(text, &DAYS, make_days)
}

/// Reads a range of days where a bare number has a unit of its own, such as the weeks of
/// `weeks-under-cover: 8-10`. `bare` is [`TimeUnit::Day`] or [`TimeUnit::Week`].
///
/// ```
/// use trug::units::{self, Days, Range, TimeUnit};
/// let weeks = Range { low: Days(56), high: Days(70) };
/// assert_eq!(units::days_range_in("8-10", TimeUnit::Week), Ok(weeks));
/// ```
pub fn days_range_in(text: &str, bare: TimeUnit) -> Result<Range<Days>, Trouble> {
    let examples: &[&str] = &["8-10", "8"];
    range(text, &Wanted { bare: Some(Unit::Time(bare)), examples, ..DAYS }, make_days)
}

/// Reads days after or (below zero) before something: `2 weeks`, `-4 to -2 weeks`.
pub fn offset_range(text: &str) -> Result<Range<Days>, Trouble> {
    let examples: &[&str] = &["2 weeks", "-4 to -2 weeks"];
    range(text, &Wanted { signed: true, examples, ..DAYS }, make_days)
}

/// Reads a range of lengths: `46-60 cm`, `45 cm`, `90 cm to 1.2 m`.
pub fn length_range(text: &str) -> Result<Range<Length>, Trouble> {
    range(text, &LENGTH, make_length)
}

/// Reads a range of temperatures: `18-22 °C`, `-5 to 2 °C`, `65 °F`.
pub fn temperature_range(text: &str) -> Result<Range<Celsius>, Trouble> {
    let wanted = Wanted { examples: &["18-22 °C", "12 °C"], ..TEMPERATURE };
    range(text, &wanted, make_temperature)
}

/// Reads a range of hours: `6-10 hours`, `8 h`.
pub fn hours_range(text: &str) -> Result<Range<Hours>, Trouble> {
    range(text, &HOURS, make_hours)
}

/// Reads a range of bare numbers: `3-4`, `3`.
pub fn number_range(text: &str) -> Result<Range<f64>, Trouble> {
    read(text, &["3-4", "3"], |reader| {
        let mut first = *reader;
        let low = first.number()?;
        if !first.take_to() {
            return bare(reader).map(Range::single);
        }
        *reader = first;
        let start = reader.at;
        let high = bare(reader)?;
        reader.refuse_third_end()?;
        if low.value.abs() > 1e9 {
            return Err(Trouble::TooLarge { most: "1000000000" });
        }
        if low.value > high {
            let ends = [&reader.whole[start..reader.at], &reader.whole[low.start..low.end]];
            return Err(Trouble::RangeBackwards { mended: Some(joined(ends, "")) });
        }
        Ok(Range { low: low.value, high })
    })
}

fn range<T: PartialOrd + Copy>(
    text: &str,
    wanted: &Wanted,
    make: Make<T>,
) -> Result<Range<T>, Trouble> {
    read(text, wanted.examples, |reader| {
        reader.refuse_about()?;
        let low = reader.number()?;
        let low_unit = reader.unit(wanted.kinds)?;
        let end = |reader: &Reader, number: Number, named: Option<Named>| {
            let (value, unit) = reader.settle(number, named, wanted)?;
            make(value, unit)
        };
        if !reader.take_to() {
            return end(reader, low, low_unit).map(Range::single);
        }
        let high = reader.number()?;
        let high_unit = reader.unit(wanted.kinds)?;
        reader.refuse_third_end()?;

        let words = |from: usize, to: usize| &reader.whole[from..to];
        if let (Some(named), None) = (low_unit, high_unit) {
            let ends = [words(low.start, low.end), words(high.start, high.end)];
            return Err(Trouble::UnitMissing {
                number: ends[1].to_owned(),
                examples: wanted.examples,
                mended: Some(joined(ends, words(named.start, named.end))),
            });
        }
        let range = Range {
            low: end(reader, low, low_unit.or(high_unit))?,
            high: end(reader, high, high_unit)?,
        };
        if range.low <= range.high {
            return Ok(range);
        }
        let mended = match (low_unit, high_unit) {
            (Some(low_unit), Some(high_unit)) => format!(
                "{} to {}",
                words(high.start, high_unit.end),
                words(low.start, low_unit.end)
            ),
            _ => joined(
                [words(high.start, high.end), words(low.start, low.end)],
                high_unit.map_or("", |named| words(named.start, named.end)),
            ),
        };
        Err(Trouble::RangeBackwards { mended: Some(mended) })
    })
}

impl Reader<'_> {
    /// `5-6-7`: which of them are the ends?
    fn refuse_third_end(&self) -> Result<(), Trouble> {
        match { *self }.take_to() {
            true => Err(Trouble::SpareText { text: self.rest().trim().to_owned(), mended: None }),
            false => Ok(()),
        }
    }
}

/// Two numbers and their unit as a range is written: with 'to' where a dash could be a minus.
pub(super) fn joined(ends: [&str; 2], unit: &str) -> String {
    let plain = ends.iter().all(|end| !end.contains(['-', '−', ' ']));
    let blank = if unit.is_empty() { "" } else { " " };
    format!("{}{}{}{blank}{unit}", ends[0], if plain { "-" } else { " to " }, ends[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{LengthUnit, TemperatureUnit};

    #[test]
    fn ranges_of_the_garden() {
        let days = |low, high| Ok(Range { low: Days(low), high: Days(high) });
        assert_eq!(days_range("10-14 days"), days(10, 14));
        assert_eq!(days_range("3 weeks"), days(21, 21));
        assert_eq!(days_range("10 days to 2 weeks"), days(10, 14));
        assert_eq!(days_range("5 — 7weeks"), days(35, 49));
        assert_eq!(offset_range("-4 to -2 weeks"), days(-28, -14));
        assert_eq!(offset_range("-4--2 weeks"), days(-28, -14));
        assert_eq!(offset_range("−1 to 2 weeks"), days(-7, 14));
        assert_eq!(days_range_in("70-90", TimeUnit::Day), days(70, 90));
        assert_eq!(days_range_in("8 weeks", TimeUnit::Day), days(56, 56));

        let cm = |number| LengthUnit::Centimetre.of(number);
        assert_eq!(length_range("46-60 cm"), Ok(Range { low: cm(46.0), high: cm(60.0) }));
        assert_eq!(length_range("90 cm to 1.2 m"), Ok(Range { low: cm(90.0), high: cm(120.0) }));
        let celsius = |low, high| Ok(Range { low: Celsius(low), high: Celsius(high) });
        assert_eq!(temperature_range("18–22 °C"), celsius(18.0, 22.0));
        assert_eq!(temperature_range("-5 to 2°C"), celsius(-5.0, 2.0));
        assert_eq!(temperature_range("50-68 °F"), celsius(10.0, 20.0));
        assert_eq!(number_range("3-4"), Ok(Range { low: 3.0, high: 4.0 }));
        assert_eq!(number_range("3-3"), number_range("3"));
        assert_eq!(number_range(".5-.8"), Ok(Range { low: 0.5, high: 0.8 }));
    }

    #[test]
    fn what_is_wrong_with_a_range() {
        let mended = |trouble: Trouble| trouble.mended().map(str::to_owned);
        let text = |text: &str| Some(text.to_owned());
        assert_eq!(mended(offset_range("-2 to -4 weeks").unwrap_err()), text("-4 to -2 weeks"));
        assert_eq!(mended(length_range("60-46 cm").unwrap_err()), text("46-60 cm"));
        assert_eq!(mended(length_range("1.2 m - 90 cm").unwrap_err()), text("90 cm to 1.2 m"));
        assert_eq!(mended(length_range("46 cm - 60").unwrap_err()), text("46-60 cm"));
        assert_eq!(mended(days_range("5-7,5 weks").unwrap_err()), None, "7.5 weeks is no day");
        assert_eq!(mended(length_range("5-7,5 cm").unwrap_err()), text("5-7.5 cm"));
        assert_eq!(mended(number_range("4-3").unwrap_err()), text("3-4"));
        assert_eq!(days_range("-4 to -2 weeks"), Err(Trouble::Negative));
        assert_eq!(days_range("1.5 weeks"), Err(Trouble::WholeWanted));
        assert!(matches!(days_range("5-7"), Err(Trouble::UnitMissing { .. })));
        assert!(matches!(days_range("3 months"), Err(Trouble::UnknownUnit { .. })));
        assert!(matches!(days_range("5-6-7 days"), Err(Trouble::SpareText { .. })));
        assert!(matches!(number_range("5-6-7"), Err(Trouble::SpareText { .. })));
    }

    #[test]
    fn a_range_knows_what_lies_in_it() {
        let warm = temperature_range("18-22 °C").unwrap();
        assert!(warm.contains(Celsius(18.0)) && warm.contains(Celsius(22.0)));
        assert!(!warm.contains(Celsius(22.1)));
        let fahrenheit = warm.map(|celsius| TemperatureUnit::Fahrenheit.measure(celsius).round());
        assert_eq!(fahrenheit, Range { low: 64.0, high: 72.0 });
    }
}
