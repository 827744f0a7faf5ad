//! The task feed, published day after day over seasons of the demo: what its subscribers see.
//!
//! The entries of a day come to light by the day that is published for, or as people write them: late, and
//! with changes. The site folder is kept from day to day, or new each day. In the normal suite these are
//! sixteen days, in pairs; with `TRUG_WHOLE_SEASON` set (`tests/campaign` does) every day of a year and a half.

mod demo;
mod state;

use std::collections::BTreeSet;

use crate::feed_seasons::demo::Demo;
use crate::feed_seasons::state::{State, faults_between, faults_of};
use chrono::{Days, NaiveDate};
use rayon::prelude::*;
use trug::care::tasks::model::{Task, Why};
use trug::garden::model::Garden;
use trug::jobs::Job;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

#[expect(clippy::disallowed_methods, reason = "the campaign asks for more days than fit every run")]
fn is_whole() -> bool {
    std::env::var("TRUG_WHOLE_SEASON").is_ok()
}

/// Every day of a year and a half, or eight days with the day after each.
fn days() -> Vec<NaiveDate> {
    let season = day("2025-01-01").iter_days().take_while(|date| *date <= day("2026-06-20"));
    if is_whole() {
        return season.collect();
    }
    // Sundays and Saturdays, on which most is written, and days between.
    let firsts = [
        "2025-02-08",
        "2025-04-05",
        "2025-05-06",
        "2025-06-07",
        "2025-07-12",
        "2025-08-24",
        "2026-03-01",
        "2026-06-10",
    ];
    firsts.iter().flat_map(|first| [day(first), day(first) + Days::new(1)]).collect()
}

/// How far ahead the feed looks: less in the normal suite, because the cost grows with it.
fn look_ahead() -> u32 {
    if is_whole() { 60 } else { 20 }
}

/// What lies in the site folder on each of the days: in a folder that is kept, and in one that is new.
struct Season {
    kept: Vec<State>,
    fresh: Vec<State>,
}

fn season(is_per_planting: bool, written: impl Fn(&Demo, NaiveDate) -> Demo + Sync) -> Season {
    let demo = Demo::new(is_per_planting, look_ahead());
    let built = days().into_par_iter().map(|day| {
        let demo = written(&demo, day);
        let (garden, tasks) = demo.garden(day);
        (demo, garden, tasks)
    });
    let built: Vec<_> = built.collect();
    let mut kept: Vec<State> = Vec::new();
    for (demo, garden, tasks) in &built {
        let state = demo.state_of(garden, tasks, kept.last());
        kept.push(state);
    }
    let fresh = built.iter().map(|(demo, garden, tasks)| demo.state_of(garden, tasks, None));
    Season { fresh: fresh.collect(), kept }
}

/// Every state by itself, and every pair of states that a subscriber may hold one after the other.
fn faults(states: &[State], is_kept: bool) -> Vec<String> {
    let mut faults: Vec<String> = states.iter().flat_map(faults_of).collect();
    for (index, earlier) in states.iter().enumerate() {
        for (gap, later) in states[index + 1..].iter().enumerate() {
            faults.extend(faults_between(earlier, later, is_kept && gap == 0));
        }
    }
    faults
}

/// How many events two consecutive states share, and how many of those changed, moved and stayed.
#[derive(Debug, Default)]
struct Tally {
    stayed: usize,
    changed: usize,
    moved: usize,
    left: usize,
    came: usize,
}

fn tally(states: &[State]) -> Tally {
    let mut tally = Tally::default();
    for pair in states.windows(2) {
        for (uid, before) in &pair[0].events {
            match pair[1].events.get(uid) {
                None => tally.left += 1,
                Some(after) if after == before => tally.stayed += 1,
                Some(after) => {
                    tally.changed += 1;
                    tally.moved += usize::from(after.start != before.start);
                }
            }
        }
        tally.came +=
            pair[1].events.keys().filter(|uid| !pair[0].events.contains_key(*uid)).count();
    }
    tally
}

fn as_dated(demo: &Demo, _: NaiveDate) -> Demo {
    demo.clone()
}

/// Keeps the contract from folders that are kept and from new ones; returns what was seen.
fn keeps_the_contract(
    is_per_planting: bool,
    written: impl Fn(&Demo, NaiveDate) -> Demo + Sync,
) -> Tally {
    let season = season(is_per_planting, written);
    assert_eq!(faults(&season.kept, true), Vec::<String>::new());
    assert_eq!(faults(&season.fresh, false), Vec::<String>::new());
    let tally = tally(&season.kept);
    // Nothing was proved if nothing happened.
    let Tally { stayed, changed, left, came, .. } = tally;
    assert!(stayed > 50 && changed > 20 && left > 20 && came > 20, "{tally:?}");
    tally
}

#[test]
fn one_event_a_job_and_day_keeps_the_contract() {
    let tally = keeps_the_contract(false, as_dated);
    assert!(tally.moved > 20, "{tally:?}");
}

