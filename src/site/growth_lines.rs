//! Lives of plantings as lines: a season, a crop through the years, a place, a single planting.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::catalogue::CropId;
use crate::charts::card::{self, Block};
use crate::charts::growth_line::{self, Drawing, Life, MonthName};
use crate::charts::year_strip::YearStrip;
use crate::dates::{Period, shift};
use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::planting_names::Around;
use crate::happening::Happening;
use crate::place_kind::PlaceKind;
use crate::places::bookings::Hold;
use crate::results::yields::{self, Whose, Yield};
use crate::site::climate::in_season;
use crate::site::frame::Link;
use crate::site::harvests::HarvestsView;
use crate::site::heading::Heading;
use crate::site::page::Page;
use crate::site::plantings::Span;
use crate::site::yields::YieldView;
use crate::stage::Stage;

/// Lines under each other, with months over them, and what they say as a table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GrowthView {
    /// The name of the figure within its page.
    pub id: &'static str,
    /// Whether it is one line, drawn large.
    pub is_large: bool,
    pub months: Vec<MonthName>,
    /// What stands behind all lines.
    pub back: Drawing,
    /// The lines.
    pub rows: Vec<GrowthRow>,
    /// The same as a table.
    pub table: Vec<LifeRow>,
}

/// A line, or lines that belong together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GrowthRow {
    /// Whose; nothing where it is clear.
    pub link: Option<Link>,
    /// The lines.
    pub drawing: Drawing,
}

/// What lines say, as a row of a table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LifeRow {
    pub link: Link,
    pub plantings: usize,
    /// While they were raised under cover.
    pub raised: Option<Span>,
    /// While they stood in their places.
    pub stood: Option<Span>,
    /// How long more is expected of them.
    pub ahead: Option<Span>,
    pub picked: YieldView,
}

/// How far lines of one crop stand from each other.
const PITCH: f64 = 14.0;
/// The height of a line that stands alone.
const LARGE: f64 = 44.0;
/// So many seasons of a crop at most stand under each other.
const MOST_SEASONS: usize = 6;
/// A line alone goes no further than so many days.
const LONGEST: i64 = 550;

/// Every crop of a season that was begun, grew, or is meant to; nothing if none did.
pub fn of_season(garden: &Garden, findings: &Findings, season: Season) -> Option<GrowthView> {
    let strip = YearStrip::new(season.days);
    let crops = crops_of(garden, findings, season);
    let rows = crops.iter().map(|(crop, ids)| {
        let lives: Vec<Life> = ids.iter().map(|id| life(garden, findings, *id)).collect();
        let drawing = growth_line::lives(&strip, &lives, PITCH);
        GrowthRow { link: Some(crop.clone()), drawing }
    });
    let rows: Vec<GrowthRow> = rows.collect();
    let table = crops.iter().map(|(crop, ids)| {
        let picked = picked(garden, garden.planting(ids[0]).crop, season);
        table_row(garden, findings, crop.clone(), ids, season.days, picked)
    });
    (!rows.is_empty()).then(|| GrowthView {
        table: table.collect(),
        ..figure(garden, findings, "year", &strip, rows)
    })
}

/// The crops of a season with their plantings that show on its strip.
fn crops_of(
    garden: &Garden,
    findings: &Findings,
    season: Season,
) -> BTreeMap<Link, Vec<PlantingId>> {
    let mut crops: BTreeMap<Link, Vec<PlantingId>> = BTreeMap::new();
    for (id, planting) in garden.plantings() {
        if shows(&life(garden, findings, id), season.days) {
            crops.entry(Link::crop(garden, planting.crop)).or_default().push(id);
        }
    }
    crops
}

/// The preview card's picture: this season, a line for each crop.
pub fn card(garden: &Garden, findings: &Findings) -> Vec<Block> {
    let season = garden.season();
    let strip = YearStrip::new(season.days);
    let crops = crops_of(garden, findings, season);
    let lives = |ids: &Vec<PlantingId>| ids.iter().map(|id| life(garden, findings, *id)).collect();
    let rows: Vec<Vec<Life>> = crops.values().map(lives).take(MOST_ON_CARD).collect();
    card::blocks(&strip, &rows, &frost(findings, season.days), garden.today)
}

/// The preview card's address, from the root.
pub const CARD_PATH: &str = "card.png";
/// More lines would be too thin.
const MOST_ON_CARD: usize = 40;

