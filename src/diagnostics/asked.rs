//! What readers ask for, kept only where somebody listens: an editor is told of the keys by those who read them.

use crate::origin::Origin;

/// What stands behind a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Anything.
    Any,
    /// A text, a number or a quantity.
    Single,
    Words(Vec<&'static str>),
    /// true or false.
    Flag,
    Number,
    /// A single value or a list of them.
    Singles,
    /// Keys of their own, which open here.
    Map(Option<Origin>),
    /// A list of lines with keys of their own, which open here.
    Maps(Vec<Origin>),
    /// What a short line says: a name, a list of names, or names with amounts.
    Short,
}

/// One key of a map.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    pub name: &'static str,
    /// What stands behind it.
    pub kind: Kind,
    /// Whether it has to be there.
    pub is_needed: bool,
}

/// The keys that a reader takes of a map.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shape {
    /// What the map is: 'an event'.
    pub what: &'static str,
    /// Where the map that was read opens.
    pub at: Origin,
    /// Its keys, in the order in which they are asked for.
    pub keys: Vec<Key>,
}
