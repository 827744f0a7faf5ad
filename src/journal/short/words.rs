//! The keys of short lines.

use crate::happening::Happening;
use crate::jobs::Job;
use crate::stage::Stage;

/// What a short key tells.
#[derive(Clone, Debug, PartialEq)]
pub enum Tells {
    /// Work that was done.
    Did(Job),
    /// A stage that was reached, or plants that went.
    Happened(Happening),
    /// Something was picked.
    Picked,
    /// A planting was begun.
    Began(Way),
    /// A pest, a disease, or anything worth a note.
    Seen,
    /// Money was spent.
    Cost,
}

/// How a planting was begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Seed.
    Sown,
    /// Cloves, sets, tubers, crowns.
    Planted,
    /// Young plants.
    Bought,
}

/// Every key with what it tells and an example of its value.
pub const KEYS: &[(&str, Tells, &str)] = &[
    ("watered", Tells::Did(Job::Water), "{roof tubs: 0.5 L each}"),
    ("fed", Tells::Did(Job::Feed), "{tomato: tomato feed 0.5 L each}"),
    ("picked", Tells::Picked, "{pepper: 300 g and 25}"),
    ("sown", Tells::Began(Way::Sown), "{dwarf bean in long bed: 24}"),
    ("planted", Tells::Began(Way::Planted), "{potato in potato bags: 8}"),
    ("bought", Tells::Began(Way::Bought), "{tomato in cold frame: 6}"),
    ("emerged", Tells::Happened(Happening::Reached(Stage::Emerged)), "{leek: 30}"),
    (
        "pricked out",
        Tells::Happened(Happening::Reached(Stage::PrickedOut)),
        "{leek: 24 into trays}",
    ),
    (
        "potted on",
        Tells::Happened(Happening::Reached(Stage::PottedOn)),
        "{pepper: 12 into 9 cm pots}",
    ),
    ("hardening off", Tells::Happened(Happening::Reached(Stage::HardeningOff)), "[pepper, tomato]"),
    (
        "planted out",
        Tells::Happened(Happening::Reached(Stage::PlantedOut)),
        "{pepper: 4 into big tubs}",
    ),
    ("flowering", Tells::Happened(Happening::Reached(Stage::Flowering)), "pepper"),
    ("fruiting", Tells::Happened(Happening::Reached(Stage::Fruiting)), "pepper"),
    ("finished", Tells::Happened(Happening::Reached(Stage::Finished)), "pea"),
    ("sown again", Tells::Happened(Happening::Reached(Stage::SownAgain)), "{leek: 40}"),
    ("thinned", Tells::Happened(Happening::Thinned), "{carrot: 30}"),
    ("moved", Tells::Happened(Happening::Moved), "{pepper: to cold frame}"),
    ("given away", Tells::Happened(Happening::GivenAway), "{tomato: 3 to the neighbours}"),
    ("lost", Tells::Happened(Happening::Lost), "{pepper on the shelf: 2 to slugs}"),
    ("seen", Tells::Seen, "{kale: whitefly}"),
    ("weeded", Tells::Did(Job::Weed), "long bed"),
    ("tied in", Tells::Did(Job::TieIn), "tomato"),
    ("pruned", Tells::Did(Job::Prune), "raspberry"),
    ("pinched out", Tells::Did(Job::PinchOut), "tomato"),
    ("mulched", Tells::Did(Job::Mulch), "{long bed: straw}"),
    ("covered", Tells::Did(Job::Cover), "{long bed: fleece}"),
    ("uncovered", Tells::Did(Job::Uncover), "long bed"),
    ("shaded", Tells::Did(Job::Shade), "cold frame"),
    ("supported", Tells::Did(Job::Support), "{pea: twigs}"),
    ("earthed up", Tells::Did(Job::EarthUp), "potato"),
    ("pollinated", Tells::Did(Job::Pollinate), "pepper"),
    ("treated", Tells::Did(Job::Treat), "{kale: soap spray against aphids wait 0 days}"),
    ("refilled", Tells::Did(Job::Refill), "{roof tubs: potting mix}"),
    ("chitted", Tells::Did(Job::Chit), "potato"),
    ("protected", Tells::Did(Job::Protect), "{pepper: fleece}"),
    ("cut down", Tells::Did(Job::CutDown), "asparagus"),
    ("cured", Tells::Did(Job::Cure), "onion"),
    ("stored", Tells::Did(Job::Store), "onion"),
    ("seed ordered", Tells::Did(Job::OrderSeed), "leek"),
    ("watering stopped", Tells::Did(Job::StopWatering), "onion"),
    ("picking stopped", Tells::Did(Job::StopPicking), "asparagus"),
    ("skipped", Tells::Did(Job::Skip), "{tomato: feed}"),
    ("cost", Tells::Cost, "{seed compost: 7.20}"),
];

/// A key as it is looked up: without capitals, a hyphen as a space.
pub fn plain(key: &str) -> String {
    crate::names::folded(key).replace('-', " ")
}

