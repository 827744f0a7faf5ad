//! A task as data: what, for whom, when, and why.

use chrono::NaiveDate;

use crate::care::water::refills::Refill;
use crate::catalogue::Purpose;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::EntryId;
use crate::jobs::Job;
use crate::stage::Stage;
use crate::stages::Milestone;

/// Something to be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// What makes it the same task from one day to the next.
    pub key: TaskKey,
    /// What is to be done.
    pub job: Job,
    /// With which feed or product.
    pub with: Option<String>,
    /// What a feed is for, where the garden has none that serves it alone.
    pub purpose: Option<Purpose>,
    /// The day it stands on: the garden's own day if it has been open since an earlier one.
    pub due: NaiveDate,
    /// The last day on which it is still in good time.
    pub until: Option<NaiveDate>,
    /// The first day on which it was late.
    pub overdue_since: Option<NaiveDate>,
    /// What it follows from.
    pub why: Why,
    /// The crop sheet's own sentence.
    pub reason: Option<String>,
    /// How it is to be done.
    pub notes: Vec<Note>,
    /// How much water it takes.
    pub refill: Option<Refill>,
    /// What to be careful of.
    pub cautions: Vec<Caution>,
    /// Whether it falls into days on which the grower is away.
    pub is_while_away: bool,
    /// The newest thing it depends on, not after the garden's day.
    pub cause: Cause,
    /// How many seeds it takes.
    pub seeds: Option<SeedsToSow>,
}

/// The seeds of a sowing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeedsToSow {
    /// So many, for nine chances of ten that as many plants as wanted stand.
    pub seeds: u32,
    /// The plants wanted.
    pub plants: u32,
}

/// What makes a task the same from one day to the next: the n-th time of a rule of a planting.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TaskKey {
    /// Whose task; nothing for a task of a place.
    pub planting: Option<PlantingId>,
    /// Where, for a task of a place.
    pub place: Option<PlaceId>,
    /// The rule's id on the crop sheet, or the word of a job of the plan.
    pub rule: String,
    /// The stage from which the rule runs; `Intended` for a job of the plan.
    pub from: Stage,
    /// The n-th time, from 1.
    pub number: u32,
}

impl TaskKey {
    /// The key in words that stay the same from one publishing to the next: the planting by its id, not
    /// by its number, which moves when plantings are added before it.
    pub fn text(&self, garden: &Garden) -> String {
        let planting = self.planting.map_or("", |id| garden.planting(id).id.as_str());
        let place = self.place.map_or("", |id| garden.place(id).name.as_str());
        format!("{planting}/{place}/{}/{}/{}", self.rule, self.from.word(), self.number)
    }
}

/// What a task follows from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    Reached(Stage, NaiveDate),
    /// The same work was last done then.
    LastDone(NaiveDate),
    /// Fresh mix, given then, feeds for some weeks.
    FreshMix(NaiveDate),
    /// A stage or the first picking is expected then.
    Expected(Milestone, NaiveDate),
    /// It is the time of year for it, by the planting calendar.
    Season,
    /// Frost may come until then.
    FrostUntil(NaiveDate),
    /// Frost may come from then on.
    FrostFrom(NaiveDate),
    /// It was lifted then.
    Lifted(NaiveDate),
    /// A succession: so many days after the sowing before it.
    Succession(NaiveDate),
}

/// How a task is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Note {
    /// Feed for seedlings: at half the strength of the label.
    HalfStrength,
    /// Watering: by the weight of the pot or a finger in the soil, before any figure.
    FeelFirst,
}

/// What to be careful of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Not to be picked before the first day: treated on the second, and the label asks to wait.
    WaitUntil(NaiveDate, NaiveDate),
    /// Flowers are open: bees.
    Bees,
    /// Dry mix: dust.
    Dust,
    /// Lamps and water.
    Electricity,
    /// Raw manure and a harvest: 120 days between them where what is eaten touches the soil, 90 where it
    /// does not (7 CFR 205.203(c)(1)); on a harvest the day on which it was given.
    Manure(Option<NaiveDate>),
    /// The crop sheet's own words.
    Sheet(String),
}

/// Where a task comes from in time: DTSTAMP and SEQUENCE are made of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cause {
    /// The day of the newest thing it depends on.
    pub date: NaiveDate,
    /// The entry, if there is one.
    pub entry: Option<EntryId>,
}

impl Cause {
    /// The newer of two.
    pub(super) fn newest(self, other: Cause) -> Cause {
        if other.date > self.date { other } else { self }
    }

    /// As old as this, and not older than a day of a plan that has come; the entry stays.
    pub(super) fn not_before(self, day: NaiveDate) -> Cause {
        Cause { date: self.date.max(day), ..self }
    }
}
