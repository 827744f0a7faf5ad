//! The stages of growth that a planting passes, in their natural order.

use crate::worded::worded;

worded! {
    /// A stage of growth, as the grower notes it.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Stage {
        /// Meant to be grown; nothing is sown yet.
        Intended = "intended",
        /// Seed is in the soil.
        Sown = "sown",
        /// Sown once more, because the first sowing failed or was thin. Counts as sown.
        SownAgain = "sown again",
        /// Seedlings stand.
        Emerged = "emerged",
        /// Seedlings moved into their own cells or pots.
        PrickedOut = "pricked out",
        /// Moved into a larger pot; this may happen more than once.
        PottedOn = "potted on",
        /// Getting used to outdoor air.
        HardeningOff = "hardening off",
        /// At the place where it is meant to crop; also cloves, sets, tubers and crowns set out.
        PlantedOut = "planted out",
        /// The first flowers are open.
        Flowering = "flowering",
        /// The first fruits are set.
        Fruiting = "fruiting",
        /// Done: cleared, dead or gone to seed.
        Finished = "finished",
    }
}

impl Stage {
    /// The stages a grower can note, in their order.
    pub const NOTED: &'static [Stage] = &[
        Stage::Sown,
        Stage::SownAgain,
        Stage::Emerged,
        Stage::PrickedOut,
        Stage::PottedOn,
        Stage::HardeningOff,
        Stage::PlantedOut,
        Stage::Flowering,
        Stage::Fruiting,
        Stage::Finished,
    ];

    /// The stage of a word.
    pub fn of_word(word: &str) -> Option<Stage> {
        Stage::NOTED.iter().copied().find(|stage| stage.word() == word)
    }

    /// The stage it counts as: a second sowing is a sowing.
    pub fn settled(self) -> Stage {
        if self == Stage::SownAgain { Stage::Sown } else { self }
    }
}
