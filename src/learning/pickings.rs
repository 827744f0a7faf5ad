//! How often a crop is picked, and for how long.
//!
//! *Picking interval:* the geometric mean of the days between visits, where a visit is a day on which
//! anything of the crop was picked, from the first to the last picking of the plantings of one variety in
//! one season: whoever picks one of them looks at all. Gaps in which the grower was away are left out, and
//! so are pauses: more than three weeks, or three times the table's range if that is longer. Fewer than
//! three gaps say nothing (both common practice, no source). One variety in one season is one value, since
//! its plantings share their visits.
//!
//! *Season length:* from a planting's first to its last picking of a season, both counted; censored while
//! it is growing in that season.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::learning::posterior::{End, Sample};
use crate::learning::quantity::{Beginning, Kind, Quantity};
use crate::learning::table;
use crate::names;
use crate::settings::{Away, AwayDay};

const LEAST_GAPS: usize = 3;
const PAUSE_DAYS: f64 = 21.0;

type Group = (CropId, Quantity, Kind);

/// Picking intervals and season lengths as they stand on the garden's day.
pub(super) fn samples(garden: &Garden) -> Vec<(Group, Sample)> {
    let seasons = seasons(garden);
    let lengths = seasons.iter().filter_map(|season| length(garden, season));
    let intervals = intervals(garden, &seasons);
    lengths.chain(intervals).collect()
}

/// The pickings of one planting in one season.
struct Season {
    planting: PlantingId,
    starts: NaiveDate,
    ends: NaiveDate,
    first: NaiveDate,
    last: NaiveDate,
    kind: Kind,
    variety: String,
}

fn seasons(garden: &Garden) -> Vec<Season> {
    let mut picked: BTreeMap<(PlantingId, NaiveDate), (NaiveDate, NaiveDate)> = BTreeMap::new();
    for harvest in &garden.harvests {
        let starts = garden.season_of(harvest.date).days.from;
        for id in &harvest.plantings {
            let days = picked.entry((*id, starts)).or_insert((harvest.date, harvest.date));
            days.1 = harvest.date;
        }
    }
    let season = |((id, starts), (first, last)): (_, (NaiveDate, NaiveDate))| {
        let planting = garden.planting(id);
        let kind = kind(garden, planting, first)?;
        let variety = names::folded(planting.variety.as_deref().unwrap_or_default());
        let ends = garden.season_of(first).days.to;
        Some(Season { planting: id, starts, ends, first, last, kind, variety })
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

fn length(garden: &Garden, season: &Season) -> Option<(Group, Sample)> {
    let planting = garden.planting(season.planting);
    // The first pickings of a season in which the journal began may have gone unwritten.
    let first_entry = garden.entries.first()?.date;
    let was_there =
        planting.is_older_than_journal || planting.begun().is_some_and(|begun| begun < first_entry);
    if was_there && season.starts <= first_entry && first_entry <= season.ends {
        return None;
    }
    let is_over = planting.finished.is_some() || season.ends < garden.today;
    let value = ((season.last - season.first).num_days() + 1) as f64;
    let group = (planting.crop, Quantity::SeasonLength, season.kind);
    let end = if is_over { End::Came } else { End::Longer };
    let (variety, season) = (season.variety.clone(), season.starts.year());
    Some((group, Sample { variety, season, value, end, plantings: 1 }))
}

fn intervals(garden: &Garden, seasons: &[Season]) -> Vec<(Group, Sample)> {
    let mut visits: BTreeMap<CropId, BTreeSet<NaiveDate>> = BTreeMap::new();
    for harvest in &garden.harvests {
        for id in &harvest.plantings {
            visits.entry(garden.planting(*id).crop).or_default().insert(harvest.date);
        }
    }
    let mut alike: BTreeMap<(CropId, Kind, &str, NaiveDate), Vec<&Season>> = BTreeMap::new();
    for season in seasons {
        let crop = garden.planting(season.planting).crop;
        let key = (crop, season.kind, season.variety.as_str(), season.starts);
        alike.entry(key).or_default().push(season);
    }
    let mut samples = Vec::new();
    for ((crop, kind, variety, starts), seasons) in alike {
        let sheet = &garden.planting(seasons[0].planting).sheet;
        let table = table::range(sheet, Quantity::PickingInterval);
        let longest = table.map_or(PAUSE_DAYS, |table| PAUSE_DAYS.max(3.0 * table.1));
        let is_open = |day: NaiveDate| seasons.iter().any(|s| s.first <= day && day <= s.last);
        let days: Vec<NaiveDate> =
            visits[&crop].iter().copied().filter(|day| is_open(*day)).collect();
        let gaps = days.windows(2).map(|pair| (pair[0], pair[1]));
        let logs: Vec<f64> = gaps
            .filter(|(from, to)| !is_away_between(&garden.settings.away, *from, *to))
            .map(|(from, to)| (to - from).num_days() as f64)
            .filter(|days| *days <= longest)
            .map(libm::log)
            .collect();
        if logs.len() < LEAST_GAPS {
            continue;
        }
        let value = libm::exp(logs.iter().sum::<f64>() / logs.len() as f64);
        let plantings = seasons.len() as u32;
        let (variety, season) = (variety.to_owned(), starts.year());
        let sample = Sample { variety, season, value, end: End::Came, plantings };
        samples.push(((crop, Quantity::PickingInterval, kind), sample));
    }
    samples
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
