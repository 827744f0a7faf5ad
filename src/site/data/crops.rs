//! Crops, when they can be begun and picked, and what can be begun now, in garden.json.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::calendar::bounds::Bound;
use crate::calendar::{How, Opens, Round, SowNow};
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::plantings::Span;

#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct CropData {
    /// By which other keys name it.
    slug: String,
    /// Its name.
    name: String,
    /// Its botanical family.
    family: Option<String>,
    /// The windows of the main round that begins in the season, never paired across years; `null` if it has none here.
    calendar: Option<CalendarData>,
    /// Every round that touches the season, earliest first.
    rounds: Vec<RoundData>,
}

/// Windows that belong together.
#[derive(Debug, JsonSchema, Serialize)]
struct RoundData {
    /// `spring` where it opens as it warms, `autumn` as it cools.
    opens: &'static str,
    #[serde(flatten)]
    windows: CalendarData,
    /// Whether only quick kinds will do.
    quick_kinds_only: bool,
    /// How many of the garden's own plantings open it sooner than its climate does; `null` if none do.
    opened_by_own_plantings: Option<u32>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct CalendarData {
    /// When to sow under cover.
    sow_under_cover: Option<Span>,
    /// When to plant out.
    plant_out: Option<Span>,
    /// When to sow outdoors.
    sow_direct: Option<Span>,
    /// When it can be picked.
    harvest: Option<Span>,
}

#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct SowNowData {
    /// A slug.
    crop: String,
    /// The variety, if a planting is meant.
    variety: Option<String>,
    /// `sow under cover`, `sow outdoors`, `plant out` or `begin in autumn`.
    how: &'static str,
    /// The last day for it.
    until: NaiveDate,
}

pub(super) fn crops(garden: &Garden, findings: &Findings) -> Vec<CropData> {
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

pub(super) fn sow_now(garden: &Garden, findings: &Findings) -> Vec<SowNowData> {
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

/// Nothing if the crop has no window at all.
fn calendar_data(rounds: &[Round], season: Period) -> Option<CalendarData> {
    let opens = rounds.iter().map(|round| round.opens).min()?;
    let main = rounds.iter().filter(|round| round.opens == opens);
    // What is begun in one round is picked in the same, be it in the next year.
    let begins = |round: &&Round| {
        let all = [round.sow_under_cover, round.sow_outdoors, round.plant_out, round.harvest];
        all.into_iter().flatten().map(|window| window.from).min()
    };
    let is_begun_then = |round: &&Round| begins(round).is_some_and(|day| season.contains(day));
    main.clone().find(is_begun_then).or_else(|| main.clone().next()).map(CalendarData::from)
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
            opened_by_own_plantings: round.bounds.iter().flat_map(|way| &way.opens).find_map(
                |bound| match bound {
                    Bound::GoneWell(plantings) => Some(*plantings),
                    _ => None,
                },
            ),
        }
    }
}
