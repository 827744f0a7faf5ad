//! A task as data: what, for whom, when, and why.

use chrono::NaiveDate;

use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::EntryId;
use crate::jobs::Job;
use crate::stage::Stage;

/// Something to be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// What makes it the same task from one day to the next.
    pub key: TaskKey,
    /// What is to be done.
    pub job: Job,
    /// With which feed or product.
    pub with: Option<String>,
    /// The day it stands on: the garden's own day if it is overdue.
    pub due: NaiveDate,
    /// The last day on which it is still in good time.
    pub until: Option<NaiveDate>,
    /// Since when it is overdue.
    pub overdue_since: Option<NaiveDate>,
    /// What it follows from.
    pub why: Why,
    /// The crop sheet's own sentence.
    pub reason: Option<String>,
    /// What to be careful of.
    pub cautions: Vec<Caution>,
    /// The newest thing it depends on, not after the garden's day.
    pub cause: Cause,
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
    /// The stage from which the rule runs.
    pub from: Stage,
    /// The n-th time, from 1.
    pub number: u32,
}

/// What a task follows from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// A stage was reached.
    Reached(Stage, NaiveDate),
    /// The same work was last done then.
    LastDone(NaiveDate),
    /// A stage is expected then.
    Expected(Stage, NaiveDate),
    /// It is the time of year for it, by the planting calendar.
    Season,
    /// A succession: so many days after the sowing before it.
    Succession(NaiveDate),
}

/// What to be careful of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Caution {
    /// Wait until this day after a treatment on the other.
    WaitUntil(NaiveDate, NaiveDate),
    /// Flowers are open: bees.
    Bees,
    /// Dry mix: dust.
    Dust,
    /// Lamps and water.
    Electricity,
    /// Manure before harvest.
    Manure,
    /// The crop sheet's own words.
    Sheet(String),
}

/// Where a task comes from in time: DTSTAMP and SEQUENCE are made of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cause {
    /// The day of the newest thing it depends on.
    pub date: NaiveDate,
    /// The entry, if there is one that may be shown.
    pub entry: Option<EntryId>,
}
