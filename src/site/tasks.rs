//! The tasks page, and tasks as they stand on other pages.

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::mixes::is_called;
use crate::care::tasks::grouping;
use crate::care::tasks::model::{Caution, Note, SeedsToSow, Task, Why};
use crate::catalogue::Purpose;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::jobs::Job;
use crate::sheets::mix::MixSheet;
use crate::site::amount::Amount;
use crate::site::away::{self, HelperView};
use crate::site::calendar::{SowNowRow, sow_now};
use crate::site::day_jobs::{self, PlaceJobs, Stretch};
use crate::site::frame::{EntryLink, Frame, Link};
use crate::stage::Stage;
use crate::stages::Milestone;

use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::water;
use crate::site::week_sheet::{self, WeekSheet};

/// The tasks page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TasksView {
    pub frame: Frame,
    /// The day it is made for.
    pub today: NaiveDate,
    /// What is overdue, by job.
    pub overdue: Vec<TaskGroup>,
    /// The coming days on which there is something to do.
    pub days: Vec<TaskDay>,
    /// What is to be done today, and what is late, place by place.
    pub places: Vec<PlaceJobs>,
    /// What is so late that it may never be done.
    pub long_late: Vec<PlaceJobs>,
    /// What is too late for this year.
    pub too_late: Vec<PlaceJobs>,
    /// What to be careful of in these days.
    pub cautions: Vec<Message>,
    /// The six days after today.
    pub week: Vec<Stretch>,
    /// The weeks after them.
    pub weeks: Vec<Stretch>,
    /// The coming weeks as sheets to print, places by days.
    pub sheets: Vec<WeekSheet>,
    /// How far ahead it looks.
    pub lead: Message,
    /// What can be begun today.
    pub sow_now: Vec<SowNowRow>,
    /// Sheets for those who help while the grower is away.
    pub helper_sheets: Vec<SheetLink>,
}

/// A link to a helper's sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetLink {
    /// For whom and for when.
    pub words: Message,
    /// The page, from the root.
    pub href: String,
}

/// The tasks of a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TaskDay {
    pub date: NaiveDate,
    /// Its tasks, by job.
    pub groups: Vec<TaskGroup>,
}

/// One job of one day, for everything it is to be done to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TaskGroup {
    /// What is to be done.
    pub job: Message,
    pub date: NaiveDate,
    /// To whom, each with its own reason.
    pub items: Vec<TaskItem>,
    /// The crop sheets' own sentence, where it is the same for all of them.
    pub reason: Option<String>,
    /// How it is to be done.
    pub notes: Vec<Message>,
    /// What to be careful of, each once.
    pub cautions: Vec<Message>,
}

/// One task of a group.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TaskItem {
    /// The planting or the place.
    pub whom: Option<Link>,
    pub places: Vec<Link>,
    /// How much it takes.
    pub amount: Option<Message>,
    /// For whom, where it is not for all that stand in the place.
    pub only: Vec<Link>,
    /// Why: what it follows from.
    pub why: Message,
    /// The entry it follows from.
    pub entry: Option<EntryLink>,
    /// The crop sheet's own sentence, where the group has not said it.
    pub reason: Option<String>,
    /// Since when it is overdue.
    pub overdue_since: Option<NaiveDate>,
    /// The last day on which it is in good time.
    pub until: Option<NaiveDate>,
    /// Whether it falls into days on which the grower is away.
    pub is_while_away: bool,
    /// How many seeds it takes.
    pub seeds: Option<Message>,
}

impl Page for TasksView {
    type Key = ();

