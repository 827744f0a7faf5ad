//! What all tasks of a garden rest on: its conditions, and the growing years around its season.
//!
//! Put together once a build; the feed's history ([`crate::revisions`]) asks it again for earlier days, on
//! most of which it is the same.

use std::borrow::Cow;

use crate::agronomy::calendar::{self, GrowingYear};
use crate::agronomy::conditions::Conditions;
use crate::agronomy::learning::Learned;
use crate::agronomy::learning::lessons::{self, Lesson};
use crate::agronomy::plan::{self, Plans};
use crate::agronomy::seeds::SeedBox;
use crate::agronomy::tasks::{self, model::Task};
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::jobs::Job;

/// Climate, frost, and the growing years around a season.
#[derive(Clone, Debug)]
pub struct Basis {
    /// Climate and frost.
    pub conditions: Conditions,
    /// The days of the garden's season.
    pub season: Period,
    /// The growing year in which the middle of the season lies, between its neighbours.
    pub years: [GrowingYear; 3],
}

impl Basis {
    /// The basis of a garden on its day.
    pub fn of(garden: &Garden) -> Basis {
        Basis::from_conditions(Conditions::of(garden), garden)
    }

    /// The basis of the same garden on another day, which is mostly this one.
    pub fn moved_to(&self, garden: &Garden) -> Cow<'_, Basis> {
        let conditions = Conditions::of(garden);
        if conditions == self.conditions && garden.season().days == self.season {
            return Cow::Borrowed(self);
        }
        Cow::Owned(Basis::from_conditions(conditions, garden))
    }

    fn from_conditions(conditions: Conditions, garden: &Garden) -> Basis {
        let season = garden.season().days;
        let years = calendar::years_around(&conditions, shift(season.from, season.days() / 2));
        Basis { conditions, season, years }
    }

    /// The tasks of a garden as far ahead as its feed looks, soonest first.
    pub fn tasks(&self, garden: &Garden) -> Vec<Task> {
        let (_, taught, _) = self.taught(garden);
        let plans = plan::from_calendar(&taught, &self.years);
        self.tasks_by(&taught, &plans, &SeedBox::of(&taught, &plans))
    }

    /// What the garden's plantings taught, the garden with that in its crop sheets, and what each
    /// planting's dates rest on.
    pub fn taught(&self, garden: &Garden) -> (Learned, Garden, Vec<Vec<Lesson>>) {
        let learned = Learned::of(garden, &self.conditions);
        let (taught, lessons) = lessons::taught(garden, &learned);
        (learned, taught, lessons)
    }

    /// The same by plans and seed that are at hand already.
    pub fn tasks_by(&self, garden: &Garden, plans: &Plans, seeds: &SeedBox) -> Vec<Task> {
        let ahead = garden.settings.feed.look_ahead_days;
        let mut tasks = tasks::upcoming(garden, &self.conditions, plans, ahead);
        for task in tasks.iter_mut().filter(|task| task.job == Job::Sow) {
            task.seeds = task.key.planting.and_then(|id| seeds.to_sow(id));
        }
        tasks
    }
}
