//! Weeding, by place: who kneels at a bed weeds all of it.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::tasks::doings::is_skipped;
use crate::care::tasks::model::{Cause, Task, TaskKey, Why};
use crate::care::tasks::outlook::{Outlook, Window, overdue_since};
use crate::care::tasks::{away, rules};
use crate::catalogue::{CareRule, Repeat};
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::CareRecord;
use crate::jobs::Job;
use crate::stage::Stage;
use crate::units::{Days, Range};

/// A planting that wants its place weeded: from when, until when, how often.
struct Want<'a> {
    outlook: &'a Outlook<'a>,
    rule: &'a CareRule,
    first: Window,
    until: Option<NaiveDate>,
    every: Range<Days>,
    why: Why,
    cause: Cause,
}

/// Whether a rule is told by its place, and not by its planting.
pub(super) fn is_by_place(outlook: &Outlook<'_>, rule: &CareRule) -> bool {
    let is_repeated = matches!(rule.repeat, Repeat::Every(_));
    let has_place = !outlook.course.planting.places_on(outlook.today()).is_empty();
    rule.task.value == Job::Weed && is_repeated && has_place
}

/// The weedings of all places, until a day.
pub(super) fn of_garden(outlooks: &[Outlook<'_>], last_day: NaiveDate) -> Vec<Task> {
    let mut places: BTreeMap<PlaceId, Vec<Want<'_>>> = BTreeMap::new();
    for outlook in outlooks.iter().filter(|outlook| outlook.course.planting.begun().is_some()) {
        let Some(place) = place_of(outlook) else { continue };
        for rule in rules::that_hold(outlook).filter(|rule| is_by_place(outlook, rule)) {
            places.entry(place).or_default().extend(want(outlook, rule));
        }
    }
    places.iter().flat_map(|(place, wants)| of_place(*place, wants, last_day)).collect()
}

/// Where it crops; nothing while it is raised elsewhere.
fn place_of(outlook: &Outlook<'_>) -> Option<PlaceId> {
    if outlook.course.is_raised() && !outlook.has_reached(Stage::PlantedOut) {
        return None;
    }
    outlook.course.planting.places_on(outlook.today()).first().copied()
}

fn want<'a>(outlook: &'a Outlook<'a>, rule: &'a CareRule) -> Option<Want<'a>> {
    let Repeat::Every(every) = rule.repeat else { return None };
    let start = rules::start_of(outlook, rule)?;
    let until = rules::end_of(outlook, rule);
    if until.is_some_and(|until| until <= outlook.today()) || outlook.has_reached(rule.until) {
        return None;
    }
    let first = rules::first_time(rule, &start);
    Some(Want { outlook, rule, first, until, every, why: start.why, cause: start.cause })
}

/// The bed is weeded as often as the most wanting of its plantings asks.
fn of_place(place: PlaceId, wants: &[Want<'_>], last_day: NaiveDate) -> Vec<Task> {
    let Some(soonest) = wants.iter().min_by_key(|want| want.first.due) else { return Vec::new() };
    let outlook = soonest.outlook;
    let done: Vec<&CareRecord> = weedings(outlook, place, wants);
    let mut days: Vec<NaiveDate> = done.iter().map(|care| care.date).collect();
    days.dedup();
    let every = |day: NaiveDate| {
        let growing = wants.iter().filter(|want| want.until.is_none_or(|until| day < until));
        growing.map(|want| want.every).min_by_key(|every| (every.low.0, every.high.0))
    };
    let (mut window, mut why, mut cause) = (soonest.first, soonest.why, soonest.cause);
    if let Some(last) = done.last()
        && let Some(every) = every(outlook.today())
    {
        window = rules::later(last.date, every).not_before(soonest.first.due);
        why = Why::LastDone(last.date);
        cause = cause.newest(outlook.cause_of(&last.source, last.date));
    }
    let reason = wants.iter().map(|want| &want.rule.why).next().cloned().flatten();
    let is_shared = wants.iter().all(|want| want.rule.why == reason);
    let mut tasks = Vec::new();
    let mut number = u32::try_from(days.len()).unwrap_or(u32::MAX - 1).saturating_add(1);
    window = outlook.while_growing(window);
    if let Some(every) = every(window.due) {
        number = number.saturating_add(rules::passed_over(window, every, outlook.today()));
    }
    while window.due <= last_day {
        let Some(every) = every(window.due) else { break };
        let key = TaskKey {
            planting: None,
            place: Some(place),
            rule: Job::Weed.word().to_owned(),
            from: Stage::Intended,
            number,
        };
        let reason = reason.clone().filter(|_| is_shared);
        let task = task(outlook, key, window, why, cause, reason);
        cause = task.cause;
        tasks.push(task);
        window = outlook.while_growing(rules::ahead(window, every, outlook.today()));
        number = number.saturating_add(1);
    }
    tasks
}

/// Work noted for the place, or for a planting that stood there, and times that were skipped.
fn weedings<'a>(outlook: &Outlook<'a>, place: PlaceId, wants: &[Want<'_>]) -> Vec<&'a CareRecord> {
    let garden = outlook.garden();
    let is_here = |care: &&CareRecord| {
        let stood = |id: &PlantingId| garden.planting(*id).places_on(care.date).contains(&place);
        care.about.places.contains(&place) || care.about.plantings.iter().any(stood)
    };
    let is_weeding = |care: &&CareRecord| {
        let is_rule = |want: &Want<'_>| is_skipped(care, &want.rule.id, &Job::Weed);
        care.did == Job::Weed || wants.iter().any(is_rule)
    };
    garden.care.iter().filter(is_weeding).filter(is_here).collect()
}

fn task(
    outlook: &Outlook<'_>,
    key: TaskKey,
    window: Window,
    why: Why,
    cause: Cause,
    reason: Option<String>,
) -> Task {
    let today = outlook.today();
    let day = window.due.max(today);
    let cause = if window.due < today { cause.not_before(today) } else { cause };
    Task {
        key,
        job: Job::Weed,
        with: None,
        purpose: None,
        due: day,
        until: Some(window.until),
        overdue_since: overdue_since(window, today),
        why,
        reason,
        notes: Vec::new(),
        refill: None,
        seeds: None,
        cautions: Vec::new(),
        is_while_away: away::on(&outlook.garden().settings, day).is_some(),
        cause: Cause { date: cause.date.min(today), ..cause },
    }
}
