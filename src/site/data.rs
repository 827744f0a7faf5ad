//! garden.json: every computed figure, its unit in its key, documented in the README.
//!
//! Numbers are rounded to a stated number of decimals here: weights to 0.1 g, areas to 0.001 m²,
//! volumes to 0.01 L, temperatures and day length to 0.01, evapotranspiration to 0.01 mm.

mod comparisons;
mod mixes;
mod places;
mod seeds;
mod water;
mod yields;

use chrono::NaiveDate;
use serde::Serialize;

use crate::calendar::{self, How, Opens, Round, SowNow};
use crate::climate::half_year::Half;
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::learning::quantity::{Beginning, Quantity};
use crate::learning::{self, scores};
use crate::site::amount::rounded;
use crate::site::climate::in_season;
use crate::site::data::comparisons::ComparisonData;
use crate::site::data::places::PlaceData;
use crate::site::harvests::grams;
use crate::site::plantings::Span;
use crate::site::task_feed;
use crate::stage::Stage;
use crate::stages::Milestone;

/// Where it lies, from the root.
pub const PATH: &str = "garden.json";

/// The whole file.
#[derive(Debug, Serialize)]
pub struct Data {
    format: u32,
    on: NaiveDate,
    garden: GardenData,
    climate: ClimateData,
    crops: Vec<CropData>,
    sow_now: Vec<SowNowData>,
    learned: Vec<LearnedData>,
    forecasts: Vec<ScoreData>,
    plantings: Vec<PlantingData>,
    places: Vec<PlaceData>,
    water: Vec<water::WaterData>,
    seeds: seeds::SeedsData,
    shopping: Vec<seeds::ShoppingData>,
    raising: Vec<seeds::RaisingData>,
    mixes: Vec<mixes::MixData>,
    feeds: Vec<mixes::FeedData>,
    containers: Vec<mixes::ContainerData>,
    tasks: Vec<TaskData>,
    harvests: Vec<HarvestData>,
    yields: yields::YieldsData,
    comparisons: Vec<ComparisonData>,
}

#[derive(Debug, Serialize)]
struct GardenData {
    name: String,
    latitude_deg: f64,
    longitude_deg: f64,
    season: SeasonData,
}

#[derive(Debug, Serialize)]
struct SeasonData {
    name: String,
    from: NaiveDate,
    to: NaiveDate,
}

#[derive(Debug, Serialize)]
struct ClimateData {
    last_frost: Option<FrostData>,
    first_frost: Option<FrostData>,
    days: Vec<DayData>,
}

#[derive(Debug, Serialize)]
struct FrostData {
    p90: Option<NaiveDate>,
    p50: Option<NaiveDate>,
    p10: Option<NaiveDate>,
}

#[derive(Debug, Serialize)]
struct DayData {
    date: NaiveDate,
    low_c: Option<f64>,
    high_c: Option<f64>,
    day_length_h: f64,
    et0_mm: Option<f64>,
}

#[derive(Debug, Serialize)]
struct CropData {
    slug: String,
    name: String,
    family: Option<String>,
    calendar: Option<CalendarData>,
    rounds: Vec<RoundData>,
}

/// Windows that belong together.
#[derive(Debug, Serialize)]
struct RoundData {
    opens: &'static str,
    #[serde(flatten)]
    windows: CalendarData,
    quick_kinds_only: bool,
}

#[derive(Debug, Serialize)]
struct CalendarData {
    sow_under_cover: Option<Span>,
    plant_out: Option<Span>,
    sow_direct: Option<Span>,
    harvest: Option<Span>,
}

#[derive(Debug, Serialize)]
struct SowNowData {
    crop: String,
    variety: Option<String>,
    how: &'static str,
    until: NaiveDate,
}

#[derive(Debug, Serialize)]
struct LearnedData {
    crop: String,
    what: String,
    under_cover: bool,
    half: &'static str,
    unit: &'static str,
    low: f64,
    middle: f64,
    high: f64,
    from_plantings: u32,
}

#[derive(Debug, Serialize)]
struct ScoreData {
    what: String,
    number: u32,
    table_error_days: f64,
    learned_error_days: f64,
    in_range: u32,
}

