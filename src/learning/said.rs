//! What the site said, before something came, of when it would come.
//!
//! Nothing is kept between builds: what was said at the end of a day is worked out from what is dated up to that day, of the
//! planting (its history, its pickings) and of all others ([`crate::learning::Learned`]). So the cost is a few forecasts for
//! each planting, not a garden for each day. As in [`crate::garden::build::past`], what is not dated (crop sheets, garden.yaml)
//! counts as if it had always been as it is now; and so does the frost record behind the planting calendar.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::calendar::plan::{self, Plan};
use crate::calendar::{self, GrowingYear, Round};
use crate::catalogue::CropId;
use crate::climate::conditions::Conditions;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::planting::{Group, Planting, PlantingId, Plants, Way};
use crate::happening::Happening;
use crate::learning::{Learned, lessons};
use crate::names;
use crate::place_kind::Cover;
use crate::stage::Stage;
use crate::stages::course::Course;
use crate::stages::{self, Milestone, StageDates};

/// What was said of something that came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Told {
    /// Of which planting.
    pub planting: PlantingId,
    /// Of what.
    pub what: Milestone,
    /// The day it came.
    pub came: NaiveDate,
    /// The day on which a range was first shown, and the range.
    pub first: Option<(NaiveDate, Period)>,
    /// The range that was shown thirty days before it came, if one was.
    pub month: Option<Period>,
    /// Fourteen days before.
    pub fortnight: Option<Period>,
    /// The day before.
    pub eve: Option<Period>,
}

/// When a range was shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ahead {
    /// When it was first shown.
    First,
    /// Thirty days before it came.
    Month,
    /// Fourteen days before.
    Fortnight,
}

impl Ahead {
    /// From the longest on.
    pub const ALL: [Ahead; 3] = [Ahead::First, Ahead::Month, Ahead::Fortnight];
}

impl Told {
    /// The range that was shown then.
    pub fn range(&self, ahead: Ahead) -> Option<Period> {
        match ahead {
            Ahead::First => self.first.map(|(_, range)| range),
            Ahead::Month => self.month,
            Ahead::Fortnight => self.fortnight,
        }
    }
}

/// What comes by itself, and is scored; and the end, which the grower sets.
pub const SCORED: [Milestone; 4] = [
    Milestone::Stage(Stage::Emerged),
    Milestone::Stage(Stage::Flowering),
    Milestone::FirstHarvest,
    Milestone::Stage(Stage::Finished),
];

/// How well ranges held.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Kept {
    /// How many ranges.
    pub number: u32,
    /// In how many of them it came.
    pub held: u32,
    /// Mean days between the middle of the range and the day it came.
    pub off_days: f64,
    /// Mean days from the first of a range to its last.
    pub width_days: f64,
}

/// Below this share of ranges that held they fall short; four of five should hold, and twenty ranges of that kind hold
/// thirteen times or fewer once in eleven.
const SHORT: f64 = 0.7;
/// Fewer ranges say nothing of the rest.
const FEWEST: u32 = 20;

impl Kept {
    /// How well the ranges held that were shown so far ahead; none if there are none.
    pub fn of<'a>(all: impl IntoIterator<Item = &'a Told>, ahead: Ahead) -> Option<Kept> {
        let mut kept = Kept::default();
        let (mut off, mut width) = (0, 0);
        for told in all {
            let Some(range) = told.range(ahead) else { continue };
            kept.number += 1;
            kept.held += u32::from(range.contains(told.came));
            width += (range.to - range.from).num_days();
            off += (2 * (told.came - range.from).num_days() - (range.to - range.from).num_days())
                .abs();
        }
        let all = f64::from(kept.number);
        (kept.off_days, kept.width_days) = (off as f64 / 2.0 / all, width as f64 / all);
        (kept.number > 0).then_some(kept)
    }

    /// The share that held, 0 to 1.
    pub fn share(&self) -> f64 {
        f64::from(self.held) / f64::from(self.number)
    }

    /// Whether clearly fewer held than should.
    pub fn is_short(&self) -> bool {
        self.number >= FEWEST && self.share() < SHORT
    }
}

