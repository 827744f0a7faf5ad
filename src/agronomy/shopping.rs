//! What a span of days asks for: seed, pots, mix and feed, from the tasks, the plan and what was done before.
//!
//! Pots and doses are taken from the journal: what this crop was last potted on into, what this planting was last
//! fed. Where nobody wrote that, the line says so and no amount is made up. Tasks reach as far as the feed looks
//! ahead; sowings go by the plan and reach as far as it does.

use std::collections::BTreeMap;

use crate::agronomy::feeds::Feed;
use crate::agronomy::findings::Findings;
use crate::agronomy::mixes::{self, Recipe};
use crate::agronomy::seeds::packets::Left;
use crate::agronomy::tasks::model::Task;
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId, Plants, StepWord};
use crate::garden::vessel;
use crate::jobs::Job;
use crate::names::folded;
use crate::stage::Stage;
use crate::units::{self, Amount, Range, Uses, Volume, VolumeUnit};

/// What a span of days asks for.
#[derive(Clone, Debug)]
pub struct Shopping {
    /// The days, the first of them the garden's own.
    pub days: Period,
    /// Seed, sets and tubers for what is to be begun.
    pub seed: Vec<SeedLine>,
    /// Pots for what is to be potted on or pricked out.
    pub pots: Vec<PotLine>,
    /// Containers for what is to be set out.
    pub containers: Vec<ContainerLine>,
    /// Mixes by their place in the garden's list, with what pots and containers take of each.
    pub mixes: BTreeMap<usize, Range<Volume>>,
    /// Feeds by name.
    pub feeds: Vec<FeedLine>,
}

/// Seed for a planting.
#[derive(Clone, Debug, PartialEq)]
pub struct SeedLine {
    /// The planting.
    pub planting: PlantingId,
    /// Seeds to sow; nothing if that is not known.
    pub seeds: Option<u32>,
    /// Plants wanted, if somebody wrote how many.
    pub plants: Option<u32>,
    /// What is left of its packet after the sowings above it, if that is known.
    pub left: Option<u32>,
    /// Seeds that are lacking, if that is known.
    pub lacking: Option<u32>,
}

/// Pots for a planting.
#[derive(Clone, Debug, PartialEq)]
pub struct PotLine {
    /// The planting.
    pub planting: PlantingId,
    /// One pot for each.
    pub plants: Plants,
    /// The pot this crop went into last time, as written.
    pub pot: Option<String>,
    /// The mix it went into.
    pub mix: Option<String>,
}

/// Containers for a planting.
#[derive(Clone, Debug, PartialEq)]
pub struct ContainerLine {
    /// The planting.
    pub planting: PlantingId,
    /// Where it is to be set out.
    pub place: PlaceId,
    /// How many of them it takes, if `uses` says.
    pub containers: Option<u32>,
    /// What they hold, if that and their number are known.
    pub holds: Option<Range<Volume>>,
}

/// A feed.
#[derive(Clone, Debug, PartialEq)]
pub struct FeedLine {
    /// Its name, as the crop sheets have it.
    pub with: String,
    /// Its place in the garden's list, if there is a sheet of it.
    pub sheet: Option<usize>,
    /// How many feedings.
    pub feedings: u32,
    /// Of how many of them nobody ever wrote how much is given.
    pub unknown: u32,
    /// What the others come to, ready to pour.
    pub water: Volume,
    /// The feed that goes into it at the label's dose, if there is one.
    pub concentrate: Option<Amount>,
}

impl Shopping {
    /// What the days ask for.
    pub fn of(garden: &Garden, findings: &Findings, days: Period) -> Shopping {
        let tasks = || findings.tasks.iter().filter(|task| days.contains(task.due));
        let pots = pots(garden, tasks());
        let containers = containers(garden, tasks());
        Shopping {
            days,
            seed: seed(garden, findings, days),
            mixes: mixes_for(garden, &pots, &containers),
            pots,
            containers,
            feeds: feeds(garden, tasks()),
        }
    }
}

/// What is to be begun in these days, by day and then in the garden's order.
fn seed(garden: &Garden, findings: &Findings, days: Period) -> Vec<SeedLine> {
    let begins = |id: PlantingId, planting: &Planting| {
        let plan = findings.plans.get(&id).and_then(|plan| plan.sow).map(|sow| sow.from);
        planting.sow_on.or(plan).map(|day| day.max(garden.today))
    };
    let mut coming: Vec<_> = garden
        .plantings()
        .filter(|(_, planting)| planting.stage() == Stage::Intended)
        .filter_map(|(id, planting)| Some((begins(id, planting)?, id)))
        .filter(|(day, _)| days.contains(*day))
        .collect();
    coming.sort_unstable();
    let mut left: BTreeMap<usize, u32> = BTreeMap::new();
    let line = |(_, id): (_, PlantingId)| {
        let sowing = findings.seeds.sowings.get(&id);
        let seeds = sowing.and_then(|sowing| sowing.seeds);
        let there = sowing.and_then(|sowing| sowing.packet).and_then(|packet| {
            let known = match findings.seeds.packets[packet].left {
                Left::Seeds(plants) => plants.number,
                Left::MoreThanOne | Left::Unknown => None,
            };
            let there = *left.entry(packet).or_insert(known?);
            left.insert(packet, there.saturating_sub(seeds.unwrap_or(0)));
            Some(there)
        });
        SeedLine {
            planting: id,
            seeds,
            plants: sowing.map(|sowing| sowing.plants).or(garden.planting(id).aim),
            left: there,
            lacking: seeds.zip(there).map(|(seeds, there)| seeds.saturating_sub(there)),
        }
    };
    coming.into_iter().map(line).collect()
}

