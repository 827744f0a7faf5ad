//! Who was where through the years: a strip for each crop of a place, and the same as a table.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::catalogue::CropId;
use crate::charts::year_strip::{self, Bar, YearStrip};
use crate::dates::{Period, shift};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::places::bookings::{Booking, Hold};
use crate::places::room;
use crate::site::frame::{Frame, Link, planting_name};
use crate::site::message::Message;
use crate::site::page::{Page, Part};
use crate::site::place_use::{self, CrowdView};
use crate::site::places::PlacesView;
use crate::site::seasons;

/// A strip shows no more than so many seasons.
const MOST_SEASONS: usize = 5;
const STRIP_HEIGHT: f64 = 24.0;
const HEAD_HEIGHT: f64 = 20.0;

/// The page of all places.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TimelineView {
    pub frame: Frame,
    /// The places in which anything was, is or shall be: those with soil first, by name.
    pub places: Vec<PlaceLines>,
}

/// The strips of one place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceLines {
    pub link: Link,
    /// How wide a strip is.
    pub width: f64,
    pub height: f64,
    /// How high the line of seasons over the strips is.
    pub head_height: f64,
    pub today: Option<f64>,
    /// The beginnings of seasons.
    pub seasons: Vec<SeasonTick>,
    /// A row for each crop, families together.
    pub rows: Vec<CropLine>,
    /// Times in which more is wanted than there is.
    pub crowds: Vec<CrowdView>,
    /// The stays of the last seasons, newest first.
    pub stays: Vec<StayRow>,
}

/// The beginning of a season on a strip.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonTick {
    pub x: f64,
    /// What the season is called.
    pub name: String,
}

/// A crop in a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropLine {
    pub crop: Link,
    pub family: Option<String>,
    pub bars: Vec<StayBar>,
}

/// A stay, or a part of it, on a strip.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StayBar {
    /// `waits` for seedlings on their way, `grows`, or `ahead` for what is still to come.
    pub kind: &'static str,
    /// Where it is drawn.
    pub bar: Bar,
    pub planting: Message,
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: NaiveDate,
}

/// A stay in a table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StayRow {
    pub planting: Link,
    pub crop: Link,
    pub family: Option<String>,
    /// Whether it was there, is, or shall be: `past`, `now` or `meant`.
    pub hold: &'static str,
    /// The first day, or what is expected of it.
    pub from: Message,
    /// The day it left, or what is expected of it.
    pub to: Message,
    /// How much of the place it took.
    pub room: Option<Message>,
}

impl Page for TimelineView {
    type Key = ();

    const PART: Part = PlacesView::PART;
    const TEMPLATE: &'static str = "timeline.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn path(_: &Garden, (): &()) -> String {
        "timeline/index.html".to_owned()
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let mut ids: Vec<PlaceId> = garden
            .places()
            .map(|(id, _)| id)
            .filter(|id| !findings.place_of(*id).bookings.is_empty())
            .collect();
        ids.sort_by_key(|id| (!room::is_soil(garden.place(*id)), Link::place(garden, *id)));
        let strip = strip(garden, findings, &ids);
        let frame = Frame::new::<Self>(garden, &(), Message::new("title.timeline"));
        let lines = |id: &PlaceId| lines_on(garden, findings, *id, &strip);
        TimelineView {
            places: ids.iter().map(lines).filter(|lines| !lines.rows.is_empty()).collect(),
            frame,
        }
    }
}

/// The strips of one place, for its own page; nothing if nothing was ever there.
pub fn lines(garden: &Garden, findings: &Findings, id: PlaceId) -> Option<PlaceLines> {
    let strip = strip(garden, findings, &[id]);
    let lines = lines_on(garden, findings, id, &strip);
    (!lines.rows.is_empty()).then_some(lines)
}

/// Who left a place on some days, is there and shall be, newest first; of days that are over only those who left.
pub(super) fn stays(
    garden: &Garden,
    findings: &Findings,
    id: PlaceId,
    days: Period,
) -> Vec<StayRow> {
    let found = findings.place_of(id);
    let is_in = |booking: &&Booking| match booking.to {
        Some(left) if booking.hold == Hold::Past => days.contains(left.from),
        _ => days.contains(garden.today),
    };
    let mut bookings: Vec<&Booking> = found.bookings.iter().filter(is_in).collect();
    bookings.sort_by_key(|one| std::cmp::Reverse((one.hold, one.from.from, one.planting)));
    let row = |booking: &Booking| {
        let planting = garden.planting(booking.planting);
        StayRow {
            planting: Link::planting(garden, booking.planting),
            crop: Link::crop(garden, planting.crop),
            family: planting.sheet.family.clone(),
            hold: match booking.hold {
                Hold::Past => "past",
                Hold::Now => "now",
                Hold::Meant => "meant",
            },
            from: expected(booking.from),
            to: match (booking.hold, booking.to) {
                (Hold::Past, Some(to)) => day(to.from),
                (_, Some(to)) => expected(to),
                (_, None) if booking.stands_on => Message::new("stay.for-years"),
                (_, None) => Message::new("stay.open"),
            },
            room: place_use::room_of(garden, found.capacity, booking.room),
        }
    };
    bookings.into_iter().map(row).collect()
}

