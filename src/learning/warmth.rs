//! Degree days to the first harvest, where the days are known.
//!
//! Only for plantings in the open, by single sine with the thresholds of the crop sheet, and only where nine
//! days of ten were observed at least; the rest are the garden's normal days. The day of the beginning does
//! not count, that of the picking does (so that as many days are summed as lie between the two).

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::climate::conditions::Conditions;
use crate::climate::degree_days::{Thresholds, single_sine};
use crate::dates;
use crate::garden::model::Garden;
use crate::learning::Group;
use crate::learning::posterior::Sample;
use crate::learning::quantity::Quantity;
use crate::learning::spans::Wait;
use crate::stages::Milestone;

const OBSERVED_SHARE: f64 = 0.9;

/// A value for every planting in the open that waits, or waited, for its first harvest.
pub(super) fn samples(
    garden: &Garden,
    conditions: &Conditions,
    waits: &[Wait],
) -> Vec<(Group, Sample)> {
    let mut sums: BTreeMap<(u64, Option<u64>), Sums> = BTreeMap::new();
    let tomorrow = dates::shift(garden.today, 1);
    let mut samples = Vec::new();
    for wait in waits {
        if wait.span.to != Milestone::FirstHarvest || wait.kind.is_under_cover {
            continue;
        }
        let Some(thermal) = garden.planting(wait.planting).sheet.degree_days else { continue };
        let thresholds = Thresholds::celsius(thermal.base.0, thermal.upper.map(|upper| upper.0));
        let Some(known) = wait.known_before(tomorrow) else { continue };
        let key = (thresholds.base_c.to_bits(), thresholds.upper_c.map(f64::to_bits));
        let sums = sums.entry(key).or_insert_with(|| Sums::of(garden, conditions, thresholds));
        let Some(value) = sums.between(wait.start, known.last()).filter(|sum| *sum > 0.0) else {
            continue;
        };
        let group = (wait.crop, Quantity::DegreeDays(wait.span), wait.kind);
        samples.push((group, wait.sample(known, value)));
    }
    samples
}

/// Running totals from the first day of weather to the last.
struct Sums {
    first: Option<NaiveDate>,
    /// After each day: °C·days, days observed, days known at all.
    totals: Vec<(f64, u32, u32)>,
}

impl Sums {
    fn of(garden: &Garden, conditions: &Conditions, thresholds: Thresholds) -> Sums {
        let first = garden.weather.keys().next().copied();
        let last = garden.weather.keys().next_back().copied();
        let mut totals = Vec::new();
        let mut total = (0.0, 0, 0);
        let days = first
            .zip(last)
            .into_iter()
            .flat_map(|(first, last)| first.iter_days().take_while(move |day| *day <= last));
        for day in days {
            let seen = garden.weather.get(&day).copied().unwrap_or_default();
            let normals = conditions.normals.as_ref();
            let normal = || normals.map(|normals| (normals.low_c(day), normals.high_c(day)));
            let observed = seen.low_c.zip(seen.high_c);
            if let Some((low, high)) = observed.or_else(normal) {
                total.0 += single_sine(low, high, thresholds);
                total.1 += u32::from(observed.is_some());
                total.2 += 1;
            }
            totals.push(total);
        }
        Sums { first, totals }
    }

    /// °C·days after `from` up to `to`, if enough of these days are known.
    fn between(&self, from: NaiveDate, to: NaiveDate) -> Option<f64> {
        let at = |day: NaiveDate| {
            let index = usize::try_from((day - self.first?).num_days()).ok()?;
            self.totals.get(index)
        };
        let (before, after) = (at(from)?, at(to)?);
        let days = (to - from).num_days();
        let is_whole = i64::from(after.2 - before.2) == days;
        let is_observed = f64::from(after.1 - before.1) >= OBSERVED_SHARE * days as f64;
        (is_whole && is_observed).then_some(after.0 - before.0)
    }
}
