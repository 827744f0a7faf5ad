//! How often a crop is picked, and for how long.
//!
//! *Picking interval:* the geometric mean of the days between two pickings of one planting in one season. Gaps in
//! which the grower was away are left out, and so are pauses: more than three weeks, or three times the
//! table's range if that is longer. Fewer than three gaps say nothing (both common practice, no source).
//!
//! *Season length:* from a planting's first to its last picking of a season, both counted; censored while
//! it is growing in that season.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use crate::catalogue::CropId;
use crate::dates::shift;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::learning::Group;
use crate::learning::posterior::{End, Sample};
use crate::learning::quantity::{Beginning, Kind, Quantity};
use crate::learning::table;
use crate::names;
use crate::settings::away::{Away, AwayDay};

const LEAST_GAPS: usize = 3;
const PAUSE_DAYS: f64 = 21.0;

/// The pickings of one planting in one season.
#[derive(Clone, Debug)]
pub(super) struct Season {
    pub(super) planting: PlantingId,
    crop: CropId,
    kind: Kind,
    variety: Arc<str>,
    starts: NaiveDate,
    ends: NaiveDate,
    /// The days on which it was picked, each once; at least one.
    days: Vec<NaiveDate>,
    /// The day on which the planting ended.
    finished: Option<NaiveDate>,
    /// Whether its first pickings may have gone unwritten, because the journal began in this season.
    is_cut: bool,
    /// A longer gap is a pause, in days.
    pause_days: f64,
}

impl Season {
    /// What it may be pooled with, for a quantity.
    pub(super) fn group(&self, quantity: Quantity) -> Group {
        (self.crop, quantity, self.kind)
    }

    /// What was known of it before a day: its length, or the days between its pickings.
    pub(super) fn as_of(
        &self,
        day: NaiveDate,
        quantity: Quantity,
        away: &[Away],
    ) -> Option<Sample> {
        let days = &self.days[..self.days.partition_point(|picked| *picked < day)];
        let (first, last) = days.first().zip(days.last())?;
        if quantity == Quantity::PickingInterval {
            return Some(self.sample(self.interval(days, away)?, End::Came));
        }
        if self.is_cut {
            return None;
        }
        let is_past = |end: NaiveDate| end < day;
        let is_over = self.finished.is_some_and(is_past) || is_past(shift(self.ends, 1));
        let end = if is_over { End::Came } else { End::Longer };
        Some(self.sample(((*last - *first).num_days() + 1) as f64, end))
    }

    fn sample(&self, value: f64, end: End) -> Sample {
        let (variety, season) = (self.variety.clone(), self.starts.year());
        Sample { variety, season, value, end, plantings: 1 }
    }

    fn interval(&self, days: &[NaiveDate], away: &[Away]) -> Option<f64> {
        let gaps = days.windows(2).map(|pair| (pair[0], pair[1]));
        let logs: Vec<f64> = gaps
            .filter(|(from, to)| !is_away_between(away, *from, *to))
            .map(|(from, to)| (to - from).num_days() as f64)
            .filter(|days| *days <= self.pause_days)
            .map(libm::log)
            .collect();
        let mean = logs.iter().sum::<f64>() / logs.len() as f64;
        (logs.len() >= LEAST_GAPS).then(|| libm::exp(mean))
    }
}

/// The pickings of all plantings, season by season.
pub(super) fn seasons(garden: &Garden) -> Vec<Season> {
    let Some(first_entry) = garden.entries.first().map(|entry| entry.date) else {
        return Vec::new();
    };
    let mut picked: BTreeMap<(PlantingId, NaiveDate), Vec<NaiveDate>> = BTreeMap::new();
    for harvest in garden.harvests.iter().filter(|harvest| !harvest.is_same_picking) {
        let starts = garden.season_of(harvest.date).days.from;
        for id in &harvest.plantings {
            let days = picked.entry((*id, starts)).or_default();
            if days.last() != Some(&harvest.date) {
                days.push(harvest.date);
            }
        }
    }
    let season = |((id, starts), days): (_, Vec<NaiveDate>)| {
        let planting = garden.planting(id);
        let first = *days.first()?;
        let ends = garden.season_of(first).days.to;
        let was_there = planting.is_older_than_journal
            || planting.begun().is_some_and(|begun| begun < first_entry);
        let table = table::range(&planting.sheet, Quantity::PickingInterval, 0.0);
        Some(Season {
            planting: id,
            crop: planting.crop,
            kind: kind(garden, planting, first)?,
            variety: names::folded(planting.variety.as_deref().unwrap_or_default()).into(),
            starts,
            ends,
            days,
            finished: planting.finished,
            is_cut: was_there && starts <= first_entry && first_entry <= ends,
            pause_days: table.map_or(PAUSE_DAYS, |table| PAUSE_DAYS.max(3.0 * table.1)),
        })
    };
    picked.into_iter().filter_map(season).collect()
}

/// Under cover or not where it is picked; spring or autumn by its beginning.
fn kind(garden: &Garden, planting: &Planting, first: NaiveDate) -> Option<Kind> {
    let place = planting.places_on(first).first().copied();
    let begun = planting.begun().or(planting.is_older_than_journal.then_some(first))?;
    // A kind by what was planted: where no place is known, it was in the open.
    Some(Kind::of_beginning(garden, &planting.sheet, Beginning::PlantedOut, begun, place))
}

/// Whether the grower was away on any day strictly between two visits.
fn is_away_between(away: &[Away], from: NaiveDate, to: NaiveDate) -> bool {
    let mut between = from.iter_days().skip(1).take_while(|day| *day < to);
    between.any(|day| away.iter().any(|away| is_away(away, day)))
}

fn is_away(away: &Away, day: NaiveDate) -> bool {
    let in_year = |away_day: AwayDay, year: i32| match away_day {
        AwayDay::Date(date) => date,
        AwayDay::Yearly(every) => every.in_year(year),
    };
    // A stay over the new year begins in the year before.
    [day.year() - 1, day.year()].into_iter().any(|year| {
        let from = in_year(away.from, year);
        let to = in_year(away.to, year);
        let to = if to < from { in_year(away.to, year + 1) } else { to };
        from <= day && day <= to
    })
}
