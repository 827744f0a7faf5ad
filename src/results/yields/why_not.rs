//! Why a figure is withheld. The theme has the words.

use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;

/// Why a figure is withheld.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WhyNot {
    /// No picking of it was weighed.
    NothingWeighed,
    /// Some of it was weighed together with other plantings, and that is never split.
    WeighedTogether,
    /// Some was weighed fresh and some after drying.
    FreshAndDried,
    /// Nobody counted the plants once they had come up.
    NotCounted,
    /// It is not written down where it grew.
    NoPlace,
    /// It grew in several places, and `uses` does not say how much of them.
    SeveralPlaces,
    /// Others grew in the same place at the time, and `uses` does not say how much it took.
    NotAlone(Vec<PlantingId>),
    /// The sizes of the place are not known.
    Unmeasured(PlaceId),
    /// The depth of the soil is not known.
    NoDepth(PlaceId),
    /// `uses` speaks of containers, and the place is none.
    NoContainers(PlaceId),
    /// It stood in containers, and `uses` does not say how much ground they took.
    InContainers(PlaceId),
    /// `uses` speaks of a row, and the crop sheet has no distance between rows.
    RowWidth,
    /// No cost line names it.
    NoCosts,
}
