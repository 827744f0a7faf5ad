//! Tasks of a planting from the care rules of its crop sheet.
//!
//! A rule runs from its first stage until its last. It has at most one open time: as long as that is not
//! done no other piles up behind it, and the next is counted from the doing. Times that lie ahead are
//! laid out in the middle of the rule's range, and stay on their days while the open one waits.

use chrono::NaiveDate;

use crate::care::tasks::doings::{self, Doing};
use crate::care::tasks::feeding;
use crate::care::tasks::model::{Cause, Task, Why};
use crate::care::tasks::outlook::{Draft, Moment, Outlook, Window};
use crate::care::tasks::weeding;
use crate::catalogue::{CareRule, Purpose, Repeat};
use crate::dates::shift;
use crate::garden::place::Place;
use crate::jobs::Job;
use crate::stage::Stage;
use crate::stages::ROOTS_FILL_DAYS;
use crate::units::{Days, Range};

/// Work that is to be done once at a stage is in good time for a week. Common practice, no source.
pub(super) const WEEK_DAYS: i64 = 7;
/// Work that is done once is asked for so long after it was in good time; then it is too late for this year. Common
/// practice, no source.
const LAPSES_AFTER_DAYS: i64 = 28;
/// What came too late is told for two weeks.
const TOLD_FOR_DAYS: i64 = 14;
/// The built-in rule for side shoots, which only cordons lose.
const SIDE_SHOOTS: &str = "side-shoots";

/// The tasks of one planting that its rules ask for until a day.
pub(super) fn of_planting(outlook: &Outlook<'_>, last_day: NaiveDate) -> Vec<Task> {
    that_hold(outlook)
        .filter(|rule| !weeding::is_by_place(outlook, rule))
        .flat_map(|rule| times(outlook, rule, last_day))
        .collect()
}

/// The rules of its sheet that are on, and for plants like these.
pub(super) fn that_hold<'a>(outlook: &'a Outlook<'_>) -> impl Iterator<Item = &'a CareRule> {
    let rules = outlook.course.sheet().care.as_deref().unwrap_or_default();
    rules.iter().filter(|rule| is_for(outlook, rule))
}

/// Whether a rule is on, and for plants like these.
fn is_for(outlook: &Outlook<'_>, rule: &CareRule) -> bool {
    let sheet = outlook.course.sheet();
    let is_apt = match &rule.task.value {
        Job::PinchOut => match sheet.habit.as_deref() {
            Some(habit) => habit == "cordon",
            None => rule.id != SIDE_SHOOTS,
        },
        Job::Feed => {
            let is_legume = sheet.fixes_nitrogen == Some(true);
            let is_of_nitrogen = match rule.purpose {
                Some(purpose) => purpose == Purpose::Leaves,
                None => feeding::is_of_nitrogen(outlook.garden(), with_of(rule)),
            };
            !is_legume || !is_of_nitrogen
        }
        Job::PrickOut | Job::PotOn | Job::HardenOff => outlook.course.is_raised(),
        // What was raised elsewhere is set out at its distance (common practice, no source).
        Job::Thin => !outlook.course.is_raised(),
        Job::Pollinate => !needs_no_help(outlook),
        _ => true,
    };
    outlook.turns_on(rule) && is_apt
}

/// Flowers that set by themselves, where wind moves them.
fn needs_no_help(outlook: &Outlook<'_>) -> bool {
    let place = outlook.course.place_now().map(|id| outlook.garden().place(id));
    let is_self = outlook.course.sheet().flowers.as_deref() == Some("self");
    is_self && place.is_some_and(Place::is_outdoors)
}

/// Work on the ground around a plant, or on what it will lean on.
fn is_of_its_place(job: &Job) -> bool {
    matches!(
        job,
        Job::Weed
            | Job::Mulch
            | Job::EarthUp
            | Job::Support
            | Job::TieIn
            | Job::Cover
            | Job::Uncover
    )
}

