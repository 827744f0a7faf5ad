//! Looking for harvest, and clearing when it is over.

use chrono::NaiveDate;

use crate::care::tasks::doings;
use crate::care::tasks::model::{Cause, Caution, Task, Why};
use crate::care::tasks::outlook::{Outlook, Window};
use crate::care::tasks::rules::ahead;
use crate::care::tasks::steps::planned;
use crate::dates::{Period, shift};
use crate::jobs::Job;
use crate::names::folded;
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::units::{Days, Range};

/// A bed that is done is cleared within two weeks. Common practice, no source.
const CLEAR_WITHIN_DAYS: i64 = 14;
/// Raw manure and a harvest of what touches the soil (7 CFR 205.203(c)(1)).
const MANURE_DAYS: i64 = 120;

/// The tasks around the harvest of a planting, until a day.
pub(super) fn of_planting(outlook: &Outlook<'_>, last_day: NaiveDate) -> Vec<Task> {
    let mut tasks = looks(outlook, last_day);
    tasks.extend(clear(outlook));
    tasks.retain(|task| task.due <= last_day);
    tasks
}

/// A picking, or a look that was skipped.
#[derive(Clone, Copy, Debug)]
struct Visit {
    date: NaiveDate,
    cause: Cause,
}

/// A crop picked over and over is looked at, at its interval, from its expected first harvest until its
/// season is over and nothing is picked any more; one that is lifted when it is ripe, once.
fn looks(outlook: &Outlook<'_>, last_day: NaiveDate) -> Vec<Task> {
    let visits = visits(outlook);
    let every = outlook.course.sheet().picking_every;
    let this_round = visits.iter().rev().find(|visit| outlook.course.is_this_round(visit.date));
    let first = outlook.of_milestone(Milestone::FirstHarvest).and_then(|dates| dates.expected);
    let (window, why, mut cause) = match (this_round, every, first) {
        (Some(_), None, _) => return Vec::new(),
        (Some(visit), Some(every), _) => {
            let why = Why::LastDone(visit.date);
            (later(visit.date, every), why, visit.cause)
        }
        (None, _, Some(first)) => {
            let why = Why::Expected(Milestone::FirstHarvest, first.from);
            let window = Window { due: first.from, until: first.to };
            (window, why, outlook.newest_step())
        }
        (None, _, None) => return Vec::new(),
    };
    let season_end = season_end(outlook);
    if season_end.is_some_and(|end| is_over(outlook, end)) {
        return Vec::new();
    }
    let mut tasks = Vec::new();
    let mut number = u32::try_from(visits.len()).unwrap_or(u32::MAX - 1).saturating_add(1);
    let (mut window, waits) = held_back(outlook, window, &mut cause);
    let end = season_end.map_or(last_day, |end| end.max(outlook.today()).min(last_day));
    while window.due <= end {
        if window.due <= outlook.today() {
            cause = cause.not_before(window.due);
        }
        let Some(mut task) = planned(outlook, Job::LookForHarvest, number, window, why, cause)
        else {
            break;
        };
        if let Some(waits) = waits.clone().filter(|_| tasks.is_empty()) {
            task.cautions.insert(0, waits);
        }
        task.cautions.extend(manure(outlook, task.due));
        cause = task.cause;
        tasks.push(task);
        let Some(every) = every else { break };
        let passed_over;
        (window, passed_over) = ahead(window, every, outlook.today());
        number = number.saturating_add(passed_over).saturating_add(1);
    }
    tasks
}

/// After its season a crop is still looked at while it goes on bearing: until two intervals pass without
/// a picking.
fn is_over(outlook: &Outlook<'_>, end: NaiveDate) -> bool {
    let today = outlook.today();
    let last = outlook.course.pickings().rfind(|day| outlook.course.is_this_round(*day));
    let still_bears = last.is_some_and(|day| still_bearing_until(outlook, day) >= today);
    end < today && !still_bears && last.is_some()
}

fn still_bearing_until(outlook: &Outlook<'_>, last: NaiveDate) -> NaiveDate {
    let every = outlook.course.sheet().picking_every;
    shift(last, every.map_or(0, |every| i64::from(every.high.0).saturating_mul(2)))
}

