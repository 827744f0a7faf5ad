//! Mixes, feeds and containers in garden.json: litres to 0.01, shares to 0.001, strengths to 0.1 mg/L.

use schemars::JsonSchema;
use serde::Serialize;

use crate::care::feeds::{Element, Feed};
use crate::care::mixes::{Recipe, is_called};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::names;
use crate::site::amount::rounded;
use crate::units::{Volume, VolumeUnit};

/// A potting mix.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct MixData {
    /// By which other keys name it.
    slug: String,
    /// Its name.
    name: String,
    /// Its ingredients by volume.
    parts: Vec<PartData>,
    /// The share lost by settling, to 0.001.
    settles: f64,
    /// Slugs of the places filled with it.
    places: Vec<String>,
    /// What the store is enough for, settled, to 0.01 L; `null` unless every ingredient is kept by
    /// volume.
    store_fills_l: Option<f64>,
    /// The ingredient that runs out first.
    runs_out: Option<String>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct PartData {
    /// The ingredient.
    what: String,
    /// Its share of the whole, to 0.001.
    share: f64,
}

/// A feed.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct FeedData {
    /// By which other keys name it.
    slug: String,
    /// Its name.
    name: String,
    /// By weight, to 0.01 %.
    percent: ElementsData,
    /// What the label's dose gives of each, to 0.1 mg/L; `null` without a dose or density.
    gives_mg_per_l: ElementsData,
}

#[derive(Debug, JsonSchema, Serialize)]
struct ElementsData {
    /// Nitrogen.
    n: Option<f64>,
    /// Phosphorus.
    p: Option<f64>,
    /// Potassium.
    k: Option<f64>,
    /// Magnesium.
    mg: Option<f64>,
    /// Sulphur.
    s: Option<f64>,
}

/// A planting in containers.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct ContainerData {
    /// Its id.
    planting: String,
    /// A slug.
    place: String,
    /// What a container holds, to 0.01 L.
    container_l: RangeData,
    /// What a plant has of it, to 0.01 L; `null` if the plants are not counted or the containers
    /// shared.
    per_plant_l: Option<RangeData>,
    /// The least of the crop sheet, to 0.01 L.
    least_l: Option<f64>,
    /// Whether it surely lacks more than a tenth.
    too_small: bool,
}

#[derive(Debug, JsonSchema, Serialize)]
struct RangeData {
    /// The least.
    low: f64,
    /// The most.
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
                planting: planting.id.to_string(),
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
