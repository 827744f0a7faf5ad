//! The journal: its years and months, and the page of each entry.

use std::collections::BTreeMap;
use std::ops::Range;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::{About, EntryId, EntryRecord, Weather};
use crate::garden::shown::Shown;
use crate::link_target::{Target, brackets};
use crate::site::amount::Amount;
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::journal_year::YearView;
use crate::site::message::Message;
use crate::site::moments::{self, Moment};
use crate::site::page::{Area, Page, Part};
use crate::site::photo::PhotoView;
use crate::units::Celsius;

/// The journal's front page: years and their months.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JournalView {
    pub frame: Frame,
    /// The newest entries, newest first.
    pub latest: Vec<ListedEntry>,
    /// Years, newest first.
    pub years: Vec<Year>,
    /// Tags, with their entries, newest first.
    pub tags: Vec<Tag>,
}

/// A year of the journal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Year {
    pub year: i32,
    /// Its page, from the root.
    pub href: String,
    /// Its months, newest first.
    pub months: Vec<Month>,
}

/// A month of the journal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Month {
    pub day: NaiveDate,
    /// Its page, from the root.
    pub href: String,
    pub entries: usize,
}

/// A tag and the entries that have it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tag {
    pub tag: String,
    /// Its entries, newest first.
    pub entries: Vec<EntryLink>,
    /// How many more there are.
    pub more: u64,
}

impl Tag {
    /// With all of these entries.
    pub(super) fn new(tag: &str, entries: Vec<EntryLink>) -> Tag {
        Tag { tag: tag.to_owned(), entries, more: 0 }
    }

    /// With the newest of these entries.
    fn newest(tag: &str, mut entries: Vec<EntryLink>) -> Tag {
        let more = entries.len().saturating_sub(NEWEST) as u64;
        entries.truncate(NEWEST);
        Tag { more, ..Tag::new(tag, entries) }
    }
}

/// So many entries of a tag stand on the front page; all of them on the pages of their years.
const NEWEST: usize = 12;

/// The page of a month: its entries in full.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthView {
    pub frame: Frame,
    pub day: NaiveDate,
    /// Its entries, oldest first.
    pub entries: Vec<EntryBody>,
    /// The month before, if there are entries in it.
    pub earlier: Option<Month>,
    /// The month after.
    pub later: Option<Month>,
}

/// The page of an entry.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EntryView {
    pub frame: Frame,
    pub body: EntryBody,
    /// The entry before it.
    pub earlier: Option<EntryLink>,
    /// The entry after it.
    pub later: Option<EntryLink>,
    /// The month it is in.
    pub month: Month,
}

/// What an entry says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EntryBody {
    pub link: EntryLink,
    /// Its prose, as Markdown with its links filled in.
    pub prose: String,
    pub photos: Vec<PhotoView>,
    /// The plantings it tells about.
    pub plantings: Vec<Link>,
    /// What happened, was done and was picked, line by line.
    pub lines: Vec<Line>,
    /// The day's weather.
    pub weather: Vec<Message>,
    /// What was remarked on it.
    pub sky: Option<String>,
    pub tags: Vec<String>,
}

/// A line of an entry: who, and what.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Line {
    /// The plantings or places.
    pub about: Vec<Link>,
    /// The day it was, if that is not the entry's and is known.
    pub on: Option<NaiveDate>,
    pub moment: Moment,
}

/// An entry in a list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ListedEntry {
    pub link: EntryLink,
    /// Its first photograph.
    pub photo: Option<PhotoView>,
}

impl ListedEntry {
    /// An entry that has a page.
    pub(super) fn new(garden: &Garden, findings: &Findings, id: EntryId) -> Option<ListedEntry> {
        let photo = PhotoView::of_entry(garden, findings, id).into_iter().next();
        Some(ListedEntry { link: Link::entry(garden, id)?, photo })
    }
}

/// So many of the newest entries stand on the front page by their titles.
const LATEST: usize = 10;

impl Page for JournalView {
    type Key = ();

    const PART: Part = Part { key: "journal", href: "journal/index.html", area: Area::Journal };
    const TEMPLATE: &'static str = "journal.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let newest = shown(garden).rev().take(LATEST);
        let latest = newest.filter_map(|(id, _)| ListedEntry::new(garden, findings, id)).collect();
        let mut years: Vec<Year> = Vec::new();
        for month in months(garden).into_iter().rev() {
            match years.last_mut().filter(|year| year.year == month.day.year()) {
                Some(year) => year.months.push(month),
                None => {
                    let year = month.day.year();
                    let href = YearView::path(garden, &year);
                    years.push(Year { year, href, months: vec![month] });
                }
            }
        }
        let mut tags: BTreeMap<&str, Vec<EntryLink>> = BTreeMap::new();
        for (id, entry) in shown(garden).rev() {
            for tag in &entry.tags {
                tags.entry(tag).or_default().extend(Link::entry(garden, id));
            }
        }
        let tags = tags.into_iter().map(|(tag, entries)| Tag::newest(tag, entries));
        let title = Message::new("part.journal");
        let frame = Frame::new::<Self>(garden, &(), title);
        JournalView { frame, latest, years, tags: tags.collect() }
    }
}

