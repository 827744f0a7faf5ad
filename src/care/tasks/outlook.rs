//! What is known and expected of one planting: the ground on which its tasks are worked out.

use chrono::NaiveDate;

use crate::care::mixes;
use crate::care::prospect::Prospect;
use crate::care::tasks::model::{Cause, Caution, Task, TaskKey, Why};
use crate::care::tasks::{away, cautions};
use crate::catalogue::{CareRule, Purpose};
use crate::dates::{Period, put_off, shift};
use crate::garden::model::Garden;
use crate::garden::place::Place;
use crate::garden::planting::{PlantingId, Step};
use crate::garden::records::Source;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::sheets::mix::MixSheet;
use crate::stage::Stage;
use crate::stages::course::{Beginning, Course};
use crate::stages::{Milestone, StageDates};

/// A planting, its course and its stages.
#[derive(Debug)]
pub(super) struct Outlook<'a> {
    pub(super) course: Course<'a>,
    pub(super) dates: &'a [StageDates],
}

/// When a stage came, or is taken to come.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub(super) date: NaiveDate,
    pub(super) is_expected: bool,
    pub(super) why: Why,
    pub(super) cause: Cause,
}

/// The days on which a piece of work is in good time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Window {
    pub(super) due: NaiveDate,
    pub(super) until: NaiveDate,
}

impl Window {
    /// Not before a day; it stays as long as it was.
    pub(super) fn not_before(self, day: NaiveDate) -> Window {
        let days = (day - self.due).num_days().max(0);
        Window { due: shift(self.due, days), until: shift(self.until, days) }
    }
}

/// The first day on which work was late. What was in good time until yesterday is not called late today.
pub(super) fn overdue_since(window: Window, today: NaiveDate) -> Option<NaiveDate> {
    let late = shift(window.until, 1);
    (late < today).then_some(late)
}

/// A task before it is put on its day.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    pub(super) rule: String,
    pub(super) from: Stage,
    pub(super) number: u32,
    pub(super) job: Job,
    pub(super) with: Option<String>,
    pub(super) purpose: Option<Purpose>,
    pub(super) window: Window,
    pub(super) why: Why,
    pub(super) reason: Option<String>,
    pub(super) caution: Option<String>,
    pub(super) cause: Cause,
}

impl Draft {
    /// Work that follows from the plan, not from a rule of the crop sheet: the first time of it.
    pub(super) fn of_plan(job: Job, window: Window, why: Why, cause: Cause) -> Draft {
        Draft {
            rule: job.word().to_owned(),
            from: Stage::Intended,
            number: 1,
            job,
            with: None,
            purpose: None,
            window,
            why,
            reason: None,
            caution: None,
            cause,
        }
    }
}

