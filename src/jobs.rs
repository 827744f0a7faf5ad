//! The work of the garden: what is done, and what is yet to be done.

use std::fmt;

/// A piece of work.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Job {
    /// Put seed into soil.
    Sow,
    /// Move seedlings into cells or pots of their own.
    PrickOut,
    /// Move into a larger pot.
    PotOn,
    /// Get used to outdoor air, day by day.
    HardenOff,
    /// Set out at the place where it will crop.
    PlantOut,
    /// Look whether there is something to pick.
    LookForHarvest,
    /// Take the plants away and make the place free.
    Clear,
    /// Give water.
    Water,
    /// Give plant food.
    Feed,
    /// Use a product against a pest or disease.
    Treat,
    /// Cut parts away.
    Prune,
    /// Take out a growing point or a side shoot.
    PinchOut,
    /// Fasten to a support.
    TieIn,
    /// Put up something to climb or lean on.
    Support,
    /// Take away plants that stand too close.
    Thin,
    /// Draw soil up around the stems.
    EarthUp,
    /// Cover the soil.
    Mulch,
    /// Take out weeds.
    Weed,
    /// Help pollen on its way.
    Pollinate,
    /// Put on fleece, glass or net.
    Cover,
    /// Take it off.
    Uncover,
    /// Give shade.
    Shade,
    /// Put new mix into a container.
    Refill,
    /// Set seed tubers in the light to sprout.
    Chit,
    /// Order what is to be sown.
    OrderSeed,
    /// Cover for cold nights, or bring in what stands in a container.
    Protect,
    /// Give no more water, so that bulbs ripen.
    StopWatering,
    /// Pick no more, so that the plant gathers strength for next year.
    StopPicking,
    /// Cut down to the ground; the root stays.
    CutDown,
    /// Let dry, so that it keeps.
    Cure,
    /// Put away for the winter.
    Store,
    /// Not done, on purpose: moves a task on.
    Skip,
    /// A word of the grower's own, listed under `jobs` in garden.yaml.
    Own(String),
}

/// The jobs a care line may name, with their words.
pub const CARE: &[Job] = &[
    Job::Water,
    Job::Feed,
    Job::Treat,
    Job::Prune,
    Job::PinchOut,
    Job::TieIn,
    Job::Support,
    Job::Thin,
    Job::EarthUp,
    Job::Mulch,
    Job::Weed,
    Job::Pollinate,
    Job::Cover,
    Job::Uncover,
    Job::Shade,
    Job::Refill,
    Job::Chit,
    Job::OrderSeed,
    Job::Protect,
    Job::StopWatering,
    Job::StopPicking,
    Job::CutDown,
    Job::Cure,
    Job::Store,
    Job::Skip,
];

/// The jobs that a rule on a crop sheet may also name.
pub const PLANNED: &[Job] = &[
    Job::Sow,
    Job::PrickOut,
    Job::PotOn,
    Job::HardenOff,
    Job::PlantOut,
    Job::LookForHarvest,
    Job::Clear,
];

impl Job {
    /// The word a grower writes.
    pub fn word(&self) -> &str {
        match self {
            Job::Sow => "sow",
            Job::PrickOut => "prick out",
            Job::PotOn => "pot on",
            Job::HardenOff => "harden off",
            Job::PlantOut => "plant out",
            Job::LookForHarvest => "look for harvest",
            Job::Clear => "clear",
            Job::Water => "water",
            Job::Feed => "feed",
            Job::Treat => "treat",
            Job::Prune => "prune",
            Job::PinchOut => "pinch out",
            Job::TieIn => "tie in",
            Job::Support => "support",
            Job::Thin => "thin",
            Job::EarthUp => "earth up",
            Job::Mulch => "mulch",
            Job::Weed => "weed",
            Job::Pollinate => "pollinate",
            Job::Cover => "cover",
            Job::Uncover => "uncover",
            Job::Shade => "shade",
            Job::Refill => "refill",
            Job::Chit => "chit",
            Job::OrderSeed => "order seed",
            Job::Protect => "protect",
            Job::StopWatering => "stop watering",
            Job::StopPicking => "stop picking",
            Job::CutDown => "cut down",
            Job::Cure => "cure",
            Job::Store => "store",
            Job::Skip => "skip",
            Job::Own(word) => word,
        }
    }

    /// The key of a short line that says it was done: `watered`.
    pub fn done(&self) -> &str {
        match self {
            Job::Sow => "sown",
            Job::PrickOut => "pricked out",
            Job::PotOn => "potted on",
            Job::HardenOff => "hardening off",
            Job::PlantOut => "planted out",
            Job::LookForHarvest => "picked",
            Job::Clear => "finished",
            Job::Water => "watered",
            Job::Feed => "fed",
            Job::Treat => "treated",
            Job::Prune => "pruned",
            Job::PinchOut => "pinched out",
            Job::TieIn => "tied in",
            Job::Support => "supported",
            Job::Thin => "thinned",
            Job::EarthUp => "earthed up",
            Job::Mulch => "mulched",
            Job::Weed => "weeded",
            Job::Pollinate => "pollinated",
            Job::Cover => "covered",
            Job::Uncover => "uncovered",
            Job::Shade => "shaded",
            Job::Refill => "refilled",
            Job::Chit => "chitted",
            Job::OrderSeed => "seed ordered",
            Job::Protect => "protected",
            Job::StopWatering => "watering stopped",
            Job::StopPicking => "picking stopped",
            Job::CutDown => "cut down",
            Job::Cure => "cured",
            Job::Store => "stored",
            Job::Skip => "skipped",
            Job::Own(word) => word,
        }
    }

    /// The job of a word; a word that is not trug's is the grower's own.
    pub fn of_word(word: &str) -> Job {
        CARE.iter()
            .chain(PLANNED)
            .find(|job| job.word() == word)
            .cloned()
            .unwrap_or_else(|| Job::Own(word.to_owned()))
    }
}

impl fmt::Display for Job {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
