//! The journal: its years and months, and the page of each entry.

use crate::site::entry::EntryBody;
use std::collections::BTreeMap;
use std::ops::Range;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::records::{EntryId, EntryRecord};
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::journal_year::YearView;
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::photo::PhotoView;

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
