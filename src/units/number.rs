//! The number of a quantity: `3`, `0.5`, `½`, `1/2`, `2 1/2`, and the marks that are refused.

use crate::units::Trouble;
use crate::units::reader::Reader;

/// A number and where it stands in the text.
#[derive(Clone, Copy, Debug)]
pub(super) struct Number {
    pub(super) value: f64,
    /// The first byte, sign included.
    pub(super) start: usize,
    /// One past the last byte.
    pub(super) end: usize,
}

impl<'a> Reader<'a> {
    /// Reads a number at the current position.
    pub(super) fn number(&mut self) -> Result<Number, Trouble> {
        self.skip_blanks();
        let start = self.at;
        let negative = self.take(|c| c == '-' || c == '−');
        if !negative {
            self.take(|c| c == '+');
        }
        let size = self.unsigned(start)?;
        let value = if negative && size != 0.0 { -size } else { size };
        Ok(Number { value, start, end: self.at })
    }

    fn unsigned(&mut self, start: usize) -> Result<f64, Trouble> {
        let from = self.at;
        let digits = self.take_while(|c| c.is_ascii_digit() || is_mark(c));
        let digits = digits.trim_end_matches(is_mark);
        self.at = from + digits.len();

        if digits.is_empty() {
            return self.vulgar().ok_or_else(|| self.not_a_number(start));
        }
        if digits.contains(|c| is_mark(c) && c != '.') || digits.matches('.').count() > 1 {
            return Err(self.marked(from, digits, start));
        }
        let whole = digits.bytes().all(|b| b.is_ascii_digit());
        if whole && let Some(size) = self.fraction_after(digits, start)? {
            return Ok(size);
        }
        // '1e3' is no way to write an amount; taken apart, it would be '1' of a unit 'e3'.
        let mut ahead = self.rest().chars();
        if matches!(ahead.next(), Some('e' | 'E'))
            && ahead.next().is_some_and(|c| c.is_ascii_digit() || c == '-' || c == '+')
        {
            return Err(self.not_a_number(start));
        }
        digits.parse().map_err(|_| self.not_a_number(start))
    }

    /// What may follow a whole number: `/2`, `½`, ` 1/2`, ` ½`; or a blank between thousands.
    fn fraction_after(&mut self, digits: &str, start: usize) -> Result<Option<f64>, Trouble> {
        let whole: f64 = digits.parse().map_err(|_| self.not_a_number(start))?;
        if let Some(below) = self.denominator() {
            return self.divide(whole, below, start).map(Some);
        }
        if let Some(part) = self.vulgar() {
            return Ok(Some(whole + part));
        }
        let before = self.at;
        if self.skip_blanks() {
            if let Some(part) = self.vulgar() {
                return Ok(Some(whole + part));
            }
            let next = self.take_while(|c| c.is_ascii_digit());
            if let Ok(above) = next.parse::<f64>() {
                if let Some(below) = self.denominator() {
                    return Ok(Some(whole + self.divide(above, below, start)?));
                }
                if next.len() == 3 && digits.len() <= 3 {
                    let mended = self.replaced(before..self.at - 3, "");
                    return Err(Trouble::ThousandsMark { mended: Some(mended) });
                }
                return Err(self.not_a_number(start));
            }
        }
        self.at = before;
        Ok(None)
    }

    /// `/2`, if a number stands below the stroke.
    fn denominator(&mut self) -> Option<f64> {
        let before = self.at;
        if self.take(|c| c == '/' || c == '⁄') {
            let below = self.take_while(|c| c.is_ascii_digit());
            if let Ok(below) = below.parse() {
                return Some(below);
            }
        }
        self.at = before;
        None
    }

    fn divide(&self, above: f64, below: f64, start: usize) -> Result<f64, Trouble> {
        if below == 0.0 { Err(self.not_a_number(start)) } else { Ok(above / below) }
    }

    /// One of the ready-made fractions.
    fn vulgar(&mut self) -> Option<f64> {
        let letter = self.rest().chars().next()?;
        let (_, above, below) = VULGAR.iter().find(|(known, ..)| *known == letter)?;
        self.at += letter.len_utf8();
        Some(f64::from(*above) / f64::from(*below))
    }

    fn not_a_number(&self, start: usize) -> Trouble {
        let found = self.whole[start..].trim_end().to_owned();
        Trouble::NotANumber { found, examples: self.examples }
    }

