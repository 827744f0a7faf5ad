//! The seed box: packets, their age, what came up of them, what is left, and what to test.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::raising::seeds::days_to_sow;
use crate::raising::seeds::packets::{Left, Packet};
use crate::raising::seeds::trials;
use crate::site::amount::Amount;
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings::Span;
use crate::site::seed_year::{self, SeedYearView};
use crate::site::sowing::{SowingView, rate_words};

/// The seed box.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeedView {
    pub frame: Frame,
    /// What is still to be sown, or has not come up.
    pub sowings: Vec<SowingRow>,
    /// Packets of which something may be left.
    pub packets: Vec<PacketRow>,
    /// Packets that are known to be empty.
    pub empty: Vec<PacketRow>,
    /// Packets that should be tested before they are sown.
    pub to_test: Vec<PacketName>,
    /// Germination tests of the last years, newest first.
    pub tests: Vec<TestRow>,
    /// Years before those, newest first, with their packets and tests.
    pub older: Vec<Link>,
}

/// A sowing to come.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SowingRow {
    pub planting: Link,
    pub crop: Link,
    pub variety: Option<String>,
    /// When it is to be sown, or was.
    pub when: Option<Span>,
    pub sowing: SowingView,
}

/// What a packet is called by.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PacketName {
    pub crop: Link,
    pub variety: Option<String>,
    /// Who it came from, and its year.
    pub from: Option<Message>,
}

/// A packet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PacketRow {
    /// What it is called by.
    pub name: PacketName,
    /// Its age and how long such seed keeps.
    pub age: Option<Message>,
    /// Its age, no more than such seed keeps, and how long that is, in years.
    pub years: Option<[u32; 2]>,
    /// Whether it is older than its seed keeps.
    pub is_old: bool,
    /// What comes up of it, and from what that is known.
    pub rate: Option<Message>,
    /// What was sown of it.
    pub sown: Vec<SownRow>,
    /// What is meant to be sown of it.
    pub meant_for: Vec<Link>,
    /// What is left of it.
    pub left: Message,
}

/// What was sown of a packet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SownRow {
    pub planting: Link,
    pub seeds: Option<Amount>,
}

/// A germination test.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TestRow {
    pub date: NaiveDate,
    /// The entry it is written in.
    pub entry: Option<EntryLink>,
    /// The seed in the grower's words; nothing if the entry is private.
    pub seed: Option<String>,
    /// The crop, if that can be told.
    pub crop: Option<Link>,
    /// The variety, if it can only be one.
    pub variety: Option<String>,
    /// Whether it can only be one packet.
    pub is_of_one_packet: bool,
    /// `8 of 10`
    pub result: Message,
    /// The range in which the share of all such seed lies, eight chances of ten.
    pub range: Message,
    /// How long it took.
    pub days: Option<Amount>,
}

impl Page for SeedView {
    type Key = ();

    const PART: Part = Part { key: "seed", href: "seed/index.html", area: Area::More };
    const TEMPLATE: &'static str = "seed.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let seeds = &findings.seeds;
        let is_near = |packet: &Packet| seed_year::of_packet(garden, packet).is_none();
        let (empty, packets): (Vec<usize>, Vec<usize>) = (0..seeds.packets.len())
            .filter(|index| is_near(&seeds.packets[*index]))
            .partition(|index| seeds.packets[*index].is_empty());
        let trials =
            seeds.trials.iter().rev().filter(|trial| {
                seed_year::of_test(garden, garden.tests[trial.test].date).is_none()
            });
        let row = |index: &usize| PacketRow::new(garden, findings, *index);
        let mut sowings: Vec<SowingRow> =
            seeds.sowings.keys().filter_map(|id| sowing_row(garden, findings, *id)).collect();
        sowings.sort_by_key(|row| (row.when.is_none(), row.when.map(|when| (when.from, when.to))));
        SeedView {
            frame: Frame::new::<Self>(garden, &(), Message::new("part.seed")),
            sowings,
            packets: packets.iter().map(row).collect(),
            empty: empty.iter().map(row).collect(),
            to_test: packets
                .iter()
                .filter(|index| seeds.is_test_due(garden, **index))
                .map(|index| PacketName::new(garden, &seeds.packets[*index]))
                .collect(),
            tests: trials.map(|trial| test_row(garden, trial)).collect(),
            older: SeedYearView::links(garden),
        }
    }
}

