//! Seed: how much of it to sow, what is left of it, how old it is.

pub mod packets;
pub mod rates;
pub mod trials;

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::calendar::plan::{Plan, Plans};
use crate::care::tasks::model::SeedsToSow;
use crate::catalogue::sheet::Way as SheetWay;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId, Plants, Way};
use crate::garden::taught::Taught;
use crate::learning::quantity::{Beginning, Kind};
use crate::learning::stand::Odds;
use crate::raising::bench;
use crate::raising::seeds::packets::{Left, Packet};
use crate::raising::seeds::rates::{Evidence, Rate, Survival, Wanted};
use crate::raising::seeds::trials::Trial;
use crate::stage::Stage;

/// What is known of a garden's seed on its day.
#[derive(Clone, Debug)]
pub struct SeedBox {
    /// The packets that entries name, by crop and variety.
    pub packets: Vec<Packet>,
    /// The germination tests, oldest first, with the seed they were about.
    pub trials: Vec<Trial>,
    /// How much to sow, by planting: those that are not sown yet, and those that have not come up.
    pub sowings: BTreeMap<PlantingId, Sowing>,
    evidence: Evidence,
}

/// How much of a planting is to be sown, or was.
#[derive(Clone, Debug, PartialEq)]
pub struct Sowing {
    /// Plants wanted.
    pub plants: u32,
    /// Whether they are raised under cover and planted out, so that losses on the way count.
    pub is_raised: bool,
    /// What share comes up; nothing if neither the journal nor the crop sheet tells.
    pub rate: Option<Rate>,
    /// What share of it lives until it is planted out; nothing for what is sown where it grows.
    pub survival: Option<Survival>,
    /// Seeds to sow for nine chances of ten; nothing without a rate, or if too little comes up.
    pub seeds: Option<u32>,
    /// What was sown already.
    pub sown: Option<Plants>,
    /// The chance, 0 to 1, that as many plants as wanted stand of what was sown.
    pub chance: Option<f64>,
    /// The packet it is sown from.
    pub packet: Option<usize>,
    /// Packets that the seeds fill, if the size of one is known.
    pub packets: Option<u32>,
    /// Whether the packet is older than its seed keeps, and nothing was sown or tested of it lately.
    pub is_old_seed: bool,
    /// The trays it is to be sown in, and how many of them, at one seed a cell.
    pub trays: Option<Trays>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trays {
    pub place: PlaceId,
    /// Cells that are filled.
    pub cells: u32,
    /// Trays that are begun.
    pub trays: u32,
}

/// 'Nine chances of ten': the chance asked of a sowing.
pub const CHANCE: f64 = 0.9;
/// A test counts for so long. Common practice, no source: seed is tested in the winter before it is sown.
const TEST_HOLDS_DAYS: i64 = 400;

impl SeedBox {
    /// What is known of a garden's seed. `plans` says when what is not sown yet will be.
    pub fn of(taught: &Taught, plans: &Plans) -> SeedBox {
        let garden = taught.garden();
        let packets = packets::of(garden);
        let trials = trials::of(garden, &packets);
        let evidence = Evidence::of(garden, &packets, &trials);
        let mut seeds = SeedBox { packets, trials, sowings: BTreeMap::new(), evidence };
        for (id, planting) in garden.plantings() {
            let plan = plans.get(&id).copied().unwrap_or_default();
            if let Some(sowing) = seeds.sowing(garden, planting, plan) {
                seeds.sowings.insert(id, sowing);
            }
        }
        seeds
    }

    /// How many seeds a planting takes that is not sown yet.
    pub fn to_sow(&self, id: PlantingId) -> Option<SeedsToSow> {
        let sowing = self.sowings.get(&id)?;
        Some(SeedsToSow { seeds: sowing.seeds?, plants: sowing.plants })
    }

    /// The rate of a packet, sown in its crop's usual way in the half of the year of a day.
    pub fn rate_of(&self, garden: &Garden, packet: usize, day: NaiveDate) -> Option<Rate> {
        let named = &self.packets[packet];
        let sheet = garden.catalogue.get(named.crop).sheet_of(named.variety.as_deref());
        let last = named.sown.last().map(|id| garden.planting(*id));
        let (place, day) = last.map_or((None, day), |planting| {
            (planting.first_place, planting.begun().unwrap_or(day))
        });
        self.evidence.rate(Wanted {
            crop: named.crop,
            variety: named.variety.as_deref(),
            packet: Some(packet),
            kind: Kind::of_beginning(garden, &sheet, Beginning::Sown, day, place),
            sheet: sheet.comes_up,
        })
    }

    /// The newest test of a packet.
    pub fn last_test_of(&self, packet: usize) -> Option<&Trial> {
        let is_of =
            |trial: &&Trial| trial.seed.as_ref().is_some_and(|seed| seed.packet == Some(packet));
        self.trials.iter().rfind(is_of)
    }