#[test]
fn one_event_a_planting_keeps_the_contract_and_moves() {
    let tally = keeps_the_contract(true, as_dated);
    assert!(tally.moved > 20, "{tally:?}");
}

/// Entries that are written late or taken back, and edits of garden.yaml and of the theme.
#[test]
fn whoever_writes_late_keeps_the_contract() {
    for is_per_planting in [false, true] {
        keeps_the_contract(is_per_planting, Demo::as_people_write);
    }
}

/// On days on which nothing was written few events are withdrawn that were still to come: what is left of a day is named by
/// the day, work that comes again takes the number of its newest time, and what was not done is put off by whole weeks. In
/// the fifteen days of the quick test 274 of 2,684 were withdrawn before, and 118 later; of all 60 days 415 of 10,500 are. Some came to their day and joined
/// what was open.
#[test]
fn silent_days_withdraw_little() {
    let demo = Demo::new(false, 60);
    let days: Vec<NaiveDate> = day("2026-04-21").iter_days().take(61).collect();
    let days = if is_whole() { days } else { days[20..35].to_vec() };
    let states: Vec<State> = days.par_iter().map(|day| demo.state(*day)).collect();
    let (mut withdrawn, mut seen) = (0, 0);
    for pair in states.windows(2).filter(|pair| !demo.writes_on(pair[1].day)) {
        let today = pair[1].day.format("%Y%m%d").to_string();
        let coming = pair[0].events.iter().filter(|(_, event)| event.start >= today);
        let (stayed, left): (Vec<_>, Vec<_>) =
            coming.partition(|(uid, _)| pair[1].events.contains_key(*uid));
        for (_, event) in &left {
            println!("WITHDRAWN {} {} {:?}", pair[1].day, event.start, event);
        }
        withdrawn += left.len();
        seen += stayed.len() + left.len();
    }
    assert!(seen > 500 && withdrawn * 18 < seen, "{withdrawn} of {seen}");
}

/// Published in the morning, and again when an entry of the day has been written.
#[test]
fn an_entry_of_today_is_a_revision_of_its_own() {
    for is_per_planting in [false, true] {
        let demo = Demo::new(is_per_planting, look_ahead());
        let mut changed = 0;
        for date in ["2025-05-31", "2025-06-14", "2026-06-16"].map(day) {
            let morning = demo.before_last_entry(date).unwrap().state(date);
            let evening = demo.state_after(date, Some(&morning));
            assert_eq!(faults_between(&morning, &evening, true), Vec::<String>::new());
            let is_changed = |uid: &&String| {
                evening.events.get(*uid).is_some_and(|event| *event != morning.events[*uid])
            };
            changed += morning.events.keys().filter(is_changed).count();
        }
        assert!(changed > 0, "no entry of these days changed anything");
    }
}

/// `remind: 15 h` asks every event for one alarm, a DISPLAY so many hours before its day begins (RFC 5545
/// section 3.6.6: ACTION, DESCRIPTION and TRIGGER; 3.8.6.3: a negative duration is before the start). It is off
/// unless it is asked for, and otherwise says the same.
#[test]
fn a_reminder_is_asked_for_by_a_setting() {
    let date = day("2026-06-20");
    let feed = |line: &str| {
        let demo = Demo::with_feed(line);
        let (garden, tasks) = demo.garden(date);
        String::from_utf8(demo.bytes(&garden, &tasks, None)).unwrap()
    };
    let off = feed("feed: {look-ahead: 3 days}");
    let on = feed("feed: {look-ahead: 3 days, remind: 15 h}");
    assert!(off.contains("BEGIN:VEVENT") && !off.contains("VALARM"));
    let mut without = String::new();
    let mut alarms = 0;
    for part in on.split_inclusive("END:VALARM\r\n") {
        let Some((before, alarm)) = part.split_once("BEGIN:VALARM\r\n") else {
            without.push_str(part);
            continue;
        };
        assert!(alarm.starts_with("ACTION:DISPLAY\r\nDESCRIPTION:"), "{alarm}");
        assert!(alarm.ends_with("\r\nTRIGGER:-PT15H\r\nEND:VALARM\r\n"), "{alarm}");
        without.push_str(before);
        alarms += 1;
    }
    assert_eq!(without, off);
    assert_eq!(alarms, off.matches("BEGIN:VEVENT").count());
    // Never after the day has begun, never longer than ten days before it.
    for (asked, trigger) in [("0.2 h", "TRIGGER:-PT1H\r\n"), ("2000 h", "TRIGGER:-PT240H\r\n")] {
        let feed = feed(&format!("feed: {{look-ahead: 3 days, remind: {asked}}}"));
        assert_eq!(feed.matches(trigger).count(), alarms);
    }
}