/// How well the ranges held, by what came and how long before; only what was shown at least once.
pub fn scored(told: &[Vec<Told>]) -> Vec<(Milestone, Ahead, Kept)> {
    let mut scored = Vec::new();
    for what in SCORED {
        for ahead in Ahead::ALL {
            let own = told.iter().flatten().filter(|told| told.what == what);
            scored.extend(Kept::of(own, ahead).map(|kept| (what, ahead, kept)));
        }
    }
    scored
}

/// What was said of everything that came, by planting. Perennials go by their last year and are not among them, nor is what
/// the journal found when it began.
pub fn of_garden(garden: &Garden, conditions: &Conditions, learned: &Learned) -> Vec<Vec<Told>> {
    let mut calendar =
        Calendar { garden, conditions, years: BTreeMap::new(), rounds: BTreeMap::new() };
    let of_one = |(id, planting): (PlantingId, &Planting)| {
        let is_told = !planting.is_perennial
            && planting.sheet.is_perennial != Some(true)
            && !planting.is_older_than_journal;
        if !is_told {
            return Vec::new();
        }
        let mut past = Past { garden, learned, id, said: BTreeMap::new() };
        past.told(&mut calendar)
    };
    garden.plantings().map(of_one).collect()
}

/// The stages of all plantings, with what was said on the day before beside what came: nothing is rewritten afterwards.
pub fn kept(told: &[Vec<Told>], mut stages: Vec<Vec<StageDates>>) -> Vec<Vec<StageDates>> {
    for (told, stages) in told.iter().zip(&mut stages) {
        for dates in stages.iter_mut().filter(|dates| dates.actual.is_some()) {
            if let Some(told) = told.iter().find(|told| told.what == dates.what) {
                dates.expected = told.eve;
            }
        }
    }
    stages
}

/// One planting, looked at on earlier days.
struct Past<'a> {
    garden: &'a Garden,
    learned: &'a Learned,
    id: PlantingId,
    said: BTreeMap<NaiveDate, Vec<StageDates>>,
}

impl Past<'_> {
    fn told(&mut self, calendar: &mut Calendar<'_>) -> Vec<Told> {
        let id = self.id;
        let planting = self.garden.planting(id);
        let picked = self.garden.harvests_of(id).map(|harvest| harvest.date).next();
        let begun = planting.begun().map(|day| day.max(planting.noted));
        let out = planting.reached(Stage::PlantedOut).map(|day| day.max(planting.noted));
        let mut told = Vec::new();
        for what in SCORED {
            let came = match what {
                Milestone::FirstHarvest => picked,
                Milestone::Stage(stage) => planting.reached(stage),
            };
            let Some(came) = came.filter(|came| *came > planting.noted) else { continue };
            if what == Milestone::Stage(Stage::Finished) && picked.is_none() {
                continue;
            }
            let is_told_on = |day: NaiveDate| day >= planting.noted && day < came;
            let showings = [Some(planting.noted), begun, out].into_iter().flatten();
            let showings = showings.filter(|day| is_told_on(*day));
            let first = showings
                .into_iter()
                .find_map(|day| Some((day, range(self.whole(calendar, day), what)?)));
            let mut at = |day: NaiveDate| {
                is_told_on(day).then(|| range(&self.on(calendar, day, what), what))?
            };
            // Not before it was first shown.
            let later = |day: NaiveDate| first.is_some_and(|first| first.0 <= day).then_some(day);
            told.push(Told {
                planting: id,
                what,
                came,
                first,
                month: later(shift(came, -30)).and_then(&mut at),
                fortnight: later(shift(came, -14)).and_then(&mut at),
                eve: at(shift(came, -1)),
            });
        }
        told
    }

    /// All that was shown at the end of a day.
    fn whole(&mut self, calendar: &mut Calendar<'_>, day: NaiveDate) -> &[StageDates] {
        if !self.said.contains_key(&day) {
            let said = self.on(calendar, day, Milestone::Stage(Stage::Finished));
            self.said.insert(day, said);
        }
        &self.said[&day]
    }

    /// What was shown at the end of a day, right up to `last`: what is learned for later milestones is left out.
    fn on(&self, calendar: &mut Calendar<'_>, day: NaiveDate, last: Milestone) -> Vec<StageDates> {
        let (garden, id) = (self.garden, self.id);
        let mut planting = as_known(garden.planting(id), day);
        let (way, stage) = (planting.way, planting.stage());
        let is_picked = garden.harvests_of(id).next().is_some_and(|first| first.date <= day);
        let is_wanted = |milestone| {
            let has_come = match milestone {
                // Sets and tubers stand in the ground before they come up.
                Milestone::Stage(Stage::Emerged) => stage >= Stage::Emerged && way != Way::Planted,
                Milestone::FirstHarvest => is_picked,
                Milestone::Stage(_) => false,
            };
            !has_come && rank(milestone) <= rank(last)
        };
        let of = (id, &mut planting);
        lessons::teach(garden, calendar.conditions, self.learned, of, day, is_wanted);
        let plan = calendar.plan(&planting, day);
        let course = Course::as_known(garden, calendar.conditions, (id, &planting), plan, day);
        stages::of_course(course)
    }
}

