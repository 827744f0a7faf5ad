//! The page of an entry, and what an entry says wherever it stands.

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::{About, EntryId, Weather};
use crate::garden::shown::Shown;
use crate::link_target::{Target, brackets};
use crate::site::amount::Amount;
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::journal::{JournalView, Month, MonthView, shown};
use crate::site::message::Message;
use crate::site::moments::{self, Moment};
use crate::site::page::{Page, Part};
use crate::site::photo::PhotoView;
use crate::units::Celsius;
use chrono::{Datelike, NaiveDate};
use serde::Serialize;

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
