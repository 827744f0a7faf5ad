//! What a place can be, what can be over it, and the shapes and classes of containers.

use crate::worded::worded;

worded! {
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum PlaceKind {
        /// Soil with an edge.
        Bed = "bed",
        /// A pot, tub, box or bag.
        Container = "container",
        /// A tray of cells or of seedlings.
        Tray = "tray",
        /// Where trays and pots stand, often under lamps.
        Shelf = "shelf",
        /// Under glass or film.
        Glasshouse = "glasshouse",
        /// Open ground.
        Ground = "ground",
    }
}

worded! {
    /// What is over a place.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Cover {
        /// The sky.
        None = "none",
        Fleece = "fleece",
        /// Glass or film.
        Glass = "glass",
        /// A roof and walls.
        Indoors = "indoors",
    }
}

worded! {
    /// The shape of a container, where its sizes do not tell.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum VesselShape {
        /// Round, straight or tapered.
        Round = "round",
        /// With four straight sides.
        Box = "box",
        /// A trough whose bottom is part of a circle.
        HalfRound = "half-round",
        /// A bag, measured as it lies flat and empty.
        Bag = "bag",
    }
}

worded! {
    /// A container class of the American nursery trade (ANSI Z60.1): a range of volumes under a number.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum NurseryClass {
        /// #1, the trade gallon.
        No1 = "1",
        No2 = "2",
        No3 = "3",
        No5 = "5",
        No7 = "7",
        No10 = "10",
        No15 = "15",
        No20 = "20",
        No25 = "25",
    }
}
