//! What is to be done, place by place, as one walks through the garden; and weeks of it in few words.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::tasks::model::{Caution, Task};
use crate::catalogue::Purpose;
use crate::dates::shift;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting_names::{Around, capitalised};
use crate::jobs::Job;
use crate::site::frame::Link;
use crate::site::message::{Arg, Message};
use crate::site::short_lines::ShortLine;
use crate::site::tasks;
use crate::site::water;

/// What is to be done in a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceJobs {
    /// Where; nothing for what has no place yet.
    pub place: Option<Link>,
    /// What, in the order of jobs.
    pub jobs: Vec<JobLine>,
}

/// One job in one place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JobLine {
    /// What is to be done.
    pub job: Message,
    /// To whom; nobody where the place itself is meant.
    pub whom: Vec<Link>,
    /// How much, where that is known.
    pub amount: Option<Message>,
    pub late: Option<Message>,
    /// When it may be picked again.
    pub waits: Vec<Message>,
    /// The short line of an entry that says it was done, if there is one.
    pub line: Option<ShortLine>,
}

/// What is later than so many days was not noted, or nobody will do it any more.
const LONG_LATE_DAYS: i64 = 21;
/// So many days after today are told one by one, and so many weeks after them in one go each.
const DAYS: i64 = 6;
const WEEKS: i64 = 3;

/// What has been late for weeks, and what is to be done today.
pub fn open<'a>(garden: &Garden, tasks: &'a [Task]) -> (Vec<&'a Task>, Vec<&'a Task>) {
    let open = tasks.iter().filter(|task| task.due <= garden.today);
    open.partition(|task| {
        task.overdue_since.is_some_and(|day| (garden.today - day).num_days() > LONG_LATE_DAYS)
    })
}

/// The days after today on which there is something to do.
pub fn days(garden: &Garden, tasks: &[Task]) -> Vec<Stretch> {
    let day = |number: i64| {
        let day = shift(garden.today, number);
        stretch(garden, tasks, day, day)
    };
    (1..=DAYS).filter_map(day).collect()
}

/// The weeks after these days, and in one stretch all that is known beyond them.
pub fn weeks(garden: &Garden, tasks: &[Task]) -> Vec<Stretch> {
    let week = |number: i64| {
        let from = shift(garden.today, DAYS + 1 + 7 * number);
        stretch(garden, tasks, from, shift(from, 6))
    };
    let weeks = (0..WEEKS).filter_map(week);
    let beyond = shift(garden.today, DAYS + 1 + 7 * WEEKS);
    let last = tasks.iter().map(|task| task.due).max().unwrap_or(beyond);
    weeks.chain(stretch(garden, tasks, beyond, last)).collect()
}

/// What a job is told from others by: its place, the job, the product in folded letters, the purpose of a feed.
type JobKey = (Option<PlaceId>, Job, Option<String>, Option<Purpose>);

/// Tasks by place, places by name; what has no place comes last.
pub fn by_place<'a>(garden: &Garden, tasks: impl IntoIterator<Item = &'a Task>) -> Vec<PlaceJobs> {
    let mut jobs: BTreeMap<JobKey, Vec<&Task>> = BTreeMap::new();
    for task in tasks {
        let with = task.with.as_deref().map(crate::names::folded);
        let key = (place_of(garden, task), task.job.clone(), with, task.purpose);
        jobs.entry(key).or_default().push(task);
    }
    let mut places: Vec<(Option<PlaceId>, PlaceJobs)> = Vec::new();
    for ((place, ..), tasks) in jobs {
        let line = line(garden, place, &tasks);
        match places.last_mut().filter(|(last, _)| *last == place) {
            Some((_, jobs)) => jobs.jobs.push(line),
            None => {
                let link = place.map(|place| Link::place(garden, place));
                places.push((place, PlaceJobs { place: link, jobs: vec![line] }));
            }
        }
    }
    places.sort_by_key(|(place, _)| (place.is_none(), *place));
    places.into_iter().map(|(_, jobs)| jobs).collect()
}

/// `3 to water, 2 to plant out`, with the most of it first; nothing if there is nothing to do.
pub fn counts<'a>(garden: &Garden, tasks: impl IntoIterator<Item = &'a Task>) -> Option<Message> {
    let mut jobs: BTreeMap<&Job, usize> = BTreeMap::new();
    let mut seen = Vec::new();
    for task in tasks {
        let what = (&task.job, task.key.planting, place_of(garden, task));
        if !seen.contains(&what) {
            seen.push(what);
            *jobs.entry(&task.job).or_default() += 1;
        }
    }
    let mut jobs: Vec<(&Job, usize)> = jobs.into_iter().collect();
    jobs.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let count = |(job, count): &(&Job, usize)| {
        let key = match job {
            Job::LookForHarvest => "home.count-to-pick",
            Job::OrderSeed => "home.count-of-seed",
            _ => "home.count",
        };
        let count = Message::new(key).with("count", *count as u64);
        Arg::from(count.with("job", tasks::job(job)))
    };
    let counts: Vec<Arg> = jobs.iter().map(count).collect();
    (!counts.is_empty()).then(|| Message::new("home.counts").with("list", counts))
}