/// If nobody publishes for six weeks, the phone shows what was planned: what follows from something that
/// has happened, or from the calendar, and waits for nothing else.
///
/// Asserted for the next time of every rule and step whose reason is a dated fact (a stage reached, work
/// done, fresh mix) or the plan (season, succession), on every day after the six weeks that the old feed
/// still covers: the old feed and a build of that day, with nothing written since, hold the same tasks on
/// the same days, with the same events. Not asserted: later times of a rule, which the old feed counts
/// from the planned day of the one before and a fresh build from today for as long as it is not done; steps
/// of a planting behind one that is open as well (nothing is set out before it is sown); what waits for
/// a stage that is only expected; and watering, which nobody plans for more than a week.
#[test]
fn after_six_weeks_the_old_feed_tells_the_plan() {
    let step = if is_whole() { 1 } else { 26 };
    let mut held = 0;
    for is_per_planting in [false, true] {
        let demo = Demo::new(is_per_planting, 60);
        for date in
            day("2025-01-12").iter_days().step_by(step).take_while(|date| *date < day("2026-05-09"))
        {
            let demo = demo.silent_after(date);
            let now = date + Days::new(42);
            let covered = (now, date + Days::new(60));
            let (garden, tasks) = demo.garden(date);
            let old = by_plan(&garden, &tasks, covered);
            let (garden, tasks) = demo.garden(now);
            let fresh = by_plan(&garden, &tasks, covered);
            assert_eq!(old, fresh, "published on {date}, read on {now}");
            held += old.len();
        }
    }
    assert!(held > 20, "only {held} tasks were compared");
}

/// The tasks that depend on the plan alone and fall into the days after the first until the last: which,
/// when, in which event.
fn by_plan(
    garden: &Garden,
    tasks: &[Task],
    (after, last): (NaiveDate, NaiveDate),
) -> BTreeSet<(String, NaiveDate, String)> {
    let uids = trug::site::task_feed::uids(garden, tasks);
    let is_next = |task: &Task| {
        let same = |other: &&Task| {
            let (one, other) = (&task.key, &other.key);
            (one.planting, one.place, &one.rule, one.from)
                == (other.planting, other.place, &other.rule, other.from)
        };
        tasks.iter().filter(same).all(|other| other.key.number >= task.key.number)
    };
    let is_step =
        |task: &Task| matches!(task.job, Job::Sow | Job::PrickOut | Job::HardenOff | Job::PlantOut);
    let waits = |task: &Task| {
        let is_before = |other: &Task| {
            let is_own = is_step(other) && other.key.planting == task.key.planting;
            is_own && (other.due, &other.job) < (task.due, &task.job)
        };
        is_step(task) && tasks.iter().any(is_before)
    };
    let is_fact = |task: &Task| !matches!(task.why, Why::Expected(..)) && task.job != Job::Water;
    let wanted = tasks.iter().zip(uids).filter(|(task, _)| {
        let is_covered = task.due > after && task.due <= last;
        is_covered && is_fact(task) && is_next(task) && !waits(task)
    });
    wanted.map(|(task, uid)| (task.key.text(garden), task.due, uid)).collect()
}

/// The judge can say no: two true states, and each fault put into them.
#[test]
fn every_breach_of_the_contract_is_found() {
    let demo = Demo::new(true, 10);
    let first = demo.state(day("2025-06-14"));
    let second = demo.state_after(day("2025-06-15"), Some(&first));
    let found =
        |first: &State, second: &State| faults(&[first.clone(), second.clone()], true).join("\n");
    assert_eq!(found(&first, &second), "");
    let shared = |is_same: bool| {
        let mut both = first.events.iter().filter(|(uid, before)| {
            second.events.get(*uid).is_some_and(|after| (after == *before) == is_same)
        });
        both.next().unwrap().0.clone()
    };
    let (same, changed) = (shared(true), shared(false));
    let tampered = |change: &dyn Fn(&mut State)| {
        let mut second = second.clone();
        change(&mut second);
        found(&first, &second)
    };
    let twice = tampered(&|state| state.repeated.push(same.clone()));
    assert!(twice.contains("stands twice"), "{twice}");
    let orphan = tampered(&|state| {
        state.tasks.remove(&same);
    });
    assert!(orphan.contains("is an orphan"), "{orphan}");
    let lost = tampered(&|state| {
        state.events.remove(&same);
    });
    assert!(lost.contains("has a task and no event") && lost.contains("left, but"), "{lost}");
    let back = tampered(&|state| state.events.get_mut(&same).unwrap().sequence -= 1);
    assert!(back.contains("goes back"), "{back}");
    let quiet = tampered(&|state| {
        state.events.get_mut(&changed).unwrap().sequence = first.events[&changed].sequence;
    });
    assert!(quiet.contains("changed under the same SEQUENCE"), "{quiet}");
    let old = tampered(&|state| {
        state.events.get_mut(&changed).unwrap().stamp = first.events[&changed].stamp.clone();
    });
    assert!(old.contains("changed today and dated"), "{old}");
    let noisy = tampered(&|state| {
        let event = state.events.get_mut(&same).unwrap();
        event.sequence += 1;
        event.bytes.push('x');
    });
    assert!(noisy.contains("has other bytes and says the same"), "{noisy}");
}
