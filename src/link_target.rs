//! What a link `[[…]]` in prose points at, and how links are found in a text.
//!
//! The reader of the journal checks them, the pages fill them in; both have to see the same links.

/// What a link points at, by the name that stands in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// `[[cayenne-26]]`
    Planting(String),
    /// `[[crop:leek]]`
    Crop(String),
    /// `[[place:roof-pots]]`
    Place(String),
}

impl Target {
    /// Reads what stands between the brackets.
    pub fn read(inside: &str) -> Target {
        match inside.split_once(':') {
            Some(("crop", name)) => Target::Crop(name.trim().to_owned()),
            Some(("place", name)) => Target::Place(name.trim().to_owned()),
            _ => Target::Planting(inside.trim().to_owned()),
        }
    }
}

/// Every `[[inside]]` of a text: its bytes, and what stands inside. Code spans are passed over.
pub fn brackets(text: &str) -> Vec<(usize, usize, &str)> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find("[[").map(|offset| at + offset) {
        let is_in_code = text[..open].matches('`').count() % 2 == 1;
        let inside = text[open + 2..].split(['\n', '[', ']']).next().unwrap_or("");
        let close = open + 2 + inside.len();
        if text[close..].starts_with("]]") && !inside.trim().is_empty() && !is_in_code {
            found.push((open, close + 2, inside));
        }
        at = open + 2;
    }
    found
}