#[derive(Debug, Serialize)]
struct PlantingData {
    id: String,
    crop: String,
    variety: Option<String>,
    place: Option<String>,
    stage: &'static str,
    plants: Option<u32>,
    stages: Vec<StageData>,
    harvest: YieldData,
}

#[derive(Debug, Serialize)]
struct StageData {
    stage: &'static str,
    expected: Option<Span>,
    actual: Option<NaiveDate>,
}

#[derive(Debug, Serialize)]
struct YieldData {
    weight_g: Option<f64>,
    count: Option<u32>,
}

#[derive(Debug, Serialize)]
struct TaskData {
    uid: String,
    planting: Option<String>,
    place: Option<String>,
    what: String,
    due: NaiveDate,
    until: Option<NaiveDate>,
    why: String,
    overdue: bool,
}

#[derive(Debug, Serialize)]
struct HarvestData {
    date: NaiveDate,
    planting: String,
    weight_g: Option<f64>,
    count: Option<u32>,
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
            climate: climate(garden, findings, season.days),
            crops: crops(garden, findings),
            sow_now: sow_now(garden, findings),
            learned: learned(garden, findings),
            forecasts: forecasts(findings),
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
            harvests: harvests(garden),
            yields: yields::yields(garden, findings),
            comparisons: comparisons::of(garden, findings),
        }
    }
}

fn climate(garden: &Garden, findings: &Findings, season: Period) -> ClimateData {
    let conditions = &findings.conditions;
    let frost = |knowledge: &crate::climate::conditions::FrostKnowledge| {
        knowledge.model().map(|model| {
            let dates = model.dates();
            FrostData {
                p90: dates.p90.map(|day| in_season(day, season)),
                p50: dates.p50.map(|day| in_season(day, season)),
                p10: dates.p10.map(|day| in_season(day, season)),
            }
        })
    };
    let day = |date| {
        let day = conditions.day(garden, date);
        DayData {
            date,
            low_c: day.low_c.map(|low| rounded(low, 2)),
            high_c: day.high_c.map(|high| rounded(high, 2)),
            day_length_h: rounded(day.day_length_h, 2),
            et0_mm: day.et0_mm.map(|et0| rounded(et0, 2)),
        }
    };
    ClimateData {
        last_frost: frost(&conditions.spring_frost),
        first_frost: frost(&conditions.autumn_frost),
        days: season.each_day().map(day).collect(),
    }
}

fn crops(garden: &Garden, findings: &Findings) -> Vec<CropData> {
    let season = garden.season().days;
    let mut crops: Vec<CropData> = garden
        .catalogue
        .crops()
        .map(|(id, crop)| CropData {
            slug: crop.slug.clone(),
            name: crop.name.clone(),
            family: crop.sheet.family.clone(),
            calendar: calendar_data(&findings.calendar_of(id).rounds, season),
            rounds: findings.calendar_of(id).rounds.iter().map(RoundData::from).collect(),
        })
        .collect();
    crops.sort_by(|a, b| a.slug.cmp(&b.slug));
    crops
}

fn sow_now(garden: &Garden, findings: &Findings) -> Vec<SowNowData> {
    let row = |item: &SowNow| SowNowData {
        crop: garden.catalogue.get(item.crop).slug.clone(),
        variety: item.variety.clone(),
        how: match item.how {
            How::SowUnderCover => "sow under cover",
            How::SowOutdoors => "sow outdoors",
            How::PlantOut => "plant out",
            How::BeginInAutumn => "begin in autumn",
        },
        until: item.window.to,
    };
    findings.sow_now.iter().map(row).collect()
}

fn learned(garden: &Garden, findings: &Findings) -> Vec<LearnedData> {
    let mut rows = Vec::new();
    for (id, crop) in garden.catalogue.crops() {
        for (quantity, kind, estimate) in findings.learned.of_crop(garden, id) {
            rows.push(LearnedData {
                crop: crop.slug.clone(),
                what: quantity_key(quantity),
                under_cover: kind.is_under_cover,
                half: match kind.half {
                    Half::Spring => "spring",
                    Half::Autumn => "autumn",
                },
                unit: match quantity {
                    Quantity::DegreeDays(_) => "degree_days_c",
                    Quantity::Germination => "share",
                    _ => "days",
                },
                low: rounded(estimate.low, 2),
                middle: rounded(estimate.middle, 2),
                high: rounded(estimate.high, 2),
                from_plantings: estimate.from_plantings,
            });
        }
    }
    rows.sort_by(|a, b| (&a.crop, &a.what).cmp(&(&b.crop, &b.what)));
    rows
}

