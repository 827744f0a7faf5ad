//! A week to print: places by days, with a box to tick for each job.

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::tasks::model::Task;
use crate::dates::shift;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::site::day_jobs::place_of;
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::site::tasks;

/// A week to print.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeekSheet {
    pub days: Vec<NaiveDate>,
    pub rows: Vec<WeekRow>,
}

/// What is to be done in a place, day by day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeekRow {
    /// The place; nothing for what has none yet.
    pub place: Option<Link>,
    /// The jobs of each day.
    pub days: Vec<Vec<WeekJob>>,
}

/// A job of a day in a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeekJob {
    pub job: Message,
    /// For how many plantings, if for several.
    pub plantings: Option<usize>,
}

/// So many weeks, as many as a page tells of in detail.
const WEEKS: i64 = 4;

/// The coming weeks in which there is something to do; what is late stands on today.
pub fn sheets(garden: &Garden, tasks: &[Task]) -> Vec<WeekSheet> {
    let week = |number: i64| {
        let first = shift(garden.today, 7 * number);
        let days: Vec<NaiveDate> = (0..7).map(|day| shift(first, day)).collect();
        let rows = rows(garden, tasks, &days);
        (!rows.is_empty()).then_some(WeekSheet { days, rows })
    };
    (0..WEEKS).filter_map(week).collect()
}

fn rows(garden: &Garden, tasks: &[Task], days: &[NaiveDate]) -> Vec<WeekRow> {
    let own: Vec<&Task> = tasks.iter().filter(|task| days.contains(&task.due)).collect();
    let mut places: Vec<Option<PlaceId>> = own.iter().map(|task| place_of(garden, task)).collect();
    places.sort_by_key(|place| (place.is_none(), *place));
    places.dedup();
    let row = |place: Option<PlaceId>| WeekRow {
        place: place.map(|place| Link::place(garden, place)),
        days: days.iter().map(|day| jobs(garden, &own, place, *day)).collect(),
    };
    places.into_iter().map(row).collect()
}

fn jobs(garden: &Garden, tasks: &[&Task], place: Option<PlaceId>, day: NaiveDate) -> Vec<WeekJob> {
    let mut jobs: Vec<(Message, usize)> = Vec::new();
    let here = tasks.iter().filter(|task| task.due == day && place_of(garden, task) == place);
    for job in here.map(|task| tasks::job(&task.job)) {
        match jobs.iter_mut().find(|(known, _)| *known == job) {
            Some((_, number)) => *number += 1,
            None => jobs.push((job, 1)),
        }
    }
    let job = |(job, number): (Message, usize)| WeekJob {
        job,
        plantings: (number > 1).then_some(number),
    };
    jobs.into_iter().map(job).collect()
}
