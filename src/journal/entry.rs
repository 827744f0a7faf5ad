//! One journal entry, and how a file becomes one.

use chrono::NaiveDate;

use crate::dates;
use crate::diagnostics::problem::Problems;
use crate::journal::care::Care;
use crate::journal::event::Event;
use crate::journal::harvest::Harvest;
use crate::journal::lost;
use crate::journal::notes::{Cost, Photo, SeedTest, Seen, WeatherNote};
use crate::journal::problems;
use crate::journal::prose::{self, Link};
use crate::journal::short::{self, Beginning};
use crate::journal::start::Start;
use crate::origin::{FileId, Written};
use crate::source::fields::Fields;
use crate::source::files::File;
use crate::source::front_matter::{Document, Map, Node, Value, read_markdown};

/// One journal entry as written.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The file it stands in.
    pub file: FileId,
    /// The file's path, which orders entries of one day.
    pub path: String,
    /// The day it is about.
    pub date: Written<NaiveDate>,
    /// Its heading.
    pub title: Option<Written<String>>,
    /// Plantings begun or intended.
    pub plantings: Vec<Start>,
    /// Plantings begun in short lines, before it is known what their names stand for.
    pub beginnings: Vec<Beginning>,
    /// What happened to plantings.
    pub events: Vec<Event>,
    pub care: Vec<Care>,
    pub harvests: Vec<Harvest>,
    /// Pests, diseases and other things seen.
    pub seen: Vec<Seen>,
    pub tests: Vec<SeedTest>,
    /// The day's weather.
    pub weather: Option<WeatherNote>,
    pub costs: Vec<Cost>,
    /// Words by which entries are found again.
    pub tags: Vec<Written<String>>,
    /// Pictures.
    pub photos: Vec<Photo>,
    /// Whether only its figures may be shown.
    pub is_private: bool,
    /// The prose, as Markdown.
    pub prose: String,
    /// The links `[[…]]` in the prose.
    pub links: Vec<Link>,
    /// What could not be read of it, by the names that stand there.
    pub lost: Lost,
}

/// Names in what could not be read: what follows from them is nobody's mistake.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lost {
    /// Ids of plantings that may begin there.
    pub ids: Vec<String>,
    /// Plantings, crops and places of which something may be told there.
    pub doubtful: Vec<String>,
}

/// What a journal file gave.
#[derive(Clone, Debug)]
pub enum Reading {
    Entry(Box<Entry>),
    /// Nothing but the names that stand in it.
    Damaged(Lost),
}

/// Reads one file of the journal; `jobs` are the garden's own words for work.
pub fn read_entry(file: &File, jobs: &[String], problems: &mut Problems) -> Reading {
    let Some(document) = read_markdown(file, problems) else {
        return Reading::Damaged(lost::in_text(&file.text_to_show()));
    };
    let links = prose::links(file.id, document.body, document.body_start);
    let entry = document
        .fields
        .as_ref()
        .and_then(|map| read_fields(file, map, jobs, &document, links, problems));
    match entry {
        Some(entry) => Reading::Entry(Box::new(entry)),
        None => Reading::Damaged(lost::in_text(document.front)),
    }
}

