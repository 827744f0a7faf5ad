//! What the search looks in: the names of today in one file, and a file for each year of the journal.

use std::collections::BTreeSet;

use chrono::{Datelike, NaiveDate};

use crate::garden::model::Garden;
use crate::garden::shown::Shown;
use crate::site::frame::Link;
use crate::site::journal::shown;
use crate::site::letters::{self, LetterEntry};

/// Where the names of today lie, from the root.
pub const NAMES_PATH: &str = "search/names.js";

/// What a year has to be found.
#[derive(Clone, Debug, PartialEq)]
pub struct YearIndex {
    /// Entries, newest first.
    pub entries: Vec<EntryWords>,
    /// Plantings that ended in it and are among the names of today no more.
    pub plantings: Vec<Link>,
}

/// An entry and the words by which it is found.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryWords {
    pub title: Option<String>,
    pub date: NaiveDate,
    /// Its page, from the root.
    pub href: String,
    /// Its tags and the words of its prose from three letters on, each once.
    pub words: String,
}

/// Where the words of a year lie, from the root.
pub fn year_path(year: i32) -> String {
    format!("search/{year}.js")
}

/// Crops, places, mixes, and the plantings of today.
pub fn names(garden: &Garden) -> Vec<LetterEntry> {
    letters::entries(garden)
}

/// The years in which there is something to be found, newest first.
pub fn years(garden: &Garden) -> Vec<i32> {
    let entries = shown(garden).map(|(_, entry)| entry.date.year());
    let ended = ended(garden).map(|(_, year)| year);
    let years: BTreeSet<i32> = entries.chain(ended).collect();
    years.into_iter().rev().collect()
}

impl YearIndex {
    pub fn new(garden: &Garden, year: i32) -> YearIndex {
        let entries = shown(garden).rev().filter(|(_, entry)| entry.date.year() == year);
        let entries = entries.filter_map(|(id, entry)| {
            let link = Link::entry(garden, id)?;
            let tags = entry.tags.iter().map(Shown::as_str);
            let words = words(tags.chain([entry.prose.as_str()]));
            Some(EntryWords { title: link.title, date: link.date, href: link.href, words })
        });
        let plantings = ended(garden).filter(|(_, ended)| *ended == year).map(|(link, _)| link);
        YearIndex { entries: entries.collect(), plantings: plantings.collect() }
    }
}

/// Plantings of earlier seasons, each with the year in which it ended.
fn ended(garden: &Garden) -> impl Iterator<Item = (Link, i32)> {
    let ended = garden.plantings().filter(|(id, _)| !letters::is_of_today(garden, *id));
    ended.filter_map(|(id, planting)| Some((Link::planting(garden, id), planting.finished?.year())))
}

fn words<'a>(texts: impl Iterator<Item = &'a str>) -> String {
    let mut seen = BTreeSet::new();
    for text in texts {
        let words = text.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase);
        seen.extend(words.filter(|word| word.chars().count() > 2));
    }
    seen.into_iter().collect::<Vec<_>>().join(" ")
}
