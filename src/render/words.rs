//! The theme's words: keys of sentences to sentences, dates and numbers as the language writes them.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::site::amount::Amount;
use crate::site::message::{Arg, Message};

/// The words of one language.
#[derive(Clone, Debug)]
pub struct Words {
    by_key: BTreeMap<String, String>,
}

/// A key for which the theme has no words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoWords(pub String);

const NO_BREAK: char = '\u{a0}';

impl Words {
    pub fn new(by_key: BTreeMap<String, String>) -> Words {
        Words { by_key }
    }

    /// The sentence of a message.
    ///
    /// # Errors
    /// If the theme has no words for its key.
    pub fn say(&self, message: &Message) -> Result<String, NoWords> {
        let pattern = self.pattern(&message.say, &message.with)?;
        filled(pattern, |name| {
            let (name, style) = name.split_once(':').unwrap_or((name, "day"));
            let arg = message.with.get(name).ok_or_else(|| NoWords(format!("{{{name}}}")))?;
            self.arg(arg, style)
        })
    }

    /// The words of a key that needs no arguments.
    ///
    /// # Errors
    /// If the theme has no words for it.
    pub fn word(&self, key: &str) -> Result<&str, NoWords> {
        self.by_key.get(key).map(String::as_str).ok_or_else(|| NoWords(key.to_owned()))
    }

    /// A day in one of the theme's styles: `day`, `full`, `short`, `month`, `weekday`.
    ///
    /// # Errors
    /// If the theme lacks the style or a name.
    pub fn date(&self, date: NaiveDate, style: &str) -> Result<String, NoWords> {
        let pattern = self.word(&format!("date.{style}"))?;
        let (month, weekday) = (date.month(), date.weekday().number_from_monday());
        filled(pattern, |name| {
            let key = match name {
                "day" => return Ok(date.day().to_string()),
                "year" => return Ok(date.year().to_string()),
                "month" | "mon" => format!("{name}.{month}"),
                "wday" if self.by_key.contains_key(&format!("wday.{weekday}")) => {
                    format!("wday.{weekday}")
                }
                "weekday" | "wday" => format!("weekday.{weekday}"),
                _ => return Err(NoWords(format!("{{{name}}}"))),
            };
            self.word(&key).map(str::to_owned)
        })
    }

    /// A quantity with its unit, kept on one line.
    ///
    /// # Errors
    /// If the theme has no decimal sign.
    pub fn amount(&self, amount: &Amount) -> Result<String, NoWords> {
        let number = amount.number.replace('.', self.word("decimal")?).replace('-', "\u{2212}");
        let form = if amount.number == "1" { "one" } else { "many" };
        let unit = self
            .by_key
            .get(&format!("unit.{}.{form}", amount.unit))
            .or_else(|| self.by_key.get(&format!("unit.{}", amount.unit)))
            .unwrap_or(&amount.unit);
        let text = if unit.is_empty() { number } else { format!("{number}{NO_BREAK}{unit}") };
        if amount.about {
            return Ok(self.word("about")?.replace("{amount}", &text));
        }
        Ok(text)
    }

    /// `key.one` or `key` by the argument `count`.
    fn pattern(&self, key: &str, with: &BTreeMap<String, Arg>) -> Result<&str, NoWords> {
        if let Some(Arg::Count(1)) = with.get("count")
            && let Some(one) = self.by_key.get(&format!("{key}.one"))
        {
            return Ok(one);
        }
        self.word(key)
    }

    fn arg(&self, arg: &Arg, style: &str) -> Result<String, NoWords> {
        match arg {
            Arg::Text(text) => Ok(text.clone()),
            Arg::Date(date) => self.date(*date, style),
            Arg::Count(count) => Ok(count.to_string()),
            Arg::Amount(amount) => self.amount(amount),
            Arg::Message(message) if style == "inside" => Ok(uncapitalised(&self.say(message)?)),
            Arg::Message(message) => self.say(message),
            Arg::List(items) => {
                let items: Result<Vec<_>, _> =
                    items.iter().map(|item| self.arg(item, style)).collect();
                self.list(&items?)
            }
        }
    }

    /// `a, b and c`
    fn list(&self, items: &[String]) -> Result<String, NoWords> {
        match items {
            [] => Ok(String::new()),
            [only] => Ok(only.clone()),
            [head @ .., last] => Ok(format!(
                "{}{}{last}",
                head.join(self.word("list.comma")?),
                self.word("list.and")?
            )),
        }
    }
}

/// A pattern with what stands for each `{name}` in it.
fn filled(
    pattern: &str,
    stands_for: impl Fn(&str) -> Result<String, NoWords>,
) -> Result<String, NoWords> {
    let mut text = String::with_capacity(pattern.len() + 32);
    let mut rest = pattern;
    while let Some((before, behind)) = rest.split_once('{') {
        text.push_str(before);
        let Some((name, behind)) = behind.split_once('}') else {
            text.push('{');
            rest = behind;
            continue;
        };
        text.push_str(&stands_for(name)?);
        rest = behind;
    }
    text.push_str(rest);
    Ok(text)
}

/// As it stands inside a sentence.
fn uncapitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| first.to_lowercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> Words {
        let pairs = [
            ("decimal", ","),
            ("about", "etwa {amount}"),
            ("task.since", "seit {since}"),
            ("plants", "{count} Pflanzen"),
            ("plants.one", "eine Pflanze"),
            ("date.day", "{day}. {month}"),
            ("month.6", "Juni"),
            ("mon.6", "Jun"),
            ("weekday.6", "Samstag"),
            ("unit.plants.one", "Pflanze"),
            ("unit.plants.many", "Pflanzen"),
            ("list.comma", ", "),
            ("list.and", " und "),
        ];
        Words::new(pairs.map(|(key, text)| (key.to_owned(), text.to_owned())).into())
    }

    #[test]
    fn a_second_language_needs_no_rust() {
        let date = NaiveDate::from_ymd_opt(2026, 6, 20).unwrap();
        let words = words();
        assert_eq!(
            words.say(&Message::new("task.since").with("since", date)).unwrap(),
            "seit 20. Juni"
        );
        assert_eq!(words.say(&Message::new("plants").with("count", 1)).unwrap(), "eine Pflanze");
        let amount = Amount { number: "2.5".to_owned(), unit: "kg".to_owned(), about: true };
        assert_eq!(words.amount(&amount).unwrap(), "etwa 2,5\u{a0}kg");
        assert_eq!(words.say(&Message::new("nothing")), Err(NoWords("nothing".to_owned())));
    }

    #[test]
    fn lists_read_as_a_person_would_say_them() {
        let list = Arg::List(vec!["a".into(), "b".into(), "c".into()]);
        assert_eq!(words().arg(&list, "day").unwrap(), "a, b und c");
    }
}