    /// Whether a packet should be tested before it is sown: it may not be empty, its seed is in its last good year
    /// or older, it was not tested in the last thirteen months, and either seed is known to be left or it was used
    /// since. (Common practice, no source.)
    pub fn is_test_due(&self, garden: &Garden, packet: usize) -> bool {
        let named = &self.packets[packet];
        let age = named.age_in(garden.today.year()).zip(named.keeps(garden));
        let is_aged = age.is_some_and(|(age, keeps)| age >= keeps);
        let is_left = matches!(named.left, Left::Seeds(Plants { number: Some(1..), .. }));
        let since = shift(garden.today, -TEST_HOLDS_DAYS);
        let is_used = named
            .sown
            .iter()
            .any(|id| garden.planting(*id).begun().is_some_and(|begun| begun >= since));
        let is_wanted = is_left || is_used || !named.meant_for.is_empty();
        is_aged && is_wanted && !named.is_empty() && !self.was_tested(garden, packet)
    }

    fn was_tested(&self, garden: &Garden, packet: usize) -> bool {
        let since = shift(garden.today, -TEST_HOLDS_DAYS);
        self.last_test_of(packet).is_some_and(|trial| garden.tests[trial.test].date >= since)
    }

    /// Packets from which a planting may be sown: the one it names, else those of its crop and variety that may
    /// not be empty, newest first.
    pub fn packets_for(&self, planting: &Planting) -> Vec<usize> {
        if let Some(own) = packets::of_planting(&self.packets, planting) {
            return vec![own];
        }
        let same = |packet: &Packet| {
            packet.crop == planting.crop
                && packet.variety.as_deref().map(crate::names::folded)
                    == planting.variety.as_deref().map(crate::names::folded)
        };
        let mut found: Vec<usize> = (0..self.packets.len())
            .filter(|index| same(&self.packets[*index]) && !self.packets[*index].is_empty())
            .collect();
        found.sort_by_key(|index| std::cmp::Reverse(self.packets[*index].year));
        found
    }

    /// Nothing for what is not begun from seed, has come up, or has no number of plants that is wanted.
    fn sowing(&self, garden: &Garden, planting: &Planting, plan: Plan) -> Option<Sowing> {
        let plants = planting.aim?;
        let is_open = match planting.way {
            Way::Intended => is_from_seed(planting) && planting.stage() == Stage::Intended,
            Way::Sown => planting.finished.is_none() && planting.stage() <= Stage::SownAgain,
            Way::Planted | Way::Bought | Way::Split => false,
        };
        if !is_open {
            return None;
        }
        let day = planting.begun().or(planting.sow_on()).or(plan.sow.map(|sow| sow.from));
        let day = day.unwrap_or(garden.today);
        let place = planting.first_place;
        let kind = Kind::of_beginning(garden, &planting.sheet, Beginning::Sown, day, place);
        let packet = packets::of_planting(&self.packets, planting);
        let rate = self.evidence.rate(Wanted {
            crop: planting.crop,
            variety: planting.variety.as_deref(),
            packet,
            kind,
            sheet: planting.sheet.comes_up,
        });
        let is_raised = kind.is_under_cover;
        let survival = is_raised.then(|| self.evidence.survival(planting.crop));
        let odds = rate.map(|rate| odds(rate, survival));
        let seeds = odds.and_then(|odds| odds.seeds_for(plants, CHANCE));
        let sown = if planting.way == Way::Sown { packets::sown(planting) } else { None };
        let number = sown.and_then(|sown| sown.number);
        let named = packet.map(|index| &self.packets[index]);
        let year = packets::year_of(garden, planting);
        Some(Sowing {
            plants,
            is_raised,
            rate,
            survival,
            seeds,
            sown,
            chance: odds.zip(number).map(|(odds, number)| odds.chance_of(plants, number)),
            packet,
            packets: seeds
                .zip(named.and_then(|packet| packet.size).filter(|size| *size > 0))
                .map(|(seeds, size)| seeds.div_ceil(size)),
            is_old_seed: named.is_some_and(|packet| packet.is_old_in(garden, year))
                && !packet.is_some_and(|packet| self.was_tested(garden, packet)),
            trays: seeds.and_then(|seeds| trays(garden, planting, seeds)),
        })
    }
}

/// The days on which a planting is still to be sown, from the garden's on: what is late is due today.
pub fn days_to_sow(garden: &Garden, plan: Plan) -> Option<Period> {
    let sow = plan.sow?;
    let from = sow.from.max(garden.today);
    Some(Period { from, to: sow.to.max(from) })
}

fn odds(rate: Rate, survival: Option<Survival>) -> Odds {
    survival.map_or(rate.odds, |survival| rate.odds.and_then(survival.odds))
}

fn is_from_seed(planting: &Planting) -> bool {
    let ways = planting.sheet.begun_as.as_deref().unwrap_or_default();
    ways.first().is_some_and(|way| matches!(way, SheetWay::SeedUnderCover | SheetWay::SeedOutdoors))
}

fn trays(garden: &Garden, planting: &Planting, seeds: u32) -> Option<Trays> {
    let place = planting.first_place?;
    let cells = bench::cells_in_tray(garden.place(place))?;
    Some(Trays { place, cells: seeds, trays: seeds.div_ceil(cells) })
}