impl<'a> Outlook<'a> {
    pub(super) fn of(prospect: &'a Prospect<'_>, id: PlantingId) -> Outlook<'a> {
        let (garden, plan) = (prospect.garden(), prospect.plan_of(id));
        let course = Course::of(garden, prospect.conditions, id, plan);
        Outlook { course, dates: &prospect.stages[id.0] }
    }

    pub(super) fn today(&self) -> NaiveDate {
        self.course.today()
    }

    pub(super) fn garden(&self) -> &'a Garden {
        self.course.garden
    }

    /// Whether a rule of its sheet asks for its work.
    pub(super) fn turns_on(&self, rule: &CareRule) -> bool {
        self.garden().switches.turns_on(self.course.planting.crop, rule)
    }

    /// Whether a kind of work is asked for, of its crop.
    pub(super) fn asks_for(&self, job: &Job) -> bool {
        self.garden().switches.asks_for(Some(self.course.planting.crop), job)
    }

    /// What is known of a milestone that came or may still come.
    pub(super) fn of_milestone(&self, what: Milestone) -> Option<StageDates> {
        self.dates.iter().find(|dates| dates.what == what).copied()
    }

    /// Whether a stage or a later one was reached.
    pub(super) fn has_reached(&self, stage: Stage) -> bool {
        self.reached(stage).is_some()
    }

    /// When a stage or a later one came, else when it is taken to come.
    pub(super) fn when(&self, stage: Stage) -> Option<Moment> {
        let in_place = self.grown_in_place(stage);
        let known =
            self.reached(stage).or_else(|| in_place.is_none().then(|| self.coming(stage))?);
        match (known, in_place) {
            (Some(known), Some(other)) if known.date <= other.date => Some(known),
            (known, other) => other.or(known),
        }
    }

    /// The first step to a stage or a later one, in this round.
    fn reached(&self, stage: Stage) -> Option<Moment> {
        let rank = |stage| self.course.rank(Milestone::Stage(stage));
        let planting = self.course.planting;
        let found = planting.history.iter().find_map(|step| match step.what {
            Happening::Reached(reached) if rank(reached) >= rank(stage) => {
                let is_kept = rank(stage) <= rank(Stage::PlantedOut);
                (is_kept || self.course.is_this_round(step.date)).then_some((reached, step))
            }
            _ => None,
        });
        let (reached, step) = found?;
        let date = self.start_of_round(step.date);
        let why = Why::Reached(reached.settled(), step.date);
        Some(Moment {
            date,
            is_expected: false,
            why,
            cause: self.cause_of(&step.source, step.date),
        })
    }

    /// What was set out in an earlier season starts its year when growth does.
    fn start_of_round(&self, date: NaiveDate) -> NaiveDate {
        if self.course.is_this_round(date) {
            return date;
        }
        self.growing_from(self.garden().season().days.from)
    }

    /// Seed that is sown where it grows is never set out: it counts as set out when it has the age at
    /// which it would be, or has come up.
    fn grown_in_place(&self, stage: Stage) -> Option<Moment> {
        let is_moving = (Stage::PrickedOut..=Stage::PlantedOut).contains(&stage);
        if self.course.beginning != Beginning::Direct || !is_moving {
            return None;
        }
        let up = self.reached(Stage::Emerged).or_else(|| self.coming(Stage::Emerged))?;
        let sheet = self.course.sheet();
        let older = sheet
            .under_cover
            .zip(sheet.germination_days)
            .map_or(0, |(cover, seed)| (i64::from(cover.low.0) - i64::from(seed.high.0)).max(0));
        Some(Moment { date: shift(up.date, older), ..up })
    }

    /// When a stage that has not come is taken to come.
    fn coming(&self, stage: Stage) -> Option<Moment> {
        let rank = |what| self.course.rank(what);
        let coming = self.dates.iter().filter(|dates| dates.actual.is_none());
        coming
            .filter(|dates| dates.what != Milestone::FirstHarvest)
            .filter(|dates| rank(dates.what) >= rank(Milestone::Stage(stage)))
            .find_map(|dates| self.expected(dates.what, dates.expected?))
    }

    /// A stage that comes by itself is taken to come in the middle of its range, at its end once the
    /// middle has passed, and to have come then if nobody noted it. Work is never taken as done, but put off.
    fn expected(&self, what: Milestone, range: Period) -> Option<Moment> {
        let middle = shift(range.from, (range.to - range.from).num_days() / 2);
        let today = self.today();
        let date = if middle > today { middle } else { range.to };
        let date = if what.is_work() { put_off(date, shift(today, 1)) } else { date };
        let mut cause = self.newest_step();
        for day in [middle, range.to].into_iter().filter(|day| *day <= today) {
            cause = cause.not_before(day);
        }
        Some(Moment { date, is_expected: true, why: Why::Expected(what, date), cause })
    }

    /// The newest that was noted of its stages, else its own line in the journal.
    pub(super) fn newest_step(&self) -> Cause {
        let planting = self.course.planting;
        let noted = self.cause_of(&planting.source, planting.noted);
        let is_stage = |step: &&Step| matches!(step.what, Happening::Reached(_));
        let steps = planting.history.iter().filter(is_stage);
        steps.map(|step| self.cause_of(&step.source, step.date)).fold(noted, Cause::newest)
    }

    /// A line of the journal as a cause: what became known with its entry cannot be older than that.
    pub(super) fn cause_of(&self, source: &Source, date: NaiveDate) -> Cause {
        let written = source.entry.map_or(date, |entry| self.garden().entry(entry).date);
        Cause { date: written.max(date), entry: source.entry }
    }

    /// A task on its day: what has been open since an earlier day stands on the garden's.
    pub(super) fn task(&self, draft: Draft) -> Task {
        let today = self.today();
        let Window { due, until } = draft.window;
        let day = due.max(today);
        let is_open = due < today;
        let named = |sheet: &MixSheet| sheet.name.value.clone();
        let cause = if is_open { draft.cause.not_before(today) } else { draft.cause };
        let mut cautions = cautions::of(self, &draft.job, draft.with.as_deref(), day);
        cautions.extend(draft.caution.map(Caution::Sheet));
        Task {
            key: TaskKey {
                planting: Some(self.course.id),
                place: None,
                rule: draft.rule,
                from: draft.from,
                number: draft.number,
            },
            notes: cautions::notes(self, &draft.job, day),
            refill: None,
            job: draft.job,
            with: draft.with.map(|with| mixes::find(self.garden(), &with).map_or(with, named)),
            purpose: draft.purpose,
            due: day,
            until: Some(until),
            overdue_since: overdue_since(draft.window, today),
            why: draft.why,
            reason: draft.reason,
            cautions,
            is_while_away: away::on(&self.garden().settings, day).is_some(),
            cause: Cause { date: cause.date.min(today), ..cause },
            seeds: None,
        }
    }

    /// A day of the plan that has come is a cause of its own.
    pub(super) fn plan_cause(&self, cause: Cause, due: NaiveDate) -> Cause {
        if due <= self.today() { cause.not_before(due) } else { cause }
    }

    /// The place where it crops: where it stands, or is meant to be set out.
    pub(super) fn place_to_crop(&self) -> Option<&'a Place> {
        let meant = self.course.planting.destined.filter(|_| !self.has_reached(Stage::PlantedOut));
        meant.or_else(|| self.course.place_now()).map(|id| self.garden().place(id))
    }

    /// The stage it will be in on a day, as far as it can be told.
    pub(super) fn stage_on(&self, day: NaiveDate) -> Stage {
        let now = self.course.stage();
        let coming = self.dates.iter().filter(|dates| dates.actual.is_none());
        let later = coming.filter_map(|dates| match dates.what {
            Milestone::Stage(stage) => {
                let moment = self.expected(dates.what, dates.expected?)?;
                (moment.date <= day).then_some(stage)
            }
            Milestone::FirstHarvest => None,
        });
        later.fold(now, Stage::max)
    }
}
