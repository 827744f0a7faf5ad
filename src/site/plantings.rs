//! The list of plantings, and the page of each: its whole history in one line of time.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::catalogue::traits::EatenPart;
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId, SowAgain, Way};
use crate::garden::planting_names::Around;
use crate::garden::waits;
use crate::site::amount::Amount;
use crate::site::came_of_it::PlantingYields;
use crate::site::frame::{Frame, Link};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::heading::Heading;
use crate::site::learned::{self, LearnedRow};
use crate::site::message::Message;
use crate::site::moments::MonthOfMoments;
use crate::site::page::{Area, Page, Part};
use crate::site::photo::PhotoView;
use crate::site::planting_season::{self, PlantingSeasonView};
use crate::site::plantings_over::OverView;
use crate::site::rooting::{self, RootingView};
use crate::site::seasons;
use crate::site::seed::from_words;
use crate::site::sowing::SowingView;
use crate::site::tasks::{self, TaskGroup};
use crate::site::water::{self, PlantingNeed, WithheldView};
use crate::site::yields::YieldView;
use crate::stage::Stage;
use crate::stages::{Milestone, StageDates};

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

/// The page of a planting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantingView {
    pub frame: Frame,
    /// Its newest photograph that surely shows it.
    pub photo: Option<PhotoView>,
    /// Its photographs, oldest first.
    pub photos: Vec<PhotoView>,
    /// Which part is eaten, for a small picture.
    pub eaten: Option<&'static str>,
    /// What entries call it by.
    pub id: String,
    /// What stands in the lists, too.
    pub summary: PlantingSummary,
    /// How it was begun.
    pub way: Message,
    /// The planting it was split from.
    pub parent: Option<Link>,
    /// Where it is meant to end up.
    pub destined: Option<Link>,
    /// How many plants are wanted.
    pub aim: Option<Amount>,
    /// How much room it takes, if the grower said so.
    pub room: Option<Amount>,
    /// How often it is sown again.
    pub sow_again: Option<Message>,
    /// Whether it stands for years.
    pub is_perennial: bool,
    /// Who the seed came from, and the year of the packet.
    pub seed: Option<Message>,
    /// The planting between whose plants it stands.
    pub shares_with: Option<Link>,
    /// Its life as a line.
    pub line: Option<GrowthView>,
    pub came_of_it: Option<PlantingYields>,
    /// Stages, passed and expected.
    pub stages: Vec<StageRow>,
    /// Whether something came of which a range was shown before.
    pub has_first: bool,
    /// What the expected dates rest on, beyond the crop table.
    pub lessons: Vec<LearnedRow>,
    /// Whether its dates are told by days alone, since no temperature is known where it stands.
    pub is_without_warmth: bool,
    /// Its history, and what was done and picked in its last seasons, oldest first.
    pub timeline: Vec<MonthOfMoments>,
    /// Seasons before those, newest first.
    pub older: Vec<Link>,
    /// What went against a caution.
    pub warnings: Vec<Message>,
    /// How much to sow, as long as it has not come up.
    pub sowing: Option<SowingView>,
    /// What is to be done.
    pub tasks: Vec<TaskGroup>,
    /// How much water it takes, in each place where it stands.
    pub water: Vec<PlantingNeed>,
    /// Soil for its roots, in each place of containers.
    pub rooting: Vec<RootingView>,
    /// Places in which nothing can be said of its water, and why.
    pub water_withheld: Vec<WithheldView>,
    /// Whether some of its pickings were weighed with those of others.
    pub is_partly_grouped: bool,
}

/// A stage, passed or expected.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StageRow {
    /// The stage, or the first picking.
    pub what: Message,
    /// The range in which it was or is expected.
    pub expected: Option<Span>,
    /// The day it came.
    pub actual: Option<NaiveDate>,
    /// When a range for it was first shown, and which.
    pub first: Option<Message>,
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

impl Page for PlantingView {
    type Key = PlantingId;

    const PART: Part = PlantingsView::PART;
    const TEMPLATE: &'static str = "planting.html";

    fn keys(garden: &Garden) -> Vec<PlantingId> {
        garden.plantings().map(|(id, _)| id).collect()
    }

    fn path(garden: &Garden, &id: &PlantingId) -> String {
        format!("plantings/{}/index.html", garden.planting(id).slug)
    }

