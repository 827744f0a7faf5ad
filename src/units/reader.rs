//! The hand that goes along a text: blanks, words, units, and the mending of what it trips over.

use crate::units::names::Unit;
use crate::units::number::Number;
use crate::units::{Kind, Trouble};

/// The longest text that can be a quantity, in bytes.
const LONGEST: usize = 200;

/// What may stand at a place.
#[derive(Clone, Copy)]
pub(super) struct Wanted {
    /// The kinds that fit.
    pub(super) kinds: &'static [Kind],
    /// The unit of a bare number, where one is allowed.
    pub(super) bare: Option<Unit>,
    /// Whether it may be below zero.
    pub(super) signed: bool,
    /// What would be right.
    pub(super) examples: &'static [&'static str],
}

/// A text and a position in it.
#[derive(Clone, Copy)]
pub(super) struct Reader<'a> {
    /// The text, without blanks at either end.
    pub(super) whole: &'a str,
    /// How many bytes have been read.
    pub(super) at: usize,
    /// What would be right, for a message.
    pub(super) examples: &'static [&'static str],
}

/// Reads the whole of `text` by `parse`. A replacement text that a trouble brings along is tried,
/// and mended further if need be; one that cannot be read in the end is withdrawn.
pub(super) fn read<T>(
    text: &str,
    examples: &'static [&'static str],
    parse: impl Fn(&mut Reader) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    let attempt = |text: &str| -> Result<T, Trouble> {
        let mut reader = Reader::new(text, examples)?;
        let value = parse(&mut reader)?;
        reader.end()?;
        Ok(value)
    };
    let trouble = match attempt(text) {
        Ok(value) => return Ok(value),
        Err(trouble) => trouble,
    };
    let mut candidate = trouble.mended().map(str::to_owned);
    for _ in 0..4 {
        let Some(tried) = candidate else { break };
        match attempt(&tried) {
            Ok(_) => return Err(trouble.with_mended(Some(tried))),
            Err(next) => candidate = next.mended().map(str::to_owned),
        }
    }
    Err(trouble.with_mended(None))
}

impl<'a> Reader<'a> {
    fn new(text: &'a str, examples: &'static [&'static str]) -> Result<Reader<'a>, Trouble> {
        let whole = text.trim();
        match whole.len() {
            0 => Err(Trouble::Empty { examples }),
            length if length > LONGEST => Err(Trouble::TooLong),
            _ => Ok(Reader { whole, at: 0, examples }),
        }
    }

    /// What is left to read.
    pub(super) fn rest(&self) -> &'a str {
        &self.whole[self.at..]
    }

    /// Passes over blanks; whether there were any.
    pub(super) fn skip_blanks(&mut self) -> bool {
        !self.take_while(char::is_whitespace).is_empty()
    }

    /// Takes the next letter if it is such a one.
    pub(super) fn take(&mut self, such: impl Fn(char) -> bool) -> bool {
        match self.rest().chars().next() {
            Some(letter) if such(letter) => {
                self.at += letter.len_utf8();
                true
            }
            _ => false,
        }
    }

    /// Takes all such letters.
    pub(super) fn take_while(&mut self, such: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|letter| !such(letter)).unwrap_or(rest.len());
        self.at += end;
        &rest[..end]
    }

    /// Takes one of these words, in any case, if it stands next.
    pub(super) fn take_word(&mut self, words: &[&str]) -> bool {
        let mut ahead = *self;
        ahead.skip_blanks();
        let word = ahead.take_while(is_letter_of_a_word);
        let found = words.iter().any(|known| known.eq_ignore_ascii_case(word.trim_matches('.')));
        if found {
            *self = ahead;
        }
        found
    }

    /// Takes a word for 'about' if it stands next.
    pub(super) fn take_about(&mut self) -> bool {
        let mut ahead = *self;
        ahead.skip_blanks();
        if ahead.take(|c| c == '~' || c == '≈')
            || ahead.take_word(&["about", "approx", "approximately", "around", "circa", "ca"])
        {
            ahead.skip_blanks();
            *self = ahead;
            return true;
        }
        false
    }

    /// Takes a dash or the word 'to', if the beginning of a number follows it.
    pub(super) fn take_to(&mut self) -> bool {
        let mut ahead = *self;
        ahead.skip_blanks();
        if ahead.take(is_dash) || ahead.take_word(&["to"]) {
            ahead.skip_blanks();
            if ahead.rest().starts_with(|c: char| c.is_numeric() || is_dash(c) || c == '.') {
                *self = ahead;
                return true;
            }
        }
        false
    }

    /// Takes 'per' or a stroke if it stands next.
    pub(super) fn take_per(&mut self) -> bool {
        let mut ahead = *self;
        ahead.skip_blanks();
        let found = ahead.take(|c| c == '/') || ahead.take_word(&["per"]);
        if found {
            *self = ahead;
        }
        found
    }

