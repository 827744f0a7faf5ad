//! What somebody meant who wrote a date in another form than ISO 8601.

/// The months in English, January first.
pub(super) const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

const WEEKDAYS: [&str; 7] =
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

/// What may be meant. Numbers are as written: the day may not exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meant {
    Date {
        /// Of four digits.
        year: u32,
        /// From 1.
        month: u32,
        /// From 1.
        day: u32,
    },
    /// Day and month may be either way round.
    Either {
        /// Of four digits.
        year: u32,
        /// The number that is written first.
        first: u32,
        /// The number that is written second.
        second: u32,
    },
    /// One day of the year only.
    MonthDay {
        /// From 1.
        month: u32,
        /// From 1.
        day: u32,
    },
    /// Day and month may be either way round, and no year.
    EitherMonthDay {
        /// The number that is written first.
        first: u32,
        /// The number that is written second.
        second: u32,
    },
    /// A date whose year has not four digits.
    ShortYear,
}

/// What is meant by a text that is not in the right form; `None` if it is no date at all.
pub(super) fn meant(text: &str) -> Option<Meant> {
    // Nothing that long is a date; '22nd September 2026' with weekday and time is some 45 letters.
    if text.len() > 60 {
        return None;
    }
    let words = words(text)?;
    match words.as_slice() {
        [Word::Number(number, 8)] => Some(Meant::Date {
            year: number / 10_000,
            month: number / 100 % 100,
            day: number % 100,
        }),
        [Word::Number(year, 4), Word::Number(month, 1..=2), Word::Number(day, 1..=2)] => {
            Some(Meant::Date { year: *year, month: *month, day: *day })
        }
        [Word::Number(first, 1..=2), Word::Number(second, 1..=2), Word::Number(year, 4)] => {
            Some(match sides(*first, *second)? {
                Some((month, day)) => Meant::Date { year: *year, month, day },
                None => Meant::Either { year: *year, first: *first, second: *second },
            })
        }
        [Word::Number(day, 1..=2), Word::Month(month), Word::Number(year, 4)]
        | [Word::Month(month), Word::Number(day, 1..=2), Word::Number(year, 4)]
        | [Word::Number(year, 4), Word::Month(month), Word::Number(day, 1..=2)] => {
            Some(Meant::Date { year: *year, month: *month, day: *day })
        }
        [Word::Number(day, 1..=2), Word::Month(month)]
        | [Word::Month(month), Word::Number(day, 1..=2)] => {
            Some(Meant::MonthDay { month: *month, day: *day })
        }
        // Hyphens are our own form with a nought forgotten: month first, unless it cannot be.
        [Word::Number(month, 1..=2), Word::Number(day, 1..=2)] if hyphens_only(text) => {
            Some(match *month > 12 {
                true => Meant::MonthDay { month: *day, day: *month },
                false => Meant::MonthDay { month: *month, day: *day },
            })
        }
        [Word::Number(first, 1..=2), Word::Number(second, 1..=2)] => {
            Some(match sides(*first, *second)? {
                Some((month, day)) => Meant::MonthDay { month, day },
                None => Meant::EitherMonthDay { first: *first, second: *second },
            })
        }
        [Word::Number(_, 1..=2), Word::Number(_, 1..=2), Word::Number(_, 1..=2)]
        | [Word::Number(_, 1..=2), Word::Month(_), Word::Number(_, 1..=2)]
        | [Word::Month(_), Word::Number(_, 1..=2), Word::Number(_, 1..=2)] => {
            Some(Meant::ShortYear)
        }
        _ => None,
    }
}

/// Month and day of two numbers: `Some(None)` if both could be the month, `None` if neither.
fn sides(first: u32, second: u32) -> Option<Option<(u32, u32)>> {
    match (first, second) {
        (first, second) if first == second && first <= 12 => Some(Some((first, second))),
        (first, second) if first <= 12 && second <= 12 => Some(None),
        (first, second) if first <= 12 => Some(Some((first, second))),
        (first, second) if second <= 12 => Some(Some((second, first))),
        _ => None,
    }
}

#[derive(Clone, Copy)]
enum Word {
    /// A number and of how many digits.
    Number(u32, usize),
    /// A month by name, from 1.
    Month(u32),
}

/// The numbers and months of a text; `None` if anything else is in it, weekday and time apart.
fn words(text: &str) -> Option<Vec<Word>> {
    let mut words = Vec::new();
    for word in without_time(text).split(|c: char| !c.is_alphanumeric()) {
        let digits = word.find(|c: char| !c.is_ascii_digit()).unwrap_or(word.len());
        let (number, letters) = word.split_at(digits);
        let letters = letters.to_lowercase();
        if word.is_empty() || (number.is_empty() && named(&WEEKDAYS, &letters).is_some()) {
            continue;
        }
        match number.parse() {
            Ok(value) if ["", "st", "nd", "rd", "th"].contains(&letters.as_str()) => {
                words.push(Word::Number(value, number.len()));
            }
            // '22feb2026' is left alone: it has no words to tell apart.
            Ok(_) => return None,
            Err(_) => words.push(Word::Month(named(&MONTHS, &letters)?)),
        }
    }
    Some(words)
}

/// The text without a time of day after it: everything from a `T` or a blank before `10:15`.
fn without_time(text: &str) -> &str {
    let Some(colon) = text.find(':') else { return text };
    let hours = text[..colon].trim_end_matches(|c: char| c.is_ascii_digit());
    hours.trim_end_matches(['T', 't', ' '])
}

/// Which of the names it is, from 1, in full or cut to three letters or more.
fn named(names: &[&str], word: &str) -> Option<u32> {
    let cut = |name: &str| word.len() >= 3 && name.to_lowercase().starts_with(word);
    (1..).zip(names).find(|(_, name)| cut(name)).map(|(number, _)| number)
}

fn hyphens_only(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit() || b == b'-')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_months() {
        assert_eq!(named(&MONTHS, "sept"), Some(9));
        assert_eq!(named(&MONTHS, "may"), Some(5));
        assert_eq!(named(&MONTHS, "ju"), None);
        assert_eq!(named(&MONTHS, "febber"), None);
    }

    #[test]
    fn a_long_text_is_not_looked_at() {
        // With 50 blanks it has 60 bytes.
        let spaced = |blanks: usize| meant(&format!("22 Feb{}2026", " ".repeat(blanks)));
        assert_eq!(spaced(50), Some(Meant::Date { year: 2026, month: 2, day: 22 }));
        assert_eq!(spaced(51), None);
        assert_eq!(spaced(500), None);
    }

    #[test]
    fn either_way_round() {
        assert_eq!(sides(22, 2), Some(Some((2, 22))));
        assert_eq!(sides(2, 22), Some(Some((2, 22))));
        assert_eq!(sides(4, 4), Some(Some((4, 4))));
        assert_eq!(sides(3, 4), Some(None));
        assert_eq!(sides(13, 14), None);
    }
}
