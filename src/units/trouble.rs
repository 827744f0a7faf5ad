//! What can be wrong with a written quantity: data first, words last.

use crate::units::Kind;

/// Why a text is no quantity of the kind that was wanted.
///
/// Every `mended` is a whole replacement text which the same reader accepts; it is `None` where a
/// guess could change what was meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// Nothing is written.
    Empty {
        /// What would be right.
        examples: &'static [&'static str],
    },
    /// Longer than any quantity is.
    TooLong,
    /// No number where one must stand.
    NotANumber {
        /// What stands there.
        found: String,
        /// What would be right.
        examples: &'static [&'static str],
    },
    /// A number, but of what?
    UnitMissing {
        /// The number as written.
        number: String,
        /// What would be right.
        examples: &'static [&'static str],
        /// Given where the other end of a range has the unit.
        mended: Option<String>,
    },
    /// A unit that is not in the list.
    UnknownUnit {
        /// As written.
        unit: String,
        /// The unit that was probably meant.
        nearest: Option<&'static str>,
        /// What may stand there.
        wanted: &'static [Kind],
        /// With the nearest unit put in.
        mended: Option<String>,
    },
    /// A unit of another kind: a length where a weight is wanted.
    WrongKind {
        /// The unit as written.
        unit: String,
        /// What it measures.
        found: Kind,
        /// What may stand there.
        wanted: &'static [Kind],
        /// What would be right.
        examples: &'static [&'static str],
        /// Given where a like-named unit of the right kind exists (`oz`, `fl oz`).
        mended: Option<String>,
    },
    /// `1,5 kg`.
    DecimalComma {
        /// With a decimal point.
        mended: Option<String>,
    },
    /// `1,200 g`, `1 200 g`, `1'200 g`; with one comma and three digits it may be either.
    ThousandsMark {
        /// Without marks, where only one reading is possible.
        mended: Option<String>,
    },
    /// Below zero where that cannot be.
    Negative,
    /// `7-5 weeks`.
    RangeBackwards {
        /// The ends changed over.
        mended: Option<String>,
    },
    /// `3-4 kg` where one value is wanted.
    OneValueWanted,
    /// `about 3 kg` where the figure must be exact.
    ExactWanted {
        /// Without the 'about'.
        mended: Option<String>,
    },
    /// `2.5` plants.
    WholeWanted,
    /// `7.20 EUR`: a bare number is wanted.
    BareWanted {
        /// The number alone.
        mended: Option<String>,
    },
    /// `3 kg of beans`.
    SpareText {
        /// What is too much.
        text: String,
        /// Without it.
        mended: Option<String>,
    },
    /// `2 rows`, `1 packet`: how many seeds is that?
    Uncounted {
        /// What was counted.
        of: String,
    },
    /// `20 ml` where `20 ml per 5 L` is wanted.
    PerMissing {
        /// What would be right.
        examples: &'static [&'static str],
    },
    /// More than a garden has.
    TooLarge {
        /// The largest value that is read.
        most: &'static str,
    },
    /// Less than can be.
    TooSmall {
        /// The smallest value that is read.
        least: &'static str,
    },
}

impl Trouble {
    /// What is wrong, for a gardener; a mended text is left to [`Trouble::mended`].
    pub fn message(&self) -> String {
        match self {
            Trouble::Empty { examples } => {
                format!("nothing is written here: write for example {}", listed(examples))
            }
            Trouble::TooLong => "this is too long for a quantity".to_owned(),
            Trouble::NotANumber { found, examples } => {
                let examples = listed(examples);
                match found.is_empty() {
                    true => format!("a number is missing: write for example {examples}"),
                    false => {
                        format!("`{}` is not a number: write for example {examples}", cut(found))
                    }
                }
            }
            Trouble::UnitMissing { number, examples, .. } => {
                format!("`{}` has no unit: write for example {}", cut(number), listed(examples))
            }
            Trouble::UnknownUnit { unit, nearest: Some(nearest), .. } => {
                format!("`{}` is not a unit known here; perhaps `{nearest}` is meant", cut(unit))
            }
            Trouble::UnknownUnit { unit, nearest: None, wanted, .. } => {
                let known: Vec<_> = wanted.iter().map(|kind| kind.symbols()).collect();
                format!(
                    "`{}` is not a unit known here; those that fit are {}",
                    cut(unit),
                    known.join(", ")
                )
            }
            Trouble::WrongKind { unit, found, wanted, examples, .. } => {
                let wanted: Vec<_> = wanted.iter().map(|kind| kind.words()).collect();
                format!(
                    "`{}` measures {}, but here {} is wanted: write for example {}",
                    cut(unit),
                    found.words(),
                    wanted.join(" or "),
                    listed(examples)
                )
            }
            Trouble::DecimalComma { .. } => {
                "decimals are written with a point, not with a comma".to_owned()
            }
            Trouble::ThousandsMark { mended: Some(_) } => {
                "thousands are written without a mark or a space between them".to_owned()
            }
            Trouble::ThousandsMark { mended: None } => {
                "this can be read as thousands or as decimals: write thousands without a mark, \
                 and decimals with a point"
                    .to_owned()
            }
            Trouble::Negative => "this cannot be below zero".to_owned(),
            Trouble::RangeBackwards { .. } => {
                "the range runs backwards: the smaller value comes first".to_owned()
            }
            Trouble::OneValueWanted => "one value is wanted here, not a range".to_owned(),
            Trouble::ExactWanted { .. } => {
                "an exact value is wanted here, without 'about'".to_owned()
            }
            Trouble::WholeWanted => "a whole number is wanted here".to_owned(),
            Trouble::BareWanted { .. } => {
                "a number alone is wanted here, without a unit or a currency".to_owned()
            }
            Trouble::SpareText { text, .. } => {
                format!("`{}` does not belong to the quantity", cut(text))
            }
            Trouble::Uncounted { of } if of.starts_with("row") => {
                "a row can have any length: write how long they are together (`6 m row`), or about \
                 how many seeds went in (`about 80`)"
                    .to_owned()
            }
            Trouble::Uncounted { of } => format!(
                "`{of}` does not say how many seeds or plants it was: write about how many \
                 (`about 80`), or `unknown`"
            ),
            Trouble::PerMissing { examples } => {
                format!("'per' how much is missing: write for example {}", listed(examples))
            }
            Trouble::TooLarge { most } => format!("this is too large: at most {most} is read here"),
            Trouble::TooSmall { least } => {
                format!("this is too small: at least {least} is read here")
            }
        }
    }