/// What is to be careful of, each once; what has to wait for a product is said where it is to be picked.
pub fn cautions<'a>(tasks: impl IntoIterator<Item = &'a Task>) -> Vec<Message> {
    let mut cautions: Vec<&Caution> = tasks.into_iter().flat_map(|task| &task.cautions).collect();
    cautions.retain(|caution| !matches!(caution, Caution::WaitUntil(..)));
    cautions.sort_unstable();
    cautions.dedup();
    cautions.into_iter().map(tasks::caution).collect()
}

/// Where one goes for it: where the planting stands, or is meant to begin.
pub(super) fn place_of(garden: &Garden, task: &Task) -> Option<PlaceId> {
    let planting = task.key.planting.map(|id| garden.planting(id));
    let stands = planting.and_then(|planting| {
        let now = planting.places_on(garden.today).first().copied();
        now.or(planting.first_place).or(planting.destined)
    });
    task.key.place.or(stands)
}

fn line(garden: &Garden, place: Option<PlaceId>, tasks: &[&Task]) -> JobLine {
    let first = tasks[0];
    let around = place.map_or(Around::Garden, Around::Place);
    let mut whom: Vec<Link> = Vec::new();
    let mut late: Option<NaiveDate> = None;
    let mut waits: Vec<Message> = Vec::new();
    for task in tasks {
        whom.extend(task.key.planting.map(|id| Link::planting_around(garden, id, around)));
        late = late.into_iter().chain(task.overdue_since).min();
        let wait = task.cautions.iter().filter(|one| matches!(one, Caution::WaitUntil(..)));
        waits.extend(wait.map(tasks::caution));
    }
    waits.dedup();
    let amount = match tasks {
        [only] => only.refill.as_ref().map(|refill| water::refill(refill, garden.settings.units)),
        _ => None,
    };
    JobLine {
        job: tasks::job_of(first),
        whom,
        amount: amount.or(seeds(tasks)),
        late: late.map(|since| {
            let days = (garden.today - since).num_days().max(1);
            Message::new("task.late").with("count", days.unsigned_abs())
        }),
        waits,
        line: ShortLine::of(garden, tasks),
    }
}

fn seeds(tasks: &[&Task]) -> Option<Message> {
    match tasks {
        [only] => only.seeds.map(tasks::seeds_to_sow),
        _ => None,
    }
}

/// A day or a week, a line a job.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stretch {
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: NaiveDate,
    /// Days in it on which something is to be done; events of the feed lead to them.
    pub days: Vec<NaiveDate>,
    pub jobs: Vec<StretchJob>,
}

/// A job of a day or week.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StretchJob {
    /// What is to be done.
    pub job: Message,
    /// To whom, or where; each once. Of several days a crop stands for several of its plantings.
    pub whom: Vec<Link>,
    /// On how many days, if on several.
    pub times: Option<Message>,
}

/// The same work wherever it is: the job, its product, the purpose of a feed.
type WorkKey<'a> = (&'a Job, Option<&'a str>, Option<Purpose>);

/// The days from `from` to `to` with their tasks.
pub fn stretch<'a>(
    garden: &Garden,
    tasks: impl IntoIterator<Item = &'a Task>,
    from: NaiveDate,
    to: NaiveDate,
) -> Option<Stretch> {
    let mut days: Vec<NaiveDate> = Vec::new();
    let mut jobs: BTreeMap<WorkKey<'_>, Vec<&Task>> = BTreeMap::new();
    for task in tasks.into_iter().filter(|task| (from..=to).contains(&task.due)) {
        days.push(task.due);
        jobs.entry((&task.job, task.with.as_deref(), task.purpose)).or_default().push(task);
    }
    days.sort_unstable();
    days.dedup();
    let job = |tasks: &Vec<&Task>| {
        let mut whom: Vec<Link> = Vec::new();
        let mut on: Vec<NaiveDate> = tasks.iter().map(|task| task.due).collect();
        on.sort_unstable();
        on.dedup();
        let crop_of = |task: &Task| task.key.planting.map(|id| garden.planting(id).crop);
        for task in tasks {
            // What is weeks away is told by crop where it is of several plantings.
            let is_other = |other: &&&Task| {
                other.key.planting != task.key.planting && crop_of(other) == crop_of(task)
            };
            let is_one_of_several = from < to && tasks.iter().any(|other| is_other(&other));
            let planting = task.key.planting.map(|id| match is_one_of_several {
                true => {
                    let crop = Link::crop(garden, garden.planting(id).crop);
                    Link { text: capitalised(&crop.text), ..crop }
                }
                false => Link::planting(garden, id),
            });
            let link = planting.or(task.key.place.map(|id| Link::place(garden, id)));
            whom.extend(link.filter(|link| !whom.contains(link)));
        }
        let times = Message::new("task.times").with("count", on.len() as u64);
        StretchJob { job: tasks::job_of(tasks[0]), whom, times: (on.len() > 1).then_some(times) }
    };
    let jobs: Vec<StretchJob> = jobs.values().map(job).collect();
    (!jobs.is_empty()).then_some(Stretch { from, to, days, jobs })
}