fn day(date: NaiveDate) -> Message {
    Message::new("stay.day").with("date", date)
}

fn expected(days: Period) -> Message {
    if days.from == days.to {
        return day(days.from);
    }
    Message::new("stay.expected").with("from", days.from).with("to", days.to)
}

/// From the first season that is told to the last day that is expected, at least to the end of this season
/// and at most a season on.
fn strip(garden: &Garden, findings: &Findings, ids: &[PlaceId]) -> YearStrip {
    let bookings = || ids.iter().flat_map(|id| &findings.place_of(*id).bookings);
    let this = garden.season().days;
    let written = garden.entries.first().map_or(garden.today, |entry| entry.date);
    let mut from = this.from;
    for _ in 1..MOST_SEASONS {
        let before = garden.season_of(shift(from, -1)).days.from;
        let is_told = bookings().any(|booking| booking.perhaps().from < from);
        if from > written && is_told {
            from = before;
        }
    }
    let next = garden.season_of(shift(this.to, 1)).days.to;
    let ends = bookings().filter_map(|booking| booking.to).map(|to| to.to);
    let to = ends.max().map_or(this.to, |last| end_of_month(last).clamp(this.to, next));
    YearStrip::new(Period { from, to })
}

fn end_of_month(day: NaiveDate) -> NaiveDate {
    let next = shift(day.with_day(1).unwrap_or(day), 31);
    next.with_day(1).map_or(day, |first| shift(first, -1))
}

fn seasons(garden: &Garden, strip: &YearStrip) -> Vec<SeasonTick> {
    let days = strip.days();
    let mut ticks = Vec::new();
    let mut season = garden.season_of(days.from);
    while season.days.from <= days.to && ticks.len() <= MOST_SEASONS {
        if let Some(x) = strip.x(season.days.from) {
            ticks.push(SeasonTick { x, name: season.name() });
        }
        season = garden.season_of(shift(season.days.to, 1));
    }
    ticks
}

fn lines_on(garden: &Garden, findings: &Findings, id: PlaceId, strip: &YearStrip) -> PlaceLines {
    let found = findings.place_of(id);
    let mut rows: Vec<(CropId, CropLine)> = Vec::new();
    for booking in &found.bookings {
        let planting = garden.planting(booking.planting);
        let bars = bars(garden, booking, strip);
        if bars.is_empty() {
            continue;
        }
        match rows.iter_mut().find(|(crop, _)| *crop == planting.crop) {
            Some((_, row)) => row.bars.extend(bars),
            None => {
                let crop = Link::crop(garden, planting.crop);
                let family = planting.sheet.family.clone();
                rows.push((planting.crop, CropLine { crop, family, bars }));
            }
        }
    }
    rows.sort_by(|(_, a), (_, b)| (&a.family, &a.crop).cmp(&(&b.family, &b.crop)));
    PlaceLines {
        link: Link::place(garden, id),
        width: year_strip::WIDTH,
        height: STRIP_HEIGHT,
        head_height: HEAD_HEIGHT,
        today: strip.x(garden.today),
        seasons: seasons(garden, strip),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
        crowds: place_use::crowds(garden, found),
        stays: stays(garden, findings, id, seasons::near(garden, garden.today)),
    }
}

/// What was, up to today; and what is expected, from then on.
fn bars(garden: &Garden, booking: &Booking, strip: &YearStrip) -> Vec<StayBar> {
    let today = garden.today;
    let whole = booking.perhaps();
    let known = if booking.is_growing() { "grows" } else { "waits" };
    let been = Period { from: whole.from, to: whole.to.min(today) };
    let ahead = Period { from: whole.from.max(shift(today, 1)), to: whole.to };
    let parts = match booking.hold {
        Hold::Past => vec![(known, whole)],
        Hold::Meant => vec![("ahead", Period { from: whole.from, to: whole.to })],
        // Nobody can say how long seedlings wait that have nowhere to go.
        Hold::Now if booking.to.is_none() && !booking.stands_on => vec![(known, been)],
        Hold::Now => vec![(known, been), ("ahead", ahead)],
    };
    let name = planting_name(garden, booking.planting);
    parts
        .into_iter()
        .filter(|(_, days)| days.from <= days.to)
        .filter_map(|(kind, days)| {
            let bar = strip.bar(days)?;
            let to = days.to.min(strip.days().to);
            Some(StayBar { kind, bar, planting: name.clone(), from: days.from, to })
        })
        .collect()
}
