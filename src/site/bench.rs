//! Room for raising plants, in words and as bars: on the page of a tray or a shelf, and on the front page.

use chrono::NaiveDate;
use serde::Serialize;

use crate::charts::week_bars::WeekBars;
use crate::dates::shift;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::raising::bench::{Bench, Measure, Week};
use crate::site::amount::Amount;
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::units::AreaUnit;

/// Room for raising plants.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BenchView {
    pub there: Message,
    /// The fullest week of the season.
    pub fullest: Option<Message>,
    /// Times from today on in which more is wanted than there is.
    pub overfull: Vec<Message>,
    /// The season week by week; nothing if it was and will be empty.
    pub bars: Option<WeekBars>,
    /// The weeks from this one on in which something stands there.
    pub weeks: Vec<WeekRow>,
}

/// A week.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeekRow {
    /// Its Monday.
    pub from: NaiveDate,
    pub taken: Message,
    /// Whether that is more than there is.
    pub is_over: bool,
    /// Who stands there.
    pub who: Vec<HeldRow>,
    /// How many stand there that nobody can measure.
    pub unknown: Option<Message>,
}

/// What a planting takes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HeldRow {
    pub planting: Link,
    pub takes: Amount,
}

impl BenchView {
    /// Of a place for raising that tells how much room it has.
    pub fn new(garden: &Garden, findings: &Findings, place: PlaceId) -> Option<BenchView> {
        let bench = findings.benches.iter().find(|bench| bench.place == place)?;
        let used = |week: &&Week| week.taken > 0.0 || week.unknown > 0;
        let fullest = bench.weeks.iter().filter(used).max_by(|a, b| a.taken.total_cmp(&b.taken));
        let weeks: Vec<(NaiveDate, f64)> =
            bench.weeks.iter().map(|week| (week.from, week.taken)).collect();
        let coming =
            bench.weeks.iter().filter(used).filter(|week| shift(week.from, 6) >= garden.today);
        Some(BenchView {
            there: there(garden, bench),
            fullest: fullest.map(|week| {
                Message::new("bench.fullest")
                    .with("date", week.from)
                    .with("taken", much(garden, bench.measure, week.taken))
                    .with("there", much(garden, bench.measure, bench.there))
            }),
            overfull: overfull(garden, bench),
            bars: fullest.map(|_| WeekBars::new(&weeks, bench.there, garden.today)),
            weeks: coming.map(|week| row(garden, bench, week)).collect(),
        })
    }
}

fn there(garden: &Garden, bench: &Bench) -> Message {
    let there = much(garden, bench.measure, bench.there);
    match bench.cells_in_tray {
        Some(cells) => Message::new("bench.there-trays")
            .with("there", there)
            .with("trays", Amount::count((bench.there / f64::from(cells)).round() as u32, "trays"))
            .with("cells", Amount::whole(f64::from(cells))),
        None => Message::new("bench.there-shelf").with("there", there),
    }
}

fn row(garden: &Garden, bench: &Bench, week: &Week) -> WeekRow {
    WeekRow {
        from: week.from,
        taken: Message::new("bench.taken")
            .with("taken", much(garden, bench.measure, week.taken))
            .with("there", much(garden, bench.measure, bench.there)),
        is_over: week.taken > bench.there * (1.0 + 1e-9),
        who: week
            .who
            .iter()
            .map(|held| HeldRow {
                planting: Link::planting(garden, held.planting),
                takes: Amount { about: held.is_about, ..much(garden, bench.measure, held.takes) },
            })
            .collect(),
        unknown: (week.unknown > 0)
            .then(|| Message::new("bench.unknown").with("count", u64::from(week.unknown))),
    }
}

/// Overfull weeks that follow each other are one time.
pub fn overfull(garden: &Garden, bench: &Bench) -> Vec<Message> {
    let mut times: Vec<(NaiveDate, NaiveDate, f64)> = Vec::new();
    for week in bench.overfull(garden.today) {
        let (from, to) = (week.from.max(garden.today), shift(week.from, 6));
        match times.last_mut().filter(|last| shift(last.1, 1) == week.from) {
            Some(last) => *last = (last.0, to, last.2.max(week.taken)),
            None => times.push((from, to, week.taken)),
        }
    }
    let say = |(from, to, taken): (NaiveDate, NaiveDate, f64)| {
        Message::new("bench.overfull")
            .with("from", from)
            .with("to", to)
            .with("taken", much(garden, bench.measure, taken))
            .with("there", much(garden, bench.measure, bench.there))
    };
    times.into_iter().map(say).collect()
}

fn much(garden: &Garden, measure: Measure, much: f64) -> Amount {
    match measure {
        Measure::Cells => Amount::count(much.round() as u32, "cells"),
        Measure::SquareMetres => {
            Amount::small_area(AreaUnit::SquareMetre.of(much), garden.settings.units)
        }
    }
}