/// Entries that have a page, oldest first.
pub fn shown(garden: &Garden) -> impl DoubleEndedIterator<Item = (EntryId, &EntryRecord)> {
    garden
        .entries
        .iter()
        .enumerate()
        .filter(|(_, entry)| !entry.is_private)
        .map(|(index, entry)| (EntryId(index), entry))
}

/// Months with entries, oldest first.
pub fn months(garden: &Garden) -> Vec<Month> {
    let mut months: Vec<Month> = Vec::new();
    for (_, entry) in shown(garden) {
        let day = entry.date.with_day(1).unwrap_or(entry.date);
        match months.last_mut().filter(|month| month.day == day) {
            Some(month) => month.entries += 1,
            None => {
                let href = MonthView::path(garden, &day);
                months.push(Month { day, href, entries: 1 });
            }
        }
    }
    months
}

impl Month {
    /// The month of a day.
    fn of(garden: &Garden, day: NaiveDate) -> Month {
        let own = garden.entries[entries_of(garden, day)].iter();
        let day = day.with_day(1).unwrap_or(day);
        Month {
            day,
            href: MonthView::path(garden, &day),
            entries: own.filter(|entry| !entry.is_private).count(),
        }
    }
}

/// Where the entries of a day's month stand in the garden's list.
fn entries_of(garden: &Garden, day: NaiveDate) -> Range<usize> {
    let month = |day: NaiveDate| (day.year(), day.month());
    let from = garden.entries.partition_point(|entry| month(entry.date) < month(day));
    let to = garden.entries.partition_point(|entry| month(entry.date) <= month(day));
    from..to
}

impl Page for MonthView {
    type Key = NaiveDate;

    const PART: Part = JournalView::PART;
    const TEMPLATE: &'static str = "month.html";

    /// The first day of each month with entries.
    fn keys(garden: &Garden) -> Vec<NaiveDate> {
        months(garden).into_iter().map(|month| month.day).collect()
    }

    fn path(_: &Garden, day: &NaiveDate) -> String {
        format!("journal/{}/index.html", day.format("%Y/%m"))
    }

    fn view(garden: &Garden, findings: &Findings, &day: &NaiveDate) -> Self {
        let own = entries_of(garden, day);
        let is_shown = |index: &usize| !garden.entries[*index].is_private;
        let month_of = |index: usize| Month::of(garden, garden.entries[index].date);
        let earlier = (0..own.start).rev().find(is_shown).map(month_of);
        let later = (own.end..garden.entries.len()).find(is_shown).map(month_of);
        let title = Message::new("title.month").with("month", day);
        let frame = Frame::new::<Self>(garden, &day, title);
        let entries = own
            .filter(is_shown)
            .map(|index| EntryBody::new(garden, findings, EntryId(index), &frame.root))
            .collect();
        MonthView { day, entries, earlier, later, frame }
    }
}

impl Page for EntryView {
    type Key = EntryId;

    const PART: Part = JournalView::PART;
    const TEMPLATE: &'static str = "entry.html";

    fn keys(garden: &Garden) -> Vec<EntryId> {
        shown(garden).map(|(id, _)| id).collect()
    }

    fn path(garden: &Garden, &id: &EntryId) -> String {
        format!("journal/{}/index.html", garden.entry(id).address)
    }

    fn view(garden: &Garden, findings: &Findings, &id: &EntryId) -> Self {
        let entry = garden.entry(id);
        let title = match &entry.title {
            Some(title) => crate::site::frame::named(title),
            None => Message::new("title.day").with("date", entry.date),
        };
        let frame = Frame::new::<Self>(garden, &id, title);
        let is_shown = |id: &EntryId| !garden.entry(*id).is_private;
        let earlier = (0..id.0).rev().map(EntryId).find(is_shown);
        let later = (id.0 + 1..garden.entries.len()).map(EntryId).find(is_shown);
        let day = entry.date.with_day(1).unwrap_or(entry.date);
        EntryView {
            body: EntryBody::new(garden, findings, id, &frame.root),
            earlier: earlier.and_then(|id| Link::entry(garden, id)),
            later: later.and_then(|id| Link::entry(garden, id)),
            month: Month { day, href: MonthView::path(garden, &day), entries: 0 },
            frame,
        }
    }
}

impl EntryBody {
    /// What an entry says; links in its prose start from `root`.
    pub fn new(garden: &Garden, findings: &Findings, id: EntryId, root: &str) -> EntryBody {
        let entry = garden.entry(id);
        EntryBody {
            link: EntryLink {
                title: entry.title.clone().map(String::from),
                date: entry.date,
                href: EntryView::path(garden, &id),
            },
            prose: linked(garden, &entry.prose, root),
            photos: PhotoView::of_entry(garden, findings, id),
            plantings: entry.plantings.iter().map(|id| Link::planting(garden, *id)).collect(),
            lines: lines(garden, id),
            weather: garden
                .weather
                .get(&entry.date)
                .map_or(Vec::new(), |weather| weather_words(garden, weather)),
            sky: entry.sky.clone().map(String::from),
            tags: entry.tags.iter().map(Shown::to_string).collect(),
        }
    }
}