fn read_fields(
    file: &File,
    map: &Map,
    jobs: &[String],
    document: &Document<'_>,
    links: Vec<Link>,
    problems: &mut Problems,
) -> Option<Entry> {
    let before = problems.len();
    let mut lost = Lost::default();
    let mut fields = Fields::new(map, "an entry", problems);
    let date = fields.read("date", problems, dates::date);
    let date = date.or_else(|| {
        let named = date_of_name(file.stem()).filter(|_| fields.key_at("date").is_none());
        named.map(|day| Written::new(day, file.origin()))
    });
    let date = fields.demand("date", date, "2026-02-22");
    let title = fields.text("title", problems);
    let plantings = history(&mut fields, "plantings", Start::read, &mut lost, problems);
    let events = history(&mut fields, "events", Event::read, &mut lost, problems);
    let care = lines(&mut fields, "care", Care::read, problems);
    let harvests = lines(&mut fields, "harvests", Harvest::read, problems);
    let seen = match fields.peek("seen") {
        Some(Node { value: Value::Map(_) | Value::Text(_), .. }) => Vec::new(),
        _ => lines(&mut fields, "seen", Seen::read, problems),
    };
    let tests = lines(&mut fields, "tests", SeedTest::read, problems);
    let weather = fields.map("weather", problems).map(|map| WeatherNote::read(map, problems));
    let costs = lines(&mut fields, "costs", Cost::read, problems);
    let tags = fields.texts("tags", problems);
    let photos = lines(&mut fields, "photos", Photo::read, problems);
    let is_private = fields.flag("private", problems).is_some_and(|flag| flag.value);
    let mut short = short::take(&mut fields, jobs, problems);
    fields.finish(problems);
    lost.doubtful.append(&mut short.doubtful);
    let mut entry = Entry {
        file: file.id,
        path: file.path.clone(),
        date: date?,
        title,
        plantings,
        beginnings: short.beginnings,
        events: joined(events, short.events),
        care: joined(care, short.care),
        harvests: joined(harvests, short.harvests),
        seen: joined(seen, short.seen),
        tests,
        weather,
        costs: joined(costs, short.costs),
        tags,
        photos,
        is_private,
        prose: document.body.to_owned(),
        links,
        lost,
    };
    check_days(&mut entry, problems);
    if problems.len() > before {
        entry.lost.ids = lost::in_text(document.front).ids;
    }
    Some(entry)
}

/// The date that a file's name begins with, for an entry that does not say its own.
fn date_of_name(stem: &str) -> Option<NaiveDate> {
    dates::date(stem.get(..10)?).ok()
}

/// Short lines come after the long ones.
fn joined<T>(mut long: Vec<T>, short: Vec<T>) -> Vec<T> {
    long.extend(short);
    long
}

/// Lines that make the history of plantings: of those that could not be read, the names are kept.
fn history<T>(
    fields: &mut Fields<'_>,
    key: &'static str,
    read: fn(&Map, &mut Problems) -> Option<T>,
    lost: &mut Lost,
    problems: &mut Problems,
) -> Vec<T> {
    let before = problems.len();
    let maps = fields.maps(key, problems);
    if problems.len() > before {
        lost::within(fields.peek(key), &mut lost.doubtful);
    }
    let mut lines = Vec::new();
    for map in maps {
        let before = problems.len();
        lines.extend(read(map, problems));
        if problems.len() > before {
            lost::within_map(map, &mut lost.doubtful);
        }
    }
    lines
}

fn lines<T>(
    fields: &mut Fields<'_>,
    key: &'static str,
    read: fn(&Map, &mut Problems) -> Option<T>,
    problems: &mut Problems,
) -> Vec<T> {
    fields.maps(key, problems).into_iter().filter_map(|map| read(map, problems)).collect()
}

/// A line is never about a day after its entry.
fn check_days(entry: &mut Entry, problems: &mut Problems) {
    let date = &entry.date;
    let is_after =
        |on: &Option<Written<NaiveDate>>| on.as_ref().is_some_and(|on| on.value > date.value);
    let mut doubtful = Vec::new();
    for line in entry.plantings.iter().filter(|line| is_after(&line.on)) {
        doubtful.push(line.id.value.clone());
    }
    for line in entry.events.iter().filter(|line| is_after(&line.on)) {
        doubtful.extend(line.subject.names().map(str::to_owned));
        doubtful.extend(line.becomes.as_ref().map(|id| id.value.clone()));
    }
    let plantings = entry.plantings.iter().map(|line| line.on.as_ref());
    let events = entry.events.iter().map(|line| line.on.as_ref());
    let care = entry.care.iter().map(|line| line.on.as_ref());
    let harvests = entry.harvests.iter().map(|line| line.on.as_ref());
    let seen = entry.seen.iter().map(|line| line.on.as_ref());
    let tests = entry.tests.iter().map(|line| line.on.as_ref());
    let costs = entry.costs.iter().map(|line| line.on.as_ref());
    plantings
        .chain(events)
        .chain(care)
        .chain(harvests)
        .chain(seen)
        .chain(tests)
        .chain(costs)
        .flatten()
        .filter(|on| on.value > date.value)
        .for_each(|on| problems.add(problems::after_entry(on, date)));
    entry.lost.doubtful.extend(doubtful);
}
