//! Which seasons a page tells of itself; those before have pages of their own, so that no page grows with the years.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::dates::{Period, shift};
use crate::garden::model::{Garden, Season};
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::site::page::Page;

/// A page tells of so many seasons.
const NEAR: usize = 3;

/// The days that a page tells of itself: the season of its last day, two before it, and what comes after.
pub(super) fn near(garden: &Garden, last: NaiveDate) -> Period {
    let mut from = garden.season_of(last).days.from;
    for _ in 1..NEAR {
        from = garden.season_of(shift(from, -1)).days.from;
    }
    Period { from, to: NaiveDate::MAX }
}

/// The seasons before those, as far as anything happened in them, newest first.
pub(super) fn older(
    garden: &Garden,
    last: NaiveDate,
    days: impl IntoIterator<Item = NaiveDate>,
) -> Vec<Season> {
    let near = near(garden, last).from;
    let old = days.into_iter().filter(|day| *day < near);
    let firsts: BTreeSet<NaiveDate> = old.map(|day| garden.season_of(day).days.from).collect();
    firsts.into_iter().rev().map(|day| garden.season_of(day)).collect()
}

/// The page of a season, below the page of what it is a season of.
pub(super) fn path_below(page: &str, season: Season) -> String {
    let folder = page.strip_suffix("index.html").unwrap_or(page);
    format!("{folder}{}/index.html", season.name().replace('/', "-"))
}

/// What the page of a season is called.
pub(super) fn title(of: Message, season: Season) -> Message {
    Message::new("title.in-season").with("name", of).with("season", season.name())
}

/// To the pages of some seasons.
pub(super) fn links<P: Page>(
    garden: &Garden,
    seasons: Vec<Season>,
    key: impl Fn(Season) -> P::Key,
) -> Vec<Link> {
    let link = |season: Season| Link::new(season.name(), P::path(garden, &key(season)));
    seasons.into_iter().map(link).collect()
}
