//! A year of the journal: its entries by month and by tag, as links.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::frame::{EntryLink, Frame, Link, named};
use crate::site::journal::{JournalView, ListedEntry, MonthView, Tag, months, shown};
use crate::site::page::{Page, Part};

/// A year of the journal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YearView {
    pub frame: Frame,
    /// Its months, newest first.
    pub months: Vec<MonthOfYear>,
    /// Tags, with their entries of this year, newest first.
    pub tags: Vec<Tag>,
}

/// A month with links to its entries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthOfYear {
    pub day: NaiveDate,
    /// Its page, from the root.
    pub href: String,
    /// Its entries, newest first.
    pub entries: Vec<ListedEntry>,
}

impl Page for YearView {
    type Key = i32;

    const PART: Part = JournalView::PART;
    const TEMPLATE: &'static str = "year.html";

    /// Newest first.
    fn keys(garden: &Garden) -> Vec<i32> {
        let mut years: Vec<i32> =
            months(garden).iter().rev().map(|month| month.day.year()).collect();
        years.dedup();
        years
    }

    fn path(_: &Garden, year: &i32) -> String {
        format!("journal/{year:04}/index.html")
    }

    fn view(garden: &Garden, findings: &Findings, &year: &i32) -> Self {
        let mut months: Vec<MonthOfYear> = Vec::new();
        let mut tags: BTreeMap<&str, Vec<EntryLink>> = BTreeMap::new();
        for (id, entry) in shown(garden).rev().filter(|(_, entry)| entry.date.year() == year) {
            let Some(listed) = ListedEntry::new(garden, findings, id) else { continue };
            for tag in &entry.tags {
                tags.entry(tag).or_default().push(listed.link.clone());
            }
            let day = entry.date.with_day(1).unwrap_or(entry.date);
            match months.last_mut().filter(|month| month.day == day) {
                Some(month) => month.entries.push(listed),
                None => {
                    let href = MonthView::path(garden, &day);
                    months.push(MonthOfYear { day, href, entries: vec![listed] });
                }
            }
        }
        let years = Self::keys(garden).into_iter().filter(|other| *other != year);
        let beside = years.map(|other| Link::new(other.to_string(), Self::path(garden, &other)));
        let tags = tags.into_iter().map(|(tag, entries)| Tag::new(tag, entries));
        YearView {
            frame: Frame::new::<Self>(garden, &year, named(&year.to_string()))
                .beside(beside.collect()),
            months,
            tags: tags.collect(),
        }
    }
}