    const PART: Part = Part { key: "tasks", href: "tasks/index.html", area: Area::Today };
    const TEMPLATE: &'static str = "tasks.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let ahead = garden.settings.feed.look_ahead_days;
        let (overdue, coming): (Vec<&Task>, Vec<&Task>) =
            findings.tasks.iter().partition(|task| task.overdue_since.is_some());
        let groups = groups(garden, coming);
        let mut days: Vec<TaskDay> = Vec::new();
        for group in groups {
            match days.last_mut().filter(|day| day.date == group.date) {
                Some(day) => day.groups.push(group),
                None => days.push(TaskDay { date: group.date, groups: vec![group] }),
            }
        }
        let (long_late, open) = day_jobs::open(garden, &findings.tasks);
        TasksView {
            places: day_jobs::by_place(garden, open),
            long_late: day_jobs::by_place(garden, long_late),
            too_late: day_jobs::by_place(garden, &findings.too_late),
            cautions: day_jobs::cautions(&findings.tasks),
            week: day_jobs::days(garden, &findings.tasks),
            weeks: day_jobs::weeks(garden, &findings.tasks),
            sheets: week_sheet::sheets(garden, &findings.tasks),
            frame: Frame::new::<Self>(garden, &(), Message::new("part.tasks")),
            today: garden.today,
            overdue: self::groups(garden, overdue),
            days,
            sow_now: sow_now(garden, &findings.sow_now),
            helper_sheets: HelperView::keys(garden)
                .iter()
                .map(|absence| SheetLink {
                    words: away::link_words(absence),
                    href: HelperView::path(garden, absence),
                })
                .collect(),
            lead: Message::new("tasks.lead")
                .with("last", crate::dates::shift(garden.today, i64::from(ahead))),
        }
    }
}

/// Tasks by day and job, soonest first.
pub fn groups<'a>(garden: &Garden, tasks: impl IntoIterator<Item = &'a Task>) -> Vec<TaskGroup> {
    grouping::by_day_and_job(tasks)
        .into_iter()
        .map(|group| {
            let notes = group.notes.iter().map(|note| match note {
                Note::HalfStrength => Message::new("note.half-strength"),
                Note::FeelFirst => Message::new("note.feel-first"),
            });
            say_once(TaskGroup {
                job: match group.purpose {
                    Some(purpose) => feed_for(purpose),
                    None => job_with(&group.job, group.with),
                },
                date: group.day,
                items: group.tasks.iter().map(|task| item(garden, task)).collect(),
                reason: None,
                // A free place is the moment to think of what follows.
                notes: notes.chain(change_over(&group.job)).collect(),
                cautions: group.cautions.iter().map(caution).collect(),
            })
        })
        .collect()
}

fn change_over(job: &Job) -> Option<Message> {
    (*job == Job::Clear).then(|| Message::new("note.change-over"))
}

/// A sentence that holds for every task of a group is said once.
fn say_once(mut group: TaskGroup) -> TaskGroup {
    let first = group.items.first().and_then(|item| item.reason.clone());
    if group.items.iter().all(|item| item.reason == first) {
        group.reason = first;
        group.items.iter_mut().for_each(|item| item.reason = None);
    }
    group
}

fn item(garden: &Garden, task: &Task) -> TaskItem {
    let planting = task.key.planting;
    let places = planting.map_or(Vec::new(), |id| garden.planting(id).places_on(garden.today));
    TaskItem {
        whom: planting
            .map(|id| Link::planting(garden, id))
            .or(task.key.place.map(|id| Link::place(garden, id))),
        places: places.into_iter().map(|id| Link::place(garden, id)).collect(),
        amount: task.refill.as_ref().map(|refill| water::refill(refill, garden.settings.units)),
        only: only(garden, task),
        why: why(task.why),
        entry: task.cause.entry.and_then(|id| Link::entry(garden, id)),
        reason: task.reason.clone(),
        overdue_since: task.overdue_since,
        until: task.until,
        is_while_away: task.is_while_away,
        seeds: task.seeds.map(seeds_to_sow),
    }
}

/// The plantings of a place that are to be watered, where others are not.
fn only(garden: &Garden, task: &Task) -> Vec<Link> {
    let refill = task.refill.iter().filter(|refill| !refill.is_for_all);
    refill.flat_map(|refill| &refill.plantings).map(|id| Link::planting(garden, *id)).collect()
}

