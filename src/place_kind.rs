//! What a place can be, and what can be over it.

/// What a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlaceKind {
    /// Soil with an edge.
    Bed,
    /// A pot, tub, box or bag.
    Container,
    /// A tray of cells or of seedlings.
    Tray,
    /// Where trays and pots stand, often under lamps.
    Shelf,
    /// Under glass or film.
    Glasshouse,
    /// Open ground.
    Ground,
}

impl PlaceKind {
    /// The kinds with their words.
    pub const ALL: &'static [(&'static str, PlaceKind)] = &[
        ("bed", PlaceKind::Bed),
        ("container", PlaceKind::Container),
        ("tray", PlaceKind::Tray),
        ("shelf", PlaceKind::Shelf),
        ("glasshouse", PlaceKind::Glasshouse),
        ("ground", PlaceKind::Ground),
    ];

    /// The word a grower writes.
    pub fn word(self) -> &'static str {
        PlaceKind::ALL.iter().find(|(_, kind)| *kind == self).map_or("", |(word, _)| word)
    }
}

/// What is over a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cover {
    /// The sky.
    None,
    /// Fleece.
    Fleece,
    /// Glass or film.
    Glass,
    /// A roof and walls.
    Indoors,
}

impl Cover {
    /// The covers with their words.
    pub const ALL: &'static [(&'static str, Cover)] = &[
        ("none", Cover::None),
        ("fleece", Cover::Fleece),
        ("glass", Cover::Glass),
        ("indoors", Cover::Indoors),
    ];
}
