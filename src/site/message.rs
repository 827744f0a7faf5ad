//! A sentence as a key and its arguments; the theme's words make it a sentence.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::garden::shown::Shown;
use crate::site::amount::Amount;

/// A sentence to be said in the garden's language.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Message {
    /// The key of its words.
    pub say: String,
    /// What is put into it, by name.
    #[serde(default)]
    pub with: BTreeMap<String, Arg>,
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
