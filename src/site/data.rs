//! garden.json: every computed figure, its unit in its key. What is said here of a key is what its schema
//! and the page of the data file say.
//!
//! Numbers are rounded to a stated number of decimals here: weights to 0.1 g, areas to 0.001 m²,
//! volumes to 0.01 L, temperatures and day length to 0.01, evapotranspiration to 0.01 mm.

mod climate;
mod comparisons;
mod crops;
mod learned;
mod mixes;
mod places;
mod seeds;
mod water;
mod yields;

use chrono::NaiveDate;
use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::Value;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::site::amount::grams;
use crate::site::data::comparisons::ComparisonData;
use crate::site::data::places::PlaceData;
use crate::site::harvests;
use crate::site::plantings::Span;
use crate::site::table::HarvestRow;
use crate::site::task_feed;
use crate::stage::Stage;

/// Where it lies, from the root.
pub const PATH: &str = "garden.json";

/// Where its schema lies.
pub const SCHEMA_PATH: &str = "garden.schema.json";

/// The schema of the file (JSON Schema 2020-12), derived from the types below.
pub fn schema() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let inlined = settings.with(|settings| settings.inline_subschemas = true);
    let one_line = RecursiveTransform(|shape: &mut Schema| {
        if let Some(Value::String(sentence)) = shape.get_mut("description") {
            *sentence = sentence.replace('\n', " ");
        }
    });
    inlined.with_transform(one_line).into_generator().into_root_schema_for::<Data>().to_value()
}