    /// Takes a unit: the longest name of up to three words; `None` if no word stands next.
    pub(super) fn unit(&mut self, wanted: &'static [Kind]) -> Result<Option<Named>, Trouble> {
        let mut ahead = *self;
        ahead.skip_blanks();
        let start = ahead.at;
        let mut ends = Vec::with_capacity(3);
        for _ in 0..3 {
            if ahead.take_while(is_letter_of_a_word).is_empty() {
                break;
            }
            ends.push(ahead.at);
            ahead.skip_blanks();
        }
        for end in ends.iter().rev() {
            if let Some(unit) = Unit::named(&self.whole[start..*end]) {
                self.at = *end;
                return Ok(Some(Named { unit, start, end: *end }));
            }
        }
        let Some(end) = ends.first().copied() else { return Ok(None) };
        let word = &self.whole[start..end];
        if NO_UNITS.iter().any(|known| known.eq_ignore_ascii_case(word)) {
            return Ok(None);
        }
        // 'UK gallons' is two words, 'kilos of beans' is one and something else.
        let (nearest, end) = ends
            .iter()
            .rev()
            .find_map(|end| Some((Unit::nearest(&self.whole[start..*end], wanted)?, *end)))
            .map_or((None, end), |(unit, end)| (Some(unit), end));
        Err(Trouble::UnknownUnit {
            unit: self.whole[start..end].to_owned(),
            nearest: nearest.map(Unit::symbol),
            wanted,
            mended: nearest.map(|unit| self.with_unit(start..end, unit.symbol())),
        })
    }

    /// A number with its unit, settled: of a wanted kind, and not below zero where that cannot be.
    pub(super) fn quantity(&mut self, wanted: &Wanted) -> Result<(f64, Unit), Trouble> {
        self.refuse_about()?;
        let number = self.number()?;
        let named = self.unit(wanted.kinds)?;
        self.settle(number, named, wanted)
    }

    /// A number and the unit that was found with it, settled.
    pub(super) fn settle(
        &self,
        number: Number,
        named: Option<Named>,
        wanted: &Wanted,
    ) -> Result<(f64, Unit), Trouble> {
        let unit = match named {
            Some(named) if wanted.kinds.contains(&named.unit.kind()) => named.unit,
            Some(named) => return Err(self.wrong_kind(named, wanted)),
            None => wanted.bare.ok_or_else(|| Trouble::UnitMissing {
                number: self.whole[number.start..number.end].to_owned(),
                examples: wanted.examples,
                mended: None,
            })?,
        };
        if number.value < 0.0 && !wanted.signed {
            return Err(Trouble::Negative);
        }
        Ok((number.value, unit))
    }

    /// A trouble if 'about' stands next.
    pub(super) fn refuse_about(&self) -> Result<(), Trouble> {
        let mut ahead = *self;
        if ahead.take_about() {
            let mended = self.replaced(self.at..ahead.at, "");
            return Err(Trouble::ExactWanted { mended: Some(mended) });
        }
        Ok(())
    }

    fn wrong_kind(&self, named: Named, wanted: &Wanted) -> Trouble {
        let written = &self.whole[named.start..named.end];
        let like = Unit::nearest(written, wanted.kinds);
        Trouble::WrongKind {
            unit: written.to_owned(),
            found: named.unit.kind(),
            wanted: wanted.kinds,
            examples: wanted.examples,
            mended: like.map(|unit| self.with_unit(named.start..named.end, unit.symbol())),
        }
    }

    /// A trouble if anything is left.
    pub(super) fn end(&self) -> Result<(), Trouble> {
        let mut ahead = *self;
        ahead.skip_blanks();
        let rest = ahead.rest();
        if rest.is_empty() {
            return Ok(());
        }
        if ahead.take_to() {
            return Err(Trouble::OneValueWanted);
        }
        // 'of beans' and a full stop can go; 'each', '8 oz' or 'per plant' change what is meant.
        let idle = ahead.take_word(&["of"]) && !rest.contains(char::is_numeric)
            || rest.chars().all(|c| c.is_ascii_punctuation());
        let mended = idle.then(|| self.whole[..self.at].trim_end().to_owned());
        Err(Trouble::SpareText { text: rest.to_owned(), mended })
    }

    /// The whole text with some bytes of it replaced.
    pub(super) fn replaced(&self, bytes: std::ops::Range<usize>, with: &str) -> String {
        format!("{}{with}{}", &self.whole[..bytes.start], &self.whole[bytes.end..])
    }

    /// The whole text with another unit, parted from its number by a blank.
    fn with_unit(&self, bytes: std::ops::Range<usize>, symbol: &str) -> String {
        let before = self.whole[..bytes.start].trim_end();
        format!("{before} {symbol}{}", &self.whole[bytes.end..])
    }
}

/// A unit and where it is named.
#[derive(Clone, Copy)]
pub(super) struct Named {
    pub(super) unit: Unit,
    /// The first byte of its name.
    pub(super) start: usize,
    /// One past the last.
    pub(super) end: usize,
}

/// Words of the grammar, which are never taken for a unit.
const NO_UNITS: &[&str] = &["to", "per", "x", "of", "row", "rows", "pot", "pots"];

fn is_letter_of_a_word(letter: char) -> bool {
    !letter.is_whitespace()
        && !is_dash(letter)
        && !matches!(letter, '/' | '×' | '*' | '(' | ')')
        && !matches!(letter, ',' | ';' | '+' | '~' | '≈')
}

/// Hyphen, dashes and minus, as keyboards and phones put them.
fn is_dash(letter: char) -> bool {
    matches!(letter, '-' | '\u{2010}'..='\u{2015}' | '−')
}