/// Work that was to be done once, was not, and would come too late by now: told for some days after it lapsed.
pub(super) fn too_late(outlook: &Outlook<'_>) -> Vec<Task> {
    let today = outlook.today();
    let lapsed = |rule: &CareRule| {
        let Next { open, number } = next(outlook, rule)?;
        let end =
            end_of(outlook, rule).into_iter().chain([shift(lapses_on(open.window), 1)]).min()?;
        let is_told = open.window.due < end && end <= today && today < shift(end, TOLD_FOR_DAYS);
        is_told.then(|| outlook.task(draft(outlook, rule, &open, number)))
    };
    // Who went into the ground without a larger pot needs none any more.
    let is_of_the_year = |rule: &&CareRule| rule.task.value != Job::PotOn;
    let once = that_hold(outlook).filter(|rule| rule.repeat == Repeat::Once).filter(is_of_the_year);
    once.filter_map(lapsed).collect()
}

/// The open time of a rule and those that lie ahead, until a day or the end of the rule.
fn times(outlook: &Outlook<'_>, rule: &CareRule, last_day: NaiveDate) -> Vec<Task> {
    if outlook.has_reached(rule.until) {
        return Vec::new();
    }
    let end = end_of(outlook, rule);
    if end.is_some_and(|end| end <= outlook.today()) {
        return Vec::new();
    }
    let is_over = |day: NaiveDate| day > last_day || end.is_some_and(|end| day >= end);
    let Some(Next { mut open, mut number }) = next(outlook, rule) else { return Vec::new() };
    if rule.repeat == Repeat::Once && lapses_on(open.window) < outlook.today() {
        return Vec::new();
    }
    // Who goes into the ground within days is not potted on before.
    let out = outlook.step_day(Stage::PlantedOut).filter(|_| rule.task.value == Job::PotOn);
    if out.is_some_and(|out| out <= shift(open.window.due.max(outlook.today()), WEEK_DAYS)) {
        return Vec::new();
    }
    if let Repeat::Every(every) = rule.repeat {
        number = number.saturating_add(passed_over(open.window, every, outlook.today()));
    }
    let mut tasks = Vec::new();
    while !is_over(open.window.due) {
        let task = outlook.task(draft(outlook, rule, &open, number));
        // Those behind an open one move with it.
        open.cause = task.cause;
        tasks.push(task);
        let Repeat::Every(every) = rule.repeat else { break };
        open.window = rested(outlook, &rule.task.value, ahead(open.window, every, outlook.today()));
        number = number.saturating_add(1);
    }
    tasks
}

/// The time of a rule that is next, and its number.
struct Next {
    open: Open,
    number: u32,
}

/// When a rule asks for its work next; nothing while its start is not known, and of work that is done once, when it is.
fn next(outlook: &Outlook<'_>, rule: &CareRule) -> Option<Next> {
    let start = start_of(outlook, rule)?;
    let done = Done::of(outlook, rule, &start);
    if rule.repeat == Repeat::Once && done.last.is_some() {
        return None;
    }
    let mut next = open(outlook, rule, &start, &done);
    if let Some(placed) = placed_by(outlook, rule).filter(|placed| placed.date > next.window.due) {
        next.window = next.window.not_before(placed.date);
        next.why = placed.why;
        next.cause = next.cause.newest(placed.cause);
    }
    next.window = rested(outlook, &rule.task.value, next.window);
    Some(Next { open: next, number: done.times + 1 })
}

fn draft(outlook: &Outlook<'_>, rule: &CareRule, open: &Open, number: u32) -> Draft {
    let with = with_of(rule).map(str::to_owned);
    let with = with.or_else(|| feeding::product_for(outlook, rule.purpose?));
    Draft {
        rule: rule.id.clone(),
        from: rule.from,
        number,
        job: rule.task.value.clone(),
        purpose: rule.purpose.filter(|_| with.is_none()),
        with,
        window: open.window,
        why: open.why,
        reason: rule.why.clone(),
        caution: rule.caution.clone(),
        cause: open.cause,
    }
}

