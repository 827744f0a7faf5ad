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
    ("skipped", Tells::Did(Job::Skip), "{tomato: feed}"),
    ("cost", Tells::Cost, "{seed compost: 7.20}"),
];

/// A key as it is looked up: without capitals, a hyphen as a space.
pub fn plain(key: &str) -> String {
    crate::names::folded(key).replace('-', " ")
}

/// What a key tells, if it is one of a short line; `own` are the garden's own words for work.
pub(super) fn tells(key: &str, own: &[String]) -> Option<Tells> {
    let key = plain(key);
    let known = KEYS.iter().find(|(word, _, _)| *word == key).map(|(_, tells, _)| tells.clone());
    known.or_else(|| {
        let own = own.iter().find(|word| plain(word) == key)?;
        Some(Tells::Did(Job::Own(own.clone())))
    })
}

/// An example of a key's value.
pub(super) fn example(key: &str) -> &'static str {
    let key = plain(key);
    KEYS.iter().find(|(word, _, _)| *word == key).map_or("long bed", |(_, _, example)| example)
}