fn sowing_row(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<SowingRow> {
    let planting = garden.planting(id);
    Some(SowingRow {
        planting: Link::planting(garden, id),
        crop: Link::crop(garden, planting.crop),
        variety: planting.variety.clone().map(String::from),
        when: when(garden, findings, id),
        sowing: SowingView::new(garden, findings, id)?,
    })
}

/// The day it was sown; else what is still to come of the days on which it is to be.
fn when(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<Span> {
    let day = |day: NaiveDate| Span { from: day, to: day };
    if let Some(begun) = garden.planting(id).begun() {
        return Some(day(begun));
    }
    let plan = findings.plans.get(&id).copied().unwrap_or_default();
    days_to_sow(garden, plan).map(Span::from)
}

impl PacketName {
    pub(super) fn new(garden: &Garden, packet: &Packet) -> PacketName {
        PacketName {
            crop: Link::crop(garden, packet.crop),
            variety: packet.variety.clone().map(String::from),
            from: from_words(packet.from.as_deref(), packet.year),
        }
    }
}

/// `from the market, packet of 2025`
pub(super) fn from_words(from: Option<&str>, year: Option<u32>) -> Option<Message> {
    let year = year.map(|year| year.to_string());
    match (from, year) {
        (Some(from), Some(year)) => {
            Some(Message::new("seed.from-year").with("from", from).with("year", year))
        }
        (Some(from), None) => Some(Message::new("seed.from").with("from", from)),
        (None, Some(year)) => Some(Message::new("seed.year").with("year", year)),
        (None, None) => None,
    }
}

impl PacketRow {
    pub(super) fn new(garden: &Garden, findings: &Findings, index: usize) -> PacketRow {
        let packet = &findings.seeds.packets[index];
        let year = garden.today.year();
        let years = |count: u32| Message::new("value.years").with("count", u64::from(count));
        let age = packet.age_in(year).map(|age| match (age, packet.keeps(garden)) {
            (0, _) => Message::new("seedbox.fresh"),
            (age, Some(keeps)) => {
                Message::new("seedbox.age").with("age", years(age)).with("keeps", years(keeps))
            }
            (age, None) => Message::new("seedbox.age-alone").with("age", years(age)),
        });
        let rate = findings.seeds.rate_of(garden, index, garden.today);
        PacketRow {
            name: PacketName::new(garden, packet),
            age,
            years: packet
                .age_in(year)
                .zip(packet.keeps(garden))
                .map(|(age, keeps)| [age.min(keeps), keeps]),
            is_old: packet.is_old_in(garden, year),
            rate: rate.as_ref().map(rate_words),
            sown: packet.sown.iter().map(|id| sown_row(garden, *id)).collect(),
            meant_for: packet.meant_for.iter().map(|id| Link::planting(garden, *id)).collect(),
            left: left(packet),
        }
    }
}

fn sown_row(garden: &Garden, id: PlantingId) -> SownRow {
    let seeds = crate::raising::seeds::packets::sown(garden.planting(id));
    SownRow {
        planting: Link::planting(garden, id),
        seeds: seeds.and_then(|seeds| Amount::plants_as(seeds, "seeds")),
    }
}

fn left(packet: &Packet) -> Message {
    match packet.left {
        Left::Seeds(plants) => match (Amount::plants_as(plants, "seeds"), packet.size) {
            (Some(seeds), Some(size)) => Message::new("seedbox.left")
                .with("seeds", Amount { unit: String::new(), ..seeds })
                .with("size", Amount::count(size, "seeds")),
            _ => Message::new("seedbox.left-unknown"),
        },
        Left::MoreThanOne => Message::new("seedbox.more-than-one"),
        Left::Unknown => Message::new("seedbox.left-unknown"),
    }
}

pub(super) fn test_row(garden: &Garden, trial: &trials::Trial) -> TestRow {
    let test = &garden.tests[trial.test];
    let seed = trial.seed.as_ref();
    let (low, high) = trials::interval(test.tried, test.sprouted);
    TestRow {
        date: test.date,
        entry: test.source.entry.and_then(|id| Link::entry(garden, id)),
        seed: test.seed.shown().map(str::to_owned),
        crop: seed.map(|seed| Link::crop(garden, seed.crop)),
        variety: seed.and_then(|seed| seed.variety.clone().map(String::from)),
        is_of_one_packet: seed.is_some_and(|seed| seed.packet.is_some()),
        result: Message::new("seedbox.result")
            .with("sprouted", Amount::whole(f64::from(test.sprouted)))
            .with("tried", Amount::whole(f64::from(test.tried))),
        range: Message::new("value.range")
            .with("from", Amount::percent(low))
            .with("to", Amount::percent(high)),
        days: test.days.map(|days| Amount::count(days, "days")),
    }
}
