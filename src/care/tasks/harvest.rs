//! Looking for harvest, and clearing when it is over.

use chrono::NaiveDate;

use crate::care::manure;
use crate::care::tasks::doings;
use crate::care::tasks::model::{Cause, Caution, Task, Why};
use crate::care::tasks::outlook::{Outlook, Window};
use crate::care::tasks::rules::{ahead, passed_over};
use crate::care::tasks::steps::planned;
use crate::care::tasks::visits::{self, Visit};
use crate::dates::shift;
use crate::jobs::Job;
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::units::{Days, Range};

/// What is not ripe yet is looked at again after a week. Common practice, no source.
const LOOK_AGAIN_DAYS: i64 = 7;
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

/// A crop picked over and over is looked at, at its interval, from its expected first harvest until its
/// season is over and nothing is picked any more; one that is lifted when it is ripe, until that is done.
fn looks(outlook: &Outlook<'_>, last_day: NaiveDate) -> Vec<Task> {
    let visits = visits::of(outlook);
    let every = outlook.course.sheet().picking_every;
    let Some((window, why, mut cause)) = next_look(outlook, &visits) else { return Vec::new() };
    let (window, why) = before_frost(outlook, &visits, window, why);
    let is_out = !outlook.course.is_raised()
        || outlook.has_reached(Stage::PlantedOut)
        || visits.iter().any(|visit| visit.is_picking);
    let season_end = outlook.season_end();
    let is_late = |end| is_over(outlook, end, outlook.today());
    if !is_out || outlook.spent_since().is_some() || season_end.is_some_and(is_late) {
        return Vec::new();
    }
    let mut tasks = Vec::new();
    let mut number = u32::try_from(visits.len()).unwrap_or(u32::MAX - 1).saturating_add(1);
    let (mut window, waits) = held_back(outlook, window, &mut cause);
    if let Some(every) = every {
        number = number.saturating_add(passed_over(window, every, outlook.today()));
    }
    let end = season_end.map_or(last_day, |end| end.max(outlook.today()).min(last_day));
    // What is to be cleared is not looked at on the same day.
    let cleared = outlook.clear_day().map(|day| day.max(outlook.today()));
    while window.due.max(outlook.today()) <= end
        && cleared.is_none_or(|day| window.due.max(outlook.today()) < day)
    {
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
        task.cautions.extend(raw_manure(outlook, task.due));
        task.reason = outlook.course.sheet().ripe_when.clone();
        cause = task.cause;
        tasks.push(task);
        let Some(every) = every else { break };
        window = ahead(window, every, outlook.today());
        number = number.saturating_add(1);
    }
    tasks
}

/// When to look next: after a picking at the crop's interval, and later after a look in vain.
fn next_look(outlook: &Outlook<'_>, visits: &[Visit]) -> Option<(Window, Why, Cause)> {
    let every = outlook.course.sheet().picking_every;
    let this_round = || visits.iter().filter(|visit| outlook.course.is_this_round(visit.date));
    let was_picked = this_round().any(|visit| visit.is_picking);
    let Some(last) = this_round().next_back() else {
        let first = outlook.of_milestone(Milestone::FirstHarvest)?.expected?;
        let why = Why::Expected(Milestone::FirstHarvest, first.from);
        let window = Window { due: first.from, until: first.to };
        return Some((window, why, outlook.newest_step()));
    };
    let window = match (was_picked, last.is_picking, every) {
        (true, _, Some(every)) => later(last.date, every),
        (true, _, None) => last_lifting(outlook, last.date)?,
        (false, _, _) => {
            let low = every.map_or(0, |every| i64::from(every.low.0)).max(LOOK_AGAIN_DAYS);
            Window { due: shift(last.date, low), until: shift(last.date, low + LOOK_AGAIN_DAYS) }
        }
    };
    Some((window, Why::LastDone(last.date), last.cause))
}

/// What frost would spoil is lifted in the week before it may come.
fn before_frost(
    outlook: &Outlook<'_>,
    visits: &[Visit],
    window: Window,
    why: Why,
) -> (Window, Why) {
    let was_lifted = visits.iter().any(|visit| visit.is_picking);
    let Some(frost) = outlook.lift_before().filter(|_| !was_lifted) else { return (window, why) };
    let due = shift(frost, -LOOK_AGAIN_DAYS);
    let is_asked = visits.last().is_some_and(|visit| visit.date >= due);
    if window.until < due || is_asked {
        return (window, why);
    }
    (Window { due: window.due.min(due), until: shift(frost, -1) }, Why::FrostFrom(frost))
}

/// What is lifted bit by bit is asked for once more before its season is over.
fn last_lifting(outlook: &Outlook<'_>, last: NaiveDate) -> Option<Window> {
    let until = outlook.clear_day().or(outlook.season_end())?;
    let due = shift(until, -CLEAR_WITHIN_DAYS);
    (due > shift(last, LOOK_AGAIN_DAYS)).then_some(Window { due, until: shift(until, -1) })
}

/// After its season a crop is still looked at while it goes on bearing.
fn is_over(outlook: &Outlook<'_>, end: NaiveDate, today: NaiveDate) -> bool {
    let last = outlook.course.pickings().rfind(|day| outlook.course.is_this_round(*day));
    let still_bears = last.is_some_and(|day| outlook.bears_until(day) >= today);
    let may_come = last.is_none() && !outlook.course.is_perennial();
    end < today && !still_bears && !may_come
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
fn raw_manure(outlook: &Outlook<'_>, day: NaiveDate) -> Option<Caution> {
    let garden = outlook.garden();
    let raw = outlook.care().filter(|care| manure::is_raw(garden, care.with.as_deref()));
    let given = raw.map(|care| care.date);
    let newest = given.max()?;
    ((day - newest).num_days() < MANURE_DAYS).then_some(Caution::Manure(Some(newest)))
}

/// When the harvest has lasted as long as the sheet lets it, and nothing was picked for two intervals; when nothing is
/// found any more; when frost has killed it.
fn clear(outlook: &Outlook<'_>) -> Option<Task> {
    let is_skipped = !doings::of(outlook, &Job::Clear).is_empty();
    if is_skipped {
        return None;
    }
    let due = outlook.clear_day()?;
    let window = Window { due, until: shift(due, CLEAR_WITHIN_DAYS) };
    let mut cause = outlook.newest_step();
    if let Some(visit) = visits::of(outlook).last() {
        cause = cause.newest(visit.cause);
    }
    if due <= outlook.today() {
        cause = cause.not_before(due);
    }
    let why = Why::Expected(Milestone::Stage(Stage::Finished), due);
    planned(outlook, Job::Clear, 1, window, why, cause)
}

/// In the later half of the interval: who looks at its first day finds every other time nothing (common practice, no
/// source).
fn later(from: NaiveDate, every: Range<Days>) -> Window {
    let (low, high) = (i64::from(every.low.0).max(1), i64::from(every.high.0));
    let high = high.max(low);
    Window { due: shift(from, (low + high + 1) / 2), until: shift(from, high) }
}