/// `about 12 seeds for 8 plants`
pub fn seeds_to_sow(sowing: SeedsToSow) -> Message {
    let seeds = Amount::seeds_to_sow(sowing.seeds);
    Message::new("task.seeds")
        .with("seeds", seeds)
        .with("plants", Amount::count(sowing.plants, "plants"))
}

/// The words for a job.
pub fn job(job: &Job) -> Message {
    match job {
        Job::Own(word) => Message::new("title.name").with("name", word.as_str()),
        own => Message::new(format!("job.{}", key(own.word()))),
    }
}

/// The words for a job with what it is done with.
pub fn job_with(what: &Job, with: Option<&str>) -> Message {
    match with {
        Some(with) => Message::new("job.with").with("job", job(what)).with("with", with),
        None => job(what),
    }
}

/// The words for the job of a task, with its product or what a feed is for.
pub fn job_of(task: &Task) -> Message {
    match task.purpose {
        Some(purpose) => feed_for(purpose),
        None => job_with(&task.job, task.with.as_deref()),
    }
}

/// The words for a feed of which only the purpose is known.
pub(super) fn feed_for(purpose: Purpose) -> Message {
    Message::new(format!("job.feed-for-{}", purpose.word()))
}

/// The plantings for which work with this mix or feed comes up, in the order in which it does.
pub fn plantings_to_feed(garden: &Garden, tasks: &[Task], sheet: &MixSheet) -> Vec<Link> {
    let mut links = Vec::new();
    let with_it =
        tasks.iter().filter(|task| task.with.as_ref().is_some_and(|with| is_called(sheet, with)));
    for link in with_it.filter_map(|task| Some(Link::planting(garden, task.key.planting?))) {
        if !links.contains(&link) {
            links.push(link);
        }
    }
    links
}

/// The words for a stage.
pub fn stage(stage: Stage) -> Message {
    Message::new(format!("stage.{}", key(stage.word())))
}

/// The words for what brings a plant to a stage: planting out, where the stage is planted out.
pub fn reaching(stage: Stage) -> Message {
    Message::new(format!("reaching.{}", key(stage.word())))
}

/// The words for a stage or the first picking.
pub fn milestone(what: Milestone) -> Message {
    match what {
        Milestone::Stage(reached) => stage(reached),
        Milestone::FirstHarvest => Message::new("milestone.first-harvest"),
    }
}

/// `planted out` → `planted-out`
pub(super) fn key(word: &str) -> String {
    word.replace(' ', "-")
}

/// What a task follows from, as a sentence.
pub fn why(why: Why) -> Message {
    match why {
        Why::Reached(reached, date) => {
            Message::new("why.reached").with("stage", stage(reached)).with("date", date)
        }
        Why::LastDone(date) => Message::new("why.last-done").with("date", date),
        Why::Expected(expected, date) => {
            Message::new("why.expected").with("stage", milestone(expected)).with("date", date)
        }
        Why::FreshMix(date) => Message::new("why.fresh-mix").with("date", date),
        Why::Season => Message::new("why.season"),
        Why::FrostUntil(date) => Message::new("why.frost-until").with("date", date),
        Why::FrostFrom(date) => Message::new("why.frost-from").with("date", date),
        Why::Lifted(date) => Message::new("why.lifted").with("date", date),
        Why::Succession(date) => Message::new("why.succession").with("date", date),
    }
}

/// What to be careful of, as a sentence.
pub fn caution(caution: &Caution) -> Message {
    match caution {
        Caution::WaitUntil(until, treated) => {
            Message::new("caution.wait").with("until", *until).with("treated", *treated)
        }
        Caution::Bees => Message::new("caution.bees"),
        Caution::Dust => Message::new("caution.dust"),
        Caution::Electricity => Message::new("caution.electricity"),
        Caution::Manure(None) => Message::new("caution.manure"),
        Caution::Manure(Some(date)) => Message::new("caution.manure-given").with("date", *date),
        Caution::Sheet(words) => Message::new("caution.sheet").with("words", words.as_str()),
    }
}
