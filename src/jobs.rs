//! The work of the garden: what is done, and what is yet to be done.

use std::fmt;

/// Declares the jobs: each with its word, and with the key of a short line that says it was done.
macro_rules! jobs {
    ($($(#[$about:meta])* $list:ident {
        $($(#[$doc:meta])* $job:ident = $word:literal, $done:literal;)+
    })+) => {
        /// A piece of work.
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Job {
            $($($(#[$doc])* $job,)+)+
            /// A word of the grower's own, listed under `jobs` in garden.yaml.
            Own(String),
        }

        $($(#[$about])* pub const $list: &[Job] = &[$(Job::$job,)+];)+

        impl Job {
            /// The word a grower writes.
            pub fn word(&self) -> &str {
                match self {
                    $($(Job::$job => $word,)+)+
                    Job::Own(word) => word,
                }
            }

            /// The key of a short line that says it was done: `watered`.
            pub fn done(&self) -> &str {
                match self {
                    $($(Job::$job => $done,)+)+
                    Job::Own(word) => word,
                }
            }
        }
    };
}

jobs! {
    /// The jobs that a rule on a crop sheet may name besides those of a care line.
    PLANNED {
        /// Put seed into soil.
        Sow = "sow", "sown";
        /// Move seedlings into cells or pots of their own.
        PrickOut = "prick out", "pricked out";
        /// Move into a larger pot.
        PotOn = "pot on", "potted on";
        /// Get used to outdoor air, day by day.
        HardenOff = "harden off", "hardening off";
        /// Set out at the place where it will crop.
        PlantOut = "plant out", "planted out";
        /// Look whether there is something to pick.
        LookForHarvest = "look for harvest", "picked";
        /// Take the plants away and make the place free.
        Clear = "clear", "finished";
    }

    /// The jobs a care line may name.
    CARE {
        /// Give water.
        Water = "water", "watered";
        /// Give plant food.
        Feed = "feed", "fed";
        /// Use a product against a pest or disease.
        Treat = "treat", "treated";
        /// Cut parts away.
        Prune = "prune", "pruned";
        /// Take out a growing point or a side shoot.
        PinchOut = "pinch out", "pinched out";
        /// Fasten to a support.
        TieIn = "tie in", "tied in";
        /// Put up something to climb or lean on.
        Support = "support", "supported";
        /// Take away plants that stand too close.
        Thin = "thin", "thinned";
        /// Draw soil up around the stems.
        EarthUp = "earth up", "earthed up";
        /// Cover the soil.
        Mulch = "mulch", "mulched";
        /// Take out weeds.
        Weed = "weed", "weeded";
        /// Help pollen on its way.
        Pollinate = "pollinate", "pollinated";
        /// Put on fleece, glass or net.
        Cover = "cover", "covered";
        /// Take it off.
        Uncover = "uncover", "uncovered";
        /// Give shade.
        Shade = "shade", "shaded";
        /// Put new mix into a container.
        Refill = "refill", "refilled";
        /// Set seed tubers in the light to sprout.
        Chit = "chit", "chitted";
        /// Order what is to be sown.
        OrderSeed = "order seed", "seed ordered";
        /// Cover for cold nights, or bring in what stands in a container.
        Protect = "protect", "protected";
        /// Give no more water, so that bulbs ripen.
        StopWatering = "stop watering", "watering stopped";
        /// Pick no more, so that the plant gathers strength for next year.
        StopPicking = "stop picking", "picking stopped";
        /// Cut down to the ground; the root stays.
        CutDown = "cut down", "cut down";
        /// Let dry, so that it keeps.
        Cure = "cure", "cured";
        /// Put away for the winter.
        Store = "store", "stored";
        /// Not done, on purpose: moves a task on.
        Skip = "skip", "skipped";
    }
}

impl Job {
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
