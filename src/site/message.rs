//! A sentence as a key and its arguments; the theme's words make it a sentence.

use std::collections::BTreeMap;
use std::fmt;

use chrono::NaiveDate;
use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::garden::shown::Shown;
use crate::site::amount::Amount;

/// A sentence to be said in the garden's language. Written as its key where nothing is put into it, since most are.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Message {
    /// The key of its words.
    pub say: String,
    /// What is put into it, by name.
    pub with: BTreeMap<String, Arg>,
}

/// A message with its arguments, as it is written and read.
#[derive(Serialize, Deserialize)]
struct Whole<S, W> {
    say: S,
    with: W,
}

impl Serialize for Message {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.with.is_empty() {
            return serializer.serialize_str(&self.say);
        }
        Whole { say: &self.say, with: &self.with }.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Message {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Message, D::Error> {
        struct KeyOrWhole;

        impl<'de> Visitor<'de> for KeyOrWhole {
            type Value = Message;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("words to say")
            }

            fn visit_str<E>(self, key: &str) -> Result<Message, E> {
                Ok(Message::new(key))
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Message, A::Error> {
                let Whole { say, with } = Whole::deserialize(MapAccessDeserializer::new(map))?;
                Ok(Message { say, with })
            }
        }

        deserializer.deserialize_any(KeyOrWhole)
    }
}

/// Something put into a sentence.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Arg {
    /// A name or a text of the grower's.
    Text(String),
    Date(NaiveDate),
    /// A whole number; the word forms for one and many depend on it.
    Count(u64),
    /// A measured or counted quantity.
    Amount(Amount),
    /// Another sentence or word.
    Message(Message),
    /// Several of them, joined as a list.
    List(Vec<Arg>),
}

impl Message {
    /// Words without arguments.
    pub fn new(key: impl Into<String>) -> Message {
        Message { say: key.into(), with: BTreeMap::new() }
    }

    /// Puts something into it.
    pub fn with(mut self, name: &str, arg: impl Into<Arg>) -> Message {
        self.with.insert(name.to_owned(), arg.into());
        self
    }
}

impl From<&str> for Arg {
    fn from(text: &str) -> Arg {
        Arg::Text(text.to_owned())
    }
}

impl From<String> for Arg {
    fn from(text: String) -> Arg {
        Arg::Text(text)
    }
}

impl From<Shown> for Arg {
    fn from(text: Shown) -> Arg {
        Arg::Text(text.into())
    }
}

impl From<NaiveDate> for Arg {
    fn from(date: NaiveDate) -> Arg {
        Arg::Date(date)
    }
}

impl From<u64> for Arg {
    fn from(count: u64) -> Arg {
        Arg::Count(count)
    }
}

impl From<Amount> for Arg {
    fn from(amount: Amount) -> Arg {
        Arg::Amount(amount)
    }
}

impl From<Message> for Arg {
    fn from(message: Message) -> Arg {
        Arg::Message(message)
    }
}

impl From<Vec<Arg>> for Arg {
    fn from(list: Vec<Arg>) -> Arg {
        Arg::List(list)
    }
}
