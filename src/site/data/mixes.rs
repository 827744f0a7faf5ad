//! Mixes, feeds and containers in garden.json: litres to 0.01, shares to 0.001, strengths to 0.1 mg/L.

use serde::Serialize;

use crate::care::feeds::{Element, Feed};
use crate::care::mixes::{Recipe, is_called};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::names;
use crate::site::amount::rounded;
use crate::units::{Volume, VolumeUnit};

/// A potting mix.
#[derive(Debug, Serialize)]
pub(super) struct MixData {
    slug: String,
    name: String,
    parts: Vec<PartData>,
    settles: f64,
    places: Vec<String>,
    store_fills_l: Option<f64>,
    runs_out: Option<String>,
}

#[derive(Debug, Serialize)]
struct PartData {
    what: String,
    share: f64,
}

/// A feed.
#[derive(Debug, Serialize)]
pub(super) struct FeedData {
    slug: String,
    name: String,
    percent: ElementsData,
    gives_mg_per_l: ElementsData,
}

#[derive(Debug, Serialize)]
struct ElementsData {
    n: Option<f64>,
    p: Option<f64>,
    k: Option<f64>,
    mg: Option<f64>,
    s: Option<f64>,
}

/// A planting in containers.
#[derive(Debug, Serialize)]
pub(super) struct ContainerData {
    planting: String,
    place: String,
    container_l: RangeData,
    per_plant_l: Option<RangeData>,
    least_l: Option<f64>,
    too_small: bool,
}

#[derive(Debug, Serialize)]
struct RangeData {
    low: f64,
    high: f64,
}

/// Potting mixes, by name.
pub(super) fn mixes(garden: &Garden) -> Vec<MixData> {
    let mix = |recipe: Recipe<'_>| {
        let enough = recipe.enough_for(&garden.settings.stock);
        let filled = garden
            .places
            .iter()
            .filter(|place| place.soil.as_ref().is_some_and(|soil| is_called(recipe.sheet, soil)));
        MixData {
            slug: names::slug(&recipe.sheet.name.value),
            name: recipe.sheet.name.value.clone(),
            parts: recipe
                .shares()
                .map(|(what, share)| PartData { what: what.to_owned(), share: rounded(share, 3) })
                .collect(),
            settles: rounded(recipe.settles(), 3),
            places: filled.map(|place| place.slug.clone()).collect(),
            store_fills_l: enough.as_ref().map(|enough| litres(enough.fill)),
            runs_out: enough.map(|enough| enough.runs_out),
        }
    };
    let mut mixes: Vec<MixData> = garden.mixes.iter().filter_map(Recipe::of).map(mix).collect();
    mixes.sort_by(|a, b| a.slug.cmp(&b.slug));
    mixes
}

/// Feeds, by name.
pub(super) fn feeds(garden: &Garden) -> Vec<FeedData> {
    let feed = |feed: Feed<'_>| {
        let elements = |value: &dyn Fn(Element) -> Option<f64>| ElementsData {
            n: value(Element::Nitrogen),
            p: value(Element::Phosphorus),
            k: value(Element::Potassium),
            mg: value(Element::Magnesium),
            s: value(Element::Sulphur),
        };
        FeedData {
            slug: names::slug(&feed.sheet.name.value),
            name: feed.sheet.name.value.clone(),
            percent: elements(&|element| Some(rounded(feed.percent(element), 2))),
            gives_mg_per_l: elements(&|element| {
                feed.strength(element).ok().map(|strength| rounded(strength, 1))
            }),
        }
    };
    let mut feeds: Vec<FeedData> = garden.mixes.iter().filter_map(Feed::of).map(feed).collect();
    feeds.sort_by(|a, b| a.slug.cmp(&b.slug));
    feeds
}

/// Plantings that stand in containers, or are meant for them.
pub(super) fn containers(garden: &Garden, findings: &Findings) -> Vec<ContainerData> {
    let mut rows = Vec::new();
    for (id, planting) in garden.plantings() {
        rows.extend(findings.rootings_of(id).iter().map(|rooting| {
            let range = |range: crate::units::Range<Volume>| RangeData {
                low: litres(range.low),
                high: litres(range.high),
            };
            ContainerData {
                planting: planting.id.clone(),
                place: garden.place(rooting.place).slug.clone(),
                container_l: range(rooting.container),
                per_plant_l: rooting.per_plant.ok().map(|share| range(share.volume)),
                least_l: planting.sheet.container.map(litres),
                too_small: rooting.too_small.is_some(),
            }
        }));
    }
    rows
}

fn litres(volume: Volume) -> f64 {
    rounded(VolumeUnit::Litre.measure(volume), 2)
}
