//! Seed, the shopping list and the room for raising in garden.json: shares and chances to 0.001, litres and
//! millilitres to 0.1, m² to 0.001.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::vessel::middle;
use crate::raising::bench::Measure;
use crate::raising::seeds::packets::Left;
use crate::raising::shopping::feeding::FeedNeed;
use crate::raising::shopping::potting::{MixNeed, PotNeed};
use crate::raising::shopping::{SeedNeed, Span as Time, Supply};
use crate::site::amount::{grams, rounded};
use crate::site::data::id_of;
use crate::site::plantings::Span;
use crate::units::{Amount, Volume, VolumeUnit};

/// Seed.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct SeedsData {
    /// Packets that entries name.
    packets: Vec<PacketData>,
    /// Germination tests.
    tests: Vec<TestData>,
    /// What is to be sown, or has not come up.
    sowings: Vec<SowingData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct PacketData {
    /// A slug.
    crop: String,
    /// The variety.
    variety: Option<String>,
    /// Where it is from.
    from: Option<String>,
    /// The year on it.
    year: Option<u32>,
    /// How many seeds were in it.
    size: Option<u32>,
    /// How many are left of one packet.
    left: Option<u32>,
    /// How long its seed keeps.
    keeps_years: Option<u32>,
    /// Whether it should be tested.
    test_due: bool,
    /// The share of the next sowing that comes up, to 0.001.
    share: Option<f64>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct TestData {
    /// The day.
    date: NaiveDate,
    /// A slug; `null` where the seed cannot be told.
    crop: Option<String>,
    /// The variety.
    variety: Option<String>,
    /// Seeds tried.
    tried: u32,
    /// Seeds that sprouted.
    sprouted: u32,
}

#[derive(Debug, JsonSchema, Serialize)]
struct SowingData {
    /// Its id.
    planting: String,
    /// Plants wanted.
    plants: u32,
    /// The share that comes up, to 0.001.
    share_up: Option<f64>,
    /// The share of those that lives until planted out, to 0.001.
    share_lives: Option<f64>,
    /// Seeds for nine chances of ten.
    seeds: Option<u32>,
    /// Seeds that were sown.
    sown: Option<u32>,
    /// The chance that the plants stand of what was sown, to 0.001.
    chance: Option<f64>,
}

/// The shopping list of a time.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct ShoppingData {
    /// `four weeks` or `season`.
    span: &'static str,
    /// The first day.
    from: NaiveDate,
    /// The last day.
    to: NaiveDate,
    /// Seed for sowings.
    seeds: Vec<SeedNeedData>,
    /// Pots for potting on.
    pots: Vec<PotData>,
    /// Potting mixes.
    mixes: Vec<MixNeedData>,
    /// Feeds.
    feeds: Vec<FeedNeedData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct SeedNeedData {
    /// Its id.
    planting: String,
    /// When it is to be sown.
    when: Span,
    /// How many.
    seeds: Option<u32>,
    /// `enough`, `short`, `unsure` or `none`.
    supply: &'static str,
}

#[derive(Debug, JsonSchema, Serialize)]
struct PotData {
    /// Its id.
    planting: String,
    /// The pot, in the grower's words.
    pot: String,
    /// How many.
    number: u32,
    /// The day for it.
    day: NaiveDate,
}

#[derive(Debug, JsonSchema, Serialize)]
struct MixNeedData {
    /// Its name.
    name: String,
    /// For pots, to 0.1 L.
    pots_l: Option<f64>,
    /// For containers, to 0.1 L.
    containers_l: f64,
}

#[derive(Debug, JsonSchema, Serialize)]
struct FeedNeedData {
    /// Its name.
    name: String,
    /// How many feedings.
    feedings: u32,
    /// Of them, of unknown amount.
    untold: u32,
    /// Feed ready to pour, to 0.1 L.
    ready_l: f64,
    /// Out of the bottle, to 0.1 ml.
    product_ml: Option<f64>,
    /// Out of the bag, to 0.1 g.
    product_g: Option<f64>,
}

/// A place for raising.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct RaisingData {
    /// A slug.
    place: String,
    /// Cells there are.
    cells: Option<f64>,
    /// Shelf there is, to 0.001 m²; one of the two is `null`.
    area_m2: Option<f64>,
    /// Weeks of the season with something in them.
    weeks: Vec<WeekData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct WeekData {
    /// Its first day.
    from: NaiveDate,
    /// Cells or m² taken, to 0.001.
    taken: f64,
    /// Their ids.
    plantings: Vec<String>,
}

pub(super) fn seeds(garden: &Garden, findings: &Findings) -> SeedsData {
    let seeds = &findings.seeds;
    let slug = |id| garden.catalogue.get(id).slug.clone();
    let packet = |index: usize| {
        let packet = &seeds.packets[index];
        PacketData {
            crop: slug(packet.crop),
            variety: packet.variety.clone().map(String::from),
            from: packet.from.clone().map(String::from),
            year: packet.year,
            size: packet.size,
            left: match packet.left {
                Left::Seeds(left) => left.number,
                Left::MoreThanOne | Left::Unknown => None,
            },
            keeps_years: packet.keeps(garden),
            test_due: seeds.is_test_due(garden, index),
            share: seeds
                .rate_of(garden, index, garden.today)
                .map(|rate| rounded(rate.odds.mean, 3)),
        }
    };
    let tests = seeds.trials.iter().map(|trial| {
        let (test, seed) = (&garden.tests[trial.test], trial.seed.as_ref());
        TestData {
            date: test.date,
            crop: seed.map(|seed| slug(seed.crop)),
            variety: seed.and_then(|seed| seed.variety.clone().map(String::from)),
            tried: test.tried,
            sprouted: test.sprouted,
        }
    });
    let sowings = seeds.sowings.iter().map(|(id, sowing)| SowingData {
        planting: id_of(garden, *id),
        plants: sowing.plants,
        share_up: sowing.rate.map(|rate| rounded(rate.odds.mean, 3)),
        share_lives: sowing.survival.map(|survival| rounded(survival.odds.mean, 3)),
        seeds: sowing.seeds,
        sown: sowing.sown.and_then(|sown| sown.number),
        chance: sowing.chance.map(|chance| rounded(chance, 3)),
    });
    SeedsData {
        packets: (0..seeds.packets.len()).map(packet).collect(),
        tests: tests.collect(),
        sowings: sowings.collect(),
    }
}

pub(super) fn shopping(garden: &Garden, findings: &Findings) -> Vec<ShoppingData> {
    let seed = |need: &SeedNeed| SeedNeedData {
        planting: id_of(garden, need.planting),
        when: Span::from(need.when),
        seeds: need.seeds,
        supply: match need.from {
            Supply::Enough(_) => "enough",
            Supply::Short(_) => "short",
            Supply::Unsure(_) => "unsure",
            Supply::Nowhere => "none",
        },
    };
    let pot = |need: &PotNeed| PotData {
        planting: id_of(garden, need.planting),
        pot: need.pot.to_string(),
        number: need.number,
        day: need.day,
    };
    let list = findings.shopping.iter().map(|shopping| ShoppingData {
        span: match shopping.span {
            Time::FourWeeks => "four weeks",
            Time::Season => "season",
        },
        from: shopping.days.from,
        to: shopping.days.to,
        seeds: shopping.seeds.iter().map(seed).collect(),
        pots: shopping.pots.iter().map(pot).collect(),
        mixes: shopping.mixes.iter().map(MixNeedData::from).collect(),
        feeds: shopping.feeds.iter().map(FeedNeedData::from).collect(),
    });
    list.collect()
}

fn litres(volume: Volume) -> f64 {
    rounded(VolumeUnit::Litre.measure(volume), 1)
}

impl From<&MixNeed> for MixNeedData {
    fn from(need: &MixNeed) -> MixNeedData {
        MixNeedData {
            name: need.name.clone(),
            pots_l: need.pots.map(|pots| litres(middle(pots))),
            containers_l: need.containers.iter().map(|(_, fill)| litres(middle(*fill))).sum(),
        }
    }
}

impl From<&FeedNeed> for FeedNeedData {
    fn from(need: &FeedNeed) -> FeedNeedData {
        let (product_ml, product_g) = match need.product {
            Some(Amount::Volume(volume)) => {
                (Some(rounded(VolumeUnit::Millilitre.measure(volume), 1)), None)
            }
            Some(Amount::Mass(mass)) => (None, Some(grams(mass))),
            None => (None, None),
        };
        FeedNeedData {
            name: need.name.clone(),
            feedings: need.feedings,
            untold: need.untold,
            ready_l: litres(need.ready),
            product_ml,
            product_g,
        }
    }
}

pub(super) fn raising(garden: &Garden, findings: &Findings) -> Vec<RaisingData> {
    let benches = findings.benches.iter().map(|bench| RaisingData {
        place: garden.place(bench.place).slug.clone(),
        cells: (bench.measure == Measure::Cells).then_some(bench.there),
        area_m2: (bench.measure == Measure::SquareMetres).then(|| rounded(bench.there, 3)),
        weeks: bench
            .weeks
            .iter()
            .filter(|week| week.taken > 0.0)
            .map(|week| WeekData {
                from: week.from,
                taken: rounded(week.taken, 3),
                plantings: week.who.iter().map(|held| id_of(garden, held.planting)).collect(),
            })
            .collect(),
    });
    benches.collect()
}
