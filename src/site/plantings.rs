//! The list of plantings, and what stands in it of each.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::catalogue::traits::EatenPart;
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::planting_names::Around;
use crate::site::amount::Amount;
use crate::site::frame::{Frame, Link};
use crate::site::heading::Heading;
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings_over::OverView;
use crate::site::seasons;
use crate::site::tasks::{self};
use crate::site::yields::YieldView;
use crate::stage::Stage;
use crate::stages::Milestone;

/// The list of plantings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantingsView {
    pub frame: Frame,
    /// What grows now, crop by crop.
    pub crops: Vec<CropNow>,
    /// The same, planting by planting.
    pub growing: Vec<PlantingSummary>,
    /// What is meant to be grown.
    pub intended: Vec<PlantingSummary>,
    /// What is over, by season, newest first.
    pub finished: Vec<FinishedSeason>,
    /// Seasons before those, newest first.
    pub older: Vec<Link>,
}

/// A crop of which something grows.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropNow {
    pub crop: Link,
    /// Which part is eaten, for a small picture.
    pub eaten: Option<&'static str>,
    /// Its plantings, each with the stage it is in.
    pub plantings: Vec<(Link, Message)>,
}

/// Plantings that were finished in one season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FinishedSeason {
    pub season: String,
    pub plantings: Vec<PlantingSummary>,
}

/// A planting in a list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantingSummary {
    pub link: Link,
    pub crop: Link,
    pub variety: Option<String>,
    pub stage: Message,
    /// The stage's key, for a style.
    pub stage_key: String,
    pub since: Option<Message>,
    pub plants: Option<Amount>,
    pub places: Vec<Link>,
    /// What is expected of it next.
    pub next: Option<NextView>,
    /// What it gave so far.
    pub harvest: YieldView,
}

/// A stage that is still to come.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NextView {
    /// The stage, or the first picking.
    pub what: Message,
    /// When it is expected.
    pub when: Span,
}

/// A range of days.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Serialize)]
pub struct Span {
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: NaiveDate,
}

impl From<Period> for Span {
    fn from(period: Period) -> Span {
        Span { from: period.from, to: period.to }
    }
}

impl Page for PlantingsView {
    type Key = ();

    const PART: Part = Part { key: "plantings", href: "plantings/index.html", area: Area::Growing };
    const TEMPLATE: &'static str = "plantings.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let summary = |id| PlantingSummary::new(garden, findings, id);
        let all: Vec<(PlantingId, &Planting)> = garden.plantings().collect();
        let growing = all.iter().filter(|(_, planting)| planting.is_growing());
        let intended = all.iter().filter(|(_, planting)| planting.stage() == Stage::Intended);
        let mut finished: Vec<FinishedSeason> = Vec::new();
        let mut over: Vec<(NaiveDate, PlantingId)> =
            all.iter().filter_map(|(id, planting)| Some((planting.finished?, *id))).collect();
        over.sort_by_key(|(day, id)| (std::cmp::Reverse(*day), *id));
        let near = seasons::near(garden, garden.today);
        for (day, id) in over.into_iter().filter(|(day, _)| near.contains(*day)) {
            let season = garden.season_of(day).name();
            match finished.last_mut().filter(|last| last.season == season) {
                Some(last) => last.plantings.push(summary(id)),
                None => finished.push(FinishedSeason { season, plantings: vec![summary(id)] }),
            }
        }
        let title = Message::new("part.plantings");
        PlantingsView {
            frame: Frame::new::<Self>(garden, &(), title),
            crops: crops_now(garden),
            growing: growing.map(|(id, _)| summary(*id)).collect(),
            intended: intended.map(|(id, _)| summary(*id)).collect(),
            finished,
            older: OverView::links(garden),
        }
    }
}

/// What grows now, crop by crop, crops by name.
fn crops_now(garden: &Garden) -> Vec<CropNow> {
    let mut crops: BTreeMap<Link, CropNow> = BTreeMap::new();
    for (id, planting) in garden.plantings().filter(|(_, planting)| planting.is_growing()) {
        let link = Link::planting_around(garden, id, Around::Crop);
        let crop = Link::crop(garden, planting.crop);
        let now = crops.entry(crop.clone()).or_insert_with(|| CropNow {
            crop,
            eaten: garden.catalogue.get(planting.crop).sheet.eaten.map(EatenPart::word),
            plantings: Vec::new(),
        });
        now.plantings.push((link, tasks::stage(planting.stage())));
    }
    crops.into_values().collect()
}

impl PlantingSummary {
    /// A planting in a list.
    pub fn new(garden: &Garden, findings: &Findings, id: PlantingId) -> PlantingSummary {
        PlantingSummary::around(garden, findings, id, Around::Garden)
    }

    /// A planting in a list in which something goes without saying.
    pub fn around(
        garden: &Garden,
        findings: &Findings,
        id: PlantingId,
        around: Around,
    ) -> PlantingSummary {
        let planting = garden.planting(id);
        let stage = planting.stage();
        let places = planting.places_on(garden.today);
        PlantingSummary {
            link: Link::planting_around(garden, id, around),
            crop: Link::crop(garden, planting.crop),
            variety: planting.variety.clone().map(String::from),
            stage: tasks::stage(stage),
            stage_key: tasks::key(stage.word()),
            since: planting.reached(stage).map(|date| {
                if let Some(year) = planting.year_alone(date) {
                    return Message::new("planting.since-some-day").with("year", year.to_string());
                }
                let key = match stage {
                    Stage::Finished => "planting.on",
                    _ if date < garden.season().days.from => "planting.since-year",
                    _ => "planting.since",
                };
                Message::new(key).with("date", date)
            }),
            plants: (stage != Stage::Intended && stage != Stage::Finished)
                .then(|| Amount::plants(planting.plants()))
                .flatten(),
            places: places.into_iter().map(|id| Link::place(garden, id)).collect(),
            next: next(garden, findings, id),
            harvest: YieldView::new(findings.yield_of(id), garden.settings.units)
                .about(&Heading::default().planting(garden, id)),
        }
    }
}

/// What is expected next of a planting that is not over: nothing that should have come by now.
pub(super) fn next(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<NextView> {
    if garden.planting(id).finished.is_some() {
        return None;
    }
    let stages = findings.stages_of(id);
    let came = stages.iter().rposition(|dates| dates.actual.is_some()).map_or(0, |at| at + 1);
    let ahead = stages[came..].iter().filter_map(|dates| Some((dates.what, dates.expected?)));
    let mut ahead = ahead.filter(|(_, range)| range.to >= garden.today);
    ahead.next().map(|(what, range)| NextView { what: next_words(what), when: range.into() })
}

fn next_words(what: Milestone) -> Message {
    match what {
        Milestone::Stage(stage) => Message::new(format!("next.{}", tasks::key(stage.word()))),
        Milestone::FirstHarvest => Message::new("next.first-harvest"),
    }
}
