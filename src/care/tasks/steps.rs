//! One-off tasks of the plan: sow, prick out, harden off, plant out.

use chrono::NaiveDate;

use crate::care::tasks::doings;
use crate::care::tasks::model::{Cause, Task, Why};
use crate::care::tasks::outlook::{Draft, Outlook, Window};
use crate::care::tasks::rules::WEEK_DAYS;
use crate::catalogue::traits::SeedTreatment;
use crate::dates::{put_off, shift};
use crate::garden::planting::Way;
use crate::jobs::Job;
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::stages::course::Beginning;

/// Seed is ordered so long before it is sown, and comes in so many days. Common practice, no source.
const ORDER_DAYS: i64 = 28;
const DELIVERY_DAYS: i64 = 7;
/// Seed potatoes stand in the light for four to six weeks. Common practice, no source.
const CHIT_DAYS: [i64; 2] = [42, 28];

/// Plants get used to outdoor air for a week at least. Common practice, no source.
const HARDENING_DAYS: i64 = 7;

/// The steps on the way of a planting to its place, until a day.
pub(super) fn of_planting(outlook: &Outlook<'_>, last_day: NaiveDate) -> Vec<Task> {
    let mut tasks = Vec::new();
    tasks.extend(order_seed(outlook));
    tasks.extend(chit(outlook));
    tasks.extend(sow(outlook));
    for (job, stage) in [
        (Job::PrickOut, Stage::PrickedOut),
        (Job::HardenOff, Stage::HardeningOff),
        (Job::PlantOut, Stage::PlantedOut),
    ] {
        tasks.extend(step(outlook, job, stage));
    }
    tasks.retain(|task| task.due <= last_day);
    tasks
}

/// The task of a job of the plan, unless the crop sheet has a rule of its own for it or the grower
/// skipped it.
pub(super) fn planned(
    outlook: &Outlook<'_>,
    job: Job,
    number: u32,
    window: Window,
    why: Why,
    cause: Cause,
) -> Option<Task> {
    let rules = outlook.course.sheet().care.as_deref().unwrap_or_default();
    let has_rule = rules.iter().any(|rule| rule.task.value == job && outlook.turns_on(rule));
    (!has_rule).then(|| outlook.task(Draft { number, ..Draft::of_plan(job, window, why, cause) }))
}

/// Seed that is meant to be sown; what is not sown from seed is set out instead.
fn sow(outlook: &Outlook<'_>) -> Option<Task> {
    let planting = outlook.course.planting;
    if planting.way != Way::Intended || outlook.has_reached(Stage::Sown) {
        return None;
    }
    if outlook.course.beginning == Beginning::SetOut || is_skipped(outlook, &Job::Sow) {
        return None;
    }
    let period = outlook.course.plan.sow?;
    let window = Window { due: period.from, until: period.to };
    let cause = outlook.plan_cause(outlook.newest_step(), window.due);
    let why = planting.succession.map_or(Why::Season, |own| Why::Succession(own.after));
    planned(outlook, Job::Sow, 1, window, why, cause)
}

/// Seed that is not in the house yet, in time for its sowing. A later sowing takes from the same packet.
fn order_seed(outlook: &Outlook<'_>) -> Option<Task> {
    let planting = outlook.course.planting;
    let is_meant = planting.way == Way::Intended && !outlook.has_reached(Stage::Sown);
    let has_seed = planting.seed.is_some() || planting.succession.is_some();
    let is_seed = outlook.course.beginning != Beginning::SetOut;
    if !is_meant || has_seed || !is_seed || is_skipped(outlook, &Job::OrderSeed) {
        return None;
    }
    let sow = outlook.course.plan.sow?.from;
    let window = Window { due: shift(sow, -ORDER_DAYS), until: shift(sow, -DELIVERY_DAYS) };
    // Once it is to be sown, seed is bought at the corner.
    if outlook.today() > window.until {
        return None;
    }
    let cause = outlook.plan_cause(outlook.newest_step(), window.due);
    planned(outlook, Job::OrderSeed, 1, window, Why::Season, cause)
}

