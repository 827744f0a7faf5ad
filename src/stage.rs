//! The stages of growth that a planting passes, in their natural order.

/// A stage of growth, as the grower notes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Meant to be grown; nothing is sown yet.
    Intended,
    /// Seed is in the soil.
    Sown,
    /// Sown once more, because the first sowing failed or was thin. Counts as sown.
    SownAgain,
    /// Seedlings stand.
    Emerged,
    /// Seedlings moved into their own cells or pots.
    PrickedOut,
    /// Moved into a larger pot; this may happen more than once.
    PottedOn,
    /// Getting used to outdoor air.
    HardeningOff,
    /// At the place where it is meant to crop; also cloves, sets, tubers and crowns set out.
    PlantedOut,
    /// The first flowers are open.
    Flowering,
    /// The first fruits are set.
    Fruiting,
    /// Done: cleared, dead or gone to seed.
    Finished,
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

    /// The word a grower writes.
    pub fn word(self) -> &'static str {
        match self {
            Stage::Intended => "intended",
            Stage::Sown => "sown",
            Stage::SownAgain => "sown again",
            Stage::Emerged => "emerged",
            Stage::PrickedOut => "pricked out",
            Stage::PottedOn => "potted on",
            Stage::HardeningOff => "hardening off",
            Stage::PlantedOut => "planted out",
            Stage::Flowering => "flowering",
            Stage::Fruiting => "fruiting",
            Stage::Finished => "finished",
        }
    }

    /// The stage of a word.
    pub fn of_word(word: &str) -> Option<Stage> {
        Stage::NOTED.iter().copied().find(|stage| stage.word() == word)
    }

    /// The stage it counts as: a second sowing is a sowing.
    pub fn settled(self) -> Stage {
        if self == Stage::SownAgain { Stage::Sown } else { self }
    }
}
