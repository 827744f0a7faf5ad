//! The calendar feed as a value: what a phone is told, before anybody thinks of its file format.

use std::collections::BTreeSet;
use std::fmt;
use std::num::NonZeroU16;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

/// The most events a feed holds. Subscribed feeds of about 1,100 events were reported to lose some
/// (reports gathered while designing; no calendar service documents a limit).
pub const MOST_EVENTS: usize = 1_000;

/// The polling gap the feed suggests, in hours: tasks are days, so twice a day is often enough.
pub const TWICE_A_DAY: NonZeroU16 = NonZeroU16::new(12).unwrap();

/// A feed: what it is called, and its events by day. Made by [`FeedView::new`], which alone keeps the rules.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedView {
    /// What is said of the feed as a whole.
    pub about: FeedAbout,
    /// Sorted by first day, then by UID; at most [`MOST_EVENTS`].
    events: Vec<EventView>,
    /// How many events were too far off to be taken in.
    left_out: usize,
}

/// What is said of a feed as a whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedAbout {
    /// The day it is made for: what says something new is dated with it.
    pub day: NaiveDate,
    /// The calendar's name on the phone.
    pub title: String,
    /// What it holds, and what it does not warn of; may be empty.
    pub description: String,
    /// The page that shows the same tasks, as an absolute address; only known with a site address.
    pub page: Option<String>,
    /// The absolute address of the feed's own file; only known with a site address.
    pub source: Option<String>,
    /// The suggested least gap between two polls, in hours.
    pub refresh_hours: NonZeroU16,
}

/// One all-day event.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EventView {
    /// A UUID that stays the same from build to build: see [`crate::site::identity::event_uid`].
    pub uid: String,
    pub first_day: NaiveDate,
    /// The last day, itself part of the event: the same as `first_day` for one day.
    pub last_day: NaiveDate,
    /// One line.
    pub summary: String,
    /// Lines of plain text, with any caution; may be empty.
    pub description: String,
    /// Kinds of work, most telling first; may be empty.
    pub categories: Vec<String>,
    /// The page that says more, as an absolute address; only known with a site address.
    pub url: Option<String>,
    /// A reminder so many hours before the first day begins. After the beginning is not offered:
    /// programs in wide use read a positive trigger as 'before'.
    pub alarm_hours_before: Option<NonZeroU16>,
}

/// Why a list of events makes no feed. All are faults of the program, not of the grower.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FeedFault {
    /// Two events with this UID: a phone would show only one of them.
    RepeatedUid(String),
    /// The event with this UID ends before it begins.
    EndsBeforeItBegins(String),
    /// The event with this UID has a date outside the years 1 to 9998, which the format cannot hold.
    YearOutOfRange(String),
}

impl FeedView {
    /// Sorts the events by (first day, UID) and keeps the nearest [`MOST_EVENTS`]: the farthest are
    /// dropped first, and counted in [`FeedView::left_out`].
    ///
    /// # Errors
    /// A [`FeedFault`] for the first event that cannot be told truthfully; those dropped are looked at too.
    pub fn new(about: FeedAbout, mut events: Vec<EventView>) -> Result<FeedView, FeedFault> {
        let mut seen = BTreeSet::new();
        for event in &events {
            let uid = || event.uid.clone();
            if !seen.insert(event.uid.as_str()) {
                return Err(FeedFault::RepeatedUid(uid()));
            }
            if event.last_day < event.first_day {
                return Err(FeedFault::EndsBeforeItBegins(uid()));
            }
            // 9998, because the day after the last day must be writable with four digits as well.
            let days = [event.first_day, event.last_day, about.day];
            if !days.iter().all(|day| (1..=9998).contains(&day.year())) {
                return Err(FeedFault::YearOutOfRange(uid()));
            }
        }
        events.sort_by(|a, b| (a.first_day, &a.uid).cmp(&(b.first_day, &b.uid)));
        let left_out = events.len().saturating_sub(MOST_EVENTS);
        events.truncate(MOST_EVENTS);
        Ok(FeedView { about, events, left_out })
    }

    /// The events, nearest first.
    pub fn events(&self) -> &[EventView] {
        &self.events
    }

    /// How many events were dropped because they are the farthest of too many.
    pub fn left_out(&self) -> usize {
        self.left_out
    }
}

impl fmt::Display for FeedFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FeedFault::RepeatedUid(uid) => write!(f, "two events of the feed have the UID {uid}"),
            FeedFault::EndsBeforeItBegins(uid) => {
                write!(f, "the event {uid} ends before it begins")
            }
            FeedFault::YearOutOfRange(uid) => {
                write!(f, "the event {uid} lies outside the years 1 to 9998")
            }
        }
    }
}

impl std::error::Error for FeedFault {}

#[cfg(test)]
mod tests {
    use super::*;

    fn about() -> FeedAbout {
        FeedAbout {
            day: day(0),
            title: "Harbour steps".into(),
            description: String::new(),
            page: None,
            source: None,
            refresh_hours: TWICE_A_DAY,
        }
    }

    fn event(uid: &str, first_day: NaiveDate) -> EventView {
        EventView {
            uid: uid.into(),
            first_day,
            last_day: first_day,
            summary: "Water".into(),
            description: String::new(),
            categories: vec![],
            url: None,
            alarm_hours_before: None,
        }
    }

    fn day(n: u64) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 3, 1).unwrap() + chrono::Days::new(n)
    }

    #[test]
    fn events_stand_by_day_then_by_uid() {
        let given = vec![event("b", day(1)), event("c", day(0)), event("a", day(1))];
        let feed = FeedView::new(about(), given).unwrap();
        let uids: Vec<_> = feed.events().iter().map(|event| event.uid.as_str()).collect();
        assert_eq!(uids, ["c", "a", "b"]);
        assert_eq!(feed.left_out(), 0);
    }

    #[test]
    fn of_too_many_the_farthest_are_dropped() {
        // Farthest first, so that keeping the first thousand as given would be noticed.
        let given = (0..1_003).rev().map(|n| event(&format!("{n:04}"), day(n))).collect();
        let feed = FeedView::new(about(), given).unwrap();
        assert_eq!(feed.events().len(), 1_000);
        assert_eq!(feed.events()[0].first_day, day(0));
        assert_eq!(feed.events()[999].first_day, day(999));
        assert_eq!(feed.left_out(), 3);
    }

    #[test]
    fn what_cannot_be_told_truthfully_is_refused() {
        let twice = vec![event("a", day(0)), event("a", day(9))];
        assert_eq!(FeedView::new(about(), twice), Err(FeedFault::RepeatedUid("a".into())));

        let backwards = EventView { last_day: day(0), ..event("a", day(1)) };
        assert_eq!(
            FeedView::new(about(), vec![backwards]),
            Err(FeedFault::EndsBeforeItBegins("a".into()))
        );

        for year in [-44, 0, 9999, 12_000] {
            let strange = NaiveDate::from_ymd_opt(year, 12, 31).unwrap();
            let refused = FeedView::new(about(), vec![event("a", strange)]);
            assert_eq!(refused, Err(FeedFault::YearOutOfRange("a".into())));
        }
    }
}