/// A crop, season by season, newest first.
pub fn of_crop(garden: &Garden, findings: &Findings, crop: CropId) -> Option<GrowthView> {
    let own = garden.plantings_of(crop);
    let mut seasons: Vec<(Season, Vec<PlantingId>)> = Vec::new();
    let mut season = garden.season();
    while seasons.len() < MOST_SEASONS {
        let shown = |id: &&PlantingId| shows(&life(garden, findings, **id), season.days);
        let ids: Vec<PlantingId> = own.iter().filter(shown).copied().collect();
        seasons.push((season, ids));
        let first = garden.entries.first().map_or(garden.today, |entry| entry.date);
        if season.days.from <= first {
            break;
        }
        season = garden.season_of(shift(season.days.from, -1));
    }
    seasons.retain(|(_, ids)| !ids.is_empty());
    let link = |season: &Season| Link::new(season.name(), HarvestsView::path(garden, season));
    let rows = seasons.iter().map(|(season, ids)| {
        let lives: Vec<Life> = ids.iter().map(|id| life(garden, findings, *id)).collect();
        let drawing = growth_line::lives(&YearStrip::new(season.days), &lives, PITCH);
        GrowthRow { link: Some(link(season)), drawing }
    });
    let rows: Vec<GrowthRow> = rows.collect();
    let strip = YearStrip::new(garden.season().days);
    let table = seasons.iter().map(|(season, ids)| {
        let picked = picked(garden, crop, *season);
        table_row(garden, findings, link(season), ids, season.days, picked)
    });
    (!rows.is_empty()).then(|| GrowthView {
        table: table.collect(),
        ..figure(garden, findings, "lines", &strip, rows)
    })
}

/// Who was in a place this season, is, or shall be.
pub fn of_place(garden: &Garden, findings: &Findings, place: PlaceId) -> Option<GrowthView> {
    let days = garden.season().days;
    let strip = YearStrip::new(days);
    let mut ids: Vec<PlantingId> = Vec::new();
    for booking in &findings.place_of(place).bookings {
        let stay = booking.perhaps();
        if stay.overlap(&days).is_some() && !ids.contains(&booking.planting) {
            ids.push(booking.planting);
        }
    }
    let link = |id: PlantingId| Link::planting_around(garden, id, Around::Place(place));
    let rows = ids.iter().map(|id| GrowthRow {
        link: Some(link(*id)),
        drawing: growth_line::lives(&strip, &[life(garden, findings, *id)], PITCH),
    });
    let rows: Vec<GrowthRow> = rows.collect();
    let table = ids.iter().map(|id| {
        let picked = YieldView::new(findings.yield_of(*id), garden.settings.units);
        table_row(garden, findings, link(*id), &[*id], days, picked)
    });
    (!rows.is_empty()).then(|| GrowthView {
        table: table.collect(),
        ..figure(garden, findings, "lines", &strip, rows)
    })
}

