//! How much to sow, in words: on the page of a planting and in the seed box.

use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::raising::seeds::packets::Left;
use crate::raising::seeds::rates::{Ground, Rate, Survival};
use crate::raising::seeds::{CHANCE, Sowing};
use crate::site::amount::Amount;
use crate::site::frame::Link;
use crate::site::message::{Arg, Message};

/// How much of a planting is to be sown, or was.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SowingView {
    /// The number, or why there is none.
    pub number: Message,
    /// What the number rests on.
    pub grounds: Vec<Message>,
    /// What speaks against the seed.
    pub warning: Option<Message>,
    /// The trays it is to be sown in.
    pub trays: Option<TraysView>,
}

/// Trays for a sowing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TraysView {
    /// Cells and trays.
    pub words: Message,
    pub place: Link,
}

impl SowingView {
    /// Of a planting that is not sown yet, or has not come up.
    pub fn new(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<SowingView> {
        let sowing = findings.seeds.sowings.get(&id)?;
        let planting = garden.planting(id);
        let destined = planting.destined.map(|place| garden.place(place).name.as_str());
        let mut grounds = Vec::new();
        if let (Some(rate), true) = (&sowing.rate, sowing.seeds.is_some()) {
            grounds.push(rate_words(rate));
        }
        if let (Some(_), Some(_)) = (sowing.rate, sowing.seeds) {
            grounds.push(match sowing.survival {
                Some(survival) => survival_words(survival),
                None => Message::new("sowing.not-raised"),
            });
        }
        grounds.extend(packets(findings, sowing));
        Some(SowingView {
            number: number(sowing, destined),
            grounds,
            warning: sowing.is_old_seed.then(|| Message::new("sowing.old-seed")),
            trays: sowing.trays.map(|trays| TraysView {
                words: Message::new("sowing.trays")
                    .with("cells", Amount::count(trays.cells, "cells"))
                    .with("trays", Amount::count(trays.trays, "trays")),
                place: Link::place(garden, trays.place),
            }),
        })
    }
}

/// The number of seeds; of what is sown already, the chance.
fn number(sowing: &Sowing, destined: Option<&str>) -> Message {
    let plants = || Amount::count(sowing.plants, "plants");
    let Some(seeds) = sowing.seeds else {
        let key = if sowing.rate.is_some() { "sowing.too-little" } else { "sowing.no-rate" };
        return Message::new(key);
    };
    let seeds = Amount::seeds_to_sow(seeds);
    if let (Some(chance), Some(sown)) = (sowing.chance, sowing.sown) {
        let sown = Amount::plants_as(sown, "seeds").unwrap_or(Amount::whole(0.0));
        let key = if chance < CHANCE { "sowing.sown-few" } else { "sowing.sown" };
        return Message::new(key)
            .with("sown", sown)
            .with("plants", plants())
            .with("chance", Amount::percent(chance).roughly())
            .with("seeds", seeds);
    }
    let key = if destined.is_some() { "sowing.number-for" } else { "sowing.number" };
    let number = Message::new(key).with("plants", plants()).with("seeds", seeds);
    match destined {
        Some(place) => number.with("place", place),
        None => number,
    }
}

/// `Of 100 seeds about 83 come up: from 2 sowings and one test of this variety`
pub fn rate_words(rate: &Rate) -> Message {
    let key = match rate.ground {
        Ground::Packet => "sowing.from-packet",
        Ground::Variety => "sowing.from-variety",
        Ground::Crop => "sowing.from-crop",
        Ground::Sheet => "sowing.from-sheet",
    };
    Message::new(key)
        .with("share", Amount::percent(rate.odds.mean).roughly())
        .with("what", what_was_seen(rate))
}

fn what_was_seen(rate: &Rate) -> Arg {
    let part = |key: &str, count: u32| {
        (count > 0).then(|| Arg::Message(Message::new(key).with("count", u64::from(count))))
    };
    let parts = [part("sowing.sowings", rate.sowings), part("sowing.tests", rate.tests)];
    Arg::List(parts.into_iter().flatten().collect())
}

fn survival_words(survival: Survival) -> Message {
    let key = if survival.from_plantings == 0 { "sowing.lives-usually" } else { "sowing.lives" };
    Message::new(key)
        .with("share", Amount::percent(survival.odds.mean).roughly())
        .with("count", u64::from(survival.from_plantings))
}

/// What the packet still holds, if that is known; else how many packets the seeds are.
fn packets(findings: &Findings, sowing: &Sowing) -> Option<Message> {
    let packet = &findings.seeds.packets[sowing.packet?];
    let size = Amount::count(packet.size?, "seeds");
    if let (Left::Seeds(left), None) = (packet.left, sowing.sown) {
        let is_enough = left.number? >= sowing.seeds?;
        let key = if is_enough { "sowing.packet-holds" } else { "sowing.packet-short" };
        return Some(Message::new(key).with("left", Amount::plants_as(left, "seeds")?));
    }
    let packets = Amount::count(sowing.packets?, "packets");
    Some(Message::new("sowing.packets").with("packets", packets).with("size", size))
}
