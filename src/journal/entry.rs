//! One journal entry, and how a file becomes one.

use chrono::NaiveDate;

use crate::dates;
use crate::diagnostics::problem::Problems;
use crate::journal::care::Care;
use crate::journal::event::Event;
use crate::journal::harvest::Harvest;
use crate::journal::notes::{Cost, Photo, SeedTest, Seen, WeatherNote};
use crate::journal::problems;
use crate::journal::prose::{self, Link};
use crate::journal::start::Start;
use crate::origin::{FileId, Written};
use crate::source::fields::Fields;
use crate::source::files::File;
use crate::source::front_matter::{Map, read_markdown};

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
    /// What happened to plantings.
    pub events: Vec<Event>,
    /// What was done.
    pub care: Vec<Care>,
    /// What was picked.
    pub harvests: Vec<Harvest>,
    /// Pests, diseases and other things seen.
    pub seen: Vec<Seen>,
    /// Germination tests.
    pub tests: Vec<SeedTest>,
    /// The day's weather.
    pub weather: Option<WeatherNote>,
    /// What was paid.
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
    /// Ids of lines that could not be read: whoever names them is not to blame.
    pub damaged: Vec<String>,
}

/// What a journal file gave.
#[derive(Clone, Debug)]
pub enum Reading {
    /// An entry.
    Entry(Box<Entry>),
    /// Nothing; but these ids stand in it, and whoever names them must not be blamed.
    Damaged(Vec<String>),
}

/// Reads one file of the journal.
pub fn read_entry(file: &File, problems: &mut Problems) -> Reading {
    let Some(document) = read_markdown(file, problems) else {
        return Reading::Damaged(ids_in(&file.text_to_show()));
    };
    let links = prose::links(file.id, document.body, document.body_start);
    let entry = document
        .fields
        .as_ref()
        .and_then(|map| read_fields(file, map, document.body, links, problems));
    match entry {
        Some(entry) => Reading::Entry(Box::new(entry)),
        None => Reading::Damaged(ids_in(document.front)),
    }
}

fn read_fields(
    file: &File,
    map: &Map,
    prose: &str,
    links: Vec<Link>,
    problems: &mut Problems,
) -> Option<Entry> {
    let mut fields = Fields::new(map, "an entry", problems);
    let date = fields.read("date", problems, dates::date);
    let date = fields.demand("date", date, "2026-02-22", problems);
    let title = fields.text("title", problems);
    let plantings = lines(&mut fields, "plantings", Start::read, problems);
    let lost = fields.maps("plantings", &mut Problems::new()).len() - plantings.len();
    let events = lines(&mut fields, "events", Event::read, problems);
    let care = lines(&mut fields, "care", Care::read, problems);
    let harvests = lines(&mut fields, "harvests", Harvest::read, problems);
    let seen = lines(&mut fields, "seen", Seen::read, problems);
    let tests = lines(&mut fields, "tests", SeedTest::read, problems);
    let weather = fields.map("weather", problems).map(|map| WeatherNote::read(map, problems));
    let costs = lines(&mut fields, "costs", Cost::read, problems);
    let tags = fields.texts("tags", problems);
    let photos = lines(&mut fields, "photos", Photo::read, problems);
    let is_private = fields.flag("private", problems).is_some_and(|flag| flag.value);
    fields.finish(problems);
    let entry = Entry {
        file: file.id,
        path: file.path.clone(),
        date: date?,
        title,
        plantings,
        events,
        care,
        harvests,
        seen,
        tests,
        weather,
        costs,
        tags,
        photos,
        is_private,
        prose: prose.to_owned(),
        links,
        damaged: if lost > 0 { ids_of(map) } else { Vec::new() },
    };
    check_days(&entry, problems);
    Some(entry)
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
fn check_days(entry: &Entry, problems: &mut Problems) {
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
        .filter(|on| on.value > entry.date.value)
        .for_each(|on| problems.add(problems::after_entry(on, &entry.date)));
}

/// The ids of all lines under `plantings`, also of those that could not be read.
fn ids_of(map: &Map) -> Vec<String> {
    let mut fields = Fields::new(map, "an entry", &mut Problems::new());
    let lines = fields.maps("plantings", &mut Problems::new());
    let id =
        |line: &&Map| Fields::new(line, "", &mut Problems::new()).text("id", &mut Problems::new());
    lines.iter().filter_map(id).map(|id| id.value).collect()
}

/// The ids that a damaged front matter announces: whatever stands behind `id:` or `as:`.
fn ids_in(front: &str) -> Vec<String> {
    let mut ids = Vec::new();
    for key in ["id:", "as:"] {
        for (at, _) in front.match_indices(key) {
            let is_key = front[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric());
            let rest = front[at + key.len()..].trim_start_matches([' ', '\'', '"']);
            let id: String =
                rest.chars().take_while(|c| c.is_alphanumeric() || *c == '-').collect();
            if is_key && !id.is_empty() {
                ids.push(id);
            }
        }
    }
    ids
}