/// When picking is expected to end, counted from the first picking if there was one.
fn season_end(outlook: &Outlook<'_>) -> Option<NaiveDate> {
    let end = outlook.of_milestone(Milestone::Stage(Stage::Finished));
    if let Some(period) = end.and_then(|end| end.expected) {
        return Some(period.to);
    }
    let lasts = outlook.course.sheet().harvest_lasts?;
    let first = outlook.of_milestone(Milestone::FirstHarvest)?;
    let first = first.actual.or(first.expected.map(|period| period.to))?;
    Some(shift(first, i64::from(lasts.high.0)))
}

/// A treatment holds the harvest back until its wait is over.
fn held_back(
    outlook: &Outlook<'_>,
    window: Window,
    cause: &mut Cause,
) -> (Window, Option<Caution>) {
    let waits = outlook.care().filter_map(|care| {
        let wait = i64::from(care.wait_days.filter(|_| care.did == Job::Treat)?);
        Some((shift(care.date, wait), care))
    });
    let today = outlook.today();
    let longest = waits.max_by_key(|(until, care)| (*until, care.date));
    match longest.filter(|(until, _)| *until > window.due.max(today)) {
        Some((until, care)) => {
            *cause = cause.newest(outlook.cause_of(&care.source, care.date));
            (window.not_before(until), Some(Caution::WaitUntil(until, care.date)))
        }
        None => (window, None),
    }
}

/// Raw manure given less than 120 days before.
fn manure(outlook: &Outlook<'_>, day: NaiveDate) -> Option<Caution> {
    let is_manure =
        |with: &Option<String>| with.as_ref().is_some_and(|with| folded(with).contains("manure"));
    let given = outlook.care().filter(|care| is_manure(&care.with)).map(|care| care.date);
    let newest = given.max()?;
    ((day - newest).num_days() < MANURE_DAYS).then_some(Caution::Manure(Some(newest)))
}

/// Pickings and skipped looks, oldest first, a day counted once.
fn visits(outlook: &Outlook<'_>) -> Vec<Visit> {
    let harvests = outlook.garden().harvests_of(outlook.course.id);
    let mut visits: Vec<Visit> = harvests
        .map(|line| Visit { date: line.date, cause: outlook.cause_of(&line.source, line.date) })
        .collect();
    let skipped = doings::of(outlook, Job::LookForHarvest.word(), &Job::LookForHarvest, None);
    visits.extend(skipped.iter().map(|skip| Visit { date: skip.date, cause: skip.cause }));
    visits.sort_by_key(|visit| visit.date);
    visits.dedup_by(|later, first| {
        let is_one_day = later.date == first.date;
        if is_one_day {
            first.cause = first.cause.newest(later.cause);
        }
        is_one_day
    });
    visits
}

/// When the harvest has lasted as long as the sheet lets it, and nothing was picked for two intervals.
fn clear(outlook: &Outlook<'_>) -> Option<Task> {
    let is_skipped = !doings::of(outlook, Job::Clear.word(), &Job::Clear, None).is_empty();
    if outlook.course.is_perennial() || is_skipped || outlook.course.planting.begun().is_none() {
        return None;
    }
    let Period { to, .. } = outlook.of_milestone(Milestone::Stage(Stage::Finished))?.expected?;
    let last = outlook.course.pickings().next_back();
    let due = last.map_or(to, |last| to.max(still_bearing_until(outlook, last)));
    let window = Window { due, until: shift(due, CLEAR_WITHIN_DAYS) };
    let mut cause = outlook.newest_step();
    if let Some(visit) = visits(outlook).last() {
        cause = cause.newest(visit.cause);
    }
    if due <= outlook.today() {
        cause = cause.not_before(due);
    }
    let why = Why::Expected(Milestone::Stage(Stage::Finished), due);
    planned(outlook, Job::Clear, 1, window, why, cause)
}

fn later(from: NaiveDate, days: Range<Days>) -> Window {
    let low = i64::from(days.low.0).max(1);
    Window { due: shift(from, low), until: shift(from, i64::from(days.high.0).max(low)) }
}