/// Fills in the links `[[…]]` of a prose as Markdown links.
pub fn linked(garden: &Garden, prose: &str, root: &str) -> String {
    let mut text = String::with_capacity(prose.len() + 64);
    let mut end = 0;
    for (from, to, inside) in brackets(prose) {
        let link = match Target::read(inside) {
            Target::Planting(name) => {
                garden.find_planting(&name).map(|id| Link::planting(garden, id))
            }
            Target::Crop(name) => garden.catalogue.find(&name).map(|id| Link::crop(garden, id)),
            Target::Place(name) => garden.find_place(&name).map(|id| Link::place(garden, id)),
        };
        if let Some(link) = link.filter(|_| from >= end) {
            text.push_str(&prose[end..from]);
            text.push_str(&format!("[{}]({root}{})", escaped(&link.text), link.href));
            end = to;
        }
    }
    text.push_str(&prose[end..]);
    text
}

/// A name as Markdown shows it letter by letter.
fn escaped(name: &str) -> String {
    let mut text = String::with_capacity(name.len());
    for char in name.chars() {
        if char.is_ascii_punctuation() {
            text.push('\\');
        }
        text.push(char);
    }
    text
}

fn weather_words(garden: &Garden, weather: &Weather) -> Vec<Message> {
    let system = garden.settings.units;
    let mut words = Vec::new();
    let mut add = |key: &str, amount: Option<Amount>| {
        if let Some(amount) = amount {
            words.push(Message::new(format!("weather.{key}")).with("amount", amount));
        }
    };
    add("low", weather.low_c.map(|low| Amount::temperature(Celsius(low), system)));
    add("high", weather.high_c.map(|high| Amount::temperature(Celsius(high), system)));
    add("rain", weather.rain_mm.map(|rain| Amount::water_depth(rain, system)));
    if weather.ground_frost == Some(true) {
        words.push(Message::new("weather.ground-frost"));
    }
    words
}

/// What happened, was done and was picked according to an entry, by day and kind.
fn lines(garden: &Garden, id: EntryId) -> Vec<Line> {
    let told = garden.told_in(id);
    let mut own: Vec<(PlantingId, Option<usize>)> =
        told.steps.iter().map(|(planting, step)| (*planting, Some(*step))).collect();
    own.retain(|(planting, step)| {
        step.is_none_or(|step| !garden.planting(*planting).history[step].is_implied)
    });
    let begins_here: Vec<PlantingId> = own.iter().map(|(planting, _)| *planting).collect();
    let is_plan = |planting: &PlantingId| !begins_here.contains(planting);
    own.extend(told.noted.iter().copied().filter(is_plan).map(|planting| (planting, None)));
    own.sort_unstable();
    let mut lines: Vec<Line> = Vec::new();
    let day = garden.entry(id).date;
    for (planting_id, step) in own {
        let planting = garden.planting(planting_id);
        let moment = match step {
            Some(index) => moments::of_step(garden, planting, &planting.history[index]),
            None => moments::of_plan(garden, planting),
        };
        let is_known = planting.year_alone(moment.date).is_none();
        let on = Some(moment.date).filter(|on| *on != day && is_known);
        push(&mut lines, Link::planting(garden, planting_id), on, moment);
    }
    let mut add = |about: &About, moment: Moment| {
        let links: Vec<Link> = if about.places.is_empty() {
            about.plantings.iter().map(|id| Link::planting(garden, *id)).collect()
        } else {
            about.places.iter().map(|id| Link::place(garden, *id)).collect()
        };
        let on = Some(moment.date).filter(|on| *on != day);
        lines.push(Line { about: links, on, moment });
    };
    for care in garden.care_told_in(id) {
        add(&care.about, moments::of_care(garden, care, true));
    }
    for harvest in garden.harvests_told_in(id) {
        let about = About { plantings: harvest.plantings.clone(), places: Vec::new() };
        add(&about, moments::of_harvest(garden, harvest));
    }
    for sight in garden.sights_told_in(id) {
        add(&sight.about, moments::of_sight(garden, sight));
    }
    for test in garden.tests_told_in(id) {
        add(&About::default(), moments::of_test(garden, test));
    }
    for cost in garden.costs_told_in(id) {
        add(&cost.about, moments::of_cost(garden, cost));
    }
    lines
}

/// The same thing said of several plantings is one line.
fn push(lines: &mut Vec<Line>, about: Link, on: Option<NaiveDate>, moment: Moment) {
    match lines.iter_mut().find(|line| line.moment == moment) {
        Some(line) => line.about.push(about),
        None => lines.push(Line { about: vec![about], on, moment }),
    }
}