/// When a rule's first stage came, or is taken to come; nothing for work on the ground while nobody knows when the
/// plants will stand there.
pub(super) fn start_of(outlook: &Outlook<'_>, rule: &CareRule) -> Option<Moment> {
    let waits = outlook.course.is_raised() && is_of_its_place(&rule.task.value);
    if waits && placed_by(outlook, rule).is_none() {
        return None;
    }
    let begun = outlook.when(rule.from)?;
    match rule.when {
        Some(turn) => outlook.turn(turn),
        None => Some(begun),
    }
}

/// When raised plants come to the ground that the work is about.
fn placed_by(outlook: &Outlook<'_>, rule: &CareRule) -> Option<Moment> {
    let waits = outlook.course.is_raised() && is_of_its_place(&rule.task.value);
    outlook.when(Stage::PlantedOut).filter(|_| waits)
}

/// The first day on which a rule asks for nothing more.
pub(super) fn end_of(outlook: &Outlook<'_>, rule: &CareRule) -> Option<NaiveDate> {
    let stage = outlook.when(rule.until).filter(|_| rule.until != Stage::Finished);
    let done = match rule.task.value {
        Job::Feed => outlook.fed_until(),
        _ => outlook.tended_until(),
    };
    // What is to be done before something else is not done after it.
    let turn = rule.when.filter(|_| rule.before.is_some()).and_then(|turn| outlook.turn(turn));
    [stage.or(turn).map(|moment| moment.date), done].into_iter().flatten().min()
}

/// The last day on which work that is done once is asked for.
fn lapses_on(window: Window) -> NaiveDate {
    shift(window.until, LAPSES_AFTER_DAYS)
}

/// What belongs to growth waits while nothing grows.
fn rested(outlook: &Outlook<'_>, job: &Job, window: Window) -> Window {
    let is_of_growth = matches!(
        job,
        Job::Feed
            | Job::Weed
            | Job::PinchOut
            | Job::TieIn
            | Job::Pollinate
            | Job::EarthUp
            | Job::Thin
            | Job::Mulch
    );
    if !is_of_growth {
        return window;
    }
    outlook.while_growing(window)
}

/// What was done of a rule.
struct Done {
    /// How often, skipped ones too.
    times: u32,
    /// The newest that counts for the next.
    last: Option<Doing>,
}

impl Done {
    /// Since the rule's start; what names the rule's own feed or product counts even before, and so does
    /// all work while the start is only expected. A perennial counts on through its years, but last
    /// year's work does not put off this year's; only its supports stand.
    fn of(outlook: &Outlook<'_>, rule: &CareRule, start: &Moment) -> Done {
        let course = &outlook.course;
        let is_counted = |doing: &Doing| {
            let is_since = doing.date >= start.date || start.is_expected || doing.is_same;
            is_since || course.is_perennial()
        };
        let mut doings = doings::of_rule(outlook, rule);
        doings.retain(is_counted);
        let stays = rule.repeat == Repeat::Once && rule.task.value == Job::Support;
        let last = doings.iter().rev().find(|doing| stays || course.is_this_round(doing.date));
        Done { times: u32::try_from(doings.len()).unwrap_or(u32::MAX - 1), last: last.copied() }
    }
}

/// The time of a rule that is to be done next.
struct Open {
    window: Window,
    why: Why,
    cause: Cause,
}

