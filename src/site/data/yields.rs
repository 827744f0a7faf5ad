//! The part `yields` of garden.json: every sum of pickings, what it is divided by, losses and costs.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::results::yields::Whose;
use crate::results::yields::book::Among;
use crate::results::yields::ground::Basis;
use crate::results::yields::losses;
use crate::results::yields::measures::{Per, Weighed};
use crate::results::yields::plants::Counted;
use crate::site::amount::{grams, rounded};
use crate::site::costs::{CostView, SeasonCosts};
use crate::site::data::id_of;
use crate::site::heading::Heading;
use crate::site::sums::{By, Headed, sums};
use crate::site::yields::{key, piece_g};

/// The part `yields`.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct YieldsData {
    /// Sums of pickings.
    sums: Vec<SumData>,
    /// What a planting's rates are divided by.
    divisors: Vec<DivisorData>,
    /// Plants that were lost.
    losses: Vec<LossData>,
    /// What was spent.
    costs: Vec<CostData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct SumData {
    /// Its name: `season=2025/crop=pea`, `all`.
    of: String,
    #[serde(flatten)]
    heading: Heading,
    /// Weighed fresh, to 0.1 g.
    fresh_g: Option<f64>,
    /// Weighed dried, to 0.1 g.
    cured_g: Option<f64>,
    /// By what was counted.
    counts: BTreeMap<String, u32>,
    /// How many.
    pickings: u32,
    /// Pickings that nobody weighed.
    unweighed: u32,
    /// Pickings that nobody counted.
    uncounted: u32,
    /// The first picking.
    first: Option<NaiveDate>,
    /// The last one.
    last: Option<NaiveDate>,
    /// The seven days of most weight; `null` under three days of picking.
    peak: Option<PeakData>,
    /// The weight of one piece.
    means: Vec<MeanData>,
    /// How many were picked.
    plantings: usize,
    /// `per_plant_g`, `per_m2_g`, `per_litre_g`, and the same with `_cured_g`; one that is not
    /// known is not there.
    rates: BTreeMap<&'static str, RateData>,
    /// Grams for each plant at least and at most, to 0.001 g, where some was weighed together with others.
    per_plant_bounds_g: Option<(f64, f64)>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct PeakData {
    /// The first of the seven days.
    from: NaiveDate,
    /// To 0.1 g.
    weight_g: f64,
}

#[derive(Debug, JsonSchema, Serialize)]
struct MeanData {
    /// What was counted.
    unit: String,
    /// Whether weighed dried.
    cured: bool,
    /// Of one piece, to 0.001 g.
    piece_g: f64,
    /// From how many.
    pieces: u32,
}

#[derive(Debug, JsonSchema, Serialize)]
struct RateData {
    /// To 0.001 g.
    value: f64,
    /// Whether a guess is in it.
    about: bool,
    /// From how many.
    from_plantings: u32,
    /// For each plant that lived to the first picking, to 0.001 g, where some did not.
    of_bearing: Option<f64>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct DivisorData {
    /// Its id.
    planting: String,
    /// How many plants.
    plants: Option<u32>,
    /// `planted out`, `left after thinning` or `came up`.
    plants_are: Option<&'static str>,
    /// Whether that is a guess.
    plants_about: bool,
    /// Plants that lived to the first picking, where that is known and fewer.
    plants_bore: Option<u32>,
    /// For each plant at least and at most, to 0.001 g, where some was weighed together with others.
    per_plant_bounds_g: Option<(f64, f64)>,
    /// Ground, to 0.001 m².
    area_m2: Option<f64>,
    /// Soil, to 0.01 L.
    soil_l: Option<f64>,
    /// `uses`, `row`, `whole place` or `shared`.
    ground_is: &'static str,
    /// Whether that is a guess.
    ground_about: bool,
}

#[derive(Debug, JsonSchema, Serialize)]
struct LossData {
    /// The day.
    date: NaiveDate,
    /// Its id.
    planting: String,
    /// How many.
    plants: Option<u32>,
    /// Whether that is a guess.
    about: bool,
    /// Whether the planting ended with it.
    end: bool,
    /// Why.
    because: Option<String>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct CostData {
    /// As in `sums`; `crop=(none)` names no crop.
    of: String,
    /// In the garden's currency, to 0.01.
    spent: f64,
    /// Lines of costs.
    lines: u32,
    /// For a kilogram picked, to 0.01.
    per_kg: Option<f64>,
}

/// Every sum there is on any page, each once, in the order of its key.
pub(super) fn yields(garden: &Garden, findings: &Findings) -> YieldsData {
    YieldsData {
        sums: all(garden, findings).values().map(sum).collect(),
        divisors: divisors(garden, findings),
        losses: lost(garden),
        costs: spent(garden, findings),
    }
}

fn all(garden: &Garden, findings: &Findings) -> BTreeMap<String, Headed> {
    let mut all: BTreeMap<String, Headed> = BTreeMap::new();
    let mut add = |by, among| {
        for headed in sums(garden, &findings.book, by, among) {
            all.insert(headed.heading.key(), headed);
        }
    };
    for by in [By::All, By::Season, By::Month, By::Crop, By::CropAndMonth, By::Planting] {
        add(by, Among::All);
    }
    for season in findings.book.seasons() {
        for by in [By::Crop, By::Variety, By::Place, By::Kind] {
            add(by, Among::Season(season));
        }
    }
    let crops: BTreeSet<Whose> =
        findings.book.pickings(garden).map(|picked| picked.whose).collect();
    for whose in crops {
        if let Whose::Crop(id) = whose {
            add(By::Variety, Among::Crop(id));
            add(By::Kind, Among::Crop(id));
        }
    }
    for (id, _) in garden.places() {
        add(By::Season, Among::Place(id));
        add(By::Crop, Among::Place(id));
    }
    all
}

fn sum(headed: &Headed) -> SumData {
    let (lot, sum) = (&headed.lot, &headed.lot.sum);
    let means = lot.means.iter().map(|((unit, weighed), mean)| MeanData {
        unit: unit.clone(),
        cured: *weighed == Weighed::Dried,
        piece_g: piece_g(mean),
        pieces: mean.pieces,
    });
    let rates = lot.rates.iter().filter_map(|((per, weighed), rate)| {
        let rate = rate.as_ref().ok()?;
        let data = RateData {
            value: rounded(rate.grams, 3),
            about: rate.is_about,
            from_plantings: rate.plantings,
            of_bearing: rate.bearing.map(|grams| rounded(grams, 3)),
        };
        Some((key(*per, *weighed), data))
    });
    SumData {
        of: headed.heading.key(),
        heading: headed.heading.clone(),
        fresh_g: sum.fresh.map(grams),
        cured_g: sum.cured.map(grams),
        counts: sum.counts.clone(),
        pickings: sum.pickings,
        unweighed: sum.unweighed,
        uncounted: sum.uncounted,
        first: sum.first,
        last: sum.last,
        peak: lot.peak.map(|peak| PeakData { from: peak.from, weight_g: grams(peak.weight) }),
        means: means.collect(),
        plantings: lot.plantings.len(),
        rates: rates.collect(),
        per_plant_bounds_g: lot.bounds_per_plant.map(to_thousandths),
    }
}

fn to_thousandths((least, most): (f64, f64)) -> (f64, f64) {
    (rounded(least, 3), rounded(most, 3))
}

/// Of the plantings from which something was picked.
fn divisors(garden: &Garden, findings: &Findings) -> Vec<DivisorData> {
    let picked = garden.plantings().filter(|(id, _)| {
        let measures = findings.book.of_planting(*id);
        measures.sum.pickings > 0 || measures.is_part
    });
    let row = |(id, planting): (_, &crate::garden::planting::Planting)| {
        let measures = findings.book.of_planting(id);
        let (plants, ground) = (measures.plants.as_ref().ok(), &measures.ground);
        let known = |per: Per| measures.divisor(per).ok().map(|(divisor, _)| divisor);
        DivisorData {
            planting: planting.id.to_string(),
            plants: plants.map(|plants| plants.number),
            plants_are: plants.map(|plants| match plants.counted {
                Counted::PlantedOut => "planted out",
                Counted::Thinned => "left after thinning",
                Counted::CameUp => "came up",
            }),
            plants_about: plants.is_some_and(|plants| plants.is_about),
            plants_bore: measures.bore,
            per_plant_bounds_g: measures.bounds_per_plant().map(to_thousandths),
            area_m2: known(Per::SquareMetre).map(|area| rounded(area, 3)),
            soil_l: known(Per::Litre).map(|soil| rounded(soil, 2)),
            ground_is: match ground.basis {
                Basis::Uses => "uses",
                Basis::Row => "row",
                Basis::Whole => "whole place",
                Basis::Shared(_) => "shared",
            },
            ground_about: ground.is_about,
        }
    };
    picked.map(row).collect()
}

fn lost(garden: &Garden) -> Vec<LossData> {
    let losses = losses::losses(garden, garden.plantings().map(|(id, _)| id)).into_iter();
    losses
        .map(|loss| LossData {
            date: loss.date,
            planting: id_of(garden, loss.planting),
            plants: loss.plants.number,
            about: loss.plants.is_about,
            end: loss.is_end,
            because: loss.because.map(String::from),
        })
        .collect()
}

/// By planting, crop, season, and what named no crop in a season.
fn spent(garden: &Garden, findings: &Findings) -> Vec<CostData> {
    let book = &findings.book;
    let plantings = garden.plantings();
    let plantings = plantings
        .filter_map(|(id, _)| CostView::of_planting(garden, id, &book.of_planting(id).sum));
    let crops = garden.catalogue.crops().filter_map(|(id, _)| {
        let all = sums(garden, book, By::All, Among::Crop(id));
        let sum = all.first().map(|all| all.lot.sum.clone()).unwrap_or_default();
        CostView::of_crop(garden, id, &sum)
    });
    let mut seasons: Vec<Period> =
        garden.costs.iter().map(|cost| garden.season_of(cost.date).days).collect();
    seasons.sort_by_key(|days| days.from);
    seasons.dedup();
    let seasons: Vec<SeasonCosts> =
        seasons.into_iter().filter_map(|days| SeasonCosts::new(garden, days)).collect();
    let seasons = seasons.iter().flat_map(SeasonCosts::views).map(CostData::from);
    let mut rows: Vec<CostData> =
        plantings.chain(crops).map(|cost| CostData::from(&cost)).chain(seasons).collect();
    rows.sort_by(|a, b| a.of.cmp(&b.of));
    rows
}

impl From<&CostView> for CostData {
    fn from(cost: &CostView) -> CostData {
        CostData {
            of: cost.of.clone(),
            spent: cost.spent_exact,
            lines: cost.lines,
            per_kg: cost.per_kg_exact,
        }
    }
}