    /// `1,5`, `1,200`, `1.234,5`, `1'000`, `1.000.000`: which of them is it?
    fn marked(&self, from: usize, digits: &str, start: usize) -> Trouble {
        let mended = |number: String| Some(self.replaced(from..from + digits.len(), &number));
        let without = |mark: char| digits.replace(mark, "");
        let marks: Vec<char> = digits.chars().filter(|c| is_mark(*c)).collect();
        let Some(last) = marks.last().copied() else { return self.not_a_number(start) };
        let parts: Vec<&str> = digits.split(is_mark).collect();
        let grouped = |parts: &[&str]| {
            parts.first().is_some_and(|first| (1..=3).contains(&first.len()))
                && parts.iter().skip(1).all(|part| part.len() == 3)
        };

        match marks.as_slice() {
            [','] => {
                let zero = parts.first().is_some_and(|first| *first == "0" || first.is_empty());
                if grouped(&parts) && !zero {
                    Trouble::ThousandsMark { mended: None }
                } else {
                    Trouble::DecimalComma { mended: mended(digits.replace(',', ".")) }
                }
            }
            all if all.iter().all(|mark| *mark == last) && grouped(&parts) => {
                Trouble::ThousandsMark { mended: mended(without(last)) }
            }
            // Thousands marked one way, decimals the other: '1,234.5' or '1.234,5'.
            [mark, more @ .., _]
                if *mark != last
                    && more.iter().all(|other| other == mark)
                    && grouped(&parts[..parts.len() - 1]) =>
            {
                let plain = without(*mark).replace(last, ".");
                match last {
                    '.' => Trouble::ThousandsMark { mended: mended(plain) },
                    ',' => Trouble::DecimalComma { mended: mended(plain) },
                    _ => self.not_a_number(start),
                }
            }
            _ => self.not_a_number(start),
        }
    }
}

/// Marks that people put inside numbers.
fn is_mark(letter: char) -> bool {
    matches!(letter, '.' | ',' | '\'' | '’' | '_')
}

const VULGAR: &[(char, u8, u8)] = &[
    ('½', 1, 2),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::number;

    #[test]
    fn numbers_that_are_read() {
        for (text, value) in [
            ("3", 3.0),
            ("0.5", 0.5),
            (".5", 0.5),
            ("007", 7.0),
            ("½", 0.5),
            ("1/2", 0.5),
            ("1⁄4", 0.25),
            ("2 1/2", 2.5),
            ("2½", 2.5),
            ("2 ¾", 2.75),
            ("-1.2", -1.2),
            ("−4", -4.0),
            ("+3", 3.0),
            ("-0", 0.0),
            ("52.9", 52.9),
        ] {
            assert_eq!(number(text), Ok(value), "{text}");
        }
        assert!(number("-0").is_ok_and(f64::is_sign_positive));
    }

    #[test]
    fn commas_are_mended_where_they_can_mean_one_thing_only() {
        let comma = |text: &str| number(text).unwrap_err();
        let decimal = |text: &str| Trouble::DecimalComma { mended: Some(text.to_owned()) };
        let thousands = |text: &str| Trouble::ThousandsMark { mended: Some(text.to_owned()) };
        assert_eq!(comma("1,5"), decimal("1.5"));
        assert_eq!(comma("0,125"), decimal("0.125"));
        assert_eq!(comma(",5"), decimal(".5"));
        assert_eq!(comma("1.234,5"), decimal("1234.5"));
        assert_eq!(comma("1,234.5"), thousands("1234.5"));
        assert_eq!(comma("1,234,567"), thousands("1234567"));
        assert_eq!(comma("1,234,567.8"), thousands("1234567.8"));
        assert_eq!(comma("1.234.567"), thousands("1234567"));
        assert_eq!(comma("1'200"), thousands("1200"));
        assert_eq!(comma("1’200"), thousands("1200"));
        assert_eq!(comma("1 200"), thousands("1200"));
        assert_eq!(comma("1\u{a0}200"), thousands("1200"));
        assert_eq!(comma("1,200"), Trouble::ThousandsMark { mended: None });
    }

    #[test]
    fn what_is_no_number() {
        for text in ["x", "-", "--3", "1/0", "1.2.3", "1e5", "1E-5", "1 2", ".", ",", "٣", "NaN"] {
            assert!(matches!(number(text), Err(Trouble::NotANumber { .. })), "{text}");
        }
        for text in ["1e+5", "1,23.4", "1,2,3.4", "1,234'567.8"] {
            assert!(matches!(number(text), Err(Trouble::NotANumber { .. })), "{text}");
        }
    }
}