/// Every figure that was computed of a garden.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(title = "garden.json")]
pub struct Data {
    /// The form of this file; it grows only when a key goes or means something else.
    format: u32,
    /// The day computed for.
    on: NaiveDate,
    /// The garden.
    garden: GardenData,
    /// Frost, and the days of the season.
    climate: climate::ClimateData,
    /// Every crop trug knows here, by its slug.
    crops: Vec<crops::CropData>,
    /// What can be begun on the day.
    sow_now: Vec<crops::SowNowData>,
    /// What the grower's own plantings taught, and the neighbours'.
    learned: Vec<learned::LearnedData>,
    /// How long each planting took here: what other gardens may learn of.
    took: Vec<learned::TookData>,
    /// How well past dates held.
    forecasts: Vec<learned::ScoreData>,
    /// How well the ranges held that the site showed.
    shown: Vec<learned::ShownData>,
    /// Every planting.
    plantings: Vec<PlantingData>,
    /// Every place.
    places: Vec<PlaceData>,
    /// Each place in which something grows.
    water: Vec<water::WaterData>,
    /// Packets, germination tests, and how much to sow.
    seeds: seeds::SeedsData,
    /// What the coming weeks, and the season, ask for.
    shopping: Vec<seeds::ShoppingData>,
    /// Trays and shelves.
    raising: Vec<seeds::RaisingData>,
    /// Potting mixes.
    mixes: Vec<mixes::MixData>,
    /// Feeds.
    feeds: Vec<mixes::FeedData>,
    /// Plantings in containers, now or as meant.
    containers: Vec<mixes::ContainerData>,
    /// Coming tasks, soonest first.
    tasks: Vec<TaskData>,
    /// Each picking.
    harvests: Vec<HarvestData>,
    /// Sums of pickings, what they are divided by, losses and costs.
    yields: yields::YieldsData,
    /// Plantings of a crop side by side.
    comparisons: Vec<ComparisonData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct GardenData {
    /// Its name.
    name: String,
    /// Degrees north, to 0.1 unless `place: {show: exact}`.
    latitude_deg: f64,
    /// Degrees east, likewise.
    longitude_deg: f64,
    /// The growing year that `on` lies in.
    season: SeasonData,
}

#[derive(Debug, JsonSchema, Serialize)]
struct SeasonData {
    /// `2026`, or `2025/26` where it takes part in two years.
    name: String,
    /// Its first day.
    from: NaiveDate,
    /// Its last day.
    to: NaiveDate,
}

#[derive(Debug, JsonSchema, Serialize)]
struct PlantingData {
    /// By which other keys name it.
    id: String,
    /// A slug.
    crop: String,
    /// The variety.
    variety: Option<String>,
    /// The slug of where it stands.
    place: Option<String>,
    /// The stage of the plants furthest on.
    stage: &'static str,
    /// How many there are.
    plants: Option<u32>,
    /// Stages, passed and expected.
    stages: Vec<StageData>,
    /// What was picked from it alone.
    harvest: YieldData,
}

#[derive(Debug, JsonSchema, Serialize)]
struct StageData {
    /// The stage, or `first harvest`.
    stage: &'static str,
    /// When it was or is expected.
    expected: Option<Span>,
    /// The day it came.
    actual: Option<NaiveDate>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct YieldData {
    /// Fresh, or dried where only that was weighed; to 0.1 g.
    weight_g: Option<f64>,
    /// Where one kind of thing was counted.
    count: Option<u32>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct TaskData {
    /// Of the event of the feed it is in.
    uid: String,
    /// A planting's id.
    planting: Option<String>,
    /// A slug, where it is a place's task.
    place: Option<String>,
    /// What is to be done.
    what: String,
    /// The day for it.
    due: NaiveDate,
    /// The last day for it.
    until: Option<NaiveDate>,
    /// What it follows from, in words.
    why: String,
    /// Whether its day is past.
    overdue: bool,
}

#[derive(Debug, JsonSchema, Serialize)]
struct HarvestData {
    /// The day.
    date: NaiveDate,
    /// A planting's id; several joined by ` + ` if weighed together.
    planting: String,
    /// To 0.1 g.
    weight_g: Option<f64>,
    /// How many.
    count: Option<u32>,
    /// Of what `count` counts.
    unit: Option<String>,
}

impl Data {
    /// Every figure; `why` puts a task's reason into words.
    pub fn new(garden: &Garden, findings: &Findings, why: impl Fn(usize) -> String) -> Data {
        let season = garden.season();
        let (latitude_deg, longitude_deg) = garden.settings.position.shown();
        Data {
            format: 1,
            on: garden.today,
            garden: GardenData {
                name: garden.settings.name.clone(),
                latitude_deg,
                longitude_deg,
                season: SeasonData {
                    name: season.name(),
                    from: season.days.from,
                    to: season.days.to,
                },
            },
            climate: climate::climate(garden, findings, season.days),
            crops: crops::crops(garden, findings),
            sow_now: crops::sow_now(garden, findings),
            learned: learned::learned(garden, findings),
            took: learned::took(garden, findings),
            forecasts: learned::forecasts(findings),
            shown: learned::shown(findings),
            plantings: plantings(garden, findings),
            water: water::of(garden, findings),
            seeds: seeds::seeds(garden, findings),
            shopping: seeds::shopping(garden, findings),
            raising: seeds::raising(garden, findings),
            mixes: mixes::mixes(garden),
            feeds: mixes::feeds(garden),
            containers: mixes::containers(garden, findings),
            places: places::places(garden, findings),
            tasks: tasks(garden, findings, why),
            harvests: harvests::rows(garden).into_iter().map(HarvestData::from).collect(),
            yields: yields::yields(garden, findings),
            comparisons: comparisons::of(garden, findings),
        }
    }
}

/// By which other keys name a planting.
fn id_of(garden: &Garden, planting: PlantingId) -> String {
    garden.planting(planting).id.to_string()
}

fn plantings(garden: &Garden, findings: &Findings) -> Vec<PlantingData> {
    garden
        .plantings()
        .map(|(id, planting)| {
            let sum = findings.yield_of(id);
            let place = planting.places_on(garden.today).first().copied();
            PlantingData {
                id: planting.id.to_string(),
                crop: garden.catalogue.get(planting.crop).slug.clone(),
                variety: planting.variety.clone().map(String::from),
                place: place.map(|id| garden.place(id).slug.clone()),
                stage: planting.stage().word(),
                plants: planting.plants().number.filter(|_| planting.stage() != Stage::Intended),
                stages: findings
                    .stages_of(id)
                    .iter()
                    .map(|dates| StageData {
                        stage: dates.what.word(),
                        expected: dates.expected.map(Span::from),
                        actual: dates.actual,
                    })
                    .collect(),
                harvest: YieldData {
                    weight_g: sum.fresh.or(sum.cured).map(grams),
                    // Fruits and bunches are not added to one another.
                    count: sum.counts.values().next().copied().filter(|_| sum.counts.len() == 1),
                },
            }
        })
        .collect()
}

fn tasks(garden: &Garden, findings: &Findings, why: impl Fn(usize) -> String) -> Vec<TaskData> {
    let uids = task_feed::uids(garden, &findings.tasks);
    findings
        .tasks
        .iter()
        .zip(uids)
        .enumerate()
        .map(|(index, (task, uid))| TaskData {
            uid,
            planting: task.key.planting.map(|id| id_of(garden, id)),
            place: task.key.place.map(|id| garden.place(id).slug.clone()),
            what: match &task.with {
                Some(with) => format!("{} with {with}", task.job),
                None => task.job.word().to_owned(),
            },
            due: task.due,
            until: task.until,
            why: why(index),
            overdue: task.overdue_since.is_some(),
        })
        .collect()
}

impl From<HarvestRow> for HarvestData {
    fn from(row: HarvestRow) -> HarvestData {
        HarvestData {
            date: row.date,
            planting: row.planting,
            weight_g: row.weight_g,
            count: row.count,
            unit: row.unit,
        }
    }
}