/// Work by its word, also as it is said of what was done: `watered`.
pub(in crate::journal) fn job(word: &str) -> Job {
    let said = plain(word);
    let done = KEYS.iter().find_map(|(key, tells, _)| match tells {
        Tells::Did(job) if *key == said => Some(job.clone()),
        _ => None,
    });
    done.unwrap_or_else(|| Job::of_word(word))
}

/// What a key tells, if it is one of a short line; `own` are the garden's own words for work.
pub(super) fn tells(key: &str, own: &[String]) -> Option<Tells> {
    let key = plain(key);
    let known = KEYS.iter().find(|(word, _, _)| *word == key).map(|(_, tells, _)| tells.clone());
    known.or_else(|| {
        let own = own.iter().find(|word| plain(word) == key || in_the_past(&plain(word)) == key)?;
        Some(Tells::Did(Job::Own(own.clone())))
    })
}

/// `oiled the frame` of `oil the frame`, where the past tense is made by the rule.
fn in_the_past(job: &str) -> String {
    let (verb, rest) = job.split_at(job.find(' ').unwrap_or(job.len()));
    let stem = verb.strip_suffix('e').unwrap_or(verb);
    format!("{stem}ed{rest}")
}

/// Words that people use for what a key tells, and the key.
const MEANT: &[(&str, &str)] = &[
    ("irrigated", "watered"),
    ("fertilised", "fed"),
    ("fertilized", "fed"),
    ("harvested", "picked"),
    ("gathered", "picked"),
    ("dug up", "picked"),
    ("sowed", "sown"),
    ("seeded", "sown"),
    ("germinated", "emerged"),
    ("sprouted", "emerged"),
    ("came up", "emerged"),
    ("up", "emerged"),
    ("potted up", "potted on"),
    ("repotted", "potted on"),
    ("hardened off", "hardening off"),
    ("transplanted", "planted out"),
    ("set out", "planted out"),
    ("flowered", "flowering"),
    ("in flower", "flowering"),
    ("fruited", "fruiting"),
    ("cleared", "finished"),
    ("gave away", "given away"),
    ("died", "lost"),
    ("dead", "lost"),
    ("saw", "seen"),
    ("noticed", "seen"),
    ("hoed", "weeded"),
    ("tied up", "tied in"),
    ("staked", "supported"),
    ("trimmed", "pruned"),
    ("hilled", "earthed up"),
    ("sprayed", "treated"),
    ("paid", "cost"),
    ("spent", "cost"),
];

/// The key that somebody meant who wrote another word for it.
pub(super) fn meant(key: &str) -> Option<&'static str> {
    let key = plain(key);
    MEANT.iter().find(|(word, _)| *word == key).map(|(_, meant)| *meant)
}

/// A number or an uncertain amount in words, as it is written in short lines.
pub(super) fn in_figures(text: &str) -> Option<&'static str> {
    const IN_WORDS: &[(&str, &str)] = &[
        ("a", "1"),
        ("an", "1"),
        ("one", "1"),
        ("two", "2"),
        ("a couple", "2"),
        ("three", "3"),
        ("four", "4"),
        ("five", "5"),
        ("six", "6"),
        ("half a dozen", "6"),
        ("seven", "7"),
        ("eight", "8"),
        ("nine", "9"),
        ("ten", "10"),
        ("eleven", "11"),
        ("twelve", "12"),
        ("a dozen", "12"),
        ("twenty", "20"),
        ("a few", "some"),
        ("few", "some"),
        ("a handful", "some"),
        ("several", "some"),
        ("many", "some"),
        ("plenty", "some"),
        ("lots", "some"),
    ];
    let text = plain(text);
    IN_WORDS.iter().find(|(words, _)| *words == text).map(|(_, figures)| *figures)
}

/// An example of a key's value.
pub(crate) fn example(key: &str) -> &'static str {
    let key = plain(key);
    KEYS.iter().find(|(word, _, _)| *word == key).map_or("long bed", |(_, _, example)| example)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::{CARE, PLANNED};

    #[test]
    fn every_job_has_a_key() {
        let reached = |stage| Tells::Happened(Happening::Reached(stage));
        for job in CARE.iter().chain(PLANNED) {
            let wanted = match job {
                Job::LookForHarvest => Tells::Picked,
                Job::Sow => Tells::Began(Way::Sown),
                Job::PrickOut => reached(Stage::PrickedOut),
                Job::PotOn => reached(Stage::PottedOn),
                Job::HardenOff => reached(Stage::HardeningOff),
                Job::PlantOut => reached(Stage::PlantedOut),
                Job::Clear => reached(Stage::Finished),
                Job::Thin => Tells::Happened(Happening::Thinned),
                job => Tells::Did(job.clone()),
            };
            assert_eq!(tells(job.done(), &[]), Some(wanted), "{job}");
        }
    }
}