/// Tubers that sprout in the light before they are planted.
fn chit(outlook: &Outlook<'_>) -> Option<Task> {
    let planting = outlook.course.planting;
    let treated = outlook.course.sheet().seed_treatment.as_deref().unwrap_or_default();
    let is_meant = planting.way == Way::Intended && outlook.course.beginning == Beginning::SetOut;
    let is_chitted = treated.contains(&SeedTreatment::Sprout);
    if !is_meant || !is_chitted || outlook.has_reached(Stage::PlantedOut) {
        return None;
    }
    if is_skipped(outlook, &Job::Chit) {
        return None;
    }
    let out = outlook.course.plan.plant_out?.from;
    let [first, last] = CHIT_DAYS.map(|days| shift(out, -days));
    // Too late to be of use is not asked for.
    if outlook.today() > shift(out, -WEEK_DAYS) {
        return None;
    }
    let cause = outlook.plan_cause(outlook.newest_step(), first);
    planned(outlook, Job::Chit, 1, Window { due: first, until: last }, Why::Season, cause)
}

/// A step that a stage marks: due in the range in which the stage is expected.
fn step(outlook: &Outlook<'_>, job: Job, stage: Stage) -> Option<Task> {
    let course = &outlook.course;
    let is_moving = course.is_raised() || course.beginning == Beginning::SetOut;
    let has_place = job != Job::PlantOut
        || course.planting.destined.is_some()
        || course.planting.way == Way::Intended;
    if !is_moving || !has_place || outlook.has_reached(stage) || is_skipped(outlook, &job) {
        return None;
    }
    let what = Milestone::Stage(stage);
    let expected = outlook.of_milestone(what)?.expected?;
    let mut window = Window { due: expected.from, until: expected.to };
    if stage == Stage::PlantedOut
        && let Some(hardens) = outlook.hardens_from()
    {
        window = window.not_before(shift(put_off(hardens, outlook.today()), HARDENING_DAYS));
    }
    let (why, cause) = match before(outlook, stage) {
        Some((before, day, cause)) => (Why::Reached(before, day), cause),
        None if course.planting.way == Way::Intended => (Why::Season, outlook.newest_step()),
        None => (Why::Expected(what, expected.from), outlook.newest_step()),
    };
    planned(outlook, job, 1, window, why, outlook.plan_cause(cause, window.due))
}

impl Outlook<'_> {
    /// The day on which a step was or can be done, today at the earliest.
    pub(super) fn step_day(&self, stage: Stage) -> Option<NaiveDate> {
        if let Some(day) = self.course.planting.reached(stage) {
            return Some(day);
        }
        let expected = self.of_milestone(Milestone::Stage(stage))?.expected?;
        let hardens = self.hardens_from().filter(|_| stage == Stage::PlantedOut);
        let hardened = hardens.map(|day| shift(day.max(self.today()), HARDENING_DAYS));
        Some(expected.from.max(self.today()).max(hardened.unwrap_or(expected.from)))
    }

    /// The day from which what was not hardened off yet is to be.
    fn hardens_from(&self) -> Option<NaiveDate> {
        let coming = self.of_milestone(Milestone::Stage(Stage::HardeningOff))?;
        let is_asked = !is_skipped(self, &Job::HardenOff) && self.asks_for(&Job::HardenOff);
        Some(coming.expected.filter(|_| coming.actual.is_none() && is_asked)?.from)
    }
}

/// The stage that a step is counted from, if it came.
fn before(outlook: &Outlook<'_>, stage: Stage) -> Option<(Stage, NaiveDate, Cause)> {
    let from = match stage {
        Stage::PrickedOut => Stage::Emerged,
        Stage::PlantedOut
            if outlook.course.actual(Milestone::Stage(Stage::HardeningOff)).is_some() =>
        {
            Stage::HardeningOff
        }
        Stage::PlantedOut => Stage::Sown,
        _ => return None,
    };
    let day = outlook.course.actual(Milestone::Stage(from))?;
    Some((from, day, outlook.newest_step()))
}

fn is_skipped(outlook: &Outlook<'_>, job: &Job) -> bool {
    !doings::of(outlook, job).is_empty()
}