fn open(outlook: &Outlook<'_>, rule: &CareRule, start: &Moment, done: &Done) -> Open {
    let first = first_time(rule, start);
    let mut open = Open { window: first, why: start.why, cause: start.cause };
    if let (Repeat::Every(every), Some(last)) = (rule.repeat, &done.last) {
        let next = later(last.date, every);
        if next.due > first.due {
            open.window = next;
            open.why = Why::LastDone(last.date);
        }
        open.cause = open.cause.newest(last.cause);
    }
    match rule.task.value {
        Job::Feed => put_off_feed(outlook, rule, start, done, open),
        Job::PotOn => {
            let pricked_out = outlook.step_day(Stage::PrickedOut);
            let earliest = pricked_out.map(|day| shift(day, ROOTS_FILL_DAYS));
            open.window = open.window.not_before(earliest.unwrap_or(open.window.due));
            open
        }
        _ => open,
    }
}

/// Fresh mix feeds by itself for a while, and a new kind of feed does not come on top of the old one.
fn put_off_feed(
    outlook: &Outlook<'_>,
    rule: &CareRule,
    start: &Moment,
    done: &Done,
    mut open: Open,
) -> Open {
    if let (Repeat::Every(every), None) = (rule.repeat, &done.last)
        && let Some(before) = feeding::last_before(outlook, start.date)
    {
        let earliest = later(before.date, every).due;
        if earliest > open.window.due {
            open.window = open.window.not_before(earliest);
            open.cause = open.cause.newest(before.cause);
        }
    }
    if let Some(fresh) = feeding::fresh_mix(outlook)
        && fresh.feeds_until > open.window.due
    {
        open.window = open.window.not_before(fresh.feeds_until);
        open.why = Why::FreshMix(fresh.date);
        open.cause = open.cause.newest(fresh.cause);
    }
    open
}

/// The first time: after the days the rule names; else at once where the stage itself asks for it, and
/// one interval later where something has to grow first (common practice, no source).
pub(super) fn first_time(rule: &CareRule, start: &Moment) -> Window {
    let from = start.date;
    if let Some(before) = rule.before {
        let (low, high) = (i64::from(before.low.0), i64::from(before.high.0));
        return Window { due: shift(from, -high.max(low)), until: shift(from, -low.min(high)) };
    }
    match (rule.after, rule.repeat) {
        (Some(after), _) => later(from, after),
        (None, Repeat::Once) => Window { due: from, until: shift(from, WEEK_DAYS) },
        (None, Repeat::Every(every)) => {
            let is_at_once =
                matches!(rule.task.value, Job::Feed | Job::Pollinate | Job::Water | Job::Cover);
            let next = later(from, every);
            if is_at_once { Window { due: from, ..next } } else { next }
        }
    }
}

pub(super) fn later(from: NaiveDate, days: Range<Days>) -> Window {
    let low = i64::from(days.low.0).max(0);
    Window { due: shift(from, low), until: shift(from, i64::from(days.high.0).max(low)) }
}

/// The time after one, in the middle of the range.
///
/// While one waits to be done those behind it stay on their days: what is asked for does not move only because a day
/// has gone by.
pub(super) fn ahead(window: Window, every: Range<Days>, today: NaiveDate) -> Window {
    let interval = interval(every);
    let times = 1 + i64::from(passed_over(window, every, today));
    let due = shift(window.due, interval * times);
    let until = shift(due, (i64::from(every.high.0) - interval).max(0));
    Window { due, until }
}

/// How many later times the open one stands for by now: those that went by, and one that is nearer than half an interval.
/// It takes the number of the newest, so that on a phone a coming event is moved to today and none is withdrawn.
pub(super) fn passed_over(window: Window, every: Range<Days>, today: NaiveDate) -> u32 {
    let interval = interval(every);
    let late = (today - window.due).num_days().max(0);
    u32::try_from((late + (interval + 1) / 2 - 1) / interval).unwrap_or(u32::MAX)
}

fn interval(every: Range<Days>) -> i64 {
    let low = every.low.0.max(0);
    (i64::from(low) + i64::from(every.high.0.max(low))).div_euclid(2).max(1)
}

fn with_of(rule: &CareRule) -> Option<&str> {
    rule.with.as_ref().map(|with| with.value.as_str())
}