    fn view(garden: &Garden, findings: &Findings, &id: &PlantingId) -> Self {
        let planting = garden.planting(id);
        // Of each rule only the next time: the days after it depend on what is done until then.
        let mut rules = Vec::new();
        let own_tasks = findings.tasks.iter().filter(|task| {
            let is_next = task.key.planting == Some(id) && !rules.contains(&&task.key.rule);
            if is_next {
                rules.push(&task.key.rule);
            }
            is_next
        });
        let stages = stage_rows(garden, findings, id);
        PlantingView {
            frame: Frame::new::<Self>(
                garden,
                &id,
                Link::planting_around(garden, id, Around::Own).name(),
            )
            .below(&Link::crop(garden, planting.crop))
            .beside(siblings(garden, id)),
            eaten: planting.sheet.eaten.map(EatenPart::word),
            id: planting.id.to_string(),
            summary: PlantingSummary::new(garden, findings, id),
            way: way(planting),
            parent: planting.parent.map(|id| Link::planting(garden, id)),
            destined: planting.destined.map(|id| Link::place(garden, id)),
            aim: planting.aim.map(|aim| Amount::count(aim, "plants")),
            room: planting.uses.map(|uses| Amount::uses(uses, garden.settings.units)),
            sow_again: planting.sow_again.map(sown_again),
            is_perennial: planting.is_perennial,
            seed: seed(planting),
            shares_with: planting.shares_with.map(|id| Link::planting(garden, id)),
            line: growth_lines::of_planting(garden, findings, id),
            came_of_it: PlantingYields::new(garden, findings, id),
            has_first: stages.iter().any(|row| row.first.is_some()),
            stages,
            lessons: learned::of_planting(findings.lessons_of(id)),
            is_without_warmth: planting.is_growing() && findings.is_without_warmth(id),
            timeline: planting_season::last_of(garden, id),
            older: PlantingSeasonView::links(garden, id),
            warnings: warnings(garden, id),
            rooting: rooting::of_planting(garden, findings, id),
            sowing: SowingView::new(garden, findings, id),
            photo: PhotoView::that_shows(garden, findings, id),
            photos: PhotoView::of_planting(garden, findings, id),
            tasks: tasks::groups(garden, own_tasks),
            water: water::of_planting(garden, findings, id),
            water_withheld: water::withheld_of(garden, findings, id),
            is_partly_grouped: garden.harvests_of(id).any(|harvest| harvest.plantings.len() > 1),
        }
    }
}

/// So many others of its crop and variety are one step away.
const MOST_SIBLINGS: usize = 6;

/// Others of its crop and variety, newest first.
fn siblings(garden: &Garden, id: PlantingId) -> Vec<Link> {
    let own = garden.planting(id);
    let kind = |planting: &Planting| planting.variety.as_deref().map(crate::names::folded);
    let others = garden.plantings_of(own.crop).iter().rev().copied();
    others
        .filter(|other| *other != id && kind(garden.planting(*other)) == kind(own))
        .take(MOST_SIBLINGS)
        .map(|other| Link::planting_around(garden, other, Around::Crop))
        .collect()
}

/// Pickings inside the waiting time of a treatment, with both dates.
fn warnings(garden: &Garden, id: PlantingId) -> Vec<Message> {
    waits::broken(garden, id)
        .map(|broken| {
            Message::new("caution.picked-in-wait")
                .with("picked", broken.picked())
                .with("treated", broken.treated())
                .with("count", u64::from(broken.wait_days))
        })
        .collect()
}

pub(super) fn way(planting: &Planting) -> Message {
    let key = match planting.way {
        Way::Intended => "way.intended",
        Way::Sown => "way.sown",
        Way::Planted => "way.planted",
        Way::Bought => "way.bought",
        Way::Split => "way.split",
    };
    match planting.begun() {
        Some(_) if let Some(year) = planting.since_year => {
            Message::new("way.since-year").with("year", year.to_string())
        }
        Some(date) if planting.is_older_than_journal => {
            Message::new("way.older").with("date", date)
        }
        Some(date) => Message::new(key).with("date", date),
        None => Message::new("way.intended"),
    }
}

fn sown_again(again: SowAgain) -> Message {
    let every =
        Message::new("planting.every").with("days", Amount::count(again.every_days, "days"));
    match again.until {
        // Shown without its year; 2024 has every day.
        Some(until) => Message::new("planting.every-until")
            .with("days", Amount::count(again.every_days, "days"))
            .with("until", until.in_year(2024)),
        None => every,
    }
}

fn seed(planting: &Planting) -> Option<Message> {
    let seed = planting.seed.as_ref()?;
    from_words(seed.from.as_deref(), seed.year)
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

fn stage_rows(garden: &Garden, findings: &Findings, id: PlantingId) -> Vec<StageRow> {
    let first = |what: Milestone| {
        let told = findings.told_of(id).iter().find(|told| told.what == what)?;
        let (day, range) = told.first?;
        let said = Message::new("planting.first-said").with("day", day);
        Some(said.with("from", range.from).with("to", range.to))
    };
    let row = |dates: &StageDates| StageRow {
        what: tasks::milestone(dates.what),
        expected: dates.expected.map(Span::from),
        actual: dates.actual,
        first: first(dates.what).filter(|_| dates.actual.is_some()),
    };
    let planting = garden.planting(id);
    let is_some_day =
        |dates: &&StageDates| dates.actual.is_some_and(|day| planting.year_alone(day).is_some());
    findings.stages_of(id).iter().filter(|dates| !is_some_day(dates)).map(row).collect()
}
