//! One-off tasks of the plan: sow, prick out, harden off, plant out.

use chrono::NaiveDate;

use crate::care::tasks::doings;
use crate::care::tasks::model::{Cause, Task, Why};
use crate::care::tasks::outlook::{Draft, Outlook, Window};
use crate::care::tasks::rules::WEEK_DAYS;
use crate::dates::shift;
use crate::garden::planting::{PlantingId, Way};
use crate::jobs::Job;
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::stages::course::Beginning;

/// A sowing of a succession that is so late is given up. Common practice, no source.
const GIVEN_UP_DAYS: i64 = 28;

/// Plants get used to outdoor air for a week at least. Common practice, no source.
const HARDENING_DAYS: i64 = 7;

/// The steps on the way of a planting to its place, until a day.
pub(super) fn of_planting(outlook: &Outlook<'_>, last_day: NaiveDate) -> Vec<Task> {
    let mut tasks = Vec::new();
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
    let has_rule = rules.iter().any(|rule| rule.task.value == job && !rule.is_off);
    (!has_rule).then(|| {
        outlook.task(Draft {
            rule: job.word().to_owned(),
            from: Stage::Intended,
            number,
            job,
            with: None,
            window,
            why,
            reason: None,
            caution: None,
            cause,
        })
    })
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
    let before = planting.sow_on.and_then(|day| sowing_before(outlook, day));
    if is_given_up(outlook) {
        return None;
    }
    let until = planting.sow_on.map_or(period.to, |day| shift(day, WEEK_DAYS));
    let window = Window { due: period.from, until };
    let cause = plan_cause(outlook, outlook.newest_step(), window.due);
    planned(outlook, Job::Sow, 1, window, before.map_or(Why::Season, Why::Succession), cause)
}

/// The later sowings of a succession have the id of the first with a number behind it.
fn neighbour(outlook: &Outlook<'_>, step: i64) -> Option<PlantingId> {
    let (stem, number) = outlook.course.planting.id.rsplit_once('-')?;
    let number: i64 = number.parse().ok()?;
    let wanted = match number.checked_add(step)? {
        1 => stem.to_owned(),
        number => format!("{stem}-{number}"),
    };
    outlook.garden().plantings().find(|(_, other)| other.id == wanted).map(|(id, _)| id)
}

fn sowing_before(outlook: &Outlook<'_>, day: NaiveDate) -> Option<NaiveDate> {
    let before = outlook.garden().planting(neighbour(outlook, -1)?);
    before.begun().or(before.sow_on).filter(|before| *before < day)
}

/// A missed sowing of a succession is given up when the next one is due or has been made, and after four
/// weeks.
fn is_given_up(outlook: &Outlook<'_>) -> bool {
    let planting = outlook.course.planting;
    let is_open = planting.way == Way::Intended && !outlook.has_reached(Stage::Sown);
    let Some(period) = outlook.course.plan.sow else { return false };
    if !is_open || planting.sow_on.is_none() {
        return false;
    }
    let today = outlook.today();
    let next = neighbour(outlook, 1).map(|id| outlook.garden().planting(id));
    let is_next_due = next.is_some_and(|next| {
        next.begun().is_some() || next.sow_on.is_some_and(|next| next <= today)
    });
    is_next_due || shift(period.to, GIVEN_UP_DAYS) < today
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
    // What will not be sown any more will not be set out either.
    if is_given_up(outlook) {
        return None;
    }
    let what = Milestone::Stage(stage);
    let expected = outlook.of_milestone(what)?.expected?;
    let mut window = Window { due: expected.from, until: expected.to };
    if stage == Stage::PlantedOut
        && let Some(hardens) = outlook.hardens_from()
    {
        window = window.not_before(shift(hardens, HARDENING_DAYS));
    }
    let (why, cause) = match before(outlook, stage) {
        Some((before, day, cause)) => (Why::Reached(before, day), cause),
        None if course.planting.way == Way::Intended => (Why::Season, outlook.newest_step()),
        None => (Why::Expected(what, expected.from), outlook.newest_step()),
    };
    planned(outlook, job, 1, window, why, plan_cause(outlook, cause, window.due))
}

impl Outlook<'_> {
    /// The day on which a step was or will be done, today at the earliest.
    pub(super) fn step_day(&self, stage: Stage) -> Option<NaiveDate> {
        if let Some(day) = self.course.planting.reached(stage) {
            return Some(day);
        }
        let expected = self.of_milestone(Milestone::Stage(stage))?.expected?;
        let gap = self.hardens_from().filter(|_| stage == Stage::PlantedOut);
        let gap = gap.map(|day| shift(day, HARDENING_DAYS));
        Some(expected.from.max(self.today()).max(gap.unwrap_or(expected.from)))
    }

    /// The day from which what was not hardened off yet can be.
    fn hardens_from(&self) -> Option<NaiveDate> {
        let coming = self.of_milestone(Milestone::Stage(Stage::HardeningOff))?;
        let is_open = coming.actual.is_none() && !is_skipped(self, &Job::HardenOff);
        coming.expected.filter(|_| is_open).map(|days| days.from.max(self.today()))
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

/// A day of the plan that has come is a cause of its own.
fn plan_cause(outlook: &Outlook<'_>, cause: Cause, due: NaiveDate) -> Cause {
    if due <= outlook.today() { cause.not_before(due) } else { cause }
}

fn is_skipped(outlook: &Outlook<'_>, job: &Job) -> bool {
    !doings::of(outlook, job.word(), job, None).is_empty()
}
