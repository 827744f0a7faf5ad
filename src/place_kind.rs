//! What a place can be, what can be over it, and the shapes and classes of containers.

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
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
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

/// The shape of a container, where its sizes do not tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VesselShape {
    /// Round, straight or tapered.
    Round,
    /// With four straight sides.
    Box,
    /// A trough whose bottom is part of a circle.
    HalfRound,
    /// A bag, measured as it lies flat and empty.
    Bag,
}

impl VesselShape {
    /// The shapes with their words.
    pub const ALL: &'static [(&'static str, VesselShape)] = &[
        ("round", VesselShape::Round),
        ("box", VesselShape::Box),
        ("half-round", VesselShape::HalfRound),
        ("bag", VesselShape::Bag),
    ];
}

/// A container class of the American nursery trade (ANSI Z60.1): a range of volumes under a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NurseryClass {
    /// #1, the trade gallon.
    No1,
    /// #2.
    No2,
    /// #3.
    No3,
    /// #5.
    No5,
    /// #7.
    No7,
    /// #10.
    No10,
    /// #15.
    No15,
    /// #20.
    No20,
    /// #25.
    No25,
}

impl NurseryClass {
    /// The classes with their numbers.
    pub const ALL: &'static [(&'static str, NurseryClass)] = &[
        ("1", NurseryClass::No1),
        ("2", NurseryClass::No2),
        ("3", NurseryClass::No3),
        ("5", NurseryClass::No5),
        ("7", NurseryClass::No7),
        ("10", NurseryClass::No10),
        ("15", NurseryClass::No15),
        ("20", NurseryClass::No20),
        ("25", NurseryClass::No25),
    ];

    /// Its number.
    pub fn number(self) -> &'static str {
        NurseryClass::ALL.iter().find(|(_, class)| *class == self).map_or("", |(number, _)| number)
    }
}