    /// A whole text to write instead, which the same reader accepts.
    pub fn mended(&self) -> Option<&str> {
        self.slot().and_then(|mended| mended.as_deref())
    }

    /// The same trouble with another replacement text, if the trouble has room for one.
    pub(super) fn with_mended(mut self, mended: Option<String>) -> Trouble {
        match &mut self {
            Trouble::UnitMissing { mended: slot, .. }
            | Trouble::UnknownUnit { mended: slot, .. }
            | Trouble::WrongKind { mended: slot, .. }
            | Trouble::DecimalComma { mended: slot }
            | Trouble::ThousandsMark { mended: slot }
            | Trouble::RangeBackwards { mended: slot }
            | Trouble::ExactWanted { mended: slot }
            | Trouble::BareWanted { mended: slot }
            | Trouble::SpareText { mended: slot, .. } => *slot = mended,
            _ => {}
        }
        self
    }

    fn slot(&self) -> Option<&Option<String>> {
        match self {
            Trouble::UnitMissing { mended, .. }
            | Trouble::UnknownUnit { mended, .. }
            | Trouble::WrongKind { mended, .. }
            | Trouble::DecimalComma { mended }
            | Trouble::ThousandsMark { mended }
            | Trouble::RangeBackwards { mended }
            | Trouble::ExactWanted { mended }
            | Trouble::BareWanted { mended }
            | Trouble::SpareText { mended, .. } => Some(mended),
            _ => None,
        }
    }
}

/// '`3 kg` or `640 g`'.
fn listed(examples: &[&str]) -> String {
    let ticked: Vec<_> = examples.iter().map(|example| format!("`{example}`")).collect();
    match ticked.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => ticked.concat(),
    }
}

/// The first forty characters: a message is no place for a whole paragraph.
fn cut(text: &str) -> String {
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units;

    #[test]
    fn messages_speak_plainly() {
        let says = |trouble: Trouble| trouble.message();
        assert_eq!(
            says(units::mass("3").unwrap_err()),
            "`3` has no unit: write for example `640 g` or `1.5 kg`"
        );
        assert_eq!(
            says(units::mass("3 mm").unwrap_err()),
            "`mm` measures a length, but here a weight is wanted: write for example `640 g` or \
             `1.5 kg`"
        );
        assert_eq!(
            says(units::amount("2 pints").unwrap_err()),
            "`pints` is not a unit known here; those that fit are ml, L, tsp, tbsp, fl oz, qt, \
             gal, imp gal, g, kg, oz, lb"
        );
        assert_eq!(
            says(units::volume("2 litters").unwrap_err()),
            "`litters` is not a unit known here; perhaps `L` is meant"
        );
        assert_eq!(
            says(units::mass("").unwrap_err()),
            "nothing is written here: write for example `640 g` or `1.5 kg`"
        );
        let rows = says(units::count("2 rows").unwrap_err());
        assert!(rows.contains("`6 m row`"), "{rows}");
        let packets = says(units::count("2 packets").unwrap_err());
        assert!(packets.starts_with("`packets` does not say how many"), "{packets}");
    }

    /// Whoever wrote too little is shown what can stand in this place, not in another of the same kind.
    #[test]
    fn examples_are_of_the_place() {
        let examples = |message: String| message.split("for example ").nth(1).map(str::to_owned);
        for (message, wanted) in [
            (units::amount("3").map(drop), "`200 ml`, `18 L` or `50 g`"),
            (units::sun_hours("").map(drop), "`8` or `8 h`"),
            (units::elevation("").map(drop), "`45 m` or `150 ft`"),
            (units::days_range_in("", units::TimeUnit::Week).map(drop), "`8-10` or `8`"),
            (units::offset_range("").map(drop), "`2 weeks` or `-4 to -2 weeks`"),
            (units::temperature_range("").map(drop), "`18-22 °C` or `12 °C`"),
            (units::density("1.2").map(drop), "`1.2 kg per L`"),
            (units::dose("20").map(drop), "`20 ml per 5 L` or `15 g per 10 L`"),
            (units::dose("20 ml per 5").map(drop), "`20 ml per 5 L` or `15 g per 10 L`"),
            (units::dose("20 ml per kg").map(drop), "`20 ml per 5 L` or `15 g per 10 L`"),
            (units::pot("9").map(drop), "`9 cm pot` or `2 L pot`"),
        ] {
            assert_eq!(examples(message.unwrap_err().message()).as_deref(), Some(wanted));
        }
    }

    #[test]
    fn a_long_word_is_cut_in_the_message() {
        let message = units::mass(&format!("3 {}", "é".repeat(90))).unwrap_err().message();
        assert!(message.contains(&"é".repeat(40)) && !message.contains(&"é".repeat(41)));
    }
}
