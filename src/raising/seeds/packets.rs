//! The packets of the seed box: what the entries tell of them, how old they are, what is left.
//!
//! A packet is known by its crop, its variety, who it came from and its year. How many such packets there
//! were is not written anywhere, so what is left is told of one.

use chrono::Datelike;

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId, Plants, Seed, Way};
use crate::garden::shown::Shown;
use crate::happening::Happening;
use crate::names::folded;
use crate::stage::Stage;

/// A packet, or a jar of seed that was saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Packet {
    pub crop: CropId,
    pub variety: Option<Shown>,
    /// Who it came from; nothing if nobody said, or if that is private.
    pub from: Option<Shown>,
    /// The year printed on it, or the year in which the seed was saved.
    pub year: Option<u32>,
    /// Seeds in a packet.
    pub size: Option<u32>,
    /// What was sown of it, in the order of the entries.
    pub sown: Vec<PlantingId>,
    /// Plantings that are meant to be sown of it.
    pub meant_for: Vec<PlantingId>,
    /// What is left of it.
    pub left: Left,
}

/// What is left of a packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// So many seeds, if there was one packet.
    Seeds(Plants),
    /// More was sown than one packet holds: there were more of them.
    MoreThanOne,
    /// Nobody wrote how many seeds there were, or how many were sown.
    Unknown,
}

impl Packet {
    /// Full years of its seed in a calendar year; 0 in the year of the packet.
    pub fn age_in(&self, year: i32) -> Option<u32> {
        let printed = i64::from(self.year?);
        u32::try_from((i64::from(year) - printed).max(0)).ok()
    }

    /// Years for which the seed of the crop keeps, stored cool and dry (the crop sheet).
    pub fn keeps(&self, garden: &Garden) -> Option<u32> {
        garden.catalogue.get(self.crop).sheet_of(self.variety.as_deref()).seed_keeps
    }

    /// Whether it is older than its seed keeps, in a calendar year.
    pub fn is_old_in(&self, garden: &Garden, year: i32) -> bool {
        self.age_in(year).zip(self.keeps(garden)).is_some_and(|(age, keeps)| age > keeps)
    }

    /// Whether it is known that nothing is left.
    pub fn is_empty(&self) -> bool {
        matches!(self.left, Left::Seeds(Plants { number: Some(0), .. }))
    }
}

/// The packets that plantings name, by crop, variety, year and who they came from.
///
/// Plantings that were split off, bought as young plants or given no `seed` name none.
pub fn of(garden: &Garden) -> Vec<Packet> {
    let mut packets: Vec<Packet> = Vec::new();
    for (id, planting) in garden.plantings() {
        let Some(seed) = named(planting) else { continue };
        let at = packets.iter().position(|packet| is_of(packet, planting, seed));
        let at = at.unwrap_or_else(|| {
            packets.push(Packet {
                crop: planting.crop,
                variety: planting.variety.clone(),
                from: seed.from.clone(),
                year: seed.year,
                size: None,
                sown: Vec::new(),
                meant_for: Vec::new(),
                left: Left::Unknown,
            });
            packets.len() - 1
        });
        let packet = &mut packets[at];
        packet.size = packet.size.or(seed.packet);
        match planting.way {
            Way::Intended => packet.meant_for.push(id),
            _ => packet.sown.push(id),
        }
    }
    for packet in &mut packets {
        packet.left = left(garden, packet);
    }
    let name = |packet: &Packet| folded(packet.variety.as_deref().unwrap_or_default());
    packets.sort_by_cached_key(|packet| {
        let crop = garden.catalogue.get(packet.crop).name.clone();
        (crop, name(packet), packet.year, packet.from.clone())
    });
    packets
}

/// Which packet a planting was or will be sown from.
pub(super) fn of_planting(packets: &[Packet], planting: &Planting) -> Option<usize> {
    let seed = named(planting)?;
    packets.iter().position(|packet| is_of(packet, planting, seed))
}

fn named(planting: &Planting) -> Option<&Seed> {
    let has_seed = matches!(planting.way, Way::Intended | Way::Sown) && planting.parent.is_none();
    planting.seed.as_ref().filter(|_| has_seed)
}

fn is_of(packet: &Packet, planting: &Planting, seed: &Seed) -> bool {
    let same = |one: &Option<Shown>, other: &Option<Shown>| {
        one.as_deref().map(folded) == other.as_deref().map(folded)
    };
    packet.crop == planting.crop
        && packet.year == seed.year
        && same(&packet.variety, &planting.variety)
        && same(&packet.from, &seed.from)
}

/// Seeds that were sown of a planting, in all; nothing if nobody counted.
pub fn sown(planting: &Planting) -> Option<Plants> {
    let is_sowing = |what| matches!(what, Happening::Reached(stage) if stage == Stage::Sown || stage == Stage::SownAgain);
    let steps = planting.history.iter().filter(|step| is_sowing(step.what));
    steps.map(|step| step.count.unwrap_or(Plants::UNKNOWN)).reduce(Plants::and)
}

fn left(garden: &Garden, packet: &Packet) -> Left {
    let Some(size) = packet.size else { return Left::Unknown };
    let sown = packet.sown.iter().map(|id| sown(garden.planting(*id)).unwrap_or(Plants::UNKNOWN));
    let sown = sown.reduce(Plants::and).unwrap_or(Plants::exactly(0));
    match sown.number {
        None => Left::Unknown,
        Some(number) if number > size => Left::MoreThanOne,
        Some(number) => {
            Left::Seeds(Plants { number: Some(size - number), is_about: sown.is_about })
        }
    }
}

/// The calendar year in which a planting was or will be sown, as far as that is known.
pub(super) fn year_of(garden: &Garden, planting: &Planting) -> i32 {
    planting.begun().or(planting.sow_on()).unwrap_or(garden.today).year()
}
