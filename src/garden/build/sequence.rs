//! What happens, in the order in which it happened: lines of one day may stand in any order.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::garden::build::lookup::Lookup;
use crate::garden::place::PlaceId;
use crate::garden::planting::Planting;
use crate::happening::Happening;
use crate::journal::entry::Entry;
use crate::journal::event::Event;
use crate::journal::start::{Since, Start};
use crate::stage::Stage;

/// One thing that happens: a planting begins, or a line under `events`.
pub(super) struct DayEvent<'a> {
    pub(super) day: NaiveDate,
    pub(super) entry: usize,
    pub(super) what: What<'a>,
}

pub(super) enum What<'a> {
    Begins(&'a Start),
    Event(&'a Event),
}

/// By day; on one day so that lines in any order say the same, then by file, then down the page.
pub(super) fn in_order<'a>(
    entries: &'a [Entry],
    lookup: &Lookup,
    plantings: &[Planting],
) -> Vec<DayEvent<'a>> {
    let mut all = Vec::new();
    for (entry, written) in entries.iter().enumerate() {
        for start in &written.plantings {
            let since = match start.since.as_ref().map(|since| since.value) {
                Some(Since::Day(day)) => Some(day),
                Some(Since::Year(year)) => NaiveDate::from_ymd_opt(year, 1, 1),
                Some(Since::Unknown) | None => None,
            };
            let on = start.on.as_ref().map(|on| on.value);
            let day = since.or(on).unwrap_or(written.date.value);
            all.push(DayEvent { day, entry, what: What::Begins(start) });
        }
        for event in &written.events {
            let day = event.on.as_ref().map_or(written.date.value, |on| on.value);
            all.push(DayEvent { day, entry, what: What::Event(event) });
        }
    }
    let came: BTreeSet<(NaiveDate, PlaceId)> = (all.iter())
        .flat_map(|event| {
            let places = match event.what {
                What::Begins(_) => Vec::new(),
                What::Event(written) => destinations(written, lookup, plantings),
            };
            places.into_iter().map(|place| (event.day, place))
        })
        .collect();
    all.sort_by_cached_key(|event| {
        let is_from = |place| !came.contains(&(event.day, place));
        (
            event.day,
            rank(&event.what, |name| lookup.places.find(name).is_some_and(is_from)),
            event.entry,
        )
    });
    all
}

/// Where plants come to by this line.
fn destinations(event: &Event, lookup: &Lookup, plantings: &[Planting]) -> Vec<PlaceId> {
    if !is_arrival(event.is.value) {
        return Vec::new();
    }
    if let Some(place) = &event.place {
        return lookup.places.find(&place.value).into_iter().collect();
    }
    let named = event.subject.plantings.iter().filter_map(|id| lookup.plantings.find(&id.value));
    named.filter_map(|id| plantings[id.0].destined).collect()
}

/// Whether `place` on such a line says where plants come to; else it says where they stood.
pub(super) fn is_arrival(what: Happening) -> bool {
    match what {
        Happening::Reached(stage) => stage != Stage::Finished,
        Happening::Moved => true,
        Happening::Showed(_) | Happening::Thinned | Happening::GivenAway | Happening::Lost => false,
    }
}

/// Beginnings, then stages in their order, then what changes no stage, then the end; counted plants
/// before 'the rest'. What is lost from a place that others leave on this day is lost before they leave.
fn rank(what: &What<'_>, is_from: impl Fn(&str) -> bool) -> (u8, Stage, bool) {
    let What::Event(event) = what else { return (0, Stage::Intended, false) };
    let is_rest = event.count.is_none();
    match event.is.value {
        Happening::Reached(Stage::Finished) => (3, Stage::Finished, is_rest),
        Happening::Reached(stage) => (1, stage, is_rest),
        Happening::Moved => (2, Stage::Intended, is_rest),
        _ if event.place.as_ref().is_some_and(|place| is_from(&place.value)) => {
            (1, Stage::Emerged, true)
        }
        _ => (2, Stage::Finished, is_rest),
    }
}
