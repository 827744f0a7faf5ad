//! The page of a planting: its whole history in one line of time.

use crate::catalogue::traits::EatenPart;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId, SowAgain, Way};
use crate::garden::planting_names::Around;
use crate::garden::waits;
use crate::site::amount::Amount;
use crate::site::came_of_it::PlantingYields;
use crate::site::frame::{Frame, Link};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::learned::{self, LearnedRow};
use crate::site::message::Message;
use crate::site::moments::MonthOfMoments;
use crate::site::page::{Page, Part};
use crate::site::photo::PhotoView;
use crate::site::planting_season::{self, PlantingSeasonView};
use crate::site::plantings::{PlantingSummary, PlantingsView, Span};
use crate::site::rooting::{self, RootingView};
use crate::site::seed::from_words;
use crate::site::sowing::SowingView;
use crate::site::tasks::{self, TaskGroup};
use crate::site::water::{self, PlantingNeed, WithheldView};
use crate::stages::{Milestone, StageDates};
use chrono::NaiveDate;
use serde::Serialize;

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