/// The range of a milestone that had not come.
fn range(said: &[StageDates], what: Milestone) -> Option<Period> {
    let said = said.iter().find(|dates| dates.what == what)?;
    said.expected.filter(|_| said.actual.is_none())
}

/// The place of a milestone among those that are scored, in the order in which they come.
fn rank(milestone: Milestone) -> Option<usize> {
    SCORED.iter().position(|scored| *scored == milestone)
}

/// A planting as it was known at the end of a day.
fn as_known(planting: &Planting, day: NaiveDate) -> Planting {
    let mut known = planting.clone();
    known.history.retain(|step| step.date <= day);
    known.stays.retain(|stay| stay.from <= day);
    for stay in &mut known.stays {
        stay.to = stay.to.filter(|to| *to <= day);
    }
    known.finished = known.finished.filter(|finished| *finished <= day);
    let stages = known.history.iter().filter_map(|step| match step.what {
        Happening::Reached(stage) => Some((stage, step.date)),
        _ => None,
    });
    match stages.max() {
        Some((stage, reached)) => {
            let stay = known.stays.last();
            let (place, arrived) =
                (stay.map(|stay| stay.place), stay.map_or(reached, |stay| stay.from));
            let plants = Plants::UNKNOWN;
            known.groups = vec![Group { stage, place, plants, reached, arrived }];
        }
        None => {
            known.groups.clear();
            known.way = Way::Intended;
        }
    }
    known
}

/// The planting calendar of earlier seasons, each part worked out once.
struct Calendar<'a> {
    garden: &'a Garden,
    conditions: &'a Conditions,
    years: BTreeMap<NaiveDate, [GrowingYear; 3]>,
    rounds: BTreeMap<(NaiveDate, CropId, String, Cover), Vec<Round>>,
}

impl Calendar<'_> {
    fn plan(&mut self, planting: &Planting, day: NaiveDate) -> Plan {
        if planting.stage() >= Stage::PlantedOut {
            return Plan::default();
        }
        let place = planting.destined.or(planting.first_place);
        let cover = place.map_or(Cover::None, |id| self.garden.place(id).cover);
        let season = self.garden.season_of(day).days;
        let variety = names::folded(planting.variety.as_deref().unwrap_or_default());
        let key = (season.from, planting.crop, variety, cover);
        if !self.rounds.contains_key(&key) {
            let middle = shift(season.from, season.days() / 2);
            let conditions = self.conditions;
            let years = self.years.entry(season.from);
            let years = years.or_insert_with(|| calendar::years_around(conditions, middle));
            let around = Period { from: shift(season.from, -366), to: shift(season.to, 366) };
            // By the crop's own sheet, as the calendar's pages go.
            let sheet =
                self.garden.catalogue.get(planting.crop).sheet_of(planting.variety.as_deref());
            let rounds = calendar::rounds_in(&sheet, years, around, cover);
            self.rounds.insert(key.clone(), rounds);
        }
        plan::of_planting(planting, &self.rounds[&key], day).unwrap_or_default()
    }
}