fn forecasts(findings: &Findings) -> Vec<ScoreData> {
    let forecasts = &findings.forecasts;
    let all = scores::score(forecasts).map(|score| ("all".to_owned(), score));
    let by_span = scores::by_span(forecasts);
    let by_span = by_span.into_iter().map(|(span, score)| (span_key(span), score));
    let row = |(what, score): (String, scores::Score)| ScoreData {
        what,
        number: score.number,
        table_error_days: rounded(score.table_days, 2),
        learned_error_days: rounded(score.learned_days, 2),
        in_range: score.in_interval,
    };
    by_span.chain(all).map(row).collect()
}

fn quantity_key(quantity: Quantity) -> String {
    match quantity {
        Quantity::Days(span) => span_key(span),
        Quantity::DegreeDays(span) => format!("warmth, {}", span_key(span)),
        Quantity::Germination => "germination".to_owned(),
        Quantity::PickingInterval => "picking interval".to_owned(),
        Quantity::SeasonLength => "season length".to_owned(),
    }
}

/// `sown to emerged`
fn span_key(span: learning::quantity::Span) -> String {
    let from = match span.from {
        Beginning::Sown => "sown",
        Beginning::PlantedOut => "planted out",
        Beginning::Planted => "planted",
    };
    let to = match span.to {
        Milestone::Stage(stage) => stage.word(),
        Milestone::FirstHarvest => "first harvest",
    };
    format!("{from} to {to}")
}

/// Nothing if the crop has no window at all.
fn calendar_data(rounds: &[Round], season: Period) -> Option<CalendarData> {
    (!rounds.is_empty()).then(|| CalendarData::from(&calendar::of_season(rounds, season)))
}

impl From<&Round> for CalendarData {
    fn from(round: &Round) -> CalendarData {
        let span = |window: Option<Period>| window.map(Span::from);
        CalendarData {
            sow_under_cover: span(round.sow_under_cover),
            plant_out: span(round.plant_out),
            sow_direct: span(round.sow_outdoors),
            harvest: span(round.harvest),
        }
    }
}

impl From<&Round> for RoundData {
    fn from(round: &Round) -> RoundData {
        RoundData {
            opens: match round.opens {
                Opens::AsItWarms => "spring",
                Opens::AsItCools => "autumn",
            },
            windows: CalendarData::from(round),
            quick_kinds_only: round.is_for_quick_kinds,
        }
    }
}

fn plantings(garden: &Garden, findings: &Findings) -> Vec<PlantingData> {
    garden
        .plantings()
        .map(|(id, planting)| {
            let sum = findings.yield_of(id);
            let place = planting.places_on(garden.today).first().copied();
            PlantingData {
                id: planting.id.clone(),
                crop: garden.catalogue.get(planting.crop).slug.clone(),
                variety: planting.variety.clone(),
                place: place.map(|id| garden.place(id).slug.clone()),
                stage: planting.stage().word(),
                plants: planting.plants().number.filter(|_| planting.stage() != Stage::Intended),
                stages: findings
                    .stages_of(id)
                    .iter()
                    .map(|dates| StageData {
                        stage: match dates.what {
                            Milestone::Stage(stage) => stage.word(),
                            Milestone::FirstHarvest => "first harvest",
                        },
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
            planting: task.key.planting.map(|id| garden.planting(id).id.clone()),
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

fn harvests(garden: &Garden) -> Vec<HarvestData> {
    garden
        .harvests
        .iter()
        .map(|harvest| {
            let ids: Vec<_> =
                harvest.plantings.iter().map(|id| garden.planting(*id).id.as_str()).collect();
            HarvestData {
                date: harvest.date,
                planting: ids.join(" + "),
                weight_g: harvest.weight.map(grams),
                count: harvest.count,
                unit: harvest.count.map(|_| harvest.unit.clone()),
            }
        })
        .collect()
}