/// Each planting once, however often it is potted on in these days.
fn pots<'a>(garden: &Garden, tasks: impl Iterator<Item = &'a Task>) -> Vec<PotLine> {
    let of_pots = tasks.filter(|task| matches!(task.job, Job::PotOn | Job::PrickOut));
    let mut ids: Vec<PlantingId> = of_pots.filter_map(|task| task.key.planting).collect();
    ids.sort_unstable();
    ids.dedup();
    ids.into_iter()
        .map(|id| PotLine {
            planting: id,
            plants: garden.planting(id).plants(),
            pot: last_word(garden, id, StepWord::Pot),
            mix: last_word(garden, id, StepWord::Mix),
        })
        .collect()
}

/// What was last written of this crop about its pot or its mix.
fn last_word(garden: &Garden, id: PlantingId, about: StepWord) -> Option<String> {
    let crop = garden.planting(id).crop;
    let alike = garden.plantings.iter().filter(|planting| planting.crop == crop);
    let steps = alike.flat_map(|planting| &planting.history);
    let words = steps.flat_map(|step| step.words.iter().map(move |word| (step.date, word)));
    let about_it = words.filter(|(_, (what, _))| *what == about);
    about_it.max_by_key(|(date, _)| *date).map(|(_, (_, text))| text.clone())
}

fn containers<'a>(garden: &Garden, tasks: impl Iterator<Item = &'a Task>) -> Vec<ContainerLine> {
    let set_out = tasks.filter(|task| task.job == Job::PlantOut);
    let mut ids: Vec<PlantingId> = set_out.filter_map(|task| task.key.planting).collect();
    ids.sort_unstable();
    ids.dedup();
    let line = |id: PlantingId| {
        let planting = garden.planting(id);
        let place = planting.destined?;
        let vessel = garden.place(place).vessel?;
        let containers = match planting.uses {
            Some(Uses::Containers(number)) => Some(number),
            _ => None,
        };
        let holds = containers.map(|number| vessel.holds.map(|one| one * f64::from(number)));
        Some(ContainerLine { planting: id, place, containers, holds })
    };
    ids.into_iter().filter_map(line).collect()
}

/// What pots and containers take of each mix, where pot, number and mix are known.
fn mixes_for(
    garden: &Garden,
    pots: &[PotLine],
    containers: &[ContainerLine],
) -> BTreeMap<usize, Range<Volume>> {
    let mut sums: BTreeMap<usize, Range<Volume>> = BTreeMap::new();
    let mut add = |mix: &str, volume: Range<Volume>| {
        let recipe = garden
            .mixes
            .iter()
            .position(|sheet| mixes::is_called(sheet, mix) && Recipe::of(sheet).is_some());
        if let Some(index) = recipe {
            let sum = sums.get(&index).map_or(volume, |sum| mixes::and(*sum, volume));
            sums.insert(index, sum);
        }
    };
    for line in pots {
        let pot = line.pot.as_deref().and_then(|text| units::pot(text).ok());
        if let (Some(pot), Some(mix), Some(number)) = (pot, &line.mix, line.plants.number) {
            add(mix, vessel::pot_range(pot).map(|one| one * f64::from(number)));
        }
    }
    for line in containers {
        if let (Some(soil), Some(holds)) = (&garden.place(line.place).soil, line.holds) {
            add(soil, holds);
        }
    }
    sums
}

fn feeds<'a>(garden: &Garden, tasks: impl Iterator<Item = &'a Task>) -> Vec<FeedLine> {
    let mut lines: BTreeMap<String, FeedLine> = BTreeMap::new();
    for task in tasks.filter(|task| task.job == Job::Feed) {
        let (Some(with), Some(id)) = (&task.with, task.key.planting) else { continue };
        let line = lines.entry(folded(with)).or_insert_with(|| FeedLine {
            with: with.clone(),
            sheet: garden.mixes.iter().position(|sheet| mixes::is_called(sheet, with)),
            feedings: 0,
            unknown: 0,
            water: VolumeUnit::Litre.of(0.0),
            concentrate: None,
        });
        line.feedings += 1;
        match last_given(garden, id) {
            Some(water) => line.water += water,
            None => line.unknown += 1,
        }
    }
    let mut lines: Vec<FeedLine> = lines.into_values().collect();
    for line in &mut lines {
        let feed = line.sheet.and_then(|index| Feed::of(&garden.mixes[index]));
        let is_known = line.unknown < line.feedings;
        line.concentrate =
            feed.filter(|_| is_known).and_then(|feed| feed.for_water(line.water).ok());
    }
    lines
}

/// What a planting was given when it was last fed and somebody wrote how much: `each` for each of its plants, or
/// its even share of a total.
fn last_given(garden: &Garden, id: PlantingId) -> Option<Volume> {
    let by_volume = |amount: Amount| match amount {
        Amount::Volume(volume) => Some(volume),
        Amount::Mass(_) => None,
    };
    let of_it = |about: &[PlantingId]| about.contains(&id);
    let fed = garden.care.iter().rev().filter(|care| care.did == Job::Feed);
    fed.filter(|care| of_it(&care.about.plantings)).find_map(|care| {
        let each = care.each.and_then(by_volume).zip(garden.planting(id).plants().number);
        each.map(|(each, plants)| each * f64::from(plants)).or_else(|| {
            let total = care.amount.and_then(by_volume)?;
            Some(total / care.about.plantings.len() as f64)
        })
    })
}
