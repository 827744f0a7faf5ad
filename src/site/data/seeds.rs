//! Seed, the shopping list and the room for raising in garden.json: shares and chances to 0.001, litres and
//! millilitres to 0.1, m² to 0.001.

use chrono::NaiveDate;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::vessel::middle;
use crate::raising::bench::Measure;
use crate::raising::seeds::packets::Left;
use crate::raising::shopping::{Span as Time, Supply};
use crate::site::amount::rounded;
use crate::site::plantings::Span;
use crate::units::{Amount, MassUnit, VolumeUnit};

/// Seed.
#[derive(Debug, Serialize)]
pub(super) struct SeedsData {
    packets: Vec<PacketData>,
    tests: Vec<TestData>,
    sowings: Vec<SowingData>,
}

#[derive(Debug, Serialize)]
struct PacketData {
    crop: String,
    variety: Option<String>,
    from: Option<String>,
    year: Option<u32>,
    size: Option<u32>,
    left: Option<u32>,
    keeps_years: Option<u32>,
    test_due: bool,
    share: Option<f64>,
}

#[derive(Debug, Serialize)]
struct TestData {
    date: NaiveDate,
    crop: Option<String>,
    variety: Option<String>,
    tried: u32,
    sprouted: u32,
}

#[derive(Debug, Serialize)]
struct SowingData {
    planting: String,
    plants: u32,
    share_up: Option<f64>,
    share_lives: Option<f64>,
    seeds: Option<u32>,
    sown: Option<u32>,
    chance: Option<f64>,
}

/// The shopping list of a time.
#[derive(Debug, Serialize)]
pub(super) struct ShoppingData {
    span: &'static str,
    from: NaiveDate,
    to: NaiveDate,
    seeds: Vec<SeedNeedData>,
    pots: Vec<PotData>,
    mixes: Vec<MixNeedData>,
    feeds: Vec<FeedNeedData>,
}

#[derive(Debug, Serialize)]
struct SeedNeedData {
    planting: String,
    when: Span,
    seeds: Option<u32>,
    supply: &'static str,
}

#[derive(Debug, Serialize)]
struct PotData {
    planting: String,
    pot: String,
    number: u32,
    day: NaiveDate,
}

#[derive(Debug, Serialize)]
struct MixNeedData {
    name: String,
    pots_l: Option<f64>,
    containers_l: f64,
}

#[derive(Debug, Serialize)]
struct FeedNeedData {
    name: String,
    feedings: u32,
    untold: u32,
    ready_l: f64,
    product_ml: Option<f64>,
    product_g: Option<f64>,
}

/// A place for raising.
#[derive(Debug, Serialize)]
pub(super) struct RaisingData {
    place: String,
    cells: Option<f64>,
    area_m2: Option<f64>,
    weeks: Vec<WeekData>,
}

#[derive(Debug, Serialize)]
struct WeekData {
    from: NaiveDate,
    taken: f64,
    plantings: Vec<String>,
}

pub(super) fn seeds(garden: &Garden, findings: &Findings) -> SeedsData {
    let seeds = &findings.seeds;
    let slug = |id| garden.catalogue.get(id).slug.clone();
    let packet = |index: usize| {
        let packet = &seeds.packets[index];
        PacketData {
            crop: slug(packet.crop),
            variety: packet.variety.clone(),
            from: packet.from.clone(),
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
            variety: seed.and_then(|seed| seed.variety.clone()),
            tried: test.tried,
            sprouted: test.sprouted,
        }
    });
    let sowings = seeds.sowings.iter().map(|(id, sowing)| SowingData {
        planting: garden.planting(*id).id.clone(),
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
    let planting = |id| garden.planting(id).id.clone();
    let litres = |volume| rounded(VolumeUnit::Litre.measure(volume), 1);
    let list = findings.shopping.iter().map(|shopping| ShoppingData {
        span: match shopping.span {
            Time::FourWeeks => "four weeks",
            Time::Season => "season",
        },
        from: shopping.days.from,
        to: shopping.days.to,
        seeds: shopping
            .seeds
            .iter()
            .map(|need| SeedNeedData {
                planting: planting(need.planting),
                when: Span::from(need.when),
                seeds: need.seeds,
                supply: match need.from {
                    Supply::Enough(_) => "enough",
                    Supply::Short(_) => "short",
                    Supply::Unsure(_) => "unsure",
                    Supply::Nowhere => "none",
                },
            })
            .collect(),
        pots: shopping
            .pots
            .iter()
            .map(|need| PotData {
                planting: planting(need.planting),
                pot: need.pot.clone(),
                number: need.number,
                day: need.day,
            })
            .collect(),
        mixes: shopping
            .mixes
            .iter()
            .map(|need| MixNeedData {
                name: need.name.clone(),
                pots_l: need.pots.map(|pots| litres(middle(pots))),
                containers_l: need.containers.iter().map(|(_, fill)| litres(middle(*fill))).sum(),
            })
            .collect(),
        feeds: shopping
            .feeds
            .iter()
            .map(|need| FeedNeedData {
                name: need.name.clone(),
                feedings: need.feedings,
                untold: need.untold,
                ready_l: litres(need.ready),
                product_ml: match need.product {
                    Some(Amount::Volume(volume)) => {
                        Some(rounded(VolumeUnit::Millilitre.measure(volume), 1))
                    }
                    _ => None,
                },
                product_g: match need.product {
                    Some(Amount::Mass(mass)) => Some(rounded(MassUnit::Gram.measure(mass), 1)),
                    _ => None,
                },
            })
            .collect(),
    });
    list.collect()
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
                plantings: week
                    .who
                    .iter()
                    .map(|held| garden.planting(held.planting).id.clone())
                    .collect(),
            })
            .collect(),
    });
    benches.collect()
}