/// A planting alone, with what was told of it; that of the year before behind it.
pub fn of_planting(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<GrowthView> {
    let mut own = life(garden, findings, id);
    let season = garden.season().days;
    let planting = garden.planting(id);
    let days = match (planting.is_perennial && planting.finished.is_none(), span(&own)) {
        (true, Some(_)) => season,
        (false, Some(days)) => whole_months(days),
        (_, None) => return None,
    };
    let days = Period { from: days.from, to: days.to.min(shift(days.from, LONGEST)) };
    let told = planting.own_steps().iter().filter(|step| step.source.entry.is_some());
    own.told = told.map(|step| step.date).collect();
    own.told.dedup();
    let strip = YearStrip::new(days);
    let before = year_before(garden, id).map(|before| a_year_on(life(garden, findings, before)));
    let lives: Vec<Life> = before.into_iter().chain([own]).collect();
    let row =
        GrowthRow { link: None, drawing: growth_line::over_each_other(&strip, &lives, LARGE) };
    Some(GrowthView { is_large: true, ..figure(garden, findings, "line", &strip, vec![row]) })
}

/// Lines under each other, without a table.
pub(super) fn figure(
    garden: &Garden,
    findings: &Findings,
    id: &'static str,
    strip: &YearStrip,
    rows: Vec<GrowthRow>,
) -> GrowthView {
    GrowthView {
        id,
        is_large: false,
        months: growth_line::month_names(strip),
        back: growth_line::back(strip, &frost(findings, strip.days()), garden.today),
        rows,
        table: Vec::new(),
    }
}

/// Days on which frost comes in one year of two or more.
pub fn frost(findings: &Findings, days: Period) -> Vec<Period> {
    let conditions = &findings.conditions;
    let day = |knowledge: &crate::climate::conditions::FrostKnowledge| {
        knowledge.model().and_then(|model| model.dates().p50)
    };
    let Some((spring, autumn)) = day(&conditions.spring_frost).zip(day(&conditions.autumn_frost))
    else {
        return Vec::new();
    };
    let year = |from: NaiveDate| Period { from, to: shift(from, 364) };
    let mut spans = Vec::new();
    for from in [shift(days.from, -365), days.from, shift(days.from, 365)] {
        let autumn = in_season(autumn, year(from));
        spans.push(Period { from: autumn, to: in_season(spring, year(autumn)) });
    }
    spans.retain(|span| span.overlap(&days).is_some());
    spans
}

fn life(garden: &Garden, findings: &Findings, id: PlantingId) -> Life {
    let planting = garden.planting(id);
    let end = planting.finished.unwrap_or(garden.today);
    let out = planting.reached(Stage::PlantedOut).filter(|_| !is_still_raised(garden, planting));
    let (mut raised, mut stood) = (None, None);
    if let Some(begun) = planting.begun() {
        let arrived = match out {
            Some(out) => out.max(begun),
            None if is_still_raised(garden, planting) => shift(end, 1),
            None => begun,
        };
        raised = (begun < arrived).then(|| Period { from: begun, to: shift(arrived, -1) });
        stood = (arrived <= end).then_some(Period { from: arrived, to: end });
    }
    let was_lost = planting.own_steps().last().is_some_and(|step| step.what == Happening::Lost);
    Life {
        raised,
        stood,
        ahead: ahead(garden, findings, id),
        weeks: findings.weekly.shares(garden, id),
        told: Vec::new(),
        lost: planting.finished.filter(|_| was_lost),
        is_ghost: false,
    }
}

/// Whether it never left trays and shelves.
fn is_still_raised(garden: &Garden, planting: &Planting) -> bool {
    let for_raising =
        |place: PlaceId| matches!(garden.place(place).kind, PlaceKind::Tray | PlaceKind::Shelf);
    !planting.stays.is_empty() && planting.stays.iter().all(|stay| for_raising(stay.place))
}

/// From tomorrow, or the day it is meant to begin, to the day on which its place is expected to be free.
fn ahead(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<Period> {
    let planting = garden.planting(id);
    if planting.finished.is_some() {
        return None;
    }
    let stages = findings.stages_of(id).iter().filter_map(|stage| stage.expected);
    let mut places: Vec<PlaceId> = planting.places_on(garden.today);
    places.extend(planting.destined);
    let bookings = places
        .iter()
        .flat_map(|place| &findings.place_of(*place).bookings)
        .filter(|booking| booking.planting == id && booking.hold != Hold::Past);
    let season_end = garden.season().days.to;
    let ends = bookings.filter_map(|booking| match booking.to {
        Some(to) => Some(to.to),
        None => booking.stands_on.then_some(season_end),
    });
    let last = ends.chain(stages.clone().map(|days| days.to)).max()?;
    let first = match planting.begun() {
        Some(_) => shift(garden.today, 1),
        None => {
            let meant = planting.sow_on().or(stages.map(|days| days.from).min());
            meant.unwrap_or(garden.today).max(shift(garden.today, 1))
        }
    };
    (first <= last).then_some(Period { from: first, to: last })
}

fn span(life: &Life) -> Option<Period> {
    let parts = [life.raised, life.stood, life.ahead];
    let parts = || parts.iter().flatten();
    Some(Period {
        from: parts().map(|days| days.from).min()?,
        to: parts().map(|days| days.to).max()?,
    })
}

fn shows(life: &Life, days: Period) -> bool {
    span(life).is_some_and(|span| span.overlap(&days).is_some())
}

fn whole_months(days: Period) -> Period {
    let first = |day: NaiveDate| day.with_day(1).unwrap_or(day);
    Period { from: first(days.from), to: shift(first(shift(first(days.to), 31)), -1) }
}

/// The one of the same crop and variety that was begun about a year earlier.
fn year_before(garden: &Garden, id: PlantingId) -> Option<PlantingId> {
    let own = garden.planting(id);
    let begun = own.begun()?;
    let off = |other: &PlantingId| {
        let days = (begun - garden.planting(*other).begun()?).num_days() - 365;
        (days.abs() <= 60).then_some(days.abs())
    };
    let is_alike = |other: &&PlantingId| garden.planting(**other).variety == own.variety;
    let alike = garden.plantings_of(own.crop).iter().filter(is_alike).copied();
    alike.filter_map(|other| Some((off(&other)?, other))).min().map(|(_, other)| other)
}

fn a_year_on(life: Life) -> Life {
    let on = |days: Period| Period { from: shift(days.from, 365), to: shift(days.to, 365) };
    Life {
        raised: life.raised.map(on),
        stood: life.stood.map(on),
        ahead: None,
        // 52 weeks, so that they stay weeks.
        weeks: life.weeks.iter().map(|(week, share)| (shift(*week, 364), *share)).collect(),
        is_ghost: true,
        ..life
    }
}

/// What a crop gave in a season, without what was weighed together with other crops.
fn picked(garden: &Garden, crop: CropId, season: Season) -> YieldView {
    let own = garden.harvests_of_crop(crop).filter(|harvest| {
        season.days.contains(harvest.date) && yields::whose(garden, harvest) == Whose::Crop(crop)
    });
    let heading = Heading::default().season(garden, season.days.from);
    YieldView::new(&Yield::of(own), garden.settings.units)
        .about(&heading.crop(garden, Whose::Crop(crop)))
}

fn table_row(
    garden: &Garden,
    findings: &Findings,
    link: Link,
    ids: &[PlantingId],
    days: Period,
    picked: YieldView,
) -> LifeRow {
    let lives: Vec<Life> = ids.iter().map(|id| life(garden, findings, *id)).collect();
    let all = |part: fn(&Life) -> Option<Period>| {
        let parts = || lives.iter().filter_map(part).filter_map(|part| part.overlap(&days));
        let from = parts().map(|days| days.from).min()?;
        Some(Span { from, to: parts().map(|days| days.to).max()? })
    };
    LifeRow {
        link,
        plantings: ids.len(),
        raised: all(|life| life.raised),
        stood: all(|life| life.stood),
        ahead: all(|life| life.ahead),
        picked,
    }
}
