//! The values of the YAML library, each with its spans, before they are placed in the file.

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_yaml::Spanned;
use std::fmt;

/// The library's values with its spans, before they are placed in the file.
pub(super) enum Raw {
    Empty,
    One(String),
    List(Vec<Spanned<Raw>>),
    Map(Vec<(Spanned<Raw>, Spanned<Raw>)>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Raw, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a YAML value")
    }
    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Empty)
    }
    fn visit_bool<E>(self, value: bool) -> Result<Raw, E> {
        Ok(Raw::One(value.to_string()))
    }
    fn visit_i64<E>(self, value: i64) -> Result<Raw, E> {
        Ok(Raw::One(value.to_string()))
    }
    fn visit_u64<E>(self, value: u64) -> Result<Raw, E> {
        Ok(Raw::One(value.to_string()))
    }
    fn visit_i128<E>(self, value: i128) -> Result<Raw, E> {
        Ok(Raw::One(value.to_string()))
    }
    fn visit_u128<E>(self, value: u128) -> Result<Raw, E> {
        Ok(Raw::One(value.to_string()))
    }
    fn visit_f64<E>(self, value: f64) -> Result<Raw, E> {
        Ok(Raw::One(value.to_string()))
    }
    fn visit_str<E>(self, value: &str) -> Result<Raw, E> {
        Ok(Raw::One(value.to_owned()))
    }
    fn visit_bytes<E>(self, value: &[u8]) -> Result<Raw, E> {
        Ok(Raw::One(String::from_utf8_lossy(value).into_owned()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Raw, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Raw::List(list))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Raw, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = entries.next_entry()? {
            pairs.push(pair);
        }
        Ok(Raw::Map(pairs))
    }
}
